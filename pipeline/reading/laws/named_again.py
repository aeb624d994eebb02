"""A part named in full and then shortly: after "the hull hatch leaks", the hatch is that one and no other."""

from collections.abc import Sequence
from itertools import pairwise

from pipeline.reading.fact import Fact
from pipeline.reading.forms import singular
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import Piece

_SOON = 5  # sentences
_BAYS = {"wheel": "undercarriage"}  # bays that their doors are not named after


def of_the_same_name(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a short name is taken for the part that was named in full by it a few sentences before."""
    found: list[Fact] = []
    for fact in facts:
        short = _short_of(case, fact)
        full = _in_full_before(case, fact, short) if short is not None else ""
        found.append(_told_of(fact, full, "named in full before") if full and full != fact.item else fact)
    return found


def of_the_bay_before(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; the bay doors of what was told of a bomb bay are bomb doors."""
    found: list[Fact] = []
    for fact in facts:
        short = _short_of(case, fact)
        door = _door_of_bay(case, fact, short) if short is not None and short.low.startswith("bay ") else ""
        found.append(_told_of(fact, door, "of the bay named before") if door and door != fact.item else fact)
    return found


def _told_of(fact: Fact, item: str, why: str) -> Fact:
    """Return a fact as told of another part, with the reason, and no doubt which part a short name meant."""
    inferred = (*(pair for pair in fact.inferred if pair[0] != "item"), ("item", why))
    doubts = tuple(doubt for doubt in fact.doubts if " taken as " not in doubt)
    of = item if fact.of == fact.item else fact.of
    return fact.model_copy(update={"item": item, "of": of, "inferred": inferred, "doubts": doubts})


def _door_of_bay(case: Case, fact: Fact, short: Piece) -> str:
    """Return which of the doors that a short name may be is that of the bay last named in the two sentences."""
    since = case.since_sentence_before(fact)[0]
    before = [word for piece in case.pieces if since <= piece.start < short.start for word in piece.low.split()]
    bays = [which for which, bay in pairwise(before) if bay == "bay"]
    options = case.lexicon.shorts.get(short.sense("short"), ())
    return next((one for one in options if bays and one.split("-")[0] == _BAYS.get(bays[-1], bays[-1])), "")


def _short_of(case: Case, fact: Fact) -> Piece | None:
    """Return the one short name in the sentence of a fact that its part was taken from; None where it is named."""
    own = case.own_pieces(fact)
    if fact.item is None or any(piece.sense("part") == fact.item for piece in own):
        return None
    shorts = [piece for piece in own if fact.item in case.lexicon.shorts.get(piece.sense("short"), ())]
    return shorts[0] if len(shorts) == 1 else None


def _in_full_before(case: Case, fact: Fact, short: Piece) -> str:
    """Return the part last named by a longer name that ends in a short one; "" where the part taken was named too."""
    word = singular(short.low.split()[-1])
    before = [piece for piece in case.pieces if piece.start < short.start and piece.kind == "thing"]
    if any(piece.sense("part") == fact.item for piece in before):
        return ""
    longer = [p for p in before if p.sense("part") and _ends_in(p, word)]
    if not longer:
        return ""
    since = sum(longer[-1].end <= end <= short.start for end in case.rules.ends)
    return longer[-1].sense("part") if since < _SOON else ""


def _ends_in(piece: Piece, word: str) -> bool:
    words = piece.low.split()
    return len(words) > 1 and singular(words[-1]) == word
