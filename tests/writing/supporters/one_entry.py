"""A book of one entry, for what was said and seen around a moment."""

from collections.abc import Mapping, Sequence
from datetime import timedelta

from pipeline.records import EntryRecord, FactRecord, Records
from tests.writing.a_weekend import SATURDAY, records

Words = tuple[float, float, str]


def one_entry(*words: Words, facts: Mapping[int, Sequence[FactRecord]] | None = None) -> tuple[Records, EntryRecord]:
    """Return a book of one entry of utterances (from second, to second, text); ``facts`` are those of each."""
    book = records()
    first = book.utterances[0]
    said = tuple(
        first.model_copy(
            update={
                "id": f"u-{index}",
                "start_at": SATURDAY + timedelta(seconds=start_s),
                "end_at": SATURDAY + timedelta(seconds=end_s),
                "heard": text,
                "read": text,
                "corrections": (),
                "unsure": (),
            }
        )
        for index, (start_s, end_s, text) in enumerate(words)
    )
    told = tuple(
        one.model_copy(update={"utterances": (f"u-{index}",)})
        for index, own in (facts or {}).items()
        for one in own
    )  # fmt: skip
    entry = book.entries[0].model_copy(
        update={"at": SATURDAY, "utterances": tuple(one.id for one in said), "facts": told}
    )
    return book.model_copy(update={"utterances": said, "entries": (entry,)}), entry
