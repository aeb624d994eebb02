"""A number that is told of each of two: "both elevators are off, four bolts each" is eight bolts."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pipeline.reading.fact import Fact
from pipeline.reading.pieces import Piece
from pipeline.reading.reader import ReadByRule

_EACH = ("each", "apiece")


def of_both(one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note, those of both sides with the number of both where it was told of each."""
    each = list(_told_of_each(one.pieces))
    return [_doubled(one, fact, each) for fact in facts]


def _told_of_each(pieces: Sequence[Piece]) -> Iterator[tuple[int, str, int]]:
    """Yield each "four bolts each", "four hinge bolts apiece": the number, of what, the first character."""
    for at, piece in enumerate(pieces):
        if piece.low not in _EACH or at < 2:
            continue
        after = pieces[at + 1].low if at + 1 < len(pieces) else ""
        of = pieces[at - 1].sense("counted")
        step = at - 2
        while step > 0 and (pieces[step].tag == "JJ" or pieces[step].kind == "thing"):
            step -= 1
        number = pieces[step].number
        if of and number is not None and number.denominator == 1 and after not in ("side", "end", "of"):
            yield int(number), of, pieces[step].start


def _doubled(one: ReadByRule, fact: Fact, each: Sequence[tuple[int, str, int]]) -> Fact:
    if fact.side != "both" or fact.count is None:
        return fact
    start, end = one.sentence(fact.words[0])
    told = [number for number, of, at in each if of == fact.of and number == fact.count and start <= at < end]
    pairs = pairwise(piece for piece in one.pieces if start <= piece.start < end)
    several = any(number.kind == "number" and noun.sense("part") == fact.item for number, noun in pairs)
    if len(told) != 1 or several:
        return fact
    why = (*fact.inferred, ("count", f"{told[0]} on each of both"))
    return fact.model_copy(update={"count": 2 * told[0], "inferred": why})
