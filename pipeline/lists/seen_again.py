"""Which line a condition is on that was looked at: one that was seen before at the same place, or a new one."""

import re
from collections.abc import Sequence

from pipeline.english import MONTHS
from pipeline.lists.controls_called import same_name
from pipeline.lists.logged import LoggedFact, alternatives, same_place
from pipeline.lists.mending import Tellings
from pipeline.lists.severity import size_mm
from pipeline.reading.fact import Place, Side
from pipeline.reading.positions import same_position
from pipeline.records import FindingLine, Move, Observation

_TIMES_OF_YEAR = (*MONTHS, "spring", "summer", "autumn", "winter", "year", "month", "week")
_EARLIER = re.compile(
    rf"\b(?:(?:in|last) ({alternatives(_TIMES_OF_YEAR)})|in ((?:19|20)\d\d)|(yesterday))\b", re.IGNORECASE
)


def take_in(lines: list[FindingLine], logged: LoggedFact, side: Side | None, called: str, told: Tellings) -> int:
    """Take in what was seen, and return which of the lines it is on."""
    fact = logged.fact
    seen = _observation(logged)
    index = _told_before(lines, logged, side, seen, called, told)
    if index is None:
        lines.append(
            FindingLine(
                on=seen.on,
                item=fact.item,
                side=side,
                place=fact.place,
                position=logged.position,
                called=called,
                finding=str(fact.finding),
                entry=logged.entry,
                photos=logged.photos,
                seen=(seen,),
            )
        )
        return len(lines) - 1
    line = lines[index]
    here = line.seen[-1].entry == seen.entry
    if here and line.seen[-1].earlier:
        seen = seen.model_copy(update={"earlier": ""})  # "15 mm in October, 18 now": one of the two is today's
    # an earlier reading that is told after today's is put before it
    at = len(line.seen) - 1 if seen.earlier and here else len(line.seen)
    lines[index] = line.model_copy(
        update={
            "side": line.side or side,
            "place": line.place or fact.place,
            "position": line.position or logged.position,
            "called": line.called or called,
            "seen": (*line.seen[:at], seen, *line.seen[at:]),
            "photos": tuple(dict.fromkeys((*line.photos, *logged.photos))),
        }
    )
    return index


def _observation(logged: LoggedFact) -> Observation:
    fact = logged.fact
    earlier = _EARLIER.search(_part_of_sentence(logged))
    return Observation(
        on=logged.at.date(),
        absent=bool(fact.absent),
        grade=fact.grade,
        measure=fact.measure,
        count=fact.count,
        of=fact.of,
        entry=logged.entry,
        earlier=next(filter(None, earlier.groups()), "") if earlier else "",
    )


def _part_of_sentence(logged: LoggedFact) -> str:
    """Return the words of a fact up to the next turn of its sentence: "15 mm in October" and not "18 now"."""
    if not logged.around:
        return logged.said
    start = max(0, logged.around.find(logged.said))
    return re.split(r"[,;]|\b(?:and|but|now)\b", logged.around[start:])[0]


def _told_before(
    lines: Sequence[FindingLine],
    logged: LoggedFact,
    side: Side | None,
    seen: Observation,
    called: str,
    told: Tellings,
) -> int | None:
    """Return the line of the same condition: told of the same part, on that side, at that place, by that name."""
    fact, position = logged.fact, logged.position
    if fact.item is None:
        return None
    known = [
        index
        for index, line in enumerate(lines)
        if (line.item, line.finding) == (fact.item, fact.finding)
        and (line.side == side or (None in (line.side, side) and "both" not in (line.side, side)))
        and same_place(line.place, fact.place)
        and same_position((line.side, line.position), (side, position))
        and same_name(line.called, called)
        and not _another_one(line, seen)
        and not told.is_another_one(line, logged)
    ]
    here = (side, fact.place, position, called)
    exact = [index for index in known if _told_as(lines[index]) == here]
    if not exact and len(known) > 1:
        return None  # nobody can say which of them was looked at again
    if len(exact or known) == 1:
        return (exact or known)[0]
    size = size_mm(seen.measure)
    return min(exact or known, key=lambda index: (_away(lines[index], size), -index), default=None)


def _told_as(line: FindingLine) -> tuple[Side | None, Sequence[Place] | None, str, str]:
    return line.side, line.place, line.position, line.called


def _away(line: FindingLine, size: float | None) -> float:
    last = next((found for one in reversed(line.seen) if (found := size_mm(one.measure)) is not None), None)
    return abs(last - size) if last is not None and size is not None else 0.0


def _another_one(line: FindingLine, seen: Observation) -> bool:
    """Tell whether two sizes that were told in one entry are two cracks, and not one that has grown."""
    for one in reversed(line.seen):
        if one.entry != seen.entry:
            return False  # what was told in one entry stands together, and this is told last
        if one.earlier or seen.earlier or one.absent != seen.absent:
            continue
        if one.measure and seen.measure and not set(_sizes(seen)) <= set(_sizes(one)):
            return True
    return False


def _sizes(seen: Observation) -> list[tuple[float, str]]:
    return [(one.value, one.unit) for one in seen.measure or ()]


def gone_with_the_old_one(lines: list[FindingLine], index: int, logged: LoggedFact, told: Tellings) -> None:
    """Say of what was seen on the old part that it went with that: "the old one was cracked"."""
    line = lines[index]
    if not line.done and line.finding != "sound" and told.is_of_the_old_one(logged):
        move = Move(on=logged.at.date(), what="replace", entry=logged.entry)
        lines[index] = line.model_copy(update={"done": (move,)})
