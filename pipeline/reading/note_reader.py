"""Reads notes twice, by the rules of speech and as marked notes were read, and makes one set of facts of both."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.prepared import prepare
from pipeline.reading.learnt.second import Learnt
from pipeline.reading.reader import NoteRead, ReadByRule, Reader
from pipeline.reading.vocabulary import Vocabulary
from pipeline.shipped import shipped

_TOGETHER = 64  # notes that are read together


class NoteReader:
    """Reads notes by one vocabulary. Loading takes about two seconds."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self._by_rules = Reader(vocabulary)
        self._learnt = Learnt(shipped("learnt"))

    def read(self, text: str, pauses: Sequence[int] = ()) -> tuple[Fact, ...]:
        """Return the facts of one note in the order said.

        Args:
            text: what was said.
            pauses: positions of the characters before which the speaker paused.
        """
        return self.read_note(text, pauses).facts

    def read_note(self, text: str, pauses: Sequence[int] = ()) -> NoteRead:
        """Return everything that is read in one note; the arguments are those of ``read``."""
        return next(self.read_notes([(text, pauses)]))

    def read_many(self, texts: Iterable[str]) -> Iterator[NoteRead]:
        """Yield what is read in each note, in order; faster than one by one."""
        return self.read_notes((text, ()) for text in texts)

    def read_notes(self, notes: Iterable[tuple[str, Sequence[int]]]) -> Iterator[NoteRead]:
        """Yield what is read in each note (text, pauses), in order; faster than one by one."""
        left = iter(notes)
        while together := list(islice(left, _TOGETHER)):
            by_rule = list(self._by_rules.read_by_rule(together))
            lexicon = self._by_rules.lexicon
            stretches = [
                (number, prepared)
                for number, ((text, _), one) in enumerate(zip(together, by_rule, strict=True))
                for prepared in prepare(lexicon, text, one.pieces)
            ]
            read = [by_rule[number].note.facts for number, _ in stretches]
            learnt = self._learnt.read([prepared for _, prepared in stretches], read)
            facts: list[list[Fact]] = [[] for _ in together]
            for (number, _), found in zip(stretches, learnt, strict=True):
                facts[number].extend(fact for fact in found if not _forbidden(fact, by_rule[number]))
            for one, found_here in zip(by_rule, facts, strict=True):
                yield NoteRead(tuple(found_here), one.note.unlisted)


def _forbidden(fact: Fact, one: ReadByRule) -> bool:
    """Tell whether a fact says done what the rules say was not, or not yet, or not by us: that is never believed."""
    if fact.status != "done" or fact.rule in {read.rule for read in one.note.facts}:
        return False
    start, end = fact.words
    return any(first <= start and end <= last for first, last in one.not_done)
