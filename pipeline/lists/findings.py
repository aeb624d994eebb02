"""Every condition that was looked at: how it was each time, what was done since, worst first in each zone."""

import re
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from pipeline.lists.logged import LoggedFact, in_order, position_of, same_place, same_side, sides
from pipeline.lists.mending import answers, findings_named, is_surely_of, mends, names_part
from pipeline.lists.named_after import named_after, same_name
from pipeline.lists.positions import several_told
from pipeline.lists.severity import severity, size_mm
from pipeline.lists.swaps import are_new_fasteners, is_new_one, told_as_old, which_one
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FindingLine, LineQuestion, Move, Observation

_ZONES = ("nose", "front", "centre", "rear", "tail", "wing", "nacelle", "gear")  # along the aircraft, as people walk
_MENDING = frozenset({"repair", "treat", "clean", "make", "strip-finish", "prime", "paint"})
# Putting a part back mends nothing by itself: only what another part, or a turn of the spanner, can mend.
_FASTENING = {
    "fit": frozenset({"missing", "loose", "broken", "play", "perished"}),
    "tighten": frozenset({"loose", "play", "leak"}),
    "lock": frozenset({"missing", "loose", "play"}),
}
_EARLIER = re.compile(
    r"\b(?:(?:in|last) (january|february|march|april|may|june|july|august|september|october|november|december|"
    r"spring|summer|autumn|winter|year|month|week)|in ((?:19|20)\d\d)|(yesterday))\b",
    re.IGNORECASE,
)
_NO_VOCABULARY = Vocabulary()


def findings(facts: Iterable[LoggedFact], vocabulary: Vocabulary = _NO_VOCABULARY) -> tuple[FindingLine, ...]:
    """Return one line for each condition of a part at one side and place, by zone, then worst first by place.

    Args:
        facts: of all days, in any order.
        vocabulary: for the zone that a part is in.
    """
    by_part: dict[str | None, list[FindingLine]] = {}  # a condition is only ever compared with those of its own part
    ordered = [one.model_copy(update={"position": position_of(one, vocabulary)}) for one in in_order(facts)]
    told = _Told(ordered, vocabulary)
    for logged in ordered:
        fact = logged.fact
        if fact.status == "seen" and fact.finding:
            lines = by_part.setdefault(fact.item, [])
            called = named_after(logged, vocabulary)
            for side in _sides(fact):
                index = _take_in(lines, logged, side, called)
                _gone_with_the_old_one(lines, index, logged, told)
        elif fact.act in _MENDING | _FASTENING.keys() and fact.item:
            renewed = fact.of if are_new_fasteners(logged, vocabulary) else ""
            for part, lines in by_part.items():
                if part in (fact.item, renewed) or (
                    part and mends(logged, part, told.entries[logged.entry], vocabulary)
                ):
                    _follow_up(lines, logged, told, renewed=bool(renewed) and part == renewed)
    finished = [_finished(line, lines, vocabulary) for lines in by_part.values() for line in lines]
    return tuple(sorted(finished, key=_order(finished)))


