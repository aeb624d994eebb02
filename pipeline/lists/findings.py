"""Every condition that was looked at: how it was each time, what was done since, worst first in each zone."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from pipeline.lists.finding_lines import finding_line
from pipeline.lists.followed_up import (
    FASTENING,
    MENDING,
    all_in_again,
    done_since,
    drilled_out,
    follow_up,
    follow_up_by_condition,
)
from pipeline.lists.holding import Sides
from pipeline.lists.known_parts import ZONES
from pipeline.lists.logged import LoggedFact, at_their_engines, sides
from pipeline.lists.mending import Tellings, mends
from pipeline.lists.named_after import named_after
from pipeline.lists.seen_again import gone_with_the_old_one, take_in
from pipeline.lists.severity import size_mm
from pipeline.lists.swaps import are_new_fasteners
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FindingLine

_NO_VOCABULARY = Vocabulary()


def findings(facts: Iterable[LoggedFact], vocabulary: Vocabulary = _NO_VOCABULARY) -> tuple[FindingLine, ...]:
    """Return one line for each condition of a part at one side and place, by zone, then worst first by place.

    Args:
        facts: of all days, in any order.
        vocabulary: for the zone that a part is in.
    """
    by_part: dict[str | None, list[FindingLine]] = {}  # a condition is only ever compared with those of its own part
    ordered = at_their_engines(facts, vocabulary)
    told, at_sides = Tellings(ordered, vocabulary), Sides(ordered, vocabulary)
    for logged in map(at_sides.at_the_only_side, ordered):
        fact = logged.fact
        if fact.status == "seen" and fact.finding:
            lines = by_part.setdefault(fact.item, [])
            called = named_after(logged, vocabulary)
            for side in _sides(fact):
                index = take_in(lines, logged, side, called, told)
                gone_with_the_old_one(lines, index, logged, told)
        elif fact.act in MENDING | FASTENING.keys() and fact.item:
            renewed = fact.of if are_new_fasteners(logged, vocabulary) else ""
            for part, lines in by_part.items():
                if part in (fact.item, renewed) or (
                    part and mends(logged, part, told.entries[logged.entry], vocabulary)
                ):
                    follow_up(lines, logged, told, renewed=bool(renewed) and part == renewed)
            if (fact.status, fact.act) == ("done", "fit") and fact.of and fact.of != fact.item:
                all_in_again(by_part.get(fact.of, []), logged, told)
            follow_up_by_condition(by_part, logged, told)
        elif (fact.status, fact.act) == ("done", "drill-out") and fact.of:
            drilled_out(by_part.get(fact.of, []), logged, told)
    finished = [finding_line(line, lines, vocabulary) for lines in by_part.values() for line in lines]
    return tuple(sorted(finished, key=_order(finished)))


def where(line: FindingLine) -> str:
    """Return the first place of a line, by which the register groups: "frame 15", "" for none."""
    places = sorted(line.place or (), key=lambda place: (place.scheme != "frame", place.scheme, place.at))
    return f"{places[0].scheme} {places[0].at}" if places else ""


def is_open(line: FindingLine) -> bool:
    """Tell whether the line is of something that is not as it should be, as far as the book tells."""
    return not line.absent and line.severity > 0


def nobody_followed_up(line: FindingLine) -> bool:
    """Tell whether something is amiss and no work on that part has been told since, done or planned."""
    return is_open(line) and not done_since(line) and not line.planned


def _sides(fact: MarkedFact) -> tuple[Side | None, ...]:
    """Return the sides one by one, but "both" where a number or two sizes cannot be shared out."""
    return (fact.side,) if fact.count is not None or len(fact.measure or ()) > 1 else sides(fact.side)


def _order(lines: Sequence[FindingLine]) -> Callable[[FindingLine], tuple[Any, ...]]:
    """Return the key to sort by: zone, then place with its worst finding first, then worst first there."""
    worst: dict[tuple[str, str], int] = {}
    for line in lines:
        group = (line.zone, where(line))
        worst[group] = max(worst.get(group, 0), line.severity)

    def key(line: FindingLine) -> tuple[Any, ...]:
        zone = ZONES.index(line.zone) if line.zone in ZONES else len(ZONES)
        group = (line.zone, where(line))
        size = size_mm(line.measure) or 0.0
        return (zone, line.zone, -worst[group], where(line), -line.severity, -size, line.on, line.entry)

    return key
