"""Reads notes twice, by the rules of speech and as marked notes were read, and makes one set of facts of both."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path

from pipeline.reading.fact import Fact
from pipeline.reading.laws.order import held_to
from pipeline.reading.learnt.prepared import prepare
from pipeline.reading.learnt.second import Learnt
from pipeline.reading.reader import NoteRead, ReadByRule, Reader, ReadsNotes
from pipeline.reading.vocabulary import Vocabulary
from pipeline.shipped import shipped

_TOGETHER = 64  # notes that are read together


class NoteReader(ReadsNotes):
    """Reads notes by one vocabulary. Loading takes about two seconds."""

    def __init__(self, vocabulary: Vocabulary, learnt: Path | None = None) -> None:
        """Load the rules, and what was learnt from marked notes: the one shipped, or another in the folder given."""
        self.vocabulary = vocabulary
        self._by_rules = Reader(vocabulary)
        self._learnt = Learnt(learnt or shipped("learnt"))

    def read_notes(self, notes: Iterable[tuple[str, Sequence[int]]]) -> Iterator[NoteRead]:
        """Yield what is read in each note (text, pauses), in order; faster than one by one."""
        left = iter(notes)
        while together := list(islice(left, _TOGETHER)):
            for one in self._by_rules.read_by_rule(together):
                yield one.told(self._facts(one))

    def _facts(self, one: ReadByRule) -> list[Fact]:
        marked = _with_commas(one.meant.text, one.meant.pauses)
        stretches = prepare(self._by_rules.lexicon, marked, one.pieces, one.note.unlisted)
        read = [fact for stretch in stretches for fact in self._learnt.read(stretch, one.note.facts)]
        return sorted(held_to(self._by_rules.lexicon, one, read), key=lambda fact: fact.words)


def _with_commas(text: str, pauses: Sequence[int]) -> str:
    """Return the text, as long as it was, with a comma for the space at a pause that no mark shows."""
    letters = list(text)
    for pause in pauses:
        if 1 < pause < len(text) and text[pause - 1] == " " and text[pause - 2].isalnum():
            letters[pause - 1] = ","
    return "".join(letters)


def reader_of(vocabulary: Vocabulary) -> NoteReader:
    """Return the reader of a vocabulary."""
    return NoteReader(vocabulary)
