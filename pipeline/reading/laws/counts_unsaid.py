"""Numbers of which the noun or the sum was left unsaid: "seven are undone", "two a side", "twelve altogether"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import holds

_ON_FASTENERS = word_set("undo drill-out tighten lock held-by separate")
_SHARED_BY_SIDES = _ON_FASTENERS | word_set("support fit remove")
_PUT_AWAY = word_set("bag store tag clean photograph")
_AT = word_set("at on in round by along")
_OF_EACH_SIDE = word_set("a each per every either")
_ALTOGETHER = (("altogether",), ("in", "all"), ("all", "told"), ("in", "total"), ("total",), ("all", "in"))
_REACH = 40  # characters from a number to what is said of it
_BREAKDOWN = 4  # pieces between a sum and its parts: "four bolts, two a side"


def of_fasteners(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with what its number is of: "of the twelve bolts seven are undone" counts no joints."""
    found: list[Fact] = []
    for fact in facts:
        of = _counted(case, fact, found)
        why = (*fact.inferred, ("of", of))
        found.append(fact.model_copy(update={"of": of, "inferred": why}) if of else fact)
    return found


def _counted(case: Case, fact: Fact, earlier: Sequence[Fact]) -> str:
    """Return what a number is of that was read as one of the parts held, "" where it stands."""
    if fact.count is None or fact.of != fact.item or fact.item in case.lexicon.fasteners:
        return ""
    if fact.finding == "elongated-hole":
        return "hole"
    if fact.act not in _ON_FASTENERS:  # "two of them are oval, and those want bushing"
        oval = (e for e in earlier if (e.item, e.count, e.finding) == (fact.item, fact.count, "elongated-hole"))
        return next((e.of for e in oval if e.of), "")
    near = (case.since_sentence_before(fact)[0], case.sentence(fact)[1])
    named = [p for p in case.pieces if holds(near, p.start) and p.sense("counted") in case.lexicon.fasteners]
    nearest = min(named, key=lambda piece: abs(piece.start - fact.words[0]), default=None)
    return nearest.sense("counted") if nearest else ""


def more_of_them(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with its share of what was counted: "twelve at rib 3, and another three at rib 5"."""
    found: list[Fact] = []
    for fact in facts:
        same = [
            e for e in found if (e.act, e.item) == (fact.act, fact.item) and e.count and e.of not in (None, e.item)
        ]
        if fact.act in _ON_FASTENERS and same and same[-1].side in (fact.side, None):
            before = same[-1]
            elsewhere = fact.count == before.count and fact.place is not None and fact.place != before.place
            told = [number for number in _bare_numbers(case, fact) if number != before.count or not fact.place]
            if len(told) == 1 and (fact.count is None or elsewhere):
                why = (*fact.inferred, ("count", "of those told of before"))
                fact = fact.model_copy(update={"count": told[0], "of": before.of, "inferred": why})
        found.append(fact)
    return found


def _bare_numbers(case: Case, fact: Fact) -> Iterator[int]:
    """Yield the numbers without a noun that are told of a fact: by the place after it, or by what is said of them."""
    sentence = case.sentence(fact)
    for at, piece in enumerate(case.pieces[:-2]):
        number, following = _whole(case.pieces, at), case.pieces[at + 1]
        if not number:
            continue
        places = {place for p in case.pieces[at + 2 : at + 4] for place in p.places}
        placed = following.low in _AT and bool(places & set(fact.place or ()))
        said = next((p for p in case.pieces[at + 1 : at + 6] if p.kind in ("verb", "number", "mark")), following)
        subject = following.kind == "aux" and said.kind == "verb" and holds(sentence, piece.start)
        near = piece.start <= fact.words[1] and fact.words[0] <= min(said.end, piece.end + _REACH)
        if placed or (subject and near):
            yield number


def without_numbers_said_before(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of putting away without a number that only an earlier sentence told.

    "Four bolts undone. They're in bag 3": that is four times undone, and bagged.
    """
    found: list[Fact] = []
    for fact in facts:
        said = any(_whole(case.pieces, at) == fact.count for at in case.own(fact))
        if fact.act in _PUT_AWAY and any(e.count == fact.count for e in found) and not said:
            fact = fact.model_copy(update={"count": None, "of": None, "about": None})
        found.append(fact)
    return found


class _OnASide(NamedTuple):
    """So many of what on each side, the whole where that was told before, else 0, and where they stand."""

    number: int
    of: str
    whole: int
    start: int


def on_both_sides(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of both sides with the number of both: "four bolts a side", "four, two a side"."""
    told = list(_told_a_side(case.pieces))
    return [_of_both(case, fact, facts, told) for fact in facts]


def _of_both(case: Case, fact: Fact, facts: Sequence[Fact], told: Sequence[_OnASide]) -> Fact:
    own = [one for one in told if holds(case.sentence(fact), one.start)]
    if len(own) != 1 or fact.side != "both" or fact.act not in _SHARED_BY_SIDES:
        return fact
    number, of, whole, _start = own[0]
    both = 2 * number
    others = [f for f in facts if f is not fact and f.act in _SHARED_BY_SIDES and case.together(f, fact)]
    twice = whole == both and (fact.count, fact.of) == (2 * both, of)
    forgotten = fact.count is None and not others
    if not of or whole not in (0, both) or not (twice or forgotten or (fact.count, fact.of) == (number, of)):
        return fact
    why = (*fact.inferred, ("count", f"{number} a side"))
    return fact.model_copy(update={"count": both, "of": of, "inferred": why})


def _told_a_side(pieces: Sequence[Piece]) -> Iterator[_OnASide]:
    """Yield each "four bolts a side", "four bolts, two each side"."""
    for at, piece in enumerate(pieces):
        words = piece.low.split()
        if len(words) != 2 or words[1] != "side" or words[0] not in _OF_EACH_SIDE or not at:
            continue
        of = _noun(pieces[at - 1])
        step = at - 2 if of else at - 1
        number = _whole(pieces, step)
        before = [
            (_noun(pieces[first + 1]), _whole(pieces, first)) for first in range(max(0, step - _BREAKDOWN), step)
        ]
        sums = [(noun, whole) for noun, whole in before if whole and noun and of in ("", noun)]
        if number:
            noun, whole = sums[0] if sums else (of, 0)
            yield _OnASide(number, noun, whole, pieces[step].start)


def altogether(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with the sum where it has the number of a part: "six a side, twelve altogether"."""
    sums = list(_told_altogether(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        own = [number for number, at in sums if holds(case.sentence(fact), at)]
        part = fact.count and fact.act in _SHARED_BY_SIDES and fact.of not in (None, fact.item)
        if part and len(own) == 1 and own[0] > (fact.count or 0) and own[0] % (fact.count or 1) == 0:
            why = (*fact.inferred, ("count", f"{own[0]} altogether"))
            fact = fact.model_copy(update={"count": own[0], "inferred": why})
        found.append(fact)
    return found


def _told_altogether(pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield each sum ("twelve altogether", "eight all told"), and the character at which it stands."""
    for at, piece in enumerate(pieces):
        after = tuple(p.low for p in pieces[at + 1 : at + 3])
        if (number := _whole(pieces, at)) and any(after[: len(words)] == words for words in _ALTOGETHER):
            yield number, piece.start


def _whole(pieces: Sequence[Piece], at: int) -> int:
    """Return the whole number that a piece is, 0 where it is none."""
    number = pieces[at].number if 0 <= at < len(pieces) and pieces[at].kind == "number" else None
    return int(number) if number is not None and number.denominator == 1 else 0


def _noun(piece: Piece) -> str:
    return piece.sense("counted") or piece.sense("part")
