"""Numbers: which of them are the sum of several, which are told of each of two, and what is done to one of them."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import holds

ON_FASTENERS = word_set("undo drill-out tighten lock held-by separate")
SHARED_BY_SIDES = ON_FASTENERS | word_set("support fit remove")  # acts whose number is that of both sides
_EACH = word_set("each apiece")
_BEFORE_THE_ONE = word_set("up off out in on down only just")
_OF_EACH_SIDE = word_set("a each per every either")
_AT_EACH = word_set("under in on at to through")
_WHOLE_ONES = word_set("one side wing")  # after "each", what there are two of
_ENDING = ("mark", "word", "verb", "aux", "side")  # kinds of what may follow a number that stands alone
_MOST = 30  # parts that may have so many each
_BREAKDOWN = 4  # pieces between a sum and its parts: "four bolts, two a side"


def shared_out(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the number of all of them no more on each.

    "Two fuel lines and the oil line are off, and all three are blanked": where several parts have the same act in a
    sentence, and a number that is the sum of what was told of each before, each keeps its own.
    """
    found = list(facts)
    for fact in facts:
        number = fact.count if fact.of == fact.item else _all_of_them(case, fact)
        if not fact.act or number is None:
            continue
        same = (fact.act, fact.status)
        alike = [at for at, f in enumerate(found) if (f.act, f.status) == same and case.together(f, fact)]
        own = [_told_before(case, found, found[at]) for at in alike]
        told = [earlier for earlier in own if earlier is not None]
        if len(told) < 2 or len(told) < len(own) or sum(earlier.count or 1 for earlier in told) != number:
            continue
        for at, earlier in zip(alike, told, strict=True):
            found[at] = found[at].model_copy(update={"count": earlier.count, "of": earlier.of})
    return found


def _all_of_them(case: Case, fact: Fact) -> int | None:
    """Return the number of "all three are blanked" where a fact has none, None where none is said."""
    own = case.own_pieces(fact) if fact.count is None else []
    return next((piece.whole for every, piece in pairwise(own) if every.low == "all" and piece.whole), None)


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


