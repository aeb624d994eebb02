"""What a day's drawing is made of, in pixels from its left and top; ``row`` is the line of the list for it."""

from dataclasses import dataclass
from datetime import datetime

from pipeline.writing.timeline_lanes import Lanes


@dataclass(frozen=True)
class Rule:
    """The line at a whole minute; ``label`` is "" where it has none, ``offset`` where there is but one that day."""

    y: float
    label: str
    offset: str
    strong: bool


@dataclass(frozen=True)
class Gap:
    """A shortened stretch, what it says, and when it ends (seconds since 1970 UTC)."""

    to_s: int
    top: float
    bottom: float
    text: str


@dataclass(frozen=True)
class RunLine:
    """What of a recording's or film's length is in one piece; it starts or ends there, or goes on."""

    xs: tuple[float, ...]
    top: float
    bottom: float
    starts: bool
    ends: bool
    film: bool


@dataclass(frozen=True)
class Tie:
    """The line from a photo to its words; ``percent`` is told where it is ``weak`` and there is room."""

    from_x: float
    from_y: float
    to_x: float
    to_y: float
    weak: bool
    percent: str


@dataclass(frozen=True)
class SaidMark:
    """Words that belong together: a bar for each utterance, a bracket where they are an entry.

    ``label`` is the first words, ``y`` where they are written.
    """

    at: datetime
    row: str
    title: str
    x: float
    top: float
    bottom: float
    bars: tuple[tuple[float, float], ...]
    loose: bool
    label: str
    y: float
    photo: bool = False
    start: bool = False


@dataclass(frozen=True)
class StartMark:
    """The start of a recording or film; ``shown`` is what its own clock showed then if that was something else."""

    at: datetime
    row: str
    title: str
    x: float
    top: float
    label: str
    y: float
    shown: str
    photo: bool = False
    start: bool = True


@dataclass(frozen=True)
class PhotoMark:
    """A photo: a tick on its lane at its very time (``top``), and beside it, at ``y``, a mark clear of the others.

    ``shown`` is what its own clock showed if it was moved; ``ring_y`` is that place, where it is near enough to draw.
    """

    at: datetime
    row: str
    title: str
    x: float
    top: float
    y: float
    loose: bool
    still: bool
    name: str
    note: str
    shown: str
    ring_y: float | None
    photo: bool = True
    start: bool = False


@dataclass(frozen=True)
class NoWords:
    """Sound that did not become words."""

    x: float
    top: float
    bottom: float


Mark = SaidMark | StartMark | PhotoMark


@dataclass(frozen=True)
class Piece:
    """A part of a drawing, as tall as a printed page at most (unless one minute is taller)."""

    top: float
    bottom: float
    rules: tuple[Rule, ...]
    gaps: tuple[Gap, ...]
    runs: tuple[RunLine, ...]
    no_words: tuple[NoWords, ...]
    ties: tuple[Tie, ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class Drawing:
    """The drawing of a day."""

    lanes: Lanes
    pieces: tuple[Piece, ...]
    height: float

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """Return every stretch that is shortened, in order."""
        return tuple(gap for piece in self.pieces for gap in piece.gaps)
