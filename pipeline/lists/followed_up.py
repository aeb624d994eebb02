"""What was done about a condition, or is planned: on which lines some work follows up what was found."""

import re
from collections.abc import Mapping, Sequence

from pipeline.lists.controls_called import same_name
from pipeline.lists.logged import LoggedFact, same_place, same_side
from pipeline.lists.mending import Tellings, answers, findings_named
from pipeline.lists.named_after import named_after, which_of_several
from pipeline.lists.positions import several_told
from pipeline.reading.fact import MarkedFact
from pipeline.reading.positions import same_position
from pipeline.records import FindingLine, LineQuestion, Move

MENDING = frozenset({"repair", "treat", "clean", "make", "strip-finish", "prime", "paint"})
"""Acts that can mend what was found on their part."""
# Putting a part back mends nothing by itself: only what another part, or a turn of the spanner, can mend.
FASTENING = {
    "fit": frozenset({"missing", "loose", "broken", "play", "perished"}),
    "tighten": frozenset({"loose", "play", "leak"}),
    "lock": frozenset({"missing", "loose", "play"}),
}
"""By act, the conditions that putting on or making fast can mend."""
_ONLY_BY_ANOTHER = frozenset({"broken", "play", "perished", "wear", "elongated-hole"})
_DRILLED_OUT = frozenset({"seized", "broken"})
_CURED = re.compile(
    r"(?:\b(?:is|are|was|were|has|have)|['\u2019](?:s|ve)) (?:been |now )?(?:cured|stopped|fixed|sorted|put right)\b"
    r"|\b(?:cured|stopped|fixed|sorted) (?:the|that)\b",
    re.IGNORECASE,
)


def done_since(line: FindingLine) -> tuple[Move, ...]:
    """Return the work that was done since it was seen last: what is seen again after that is open again."""
    return tuple(move for move in line.done if move.on >= line.seen[-1].on)


def follow_up(lines: list[FindingLine], logged: LoggedFact, told: Tellings, *, renewed: bool) -> None:
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
        if other is None and not (replacing or line.finding in FASTENING.get(str(fact.act), (line.finding,))):
            continue
        if fact.act == "fit" and not replacing and line.finding in _ONLY_BY_ANOTHER and told.is_put_back(logged):
            asked = LineQuestion(kind="put-back-not-mended", days=(move.on,))
            lines[index] = line if done_since(line) else line.model_copy(update={"questions": (asked,)})
            continue
        its_own = told.is_at(line, logged) if renewed else only == [index] or told.is_surely_of(line, logged)
        lines[index] = _worked_on(line, fact, move, sure=bool(other) or (sure and its_own))


def drilled_out(lines: list[FindingLine], logged: LoggedFact, told: Tellings) -> None:
    """Say of fasteners that would not come that they were drilled out, where they were told of at the same part.

    So it is where words speak of them as known: "drilled off the seized nut".
    """
    named = findings_named(logged.sentence, told.vocabulary, of_parts=True)
    meant = [
        index
        for index in _meant_by(lines, logged, told)[0]
        if lines[index].finding in _DRILLED_OUT and not lines[index].done
        if lines[index].finding in named
        or lines[index].seen[-1].entry == logged.entry
        or told.is_at(lines[index], logged)
    ]
    for index in meant:
        lines[index] = _worked_on(lines[index], logged.fact, logged.move, sure=len(meant) == 1)


def all_in_again(lines: list[FindingLine], logged: LoggedFact, told: Tellings) -> None:
    """Say of fasteners that were missing that they are in, where a part was fitted with as many as it came off with.

    ("One of the tailplane bolts rolled down the drain." Later: "Tailplane's on, four bolts.")
    """
    meant = [
        index
        for index in _meant_by(lines, logged, told)[0]
        if lines[index].finding == "missing" and not done_since(lines[index])
        if told.were_undone_with(lines[index], logged)
    ]
    for index in meant:
        lines[index] = _worked_on(lines[index], logged.fact, logged.move, sure=len(meant) == 1)


def follow_up_by_condition(
    by_part: Mapping[str | None, list[FindingLine]], logged: LoggedFact, told: Tellings
) -> None:
    """Add work on a part to the condition that its words name, found on what belongs to the part or told of at it.

    "The crack has been welded" is told of the engine mount, and the crack was found on one of its lugs. "The leak is
    cured, new seal in the union" is of the one leak that is open, whatever was fitted.
    """
    fact, words = logged.fact, logged.sentence
    named = findings_named(words, told.vocabulary)
    cured = fact.status == "done" and _CURED.search(words) is not None
    if not named or not (fact.act in MENDING or cured) or fact.status not in ("done", "planned"):
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
    words = logged.sentence
    may = [
        index
        for index, line in enumerate(lines)
        if same_side(line.side, fact.side)
        and same_place(line.place, fact.place)
        and same_position((line.side, line.position), (fact.side, logged.position))
        and same_name(
            line.called,
            called if line.item == fact.item else which_of_several(str(line.item), words, told.vocabulary),
        )
        and line.finding != "sound"
        and not all(one.absent for one in line.seen)
        and answers(fact, line)
        and (not named or line.finding in named)
    ]
    at_its_place = [index for index in may if fact.place and lines[index].place]
    sure = bool(logged.position) or not several_told(lines[index].position for index in may)
    others = {lines[index].item for index in may} != {fact.item}
    sure = sure and (bool(called) or others or not several_told(lines[index].called for index in may))
    return at_its_place or may, sure
