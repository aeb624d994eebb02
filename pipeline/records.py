"""``out/records.json``: everything the book holds, in a published form.

The models here are the JSON Schema that ``saidseen schema`` prints. Positions ``from``/``to`` are characters of the
text that they mark, end exclusive; times are RFC 3339 with an offset; seconds in sound are from its start.
"""

from datetime import date
from typing import Literal

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from pipeline.reading.fact import MarkedFact, Measure, Place, Side, Stowage
from pipeline.values import Clock, Kind, TimeSource


class Record(BaseModel):
    """A frozen part of the records."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, serialize_by_alias=True)


class BookRecord(Record):
    """Whose book it is."""

    title: str
    aircraft: str
    zone: str = Field(description="IANA time zone in which clocks without offset are read")
    program: str = Field(description="name and version of the program that wrote this")
    model: str = Field(description="recogniser model and its SHA-256")
    vocabulary: str = Field(description="fingerprint of the vocabulary that the speech was read with")


class MediaRecord(Record):
    """One photo, recording, film or caption file."""

    id: str = Field(pattern=r"^sha256:[0-9a-f]{64}$")
    path: str
    other_paths: tuple[str, ...] = Field(default=(), description="the same content under other names")
    kind: Kind
    content_type: str
    taken_at: AwareDatetime = Field(description="for sound and film: when it starts")
    time_source: TimeSource
    time_error_s: float = Field(ge=0)
    shown_at: AwareDatetime = Field(description="what the device's own clock said")
    moved_s: float = Field(description="taken_at less shown_at")
    device: str
    duration_s: float | None = None
    still_of: str | None = Field(default=None, description="the film that this still was taken from")
    still_at_s: float | None = None
    flags: tuple[str, ...] = Field(default=(), description="reasons to doubt the time, and what could not be read")


class CorrectionRecord(Record):
    """A repair: ``heard`` from ``from`` to ``to`` was read, or may be read, as ``read``."""

    start: int = Field(alias="from", ge=0)
    end: int = Field(alias="to", ge=0)
    heard: str
    read: str
    score: float
    why: str


class UnsureRecord(Record):
    """Words that may be wrong, invented or incomplete, with the chance that they are."""

    start: int = Field(alias="from", ge=0)
    end: int = Field(alias="to", ge=0)
    why: str
    chance: float = Field(default=0.5, ge=0, le=1)


class PartNumberRecord(Record):
    """A standard part number that was said, with what its standard's published rule says of it."""

    start: int = Field(alias="from", ge=0, description="where it stands in what was read")
    end: int = Field(alias="to", ge=0)
    number: str
    says: str
    doubt: str = Field(default="", description="why a person should check it")
    source: str = Field(default="", description="where the rule is published")


class UtteranceRecord(Record):
    """What was said between two pauses: as heard, and as read after repair."""

    id: str
    media: str
    start_s: float = Field(ge=0)
    end_s: float = Field(ge=0)
    start_at: AwareDatetime
    end_at: AwareDatetime
    heard: str
    read: str
    corrections: tuple[CorrectionRecord, ...] = Field(default=(), description="made: with them, heard is read")
    suggestions: tuple[CorrectionRecord, ...] = Field(default=(), description="not made; for a person to judge")
    unsure: tuple[UnsureRecord, ...] = ()
    part_numbers: tuple[PartNumberRecord, ...] = ()


class FactRecord(MarkedFact):
    """One fact, in the keys of the marked notes, with the words and utterances behind it."""

    said: str = Field(description="the words that the fact was read from")
    utterances: tuple[str, ...] = Field(description="the utterances that those words are in")
    rule: str = Field(default="", description="which pattern read it")
    confidence: float = Field(
        default=1.0, ge=0, le=1, description="share of facts read in this way that were right on marked notes"
    )
    check: tuple[str, ...] = Field(default=(), description="why a person should check it")
    inferred: tuple[tuple[str, str], ...] = Field(
        default=(), description="keys not said with it but carried on, each with the reason"
    )


class PhotoLink(Record):
    """A photo placed with an entry."""

    media: str
    p: float = Field(ge=0, le=1, description="probability that it belongs here")
    why: tuple[str, ...]


class EntryRecord(Record):
    """A stretch of one recording that belongs together: facts, photos, or both."""

    id: str
    at: AwareDatetime
    media: str = Field(description="the recording")
    start_s: float
    end_s: float
    utterances: tuple[str, ...]
    facts: tuple[FactRecord, ...] = ()
    photos: tuple[PhotoLink, ...] = ()
    review: Literal["unread", "accepted", "amended", "rejected"] = "unread"


class UnplacedSpeech(Record):
    """Something said that is in no entry."""

    utterance: str
    why: str


class NotUnderstood(Record):
    """Sound that did not become words, and what was heard there if it was left out as invented ("" if nothing)."""

    media: str
    start_s: float
    end_s: float
    why: str
    guess: str = ""


class UnlistedRecord(Record):
    """What seems to be a part but stands in no list, and the utterances in which it was said first."""

    name: str
    utterances: tuple[str, ...]


class UnplacedPhoto(Record):
    """A photo that is in no entry."""

    media: str
    why: str


class Caution(Record):
    """Advice, never a verdict."""

    rule: str
    text: str
    entries: tuple[str, ...] = ()


class SetAside(Record):
    """A file that could not be used."""

    path: str
    why: str


class Move(Record):
    """One thing that happened to a part or a joint, with the entry that says so."""

    on: date
    what: str
    entry: str


class PartOff(Record):
    """One part that was taken off, and where it is now."""

    item: str
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    tag: str | None = None
    removed_on: date | None = None
    held_by: str = ""
    stowage: Stowage | None = None
    condition: tuple[str, ...] = ()
    refitted_on: date | None = None
    moves: tuple[Move, ...] = ()
    questions: tuple[str, ...] = ()


class FindingLine(Record):
    """One condition that was looked at."""

    on: date
    item: str | None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    finding: str
    absent: bool = False
    grade: str | None = None
    measure: tuple[Measure, ...] | None = None
    count: int | None = None
    of: str | None = None
    entry: str
    photos: tuple[str, ...] = ()


class ToDo(Record):
    """Something said to be planned, or not done, and not done since."""

    said_on: date
    status: Literal["planned", "not-done"]
    act: str
    item: str | None = None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    words: str
    entry: str


class Lists(Record):
    """What the facts add up to."""

    parts_off: tuple[PartOff, ...] = ()
    findings: tuple[FindingLine, ...] = ()
    to_do: tuple[ToDo, ...] = ()


class Records(Record):
    """Everything: the whole of ``out/records.json``."""

    schema_name: Literal["saidseen/records/1"] = Field(default="saidseen/records/1", alias="schema")
    book: BookRecord
    media: tuple[MediaRecord, ...] = ()
    clocks: tuple[Clock, ...] = ()
    utterances: tuple[UtteranceRecord, ...] = ()
    entries: tuple[EntryRecord, ...] = ()
    unplaced_speech: tuple[UnplacedSpeech, ...] = ()
    not_understood: tuple[NotUnderstood, ...] = ()
    unplaced_photos: tuple[UnplacedPhoto, ...] = ()
    unlisted: tuple[UnlistedRecord, ...] = ()
    cautions: tuple[Caution, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    lists: Lists = Lists()
