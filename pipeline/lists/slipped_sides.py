"""Sides that nobody said of a part: carried on from other words, they name none that came off without a side."""

import re
from collections.abc import Iterable

from pipeline.lists.logged import LoggedFact, alternatives, in_order, names_of
from pipeline.reading.fact import Side
from pipeline.reading.vocabulary import Vocabulary

_PARTING = frozenset({"disconnect", "open"})
_ON_AN_END = _PARTING | {"blank"}
_OFF = frozenset({"remove", "store", "tag", *_PARTING})


def without_slipped_sides(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[LoggedFact, ...]:
    """Return the facts in order; a side that was only carried on is left out where the part was told without one.

    "The propeller's off" in October is of one propeller. "Port magneto's on, prop's on" in November makes no port
    propeller of it: the side was said of the magneto. Once somebody has said a side of that part, carried ones count.

    Args:
        facts: of all days, in any order.
        vocabulary: for the words for sides.
    """
    ordered = in_order(facts)
    ever_bare = {one.fact.item for one in ordered if _came_off_bare(one)}
    bare: set[str | None] = set()
    said: set[str | None] = set()
    ends: set[tuple[str | None, Side]] = set()
    kept = []
    for logged in ordered:
        fact = logged.fact
        if _came_off_bare(logged):
            bare.add(fact.item)
        elif fact.side and fact.item in ever_bare - said:
            if _is_said(logged, vocabulary):
                said.add(fact.item)
            elif fact.act in _ON_AN_END:  # an open end is never taken for another one
                ends.add((fact.item, fact.side))
            elif fact.item in bare and (fact.item, fact.side) not in ends:
                logged = logged.model_copy(update={"fact": fact.model_copy(update={"side": None})})
        kept.append(logged)
    return tuple(kept)


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
