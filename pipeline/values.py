"""The values that pass from stage to stage. All are frozen, and all can be written as JSON.

Those that a book has one of for each of its files are plain dataclasses, which take a third of the memory.

Seconds in a recording are from its start. A wall-clock reading without an offset is kept as text, so that no naive
``datetime`` exists: it becomes an instant only in ``pipeline.dating``, which knows the book's time zone.
"""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from pydantic import AwareDatetime, Field

from pipeline.frozen import Frozen


class Value(Frozen):
    """A frozen value with no field but the declared ones."""


class Kind(StrEnum):
    """What a piece of media is."""

    PHOTO = "photo"
    RECORDING = "recording"
    FILM = "film"
    CAPTIONS = "captions"


class TimeSource(StrEnum):
    """Where an instant came from, best first."""

    PINNED = "pinned"  # the book's settings say what this device's clock was out by
    CARD = "clock-card"  # a code of the true time in the picture
    GPS = "gps"
    EXIF_OFFSET = "exif-with-offset"
    EXIF = "exif-in-book-zone"
    CONTAINER = "container"
    BWF = "bwf"
    NOTE = "caption-note"
    NAME = "file-name"
    FILE = "file-time"
    FILM = "film"  # a still: its film's instant and the second in it


class TimeClue(Value):
    """One statement about when a piece of media was made, as it was found.

    ``wall`` is ISO 8601 without offset ("2026-02-14T10:15:00.25"), exactly as the source shows it; ``offset`` is
    "+01:00", "+00:00" … or None where the source gives none; ``error_s`` is how coarse the source is. ``marks_end``
    says that it is the instant at which a recording ended, as some devices stamp it on closing the file.
    """

    source: TimeSource
    wall: str
    offset: str | None = None
    error_s: float = 0.5
    marks_end: bool = False


@dataclass(frozen=True, slots=True)
class FileSeen:
    """A file as the walk found it. ``path`` is absolute; times are nanoseconds since 1970 UTC."""

    path: str
    size: int
    modified_ns: int


class Probe(Value):
    """What one piece of media says of itself; made from its content alone, never from its name or its folder.

    ``device`` names the camera or recorder as far as the content tells ("" where it does not), ``serial`` is the
    number that its maker gave this one. ``clues`` come in the order of trust. ``gps_deg`` is (latitude, longitude) in
    degrees, north and east positive. ``remarks`` are sentences for the user about what could not be read.
    """

    kind: Kind
    content_type: str
    device: str = ""
    serial: str = ""
    clues: tuple[TimeClue, ...] = ()
    duration_s: float | None = None
    width_px: int | None = None
    height_px: int | None = None
    gps_deg: tuple[float, float] | None = None
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Media:
    """A piece of media: its content's hash, every path it was found under (sorted), and what it says of itself.

    ``id`` is "sha256:" and 64 hexadecimal digits. ``held`` is False once every file that held it holds something
    else. ``still_of`` and ``still_at_s`` are set for a still taken from a film: the film's id and the second in it.
    """

    id: str
    files: tuple[FileSeen, ...]
    probe: Probe
    held: bool = True
    still_of: str | None = None
    still_at_s: float | None = None

    @property
    def path(self) -> str:
        """The first of the paths it was found under."""
        return self.files[0].path


@dataclass(frozen=True, slots=True)
class Dated:
    """When a piece of media was made: for sound and film, the instant at which it starts.

    ``at`` has the offset in force there and then. ``error_s`` is how far off ``at`` may be. ``shown_at`` is what the
    device's own clock said; ``moved_s`` is ``at`` less ``shown_at``. ``flags`` are sentences that tell a person why
    to doubt it.
    """

    media: str
    at: AwareDatetime
    source: TimeSource
    error_s: float
    shown_at: AwareDatetime
    moved_s: float = 0.0
    flags: tuple[str, ...] = ()


class Codes(Value):
    """What the codes in a photo say: a clock card's time, tag numbers in capitals, and other texts, cut short."""

    card_at: AwareDatetime | None = None
    tags: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


