"""What an entry says, and the hash by which a decision or a signature names exactly that."""

from datetime import UTC
from typing import Any

from pipeline.digests import sha256_of_bytes
from pipeline.history.events import canonical
from pipeline.record import Id, Record
from pipeline.records import EntryRecord, FactRecord

_NOT_READ = {"review", "version", "decided", "signed", "now_read"}
_FACT_IS_TOLD_BY = {"rule", "confidence", "check", "inferred"}


class WordsRead(Record):
    """The words of one utterance as they were heard and read; seconds are from the recording's start."""

    id: Id
    start_s: float
    end_s: float
    heard: str
    read: str


class ReadEntry(Record):
    """An entry with the words of its utterances."""

    entry: EntryRecord
    words: tuple[WordsRead, ...] = ()


def as_json(one: ReadEntry) -> dict[str, Any]:
    """Return an entry with its words as the history keeps it; what people decided on it has events of its own."""
    held: dict[str, Any] = one.entry.model_dump(mode="json", exclude_defaults=True, exclude=_NOT_READ)
    return {**held, "words": [said.model_dump(mode="json") for said in one.words]}


def from_json(held: dict[str, Any]) -> ReadEntry:
    """Return an entry from what the history keeps; raises ValueError where that is no entry."""
    entry = {key: value for key, value in held.items() if key not in ("words", "version")}
    return ReadEntry.model_validate({"entry": entry, "words": held.get("words", ())})


def version_of(one: ReadEntry) -> str:
    """Return the SHA-256 of what a reader of the logbook is told: day, place in the sound, facts, words, photos.

    Not in it is what only tells how sure the program is of them, and in what order the photos stand: that may change
    a little with every photo that is taken in, and says nothing else. Versions are kept with what the stage ``enter``
    makes, whose own version is raised with any change of this.
    """
    entry = one.entry
    return sha256_of_bytes(
        canonical(
            {
                "id": entry.id,
                "media": entry.media,
                "start_s": entry.start_s,
                "end_s": entry.end_s,
                "day": entry.at.astimezone(UTC).date().isoformat(),
                "facts": [told(fact) for fact in entry.facts],
                "words": {said.id: said.read for said in one.words},
                "photos": sorted(photo.media for photo in entry.photos),
            }
        )
    )


def with_version(one: ReadEntry) -> ReadEntry:
    """Return an entry as the program reads it with its version, so that no later run works that out again."""
    return ReadEntry(entry=one.entry.model_copy(update={"version": version_of(one)}), words=one.words)


def told(fact: FactRecord) -> dict[str, Any]:
    """Return what a fact says and the words that say it, without how sure the program is of it."""
    return fact.model_dump(mode="json", exclude_none=True, exclude=_FACT_IS_TOLD_BY)


def told_alike(one: ReadEntry, other: ReadEntry) -> bool:
    """Tell whether two readings of an entry say the same, to the second."""
    same_second = one.entry.at.replace(microsecond=0) == other.entry.at.replace(microsecond=0)
    return same_second and version_of(one) == version_of(other)
