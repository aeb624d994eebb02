"""What was tightened or locked, and then said not to be: "nipped up by hand, not torqued"."""

from collections.abc import Iterable

from pipeline.lists.logged import LoggedFact, in_order, position_of, same_place, same_side
from pipeline.lists.part_lives import MAKING_FAST
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary


def without_not_fast(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[LoggedFact, ...]:
    """Return the facts without the tightening and locking that the same entry, or a later one, says is not done.

    What is only nipped up counts in no list as tight: to take it for tight is the worse mistake. It is of that part
    only where nothing speaks against it, and another entry names the same side and place; of two numbers that differ
    ("four are torqued, two aren't") each is of its own.

    Args:
        facts: of all days, in any order.
        vocabulary: tells which of several engines a fact is of.
    """
    ordered = in_order(facts)
    denied: dict[tuple[str | None, str | None], list[LoggedFact]] = {}
    kept: list[LoggedFact] = []
    for logged in reversed(ordered):
        fact = logged.fact
        key = (fact.act, fact.item)
        if fact.act in MAKING_FAST and fact.status == "not-done":
            denied.setdefault(key, []).append(logged)
        not_so = any(_is_of(one, logged, vocabulary) for one in denied.get(key, ()))
        if fact.status != "done" or not not_so:
            kept.append(logged)
    return tuple(reversed(kept))


def _is_of(denied: LoggedFact, told: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether what was said not to be fast is what was made fast."""
    one, other = denied.fact, told.fact
    if one.item is None or len({one.count, other.count, None}) > 2:
        return False
    here, there = ((each.fact.side, position_of(each, vocabulary)) for each in (denied, told))
    if not same_position(here, there):
        return False
    if denied.entry != told.entry:
        return (one.side, one.place) == (other.side, other.place)
    return same_side(one.side, other.side) and same_place(one.place, other.place)
