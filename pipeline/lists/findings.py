"""Every condition that was looked at: how it was each time, what was done since, worst first in each zone."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from pipeline.lists.known_parts import ZONES
from pipeline.lists.logged import LoggedFact, in_order, position_of, same_place, same_side, sides
from pipeline.lists.mending import Tellings, answers, findings_named, mends
from pipeline.lists.named_after import named_after, same_name
from pipeline.lists.positions import several_told
from pipeline.lists.severity import severity, size_mm
from pipeline.lists.swaps import are_new_fasteners
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FindingLine, LineQuestion, Move, Observation

_MENDING = frozenset({"repair", "treat", "clean", "make", "strip-finish", "prime", "paint"})
# Putting a part back mends nothing by itself: only what another part, or a turn of the spanner, can mend.
_FASTENING = {
    "fit": frozenset({"missing", "loose", "broken", "play", "perished"}),
    "tighten": frozenset({"loose", "play", "leak"}),
    "lock": frozenset({"missing", "loose", "play"}),
}
_DRILLED_OUT = frozenset({"seized", "broken"})
_EARLIER = re.compile(
    r"\b(?:(?:in|last) (january|february|march|april|may|june|july|august|september|october|november|december|"
    r"spring|summer|autumn|winter|year|month|week)|in ((?:19|20)\d\d)|(yesterday))\b",
    re.IGNORECASE,
)
_CURED = re.compile(
    r"(?:\b(?:is|are|was|were|has|have)|['\u2019](?:s|ve)) (?:been |now )?(?:cured|stopped|fixed|sorted|put right)\b"
    r"|\b(?:cured|stopped|fixed|sorted) (?:the|that)\b",
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
    told = Tellings(ordered, vocabulary)
    for logged in ordered:
        fact = logged.fact
        if fact.status == "seen" and fact.finding:
            lines = by_part.setdefault(fact.item, [])
            called = named_after(logged, vocabulary)
            for side in _sides(fact):
                index = _take_in(lines, logged, side, called, told)
                _gone_with_the_old_one(lines, index, logged, told)
        elif fact.act in _MENDING | _FASTENING.keys() and fact.item:
            renewed = fact.of if are_new_fasteners(logged, vocabulary) else ""
            for part, lines in by_part.items():
                if part in (fact.item, renewed) or (
                    part and mends(logged, part, told.entries[logged.entry], vocabulary)
                ):
                    _follow_up(lines, logged, told, renewed=bool(renewed) and part == renewed)
            _follow_up_by_condition(by_part, logged, told)
        elif (fact.status, fact.act) == ("done", "drill-out") and fact.of:
            _drilled_out(by_part.get(fact.of, []), logged, told)
    finished = [_finished(line, lines, vocabulary) for lines in by_part.values() for line in lines]
    return tuple(sorted(finished, key=_order(finished)))


def where(line: FindingLine) -> str:
    """Return the first place of a line, by which the register groups: "frame 15", "" for none."""
    places = sorted(line.place or (), key=lambda place: (place.scheme != "frame", place.scheme, place.at))
    return f"{places[0].scheme} {places[0].at}" if places else ""


def is_open(line: FindingLine) -> bool:
    """Tell whether the line is of something that is not as it should be, as far as the book tells."""
    return not line.absent and line.severity > 0


def done_since(line: FindingLine) -> tuple[Move, ...]:
    """Return the work that was done since it was seen last: what is seen again after that is open again."""
    return tuple(move for move in line.done if move.on >= line.seen[-1].on)


def nobody_followed_up(line: FindingLine) -> bool:
    """Tell whether something is amiss and no work on that part has been told since, done or planned."""
    return is_open(line) and not done_since(line) and not line.planned


def _sides(fact: MarkedFact) -> tuple[Side | None, ...]:
    """Return the sides one by one, but "both" where a number or two sizes cannot be shared out."""
    return (fact.side,) if fact.count is not None or len(fact.measure or ()) > 1 else sides(fact.side)


def _take_in(lines: list[FindingLine], logged: LoggedFact, side: Side | None, called: str, told: Tellings) -> int:
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


def _gone_with_the_old_one(lines: list[FindingLine], index: int, logged: LoggedFact, told: Tellings) -> None:
    """Say of what was seen on the old part that it went with that: "the old one was cracked"."""
    line = lines[index]
    if not line.done and line.finding != "sound" and told.is_of_the_old_one(logged):
        move = Move(on=logged.at.date(), what="replace", entry=logged.entry)
        lines[index] = line.model_copy(update={"done": (move,)})


def _follow_up(lines: list[FindingLine], logged: LoggedFact, told: Tellings, *, renewed: bool = False) -> None:
    """Add work to the lines that it can be of; ``renewed`` is of fasteners that were changed for new ones."""
    fact = logged.fact
    replacing = renewed or told.is_replacing(logged)
    if fact.status not in ("done", "planned"):
        return
    meant, sure = _meant_by(lines, logged, told)
    named = findings_named(logged.sentence, told.vocabulary, of_parts=True)
    only = [index for index in meant if lines[index].finding in named and not done_since(lines[index])]
    for index in meant:
        line = lines[index]
        other = fact.item if fact.item != line.item and not renewed else None
        changed = replacing and other is None and line.finding != "missing"
        what = "replace" if changed else str(fact.act)
        move = Move(on=logged.at.date(), what=what, entry=logged.entry, item=other)
        if other is None and not (replacing or line.finding in _FASTENING.get(str(fact.act), (line.finding,))):
            continue
        its_own = told.is_at(line, logged) if renewed else only == [index] or told.is_surely_of(line, logged)
        lines[index] = _worked_on(line, fact, move, sure=bool(other) or (sure and its_own))


def _drilled_out(lines: list[FindingLine], logged: LoggedFact, told: Tellings) -> None:
    """Say of fasteners that would not come that they were drilled out, where they were told of at the same part."""
    meant = [
        index
        for index in _meant_by(lines, logged, told)[0]
        if lines[index].finding in _DRILLED_OUT and not lines[index].done
        if lines[index].seen[-1].entry == logged.entry or told.is_at(lines[index], logged)
    ]
    for index in meant:
        lines[index] = _worked_on(lines[index], logged.fact, logged.move, sure=len(meant) == 1)


def _follow_up_by_condition(
    by_part: Mapping[str | None, list[FindingLine]], logged: LoggedFact, told: Tellings
) -> None:
    """Add work on a part to the condition that its words name, found on what belongs to the part or told of at it.

    "The crack has been welded" is told of the engine mount, and the crack was found on one of its lugs. "The leak is
    cured, new seal in the union" is of the one leak that is open, whatever was fitted.
    """
    fact, words = logged.fact, logged.sentence
    named = findings_named(words, told.vocabulary)
    cured = fact.status == "done" and _CURED.search(words) is not None
    if not named or not (fact.act in _MENDING or cured) or fact.status not in ("done", "planned"):
        return
    if any(line.finding in named for line in by_part.get(fact.item, ())):
        return
    meant = [
        (lines, index)
        for part, lines in by_part.items()
        if part and any(line.finding in named and not done_since(line) for line in lines)
        for index in _meant_by(lines, logged, told)[0]
        if lines[index].finding in named and not done_since(lines[index])
        if cured or told.vocabulary.is_a(part, str(fact.item)) or told.is_at(lines[index], logged)
    ]
    if cured and len(meant) > 1:
        return
    move = Move(on=logged.at.date(), what=str(fact.act), entry=logged.entry, item=fact.item)
    for lines, index in meant:
        lines[index] = _worked_on(lines[index], fact, move, sure=len(meant) == 1)


def _worked_on(line: FindingLine, fact: MarkedFact, move: Move, *, sure: bool) -> FindingLine:
    """Return a line with work that was done or planned; where it is not sure that it was on this one, a question."""
    if fact.status == "planned":
        return line.model_copy(update={"planned": (*line.planned, move)})
    if not sure:
        asked = LineQuestion(kind="which-was-worked-on", days=(move.on,))
        return line.model_copy(update={"questions": (asked,)})
    kept = tuple(one for one in line.planned if (one.what, one.item) != (fact.act, move.item))
    return line.model_copy(update={"done": (*line.done, move), "planned": kept})


def _meant_by(lines: Sequence[FindingLine], logged: LoggedFact, told: Tellings) -> tuple[list[int], bool]:
    """Return which lines work can be of, and whether it is clear of which engine, or of which of several seals.

    Where it names a condition it is of no other, and where one line is at its place it is of none without a place.
    """
    fact = logged.fact
    named = findings_named(logged.sentence, told.vocabulary)
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
    last, both = line.seen[-1], _both_told(line)
    if both:
        last = both  # what may be there stays open
    asked = () if done_since(line) else line.questions
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
            "questions": (*asked, *_good_word_since(line, lines), *_questions(line, last, both)),
        }
    )


def _badness(line: FindingLine, seen: Observation) -> tuple[int, float, int]:
    return severity(line.finding, seen.grade), size_mm(seen.measure) or 0.0, seen.count or 0


def _both_told(line: FindingLine) -> Observation | None:
    """Return the condition where it was last told to be there and not there in one breath, and no work between."""
    last = line.seen[-1]
    here = [one for one in line.seen if one.entry == last.entry and not one.earlier]
    if len({one.absent for one in here}) < 2 or any(move.entry == last.entry for move in line.done):
        return None
    return next(one for one in here if not one.absent)


def _questions(line: FindingLine, last: Observation, both: Observation | None) -> tuple[LineQuestion, ...]:
    if both:
        return (LineQuestion(kind="there-and-not-there", days=(last.on,)),)
    if line.done and not last.absent and not done_since(line):
        return (LineQuestion(kind="seen-again-since", days=(line.done[-1].on, last.on)),)
    present = [one for one in line.seen if not one.absent]
    mended = present and any(move.on >= present[-1].on for move in line.done)
    if last.absent and present and line.finding == "crack" and not mended:
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
        zone = ZONES.index(line.zone) if line.zone in ZONES else len(ZONES)
        group = (line.zone, where(line))
        size = size_mm(line.measure) or 0.0
        return (zone, line.zone, -worst[group], where(line), -line.severity, -size, line.on, line.entry)

    return key