class _Told:
    """All facts, to be asked: by entry, and in which a new part was fitted in place of the old one."""

    def __init__(self, facts: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.entries: dict[str, list[LoggedFact]] = {}
        for logged in facts:
            self.entries.setdefault(logged.entry, []).append(logged)
        self._as_old = told_as_old(facts, vocabulary)
        self._replaced = {(one.entry, one.fact.item) for one in facts if self.is_replacing(one)}

    def is_replacing(self, logged: LoggedFact) -> bool:
        fact = logged.fact
        if (fact.status, fact.act) != ("done", "fit"):
            return False
        return (logged.entry, fact.item) in self._as_old or is_new_one(logged, self.vocabulary)

    def is_of_the_old_one(self, logged: LoggedFact) -> bool:
        return (logged.entry, logged.fact.item) in self._replaced and which_one(logged, self.vocabulary) == "old"

    def seen(self, line: FindingLine) -> list[LoggedFact]:
        """Return the facts that a line was made from."""
        here = (one for seen in line.seen for one in self.entries[seen.entry])
        return [one for one in here if (one.fact.item, one.fact.finding) == (line.item, line.finding)]

    def is_at(self, line: FindingLine, logged: LoggedFact) -> bool:
        """Tell whether what was found on a fastener was told of one of the part that work was on."""
        return any(names_part(str(logged.fact.item), seen, self.vocabulary) for seen in self.seen(line))


def where(line: FindingLine) -> str:
    """Return the first place of a line, by which the register groups: "frame 15", "" for none."""
    places = sorted(line.place or (), key=lambda place: (place.scheme != "frame", place.scheme, place.at))
    return f"{places[0].scheme} {places[0].at}" if places else ""


def is_open(line: FindingLine) -> bool:
    """Tell whether the line is of something that is not as it should be, as far as the book tells."""
    return not line.absent and line.severity > 0


def nobody_followed_up(line: FindingLine) -> bool:
    """Tell whether something is amiss and no work on that part has been told, done or planned."""
    return is_open(line) and not line.done and not line.planned


def _sides(fact: MarkedFact) -> tuple[Side | None, ...]:
    """Return the sides one by one, but "both" where a number or two sizes cannot be shared out."""
    return (fact.side,) if fact.count is not None or len(fact.measure or ()) > 1 else sides(fact.side)


def _take_in(lines: list[FindingLine], logged: LoggedFact, side: Side | None, called: str) -> int:
    """Take in what was seen, and return which of the lines it is on."""
    fact = logged.fact
    seen = _observation(logged)
    index = _told_before(lines, logged, side, seen, called)
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
    lines: Sequence[FindingLine], logged: LoggedFact, side: Side | None, seen: Observation, called: str
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


def _gone_with_the_old_one(lines: list[FindingLine], index: int, logged: LoggedFact, told: _Told) -> None:
    """Say of what was seen on the old part that it went with that: "the old one was cracked"."""
    line = lines[index]
    if not line.done and line.finding != "sound" and told.is_of_the_old_one(logged):
        move = Move(on=logged.at.date(), what="replace", entry=logged.entry)
        lines[index] = line.model_copy(update={"done": (move,)})


def _follow_up(lines: list[FindingLine], logged: LoggedFact, told: _Told, *, renewed: bool = False) -> None:
    """Add work to the lines that it can be of; ``renewed`` is of fasteners that were changed for new ones."""
    fact = logged.fact
    replacing = renewed or told.is_replacing(logged)
    if fact.status not in ("done", "planned"):
        return
    meant, sure = _meant_by(lines, logged, told)
    for index in meant:
        line = lines[index]
        other = fact.item if fact.item != line.item and not renewed else None
        changed = replacing and other is None and line.finding != "missing"
        what = "replace" if changed else str(fact.act)
        move = Move(on=logged.at.date(), what=what, entry=logged.entry, item=other)
        if other is None and not (replacing or line.finding in _FASTENING.get(str(fact.act), (line.finding,))):
            continue
        its_own = told.is_at(line, logged) if renewed else is_surely_of(line, logged, told.seen, told.vocabulary)
        if fact.status == "done" and not (other or (sure and its_own)):
            asked = LineQuestion(kind="which-was-worked-on", days=(move.on,))
            lines[index] = line.model_copy(update={"questions": (asked,)})
        elif fact.status == "done":
            kept = tuple(one for one in line.planned if (one.what, one.item) != (fact.act, other))
            lines[index] = line.model_copy(update={"done": (*line.done, move), "planned": kept})
        else:
            lines[index] = line.model_copy(update={"planned": (*line.planned, move)})


def _meant_by(lines: Sequence[FindingLine], logged: LoggedFact, told: _Told) -> tuple[list[int], bool]:
    """Return which lines work can be of, and whether it is clear of which engine, or of which of several seals.

    Where it names a condition it is of no other, and where one line is at its place it is of none without a place.
    """
    fact = logged.fact
    named = findings_named(logged.around or logged.said, told.vocabulary)
    called = named_after(logged, told.vocabulary)
    may = [
        index
        for index, line in enumerate(lines)
        if same_side(line.side, fact.side)
        and same_place(line.place, fact.place)
        and same_position((line.side, line.position), (fact.side, logged.position))
        and (line.item != fact.item or same_name(line.called, called))
        and line.finding != "sound"
        and not all(one.absent for one in line.seen)
        and answers(fact, line)
        and (not named or line.finding in named)
    ]
    at_its_place = [index for index in may if fact.place and lines[index].place]
    sure = bool(logged.position) or not several_told(lines[index].position for index in may)
    sure = sure and (bool(called) or not several_told(lines[index].called for index in may))
    return at_its_place or may, sure


def _finished(line: FindingLine, lines: Sequence[FindingLine], vocabulary: Vocabulary) -> FindingLine:
    last = line.seen[-1]
    asked = () if line.done else line.questions
    present = [index for index, one in enumerate(line.seen) if not one.absent]
    worst = max(present, key=lambda index: _badness(line, line.seen[index]), default=None)
    # a grade or a size that was told before stands until another is told
    told = [one for one in line.seen if one.absent == last.absent]
    part = vocabulary.part(line.item or "")
    return line.model_copy(
        update={
            "absent": last.absent,
            "grade": next((one.grade for one in reversed(told) if one.grade), None),
            "measure": next((one.measure for one in reversed(told) if one.measure), None),
            "count": next((one.count for one in reversed(told) if one.count is not None), None),
            "of": next((one.of for one in reversed(told) if one.count is not None), None),
            "entry": last.entry,
            "zone": part.zone if part else "any",
            "severity": 0 if last.absent else max(severity(line.finding, line.seen[i].grade) for i in present),
            "worst": worst,
            "closed_on": last.on if last.absent and present else None,
            "questions": (*asked, *_good_word_since(line, lines), *_questions(line, last)),
        }
    )


def _badness(line: FindingLine, seen: Observation) -> tuple[int, float, int]:
    return severity(line.finding, seen.grade), size_mm(seen.measure) or 0.0, seen.count or 0


def _questions(line: FindingLine, last: Observation) -> tuple[LineQuestion, ...]:
    present = [one for one in line.seen if not one.absent]
    if last.absent and present and line.finding == "crack" and not line.done:
        return (LineQuestion(kind="gone-not-mended", days=(present[-1].on, last.on)),)
    return ()


def _good_word_since(line: FindingLine, lines: Sequence[FindingLine]) -> tuple[LineQuestion, ...]:
    """Ask about a condition of a part that was said to be good later on: nobody said whether it is still there."""
    if line.finding == "sound" or line.seen[-1].absent:
        return ()
    good = [
        one.on
        for other in lines
        if (other.item, other.finding) == (line.item, "sound") and line.item
        if same_side(other.side, line.side) and same_place(other.place, line.place)
        if same_position((other.side, other.position), (line.side, line.position))
        for one in other.seen
        if not one.absent and one.on > line.seen[-1].on
    ]
    return (LineQuestion(kind="said-good-since", days=(max(good),)),) if good else ()


def _order(lines: Sequence[FindingLine]) -> Callable[[FindingLine], tuple[Any, ...]]:
    """Return the key to sort by: zone, then place with its worst finding first, then worst first there."""
    worst: dict[tuple[str, str], int] = {}
    for line in lines:
        group = (line.zone, where(line))
        worst[group] = max(worst.get(group, 0), line.severity)

    def key(line: FindingLine) -> tuple[Any, ...]:
        zone = _ZONES.index(line.zone) if line.zone in _ZONES else len(_ZONES)
        group = (line.zone, where(line))
        size = size_mm(line.measure) or 0.0
        return (zone, line.zone, -worst[group], where(line), -line.severity, -size, line.on, line.entry)

    return key