def of_the_one(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, what was done to "the one" told of one: "two lines are off, blanked the one"."""
    found: list[Fact] = []
    for fact in facts:
        several = [f for f in found if f.item == fact.item and f.act != fact.act and (f.count or 0) > 1]
        if fact.act and several and fact.count != 1 and _done_to_the_one(case, fact):
            told = {"count": 1, "of": several[-1].of, "about": None}
            fact = fact.model_copy(update=told | {"inferred": (*fact.inferred, ("count", "the one of them"))})
        found.append(fact)
    return found


def _done_to_the_one(case: Case, fact: Fact) -> bool:
    """Tell whether the verb that tells a fact has "the one" for its object, with no noun after it."""
    pieces = case.pieces
    for at, piece in enumerate(pieces[:-2]):
        if not piece.verb or not holds(fact.words, piece.start):
            continue
        step = at + 1
        while step < len(pieces) - 2 and pieces[step].low in _BEFORE_THE_ONE:
            step += 1
        follows = pieces[step + 2] if step + 2 < len(pieces) else None
        if [p.low for p in pieces[step : step + 2]] == ["the", "one"] and (
            follows is None or follows.kind not in ("thing", "side", "number")
        ):
            return True
    return False


class _OfEach(NamedTuple):
    """So many of what on each of two, the whole where that was told before, else 0, and where they stand."""

    number: int
    of: str
    whole: int
    start: int


def of_both(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of both sides with the number of both: "four bolts each", "four bolts, two a side"."""
    told = [*_told_of_each(case.pieces), *_told_a_side(case.pieces), *_told_at_each(case.pieces)]
    return [_of_both(case, fact, facts, told) for fact in facts]


def _of_both(case: Case, fact: Fact, facts: Sequence[Fact], told: Sequence[_OfEach]) -> Fact:
    own = [one for one in told if holds(case.sentence(fact), one.start) or _told_next(case, fact, one)]
    of_two = (fact.side == "both" and not _numbered(case, fact)) or _bagged_of_both(case, fact, facts)
    if len(own) != 1 or not of_two:
        return fact
    number, of, whole, _start = own[0]
    both = 2 * number
    others = [f for f in facts if f is not fact and f.act in SHARED_BY_SIDES and case.together(f, fact)]
    twice = whole == both and (fact.count, fact.of) == (2 * both, of)
    forgotten = fact.count is None and fact.act in SHARED_BY_SIDES and not others
    if not of or whole not in (0, both) or not (twice or forgotten or (fact.count, fact.of) == (number, of)):
        return fact
    why = (*fact.inferred, ("count", f"{number} on each of both"))
    return fact.model_copy(update={"count": both, "of": of, "inferred": why})


def _bagged_of_both(case: Case, fact: Fact, facts: Sequence[Fact]) -> bool:
    """Tell whether what was bagged is of both sides: "both flaps are off, six bolts each, in bag 3"."""
    return fact.act == "bag" and any(f.side == "both" and f.act != "bag" and case.together(f, fact) for f in facts)


def _told_next(case: Case, fact: Fact, one: _OfEach) -> bool:
    """Tell whether the next sentence only says how many there were of each: "Both are off. Three bolts each."."""
    _start, end = case.sentence(fact)
    following = case.rules.sentence(end)
    inside = [piece for piece in case.pieces if holds(following, piece.start)]
    return holds(following, one.start) and not any(piece.kind in ("verb", "aux") for piece in inside)


def _numbered(case: Case, fact: Fact) -> bool:
    """Tell whether the sentence of a fact counts its part: of how many parts a number is told is not known then."""
    pairs = pairwise(case.own_pieces(fact))
    return any(number.kind == "number" and noun.sense("part") == fact.item for number, noun in pairs)


def _told_of_each(pieces: Sequence[Piece]) -> Iterator[_OfEach]:
    """Yield each "four bolts each", "four hinge bolts apiece"."""
    for at, piece in enumerate(pieces):
        if piece.low not in _EACH or at < 2:
            continue
        after = pieces[at + 1].low if at + 1 < len(pieces) else ""
        of = pieces[at - 1].sense("counted")
        step = at - 2
        while step > 0 and (pieces[step].tag == "JJ" or pieces[step].kind == "thing"):
            step -= 1
        number = pieces[step].whole
        if of and number and after not in ("side", "end", "of"):
            yield _OfEach(number, of, 0, pieces[step].start)


def _told_at_each(pieces: Sequence[Piece]) -> Iterator[_OfEach]:
    """Yield each "two trestles under each wing", "six screws in each"; not "two pins in each hinge"."""
    for at in range(2, len(pieces) - 1):
        number, noun, where, each = pieces[at - 2 : at + 2]
        after = pieces[at + 2] if at + 2 < len(pieces) else None
        whole = after is None or after.kind == "mark" or after.low in _WHOLE_ONES
        if number.whole and noun_of(noun) and where.low in _AT_EACH and each.low == "each" and whole:
            yield _OfEach(number.whole, noun_of(noun), 0, number.start)


def _told_a_side(pieces: Sequence[Piece]) -> Iterator[_OfEach]:
    """Yield each "four bolts a side", "four bolts, two each side"."""
    for at, piece in enumerate(pieces):
        words = piece.low.split()
        if len(words) != 2 or words[1] != "side" or words[0] not in _OF_EACH_SIDE or not at:
            continue
        of = noun_of(pieces[at - 1])
        step = at - 2 if of else at - 1
        number = pieces[step].whole if step >= 0 else None
        before = [
            (noun_of(pieces[first + 1]), pieces[first].whole) for first in range(max(0, step - _BREAKDOWN), step)
        ]
        sums = [(noun, whole) for noun, whole in before if whole and noun and of in ("", noun)]
        if number:
            noun, whole = sums[0] if sums else (of, 0)
            yield _OfEach(number, noun, whole, pieces[step].start)


def summed_up(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those told of each of several with the sum that is said: "12 nuts each, all 24 in tin 6"."""
    found: list[Fact] = []
    for fact in facts:
        own = case.own(fact)
        each = [at for at in own if case.pieces[at].whole == fact.count and _is_each(case.pieces, at)]
        sums = [at for at in own if each and at > each[0] and _is_sum(case.pieces, at, fact)]
        if fact.act in SHARED_BY_SIDES and fact.of in case.lexicon.fasteners and len(sums) == 1:
            number = case.pieces[sums[0]].whole
            why = (*fact.inferred, ("count", f"{number} altogether"))
            fact = fact.model_copy(update={"count": number, "inferred": why})
        found.append(fact)
    return found


def _is_each(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a number is told of each of several: "twelve nuts each", "eight screws in each"."""
    return any(piece.low in _EACH for piece in pieces[at + 1 : at + 4])


def _is_sum(pieces: Sequence[Piece], at: int, fact: Fact) -> bool:
    """Tell whether the number at a piece is a fact's number times several, of the same or without a noun."""
    whole, number = pieces[at].whole, fact.count or 0
    if not whole or not number or whole == number or whole % number or whole > _MOST * number:
        return False
    noun = noun_of(pieces[at + 1]) if at + 1 < len(pieces) else ""
    return pieces[at].kind == "number" and noun in ("", fact.of)


def noun_of(piece: Piece) -> str:
    """Return what a number before a piece would count, "" where it is nothing that is counted."""
    return piece.sense("counted") or piece.sense("part")


def has_no_noun(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a number at a piece stands alone: "another three to go in"."""
    after = pieces[at + 1] if at + 1 < len(pieces) else None
    return after is None or (after.kind in _ENDING and not after.tag.startswith(("JJ", "NN", "CD")))


def number_of(piece: Piece) -> int | None:
    """Return the whole number that a piece says, also as "one", None where it says none."""
    return 1 if piece.low == "one" else piece.whole
