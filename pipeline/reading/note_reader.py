"""Reads notes twice, by the rules of speech and as marked notes were read, and makes one set of facts of both."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import RULE
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
            for (text, pauses), one in zip(together, self._by_rules.read_by_rule(together), strict=True):
                yield NoteRead(tuple(self._facts(text, pauses, one)), one.note.unlisted)

    def _facts(self, text: str, pauses: Sequence[int], one: ReadByRule) -> Iterator[Fact]:
        marked = _with_commas(text, pauses)
        for stretch in prepare(self._by_rules.lexicon, marked, one.pieces, one.note.unlisted):
            for fact in self._learnt.read(stretch, one.note.facts):
                if not _forbidden(fact, one):
                    yield fact


def _with_commas(text: str, pauses: Sequence[int]) -> str:
    """Return the text, as long as it was, with a comma for the space at a pause that no mark shows."""
    letters = list(text)
    for pause in pauses:
        if 1 < pause < len(text) and text[pause - 1] == " " and text[pause - 2].isalnum():
            letters[pause - 1] = ","
    return "".join(letters)


def _forbidden(fact: Fact, one: ReadByRule) -> bool:
    """Tell whether a fact says done what the rules say was not, or not yet, or not by us: that is never believed."""
    if fact.status != "done" or fact.rule != RULE:
        return False
    start, end = fact.words
    return any(first <= start and end <= last for first, last in one.not_done)
