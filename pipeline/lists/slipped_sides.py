"""Sides that nobody said of a part: carried on from other words, they name none that came off without a side."""

import re
from collections.abc import Container, Iterable, Sequence

from pipeline.lists.logged import OTHER_SIDE, LoggedFact, alternatives, in_order, names_of, sides
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.vocabulary import Vocabulary

_PARTING = frozenset({"disconnect", "open"})
_ON_AN_END = _PARTING | {"blank"}
_OFF = frozenset({"remove", "store", "tag", *_PARTING})


def without_slipped_sides(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[LoggedFact, ...]:
    """Return the facts in order; a side that was only carried on is left out where the part was told without one.

    "The propeller's off" in October is of one propeller. "Port magneto's on, prop's on" in November makes no port
    propeller of it: the side was said of the magneto. Once somebody has said a side of that part, carried ones count.
    Nor are three that came off together ("top and both sides") of both sides, in the entry that tells of them. And
    what is still to be fitted is not of a side on which none came off, where nobody says so and one came off on the
    other.

    Args:
        facts: of all days, in any order.
        vocabulary: for the words for sides.
    """
    ordered = _without_pairs_of_three(in_order(facts))
    ever_bare = {one.fact.item for one in ordered if _came_off_bare(one)}
    bare: set[str | None] = set()
    said: set[str | None] = set()
    ends: set[tuple[str | None, Side]] = set()
    off: set[tuple[str | None, Side]] = set()
    kept = []
    for logged in ordered:
        fact = logged.fact
        if (fact.status, fact.act) == ("done", "remove"):
            off |= {(fact.item, side) for side in sides(fact.side) if side}
        if _is_to_be_fitted(fact) and _is_of_the_other(fact, off) and not _is_said(logged, vocabulary):
            logged = logged.told_as(side=None)
        elif _came_off_bare(logged):
            bare.add(fact.item)
        elif fact.side and fact.item in ever_bare - said:
            if _is_said(logged, vocabulary):
                said.add(fact.item)
            elif fact.act in _ON_AN_END:  # an open end is never taken for another one
                ends.add((fact.item, fact.side))
            elif fact.item in bare and (fact.item, fact.side) not in ends:
                logged = logged.told_as(side=None)
        kept.append(logged)
    return tuple(kept)


def _without_pairs_of_three(facts: Sequence[LoggedFact]) -> Sequence[LoggedFact]:
    """Return the facts; where an odd number of one part came off, "both" tells no side of them and what held them."""
    of_three = {(one.entry, one.fact.item) for one in facts if _are_no_pair(one.fact)}
    held = {(one.entry, one.around) for one in facts if (one.entry, one.fact.item) in of_three and one.around}

    def is_of_them(one: LoggedFact) -> bool:
        return (one.entry, one.fact.item) in of_three or (one.fact.act == "bag" and (one.entry, one.around) in held)

    return [one.told_as(side=None) if one.fact.side == "both" and is_of_them(one) else one for one in facts]


def _are_no_pair(fact: MarkedFact) -> bool:
    together = (fact.status, fact.act, fact.side) == ("done", "remove", "both") and fact.of == fact.item
    return together and fact.count is not None and fact.count > 1 and fact.count % 2 == 1


def _is_to_be_fitted(fact: MarkedFact) -> bool:
    return fact.act == "fit" and fact.status in ("planned", "not-done")


def _is_of_the_other(fact: MarkedFact, off: Container[tuple[str | None, Side]]) -> bool:
    """Tell whether a part came off on the other side than a fact tells, and not on that one."""
    other = OTHER_SIDE.get(fact.side)
    return other is not None and (fact.item, other) in off and (fact.item, fact.side) not in off


def _came_off_bare(logged: LoggedFact) -> bool:
    """Tell whether a part was told to be off or parted, and nobody said of which side."""
    fact = logged.fact
    return bool(fact.item) and fact.side is None and fact.status == "done" and fact.act in _OFF


def _is_said(logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether the side was said of this part: in the fact's own words, or beside its name in the sentence."""
    carried = {key for key, _ in getattr(logged.fact, "inferred", ())}
    words = alternatives(
        word for one in vocabulary.sides if one.notation in (logged.fact.side, "both") for word in one.words
    )
    names = names_of(str(logged.fact.item), vocabulary)
    if re.search(rf"\b(?:{words})\b", logged.said, re.IGNORECASE):
        return True
    if "side" in carried:
        return False
    if re.search(rf"\b(?:{names})", logged.said, re.IGNORECASE) and "item" not in carried:
        return True
    before = rf"\b(?:{words})(?: (?!and\b|or\b)[\w-]+)? (?:{names})"
    after = rf"\b(?:{names})\b[^.,;]{{0,20}} (?:on|to|at) (?:the )?(?:{words})\b"
    return re.search(f"{before}|{after}", logged.around, re.IGNORECASE) is not None
