"""What a person should look at in an entry before accepting it."""

from collections import Counter
from collections.abc import Iterator, Mapping

from pipeline.english import plural
from pipeline.records import EntryRecord, MediaRecord, UtteranceRecord
from pipeline.writing.matters import Matter
from pipeline.writing.speech import LIKELY

_LIKELY_PLACED = 0.8  # from memory: below it, one photo in five is in the wrong entry


def doubts_of(
    entry: EntryRecord,
    said: Mapping[str, UtteranceRecord],
    media: Mapping[str, MediaRecord],
    matters: tuple[Matter, ...],
) -> tuple[str, ...]:
    """Return what is doubtful in an entry, in a few words each; nothing where a person has decided on it.

    Args:
        entry: the entry.
        said: the book's utterances by id.
        media: the book's media by id.
        matters: what is to be settled of this entry.
    """
    if entry.review != "unread" and entry.now_read is None:
        return ()
    return tuple(_doubts(entry, said, media, matters))


def _doubts(
    entry: EntryRecord,
    said: Mapping[str, UtteranceRecord],
    media: Mapping[str, MediaRecord],
    matters: tuple[Matter, ...],
) -> Iterator[str]:
    if entry.now_read is not None:
        yield "read otherwise by now"
    kinds = Counter(one.kind for one in matters)
    if advice := kinds.pop("caution", 0):
        yield f"{advice} {'piece' if advice == 1 else 'pieces'} of advice"
    if facts := kinds.pop("to-check", 0):
        yield f"{facts} {plural('fact', facts)} to check"
    questions = kinds.total()
    if questions:
        yield f"{questions} {plural('question', questions)}"
    words = [said[one] for one in entry.utterances if one in said]
    unsure = sum(doubt.chance >= LIKELY for one in words for doubt in one.unsure)
    if unsure:
        yield f"{unsure} unsure {plural('word', unsure)}"
    open_ones = sum(len(one.suggestions) for one in words)
    if open_ones:
        yield f"{open_ones} {plural('suggestion', open_ones)}"
    photos = sum(one.p < _LIKELY_PLACED for one in entry.photos)
    if photos:
        yield f"{photos} {plural('photo', photos)} may belong elsewhere"
    source = media.get(entry.media)
    if source is not None and any("corrected" not in one for one in source.flags):
        yield "its time"