class Clock(Value):
    """How far a device's clock was out, in one stretch between two settings of it.

    ``offset_s`` is what it showed less the true time: at the middle of the stretch, if it drifts. ``since`` and
    ``until`` are the stretch by its own clock. ``spread_s`` is how far the anchors that agree lie apart (one
    sigma), ``error_s`` how far off the offset may be. ``stamps`` says whether a recorder stamps the "start" or the
    "end" of a recording; "" where it is no recorder or every file says so itself. ``untouched`` says that the
    stretch goes on the one before: nobody changed the clock when the zone's clocks were changed between the two.
    """

    device: str
    offset_s: float
    drift_s_per_day: float = 0.0
    anchors: int = 0
    spread_s: float = 0.0
    error_s: float = 0.0
    sure: bool = False
    why: str = ""
    since: AwareDatetime | None = None
    until: AwareDatetime | None = None
    stamps: str = ""
    untouched: bool = False


class ModelFolder(Value):
    """A folder that holds a speech model in CTranslate2's form; ``sha256`` is that of its ``model.bin``."""

    path: Path
    name: str
    sha256: str


class HeardWord(Value):
    """One word as heard: seconds from the recording's start, and the recogniser's probability (0 to 1).

    ``support`` is the share of the decoder's best readings of the sound, weighed by chance, that have the word here.
    ``other`` is what the other of the two looks heard in its place: None where that is the same, "" where it heard
    nothing. ``chance_wrong`` is how likely the word is to be wrong, from 0 to 1, all evidence taken together.
    """

    start_s: float
    end_s: float
    text: str
    probability: float
    support: float = 1.0
    other: str | None = None
    chance_wrong: float = 0.0


class HeardSegment(Value):
    """What the recogniser gave as one stretch; ``text`` is its words joined by single spaces.

    ``speaker`` is who a caption file says it is, "" where nothing says so.
    """

    start_s: float
    end_s: float
    text: str
    words: tuple[HeardWord, ...]
    no_speech: float = 0.0
    mean_log_probability: float = 0.0
    speaker: str = ""


class NotUnderstood(Value):
    """A stretch of sound, in seconds from the recording's start, that did not become words.

    ``why`` says why in words. ``guess`` is what was heard there, if it was left out as invented; else "".
    """

    start_s: float
    end_s: float
    why: str
    guess: str = ""


class Heard(Value):
    """All that was heard in one recording, with the settings that led to it.

    ``by`` is "recogniser" or "captions". ``settings`` names model, its hash, and every decoder setting.
    ``remarks`` tell of sound that was lost. ``not_understood`` lists voice without words, and words left out, in
    order of time.
    """

    by: str
    duration_s: float
    segments: tuple[HeardSegment, ...]
    settings: dict[str, str] = Field(default_factory=dict)
    not_understood: tuple[NotUnderstood, ...] = ()
    remarks: tuple[str, ...] = ()


class Utterance(Value):
    """One sentence, or what was said between two pauses. ``heard`` is the words' texts joined by single spaces.

    ``id`` is "u-", eight digits of the media's hash, "-" and the start in milliseconds; ``speaker`` is as in
    ``HeardSegment``.
    """

    id: str
    media: str
    start_s: float
    end_s: float
    heard: str
    words: tuple[HeardWord, ...]
    speaker: str = ""


class Correction(Value):
    """One repair: ``heard[start:end]`` was read as ``read``. ``applied`` is False for a mere suggestion."""

    start: int
    end: int
    heard: str
    read: str
    score: float
    why: str
    applied: bool = True


class Unsure(Value):
    """``read[start:end]`` may be wrong, invented or incomplete; ``why`` says which, in words.

    ``chance`` is how likely it is to be wrong, from 0 to 1.
    """

    start: int
    end: int
    why: str
    chance: float = 0.5


class Reading(Value):
    """An utterance after repair."""

    utterance: str
    read: str
    corrections: tuple[Correction, ...] = ()
    unsure: tuple[Unsure, ...] = ()
