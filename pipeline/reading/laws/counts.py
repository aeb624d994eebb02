"""Numbers: which of them are the sum of several, and which are told of each of two."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import holds

_EACH = ("each", "apiece")


def shared_out(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the number of all of them no more on each.

    "Two fuel lines and the oil line are off, and all three are blanked": where several parts have the same act in a
    sentence, and a number that is the sum of what was told of each before, each keeps its own.
    """
    found = list(facts)
    for fact in facts:
        if not fact.act or fact.count is None or fact.of != fact.item:
            continue
        same = (fact.act, fact.status)
        alike = [at for at, f in enumerate(found) if (f.act, f.status) == same and case.together(f, fact)]
        own = [_told_before(case, found, found[at]) for at in alike]
        told = [earlier for earlier in own if earlier is not None]
        if len(told) < 2 or len(told) < len(own) or sum(earlier.count or 1 for earlier in told) != fact.count:
            continue
        for at, earlier in zip(alike, told, strict=True):
            found[at] = found[at].model_copy(update={"count": earlier.count, "of": earlier.of})
    return found


def _told_before(case: Case, facts: Sequence[Fact], fact: Fact) -> Fact | None:
    """Return what was told of the same part by another act just before, None where its number is not known."""
    since, _end = case.since_sentence_before(fact)
    earlier = [
        other
        for other in facts
        if (other.item, other.side) == (fact.item, fact.side)
        and other.act not in (None, fact.act)
        and since <= other.words[0] < fact.words[0]
    ]
    last = earlier[-1] if earlier else None
    return last if last is None or last.of in (None, fact.item) else None


def added_up(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the sum of "thirty-six screws and forty screws" where they have one of the two."""
    found = list(facts)
    for first, second, of, start in _joined(case.pieces):
        sentence = case.rules.sentence(start)
        own = [at for at, f in enumerate(found) if f.act and f.of == of and case.sentence(f) == sentence]
        if len(own) == 1 and found[own[0]].count in (first, second):
            why = (*found[own[0]].inferred, ("count", f"{first} and {second}"))
            found[own[0]] = found[own[0]].model_copy(update={"count": first + second, "inferred": why})
    return found


def _joined(pieces: Sequence[Piece]) -> Iterator[tuple[int, int, str, int]]:
    """Yield two numbers of the same fasteners that stand side by side, of what they are, and where they begin."""
    for at in range(len(pieces) - 4):
        number, noun, joint, other, again = pieces[at : at + 5]
        of = noun.sense("counted")
        plain = of and of == again.sense("counted") and noun.kind == again.kind == "thing" and joint.low == "and"
        if plain and number.kind == other.kind == "number" and number.number and other.number:
            yield int(number.number), int(other.number), of, number.start


class _Each(NamedTuple):
    """A number of fasteners on each of two, that begins at a character of the text."""

    number: int
    of: str
    start: int


def of_both(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of both sides with the number of both: "both elevators are off, four bolts each"."""
    each = list(_told_of_each(case.pieces))
    return [_doubled(case, fact, each) for fact in facts]


def _told_of_each(pieces: Sequence[Piece]) -> Iterator[_Each]:
    """Yield each "four bolts each", "four hinge bolts apiece"."""
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
            yield _Each(int(number), of, pieces[step].start)


def _doubled(case: Case, fact: Fact, each: Sequence[_Each]) -> Fact:
    if fact.side != "both" or fact.count is None:
        return fact
    sentence = case.sentence(fact)
    told = [one for one in each if one[:2] == (fact.count, fact.of) and holds(sentence, one.start)]
    pairs = pairwise(case.own_pieces(fact))
    several = any(number.kind == "number" and noun.sense("part") == fact.item for number, noun in pairs)
    if len(told) != 1 or several:
        return fact
    why = (*fact.inferred, ("count", f"{fact.count} on each of both"))
    return fact.model_copy(update={"count": 2 * fact.count, "inferred": why})
