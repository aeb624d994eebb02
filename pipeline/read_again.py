"""An entry's facts read again from the words as people put them right: what its other reading would be."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pipeline.bench import Bench
from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history.seen import past_now
from pipeline.known import RecordingRead
from pipeline.matching.passages import tell
from pipeline.mistyped import to_type
from pipeline.records import EntryRecord, FactRecord
from pipeline.store import Store
from pipeline.teaching import as_recorded
from pipeline.writing.wording import fact_text


@dataclass(frozen=True)
class ReadAgain:
    """The facts that are read in an entry's words; in plain words, those that would go and those that would come."""

    facts: tuple[FactRecord, ...]
    gone: tuple[str, ...]
    new: tuple[str, ...]

    def as_given(self) -> list[dict[str, Any]]:
        """Return the facts as an amendment takes them."""
        return [one.model_dump(mode="json", exclude_defaults=True) for one in self.facts]


def read_again(book: Book, entry: EntryRecord, words: Mapping[str, str]) -> ReadAgain:
    """Return what the program reads in an entry's words as they stand, or as they are to be read.

    Its whole recording is read with it, because a part that is named in one entry is spoken of in the next. Nothing
    is changed.

    Args:
        book: one that was run.
        entry: the entry.
        words: other words, by utterance, than those that stand.

    Raises:
        WrongCommand: the book has no database to read what was heard from, or its recording is not in that.
    """
    held = None
    if book.store_file.exists():
        with Store(book.store_file, read_only=True) as store:
            held = store.latest("read", entry.media)
    if held is None or held.value is None:
        raise WrongCommand(
            f"{book.folder} has nothing to read {entry.id} from. Run it first: saidseen run {to_type(book.folder)}"
        )
    told = RecordingRead.model_validate_json(held.value)
    stands = past_now(book).stands().values()
    read = {said.id: said.read for one in stands if one.read.entry.media == entry.media for said in one.read.words}
    read |= words
    readings = [
        one.model_copy(update={"read": read.get(said.id, one.read)})
        for said, one in zip(told.utterances, told.readings, strict=True)
    ]
    settings = book.settings()
    bench = Bench(settings, book.vocabulary(settings))
    passages = tell(entry.media, told.utterances, readings, bench.reader.read_note).passages
    recorded = (as_recorded(one) for passage in passages for one in passage.facts)
    facts = tuple(one for one in recorded if one.utterances[0] in entry.utterances)
    terms = bench.vocabulary
    before, after = (Counter(fact_text(one, terms) for one in these) for these in (entry.facts, facts))
    return ReadAgain(facts, gone=tuple(before - after), new=tuple(after - before))
