"""A case: all by which the laws judge the facts of one note; and what a law is."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.reader import ReadByRule
from pipeline.reading.spans import Span, holds

PARTING = ("remove", "undo", "disconnect", "separate")  # acts by which parts are parted
RUNS = ("-line", "-cable", "-rod", "-loom", "-hose", "-pipe", "-strip", "-lead")  # ends of the names of what runs on
_GOES_ON = word_set("and but so then now because")


@dataclass(frozen=True, slots=True)
class Case:
    """What the facts of one note are judged by: the vocabulary's ``lexicon``, and what the ``rules`` read in it."""

    lexicon: Lexicon
    rules: ReadByRule

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The pieces of the text."""
        return self.rules.pieces

    @property
    def by_rules(self) -> tuple[Fact, ...]:
        """The facts that the rules read."""
        return self.rules.note.facts

    def sentence(self, fact: Fact) -> Span:
        """Return the sentence in which the words of a fact begin."""
        return self.rules.sentence(fact.words[0])

    def since_sentence_before(self, fact: Fact) -> Span:
        """Return the sentence before that of a fact; an empty span where there is none."""
        start, _end = self.sentence(fact)
        return self.rules.sentence(max(0, start - 1))[0], start

    def sentences(self) -> Iterator[range]:
        """Yield which pieces each sentence is made of, with the mark that ends it."""
        first = 0
        for at, piece in enumerate(self.pieces):
            if piece.ends_sentence or at + 1 == len(self.pieces):
                yield range(first, at + 1)
                first = at + 1

    def asks(self, character: int) -> bool:
        """Tell whether the sentence at a character ends in a question mark."""
        sentence = self.rules.sentence(character)
        return [piece.low for piece in self.pieces if holds(sentence, piece.start)][-1:] == ["?"]

    def together(self, one: Fact, other: Fact) -> bool:
        """Tell whether two facts are told in one sentence."""
        return self.sentence(one) == self.sentence(other)

    def own(self, fact: Fact) -> list[int]:
        """Return which pieces are in the sentence of a fact."""
        sentence = self.sentence(fact)
        return [at for at, piece in enumerate(self.pieces) if holds(sentence, piece.start)]

    def own_pieces(self, fact: Fact) -> list[Piece]:
        """Return the pieces in the sentence of a fact."""
        return [self.pieces[at] for at in self.own(fact)]

    def breaks_after(self, fact: Fact) -> bool:
        """Tell whether a clause ends with the words of a fact: "they're off", and not "they're off the shelf"."""
        after = next((piece for piece in self.pieces if piece.start >= fact.words[1]), None)
        return after is None or after.kind == "mark" or after.low in _GOES_ON

    def names_part_of(self, fact: Fact) -> bool:
        """Tell whether the sentence of a fact names its part, by a name of its own or a short one."""
        shorts = self.lexicon.shorts
        own = self.own_pieces(fact)
        return any(p.sense("part") == fact.item or fact.item in shorts.get(p.sense("short"), ()) for p in own)

    def part_named(self, piece: Piece) -> str:
        """Return the part that a piece names, the likeliest of those that a short name may be; "" for none."""
        return piece.sense("part") or self.lexicon.likeliest(piece.sense("short"))

    def part_of(self, phrase: Phrase) -> str | None:
        """Return the part that a phrase names, or that its fasteners hold; None where it names none."""
        named = phrase.item or phrase.holder
        return named or self.lexicon.likeliest(phrase.short or phrase.holder_short) or None


def by_law(rule: str, inferred: Sequence[tuple[str, str]] = (), **told: object) -> Fact:
    """Return the fact that a law reads: what is ``told``, by which rule, and how sure that is."""
    sure = confidence_of(rule, inferred)
    return Fact.model_validate(told | {"rule": rule, "inferred": tuple(inferred), "confidence": sure})


Law = Callable[[Case, Sequence[Fact]], list[Fact]]
"""From a case and the facts of its note so far to those that may stand: fewer, put right, or more."""
