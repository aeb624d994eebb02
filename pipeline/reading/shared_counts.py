"""A number that is the sum of several: "two fuel lines and the oil line are off, and all three are blanked"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.pieces import Piece
from pipeline.reading.reader import ReadByRule


def added_up(one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the sum of "thirty-six screws and forty screws" where they have one of the two."""
    found = list(facts)
    for first, second, of, start in _joined(one.pieces):
        sentence = one.sentence(start)
        own = [
            at
            for at, fact in enumerate(found)
            if fact.act and fact.of == of and one.sentence(fact.words[0]) == sentence
        ]
        if own and all(found[at].count in (first, second) for at in own) and len(own) == 1:
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


def shared_out(one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note, with the number of all of them no more on each.

    Args:
        one: what the rules read.
        facts: those read; where several parts have the same act in a sentence, and a number that is the sum of what
            was told of each before, each keeps its own.
    """
    found = list(facts)
    for fact in facts:
        if not fact.act or fact.count is None or fact.of != fact.item:
            continue
        sentence = one.sentence(fact.words[0])
        together = [
            at
            for at, other in enumerate(found)
            if (other.act, other.status) == (fact.act, fact.status) and one.sentence(other.words[0]) == sentence
        ]
        own = [_told_before(one, found, found[at]) for at in together]
        told = [earlier for earlier in own if earlier is not None]
        if len(told) < 2 or len(told) < len(own) or sum(earlier.count or 1 for earlier in told) != fact.count:
            continue
        for at, earlier in zip(together, told, strict=True):
            found[at] = found[at].model_copy(update={"count": earlier.count, "of": earlier.of})
    return found


def _told_before(one: ReadByRule, facts: Sequence[Fact], fact: Fact) -> Fact | None:
    """Return what was told of the same part by another act just before, None where its number is not known."""
    start, _end = one.sentence(fact.words[0])
    since, _start = one.sentence(max(0, start - 1))
    earlier = [
        other
        for other in facts
        if (other.item, other.side) == (fact.item, fact.side)
        and other.act not in (None, fact.act)
        and since <= other.words[0] < fact.words[0]
    ]
    last = earlier[-1] if earlier else None
    return last if last is None or last.of in (None, fact.item) else None
