"""What a page of the logbook shows of a day, as values: entries, speech, photos, and the files behind them."""

from dataclasses import dataclass
from datetime import date, datetime

from pipeline.records import Caution
from pipeline.writing.asked_for import Asked
from pipeline.writing.decision_wording import ActInWords
from pipeline.writing.entry_links import Link
from pipeline.writing.speech import Piece


@dataclass(frozen=True)
class FactView:
    """One fact as it is written, with what was carried on from earlier words."""

    text: str
    inferred: str
    check: str


@dataclass(frozen=True)
class SpeechView:
    """One utterance: when, its pieces, and the link to its sound. ``heard`` is set where it must be shown whole.

    ``speaker`` is who begins to speak here, "" where nobody says so, or it is who spoke before.
    """

    id: str
    clock: str
    pieces: tuple[Piece, ...]
    heard: str
    suggestions: tuple[str, ...]
    sound: str
    why: str = ""
    speaker: str = ""


@dataclass(frozen=True)
class PhotoView:
    """One photo: its viewing copy, the link to its original, what is said of it.

    ``caption`` is what was told as it was taken, "" where it stands with no words.
    """

    picture: str
    original: str
    name: str
    hash: str
    clock: str
    device: str
    alt: str
    percent: str
    moved: str
    why: tuple[str, ...]
    doubts: tuple[str, ...]
    caption: str = ""


@dataclass(frozen=True)
class SourceView:
    """Where an entry's sound comes from, how it was dated, and why that may be wrong."""

    name: str
    link: str
    sound: str
    hash: str
    kind: str
    device: str
    dated: str
    moved: str
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class EntryView:
    """One entry of the page.

    ``about`` is its zone, place, system and tags, each with its name; ``who`` is whoever said to be speaking, or all
    who speak, and ``who_told`` the link to the words that say so, "" where each line does; ``named`` are people of
    the team who are named in its words; ``within`` is how far off its time may be, "" for less than a minute;
    ``acts`` is what people decided on it and ``signed``; ``otherwise`` is what the program reads by now where a
    person has decided on another reading; ``asks`` are the lines for people to fill in and sign.
    """

    id: str
    at: datetime
    clock: str
    offset: str
    title: str
    facts: tuple[tuple[str, tuple[FactView, ...]], ...]
    speech: tuple[SpeechView, ...]
    photos: tuple[PhotoView, ...]
    source: SourceView
    sound: str
    from_to: str
    review: str
    cautions: tuple[Caution, ...]
    hardware: tuple[str, ...]
    about: tuple[tuple[str, str], ...] = ()
    who: str = ""
    who_told: str = ""
    named: tuple[str, ...] = ()
    within: str = ""
    acts: tuple[ActInWords, ...] = ()
    otherwise: str = ""
    signed: bool = False
    asks: tuple[Asked, ...] = ()


@dataclass(frozen=True)
class AdviceView:
    """A caution as the index tells it: with links to the first entries that it comes from, and how many more."""

    caution: Caution
    entries: tuple[Link, ...]
    more: int


@dataclass(frozen=True)
class SilenceView:
    """Sound that did not become words; ``guess`` is what was heard there and left out, or ""."""

    clock: str
    where: str
    link: str
    why: str
    guess: str


@dataclass(frozen=True)
class FileView:
    """One file behind a day: its kind, its device, how it was dated, and its whole hash."""

    name: str
    link: str
    kind: str
    device: str
    dated: str
    hash: str


@dataclass(frozen=True)
class DayView:
    """One day: its entries in order of time, what could not be placed, and the files that all this comes from.

    ``corrected`` tells of each device whose clock was put right for this day: (device, how and why).
    """

    day: date
    title: str
    entries: tuple[EntryView, ...]
    speech: tuple[SpeechView, ...]
    silent: tuple[SilenceView, ...]
    photos: tuple[PhotoView, ...]
    files: tuple[FileView, ...] = ()
    corrected: tuple[tuple[str, str], ...] = ()
