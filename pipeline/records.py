"""``out/records.json``: everything the book holds, in a published form.

The models here are the JSON Schema that ``saidseen schema`` prints. Positions ``from``/``to`` are characters of the
text that they mark, end exclusive; times are RFC 3339 with an offset; seconds in sound are from its start.
"""

from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AwareDatetime, BeforeValidator, Field, PlainSerializer

from pipeline.list_records import (
    DisconnectionLine,
    FastenerLine,
    FindingLine,
    Held,
    HoldPoint,
    LineQuestion,
    Lists,
    Move,
    Observation,
    PartEvent,
    PartEventKind,
    PartOff,
    Question,
    SupportLine,
    SupportQuestion,
    ToDo,
    WaitsFor,
    WayBack,
    WayBackCycle,
    WayBackEdge,
    WayBackReason,
    WayBackStep,
)
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.record import Id, Record
from pipeline.values import Clock, Kind, TimeSource

__all__ = [
    "AnswerRecord",
    "BookRecord",
    "Caution",
    "CorrectionRecord",
    "DecisionRecord",
    "DisconnectionLine",
    "EntryRecord",
    "FactRecord",
    "FastenerLine",
    "FindingLine",
    "Held",
    "HoldPoint",
    "LineQuestion",
    "Lists",
    "MediaRecord",
    "Move",
    "NotUnderstood",
    "NowRead",
    "Observation",
    "PartEvent",
    "PartEventKind",
    "PartNumberRecord",
    "PartOff",
    "PhotoLink",
    "Question",
    "Record",
    "Records",
    "SetAside",
    "SignatureRecord",
    "SupportLine",
    "SupportQuestion",
    "ToDo",
    "UnlistedRecord",
    "UnplacedPhoto",
    "UnplacedSpeech",
    "UnsureRecord",
    "UtteranceRecord",
    "WaitsFor",
    "WayBack",
    "WayBackCycle",
    "WayBackEdge",
    "WayBackReason",
    "WayBackStep",
]

_WHERE = "from the book's folder, or whole where it lies on another drive"


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
    path: str = Field(description=_WHERE)
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
    labels: tuple[str, ...] = Field(default=(), description="tags whose labels' codes are in the picture")
    card_at: AwareDatetime | None = Field(default=None, description="the time of a clock card in the picture")
    codes: tuple[str, ...] = Field(default=(), description="what other codes in the picture say, cut short")
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

    id: Id
    media: Id
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
    speaker: str | None = Field(default=None, description="whose voice a caption file says it is, as it stands there")


Inferred = Annotated[
    tuple[tuple[str, str], ...],
    BeforeValidator(lambda given: tuple(given.items()) if isinstance(given, dict) else given),
    PlainSerializer(dict, return_type=dict[str, str], when_used="json"),
]
"""Pairs of a key and the reason for it, as JSON an object; older records have them as a list of pairs."""


class FactRecord(MarkedFact):
    """One fact, in the keys of the marked notes, with the words and utterances behind it."""

    said: str = Field(description="the words that the fact was read from")
    utterances: tuple[Id, ...] = Field(description="the utterances that those words are in")
    rule: str = Field(default="", description="which pattern read it")
    confidence: float = Field(
        default=1.0,
        ge=0,
        le=1,
        description="how likely it was read right: by rules, the share of facts read by them that were right on "
        "marked notes; as marked notes were read, the chance that this reading was given",
    )
    check: tuple[str, ...] = Field(default=(), description="why a person should check it")
    inferred: Inferred = Field(default=(), description="keys not said with it but carried on, each with the reason")


class PhotoLink(Record):
    """A photo placed with an entry."""

    media: Id
    p: float = Field(ge=0, le=1, description="probability that it belongs here")
    why: tuple[str, ...]
    utterance: str | None = Field(
        default=None,
        description='the words it rests on most, or "" where that is not clear; null: a person placed it',
    )
    label: str | None = Field(default=None, description="the tag in the picture that those words read out")


class DecisionRecord(Record):
    """What a person decided on an entry, and that still stands; the whole of it is in the book's history."""

    number: int = Field(description="its number in the history, by which it can be withdrawn")
    at: AwareDatetime
    who: str
    act: Literal["accept", "amend", "reject", "split", "join"]
    what: tuple[Literal["facts", "words", "photos"], ...] = Field(default=(), description="what was amended")
    why: str = ""


class SignatureRecord(Record):
    """A person's name under what an entry said at that time: never a release to service."""

    number: int = Field(description="its number in the history")
    at: AwareDatetime
    who: str
    reason: str = Field(alias="for", description="what was signed for, in the team's own words")
    version: str = Field(description="SHA-256 of what the entry said when it was signed")
    stands: bool = Field(description="whether the entry still says that")
    changed_by: Literal["amendment", "reading", ""] = Field(
        default="", description="what changed the entry since: a person's amendment, or the program's reading"
    )
    proof: Literal["typed", "key", "not-valid", "key-not-listed"] = Field(
        description="typed: a name and no more; key: an Ed25519 signature by the key that book.toml lists"
    )


class NowRead(Record):
    """What the program reads by now, where a person has decided on another reading of it."""

    gone: bool = Field(default=False, description="the program no longer makes this entry")
    facts: tuple[FactRecord, ...] = ()
    words: tuple[tuple[str, str], ...] = Field(default=(), description="utterances and what is read there")
    photos: tuple[str, ...] = ()


class EntryRecord(Record):
    """A stretch of one recording that belongs together: facts, photos, or both."""

    id: Id
    at: AwareDatetime
    media: Id = Field(description="the recording")
    start_s: float
    end_s: float
    utterances: tuple[Id, ...]
    facts: tuple[FactRecord, ...] = ()
    photos: tuple[PhotoLink, ...] = ()
    review: Literal["unread", "accepted", "amended", "rejected"] = "unread"
    version: str = Field(default="", description="SHA-256 of what it says, which decisions and signatures name")
    decided: tuple[DecisionRecord, ...] = ()
    signed: tuple[SignatureRecord, ...] = ()
    now_read: NowRead | None = Field(default=None, description="set where a person is to look at it again")


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


class AnswerRecord(Record):
    """What a person said to a caution, as the book's settings hold it."""

    reason: str
    who: str


class Caution(Record):
    """Advice, never a verdict: once for each cause, with all entries that it comes from."""

    rule: str = Field(description="a notation of the vocabulary's rules")
    text: str
    entries: tuple[str, ...] = ()
    item: str | None = None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    on: date | None = Field(default=None, description="the day of the first of its entries")
    reason: str = Field(default="", description="why the rule is there")
    source: str = Field(default="", description="where the rule is published, or that it is common practice")
    answer: AnswerRecord | None = None


class SetAside(Record):
    """A file that could not be used."""

    path: str = Field(description=_WHERE)
    why: str


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


def records_in(out: Path) -> Records:
    """Read ``records.json`` in a book's ``out/``.

    Raises:
        FileNotFoundError: no run has written it.
        ValidationError: it is damaged, or of another version of the program.
    """
    return Records.model_validate_json((out / "records.json").read_bytes())


def records_schema() -> dict[str, Any]:
    """Return the schema of ``records.json``.

    Source: JSON Schema 2020-12, whose core, section 8.1.1, has a schema name its dialect.
    """
    form = Records.model_json_schema(by_alias=True, mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **form}
