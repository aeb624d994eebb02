"""The steps of putting together again: one for each thing that was taken off, undone, disconnected or opened."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Literal

from pipeline.lists.controls_called import controls_called, may_cross
from pipeline.lists.logged import LoggedFact, in_order, position_of, same_place, same_side, sides
from pipeline.lists.parted_at import is_another_end, parted_at
from pipeline.lists.usual_joints import holds
from pipeline.reading.fact import Place, Side, Stowage
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import DisconnectionLine, Held, PartEvent, PartOff, SupportLine
from pipeline.trade.entries import Joint

StepAct = Literal["fit", "secure", "release", "connect", "refill", "close"]
Question = Literal[
    "undoing-not-told", "parting-not-told", "locking-not-told", "tightening-not-told", "which-connected"
]
BACK: dict[str, StepAct] = {
    "remove": "fit",
    "undo": "secure",
    "drill-out": "secure",
    "separate": "secure",
    "support": "release",
    "disconnect": "connect",
    "drain": "refill",
    "open": "close",
}
"""What puts right each act of taking apart. Source: common practice, no source."""


@dataclass(frozen=True, eq=False)  # known by identity: there are many edges between steps
class Step:
    """One step. ``at`` and ``turn`` tell when it was undone: the instant, and which fact of all it was.

    ``last_turn`` is the last fact that undid some of it, where it was undone bit by bit.
    ``parted_at`` is where a service was parted, in the speaker's words; ``called`` what a control was called by.
    ``told_afterwards``: that it came off was told together with where it is kept, so it came off some time before.
    """

    act: StepAct
    item: str
    side: Side | None
    place: tuple[Place, ...] | None
    position: str = ""
    called: str = ""
    at: datetime | None = None
    turn: int = -1
    last_turn: int = -1
    undone_in: str = ""
    told_afterwards: bool = False
    joint: str = ""
    parted_at: str = ""
    held: tuple[Held, ...] = ()
    tag: str | None = None
    stowage: Stowage | None = None
    kept_in_words: str = ""
    blanked: bool = False
    done_on: date | None = None
    questions: tuple[Question, ...] = ()
    entries: tuple[str, ...] = ()

    def is_at(self, item: str | None, side: Side | None, place: Sequence[Place] | None, position: str = "") -> bool:
        """Tell whether a fact can be of the same thing."""
        return (
            self.item == item
            and same_side(self.side, side)
            and same_place(self.place, place)
            and same_position((self.side, self.position), (side, position))
        )

    def is_same(self, other: "Step") -> bool:
        """Tell whether another step can be of the same thing."""
        return self.is_at(other.item, other.side, other.place, other.position)

    def is_alongside(self, other: "Step") -> bool:
        """Tell whether another step can be on the same side, and of the same engine."""
        return same_side(self.side, other.side) and same_position(
            (self.side, self.position), (other.side, other.position)
        )


Done = tuple[int, LoggedFact]
"""A fact with which of all it is."""


def steps_of(
    facts: Iterable[LoggedFact],
    off: Iterable[PartOff],
    parted: Sequence[DisconnectionLine],
    held: Sequence[SupportLine],
    vocabulary: Vocabulary,
) -> tuple[Step, ...]:
    """Return the steps that are needed, done and not done, those that came off last first.

    Args:
        facts: of all days, in any order.
        off: what ``parts_off`` makes of them.
        parted: what ``disconnections`` makes of them: a line that is open there is not done here.
        held: what ``holding_up`` makes of them.
        vocabulary: for what is a part of the aircraft, and the joints.
    """
    ordered = in_order(facts)
    done = [
        (turn, logged)
        for turn, logged in enumerate(ordered)
        if logged.fact.status == "done" and _is_of_the_aircraft(vocabulary, logged.fact.item)
    ]
    fits = [
        _fit(line, done)
        for line in off
        if line.removed_on or ((line.stowage or line.kept_in_words) and line.state == "unknown")
    ]
    fits, closes = _with_opened(fits, done, vocabulary)
    connects = _undone(done, "connect", vocabulary, merged=False)
    secures = _secures(_undone(done, "secure", vocabulary), fits, vocabulary)
    came_apart = [*fits, *secures]
    fits = [_with_joint(step, came_apart, vocabulary) for step in fits]
    secures = [_with_its_part(step, fits) for step in secures]
    connects = _merged([_with_joint(step, came_apart, vocabulary) for step in connects])
    steps = [
        *fits,
        *closes,
        *_all_connected(connects, parted),
        *(_secured(step, done, vocabulary) for step in secures),
        *(_tested(step, done, vocabulary) for step in _undone(done, "refill", vocabulary)),
        *(
            _released(step, fits, held)
            for step in _releases(_undone(done, "release", vocabulary), secures, vocabulary)
        ),
    ]
    return tuple(_in_liked_order(steps, vocabulary))


def _fit(line: PartOff, done: Sequence[Done]) -> Step:
    step = Step(
        act="fit",
        item=line.item,
        side=line.side,
        place=line.place,
        position=line.position,
        called=line.called,
        held=line.held,
        tag=line.tag,
        stowage=line.stowage,
        kept_in_words=line.kept_in_words,
        done_on=line.refitted_on or line.replaced_on,
        entries=tuple(dict.fromkeys(event.entry for event in line.life)),
    )
    off: PartEvent | None = None
    on_again = False
    for event in line.life:
        if event.what in ("removed", "removed-again") and (off is None or on_again):
            off, on_again = event, False
        elif event.what == "refitted":
            on_again = True
    for turn, logged in done:
        if off is not None and logged.entry == off.entry and logged.fact.act == "remove":
            named = logged.fact.item in (line.item, off.called)
            if named and same_side(step.side, logged.fact.side) and same_place(step.place, logged.fact.place):
                kept = any(event.entry == off.entry and event.stowage is not None for event in line.life)
                return replace(step, at=logged.at, turn=turn, undone_in=logged.entry, told_afterwards=kept)
    return replace(step, questions=("undoing-not-told",))


def _is_of_the_aircraft(vocabulary: Vocabulary, notation: str | None) -> bool:
    part = vocabulary.part(notation or "")
    return part is not None and part.kind not in ("fastener", "material", "support-equipment")


def _what(logged: LoggedFact, vocabulary: Vocabulary) -> tuple[str | None, Side | None, Sequence[Place] | None, str]:
    return logged.fact.item, logged.fact.side, logged.fact.place, position_of(logged, vocabulary)


def _with_opened(fits: Sequence[Step], done: Sequence[Done], vocabulary: Vocabulary) -> tuple[list[Step], list[Step]]:
    """Give panels that were opened and stowed the time of their opening; the others are closes of their own."""
    known, closes = list(fits), []
    for opened in _undone(done, "close", vocabulary):
        same = [at for at, step in enumerate(known) if step.is_same(opened)]
        for at in same:
            if known[at].at is None:
                known[at] = replace(
                    known[at],
                    at=opened.at,
                    turn=opened.turn,
                    undone_in=opened.undone_in,
                    questions=(),
                    entries=_both(opened.entries, known[at].entries),
                )
        if not same:
            closed = [log for turn, log in done if turn > opened.turn and log.fact.act == "fit"]
            again = [log.at.date() for log in closed if opened.is_at(*_what(log, vocabulary))]
            closes.append(replace(opened, done_on=again[-1] if again else None))
    return known, closes


def _undone(done: Sequence[Done], act: StepAct, vocabulary: Vocabulary, *, merged: bool = True) -> list[Step]:
    steps = [
        Step(
            act=act,
            item=str(logged.fact.item),
            side=side,
            place=None if act == "release" else logged.fact.place,
            position=position_of(logged, vocabulary),
            called=called,
            at=logged.at,
            turn=turn,
            undone_in=logged.entry,
            parted_at=parted_at(logged) if act == "connect" else "",
            entries=(logged.entry,),
        )
        for turn, logged in done
        if logged.fact.act is not None and BACK.get(logged.fact.act) == act
        for called in (controls_called(logged, vocabulary) if act == "connect" else ()) or ("",)
        for side in sides(logged.fact.side)
    ]
    return _merged(steps) if merged else steps


def _merged(steps: Iterable[Step]) -> list[Step]:
    """Make one step of those that undo the same thing: it was first undone when the first of them was."""
    found: dict[tuple[object, ...], Step] = {}
    ends: dict[tuple[object, ...], list[Step]] = {}  # of a service there may be several
    for step in steps:
        key = (step.act, step.item, step.side, step.place, step.position, step.called, step.joint)
        known = ends.setdefault(key, [])
        end = next((at for at, one in enumerate(known) if not _is_another_end(one, step)), len(known))
        first = found.get((*key, end), step)
        last_turn = max(first.turn, first.last_turn, step.turn)
        at = first.parted_at or step.parted_at
        made = replace(first, last_turn=last_turn, parted_at=at, entries=_both(first.entries, step.entries))
        found[*key, end] = made
        known[end : end + 1] = [made]
    return list(found.values())


def _is_another_end(one: Step, other: Step) -> bool:
    if one.act != "connect" or one.at is None or other.at is None:
        return False
    return is_another_end(one.parted_at, one.at.date(), other.parted_at, other.at.date())


def _both(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one, *other)))


def _secures(undone: Sequence[Step], fits: Sequence[Step], vocabulary: Vocabulary) -> list[Step]:
    """Return what is to be tightened and locked: what was undone, and what must have been, for a part to come off."""
    secures = list(undone)
    for fit in fits:
        for joint in vocabulary.joints:
            own = joint.part == fit.item
            if own or is_parted_by(joint, fit.item):
                _take_in(secures, joint.part, fit, place=fit.place if own else None)
        if any(one.told != "usual" and one.joint in (None, fit.item) for one in fit.held):
            _take_in(secures, fit.item, fit, place=fit.place)
    return secures


def is_parted_by(joint: Joint, item: str) -> bool:
    """Tell whether a joint that is no part itself ("wing-joint") parts when a part comes off."""
    return joint.part not in joint.joins and item in joint.joins


def _take_in(secures: list[Step], item: str, fit: Step, place: tuple[Place, ...] | None) -> None:
    for at, step in enumerate(secures):
        if step.is_at(item, fit.side, place, fit.position):
            secures[at] = replace(step, held=step.held or _held_at(item, fit))
            return
    secures.append(
        Step(
            act="secure",
            item=item,
            side=fit.side,
            place=place,
            position=fit.position,
            held=_held_at(item, fit),
            questions=() if item == fit.item else ("parting-not-told",),
            entries=fit.entries[:1] if fit.at is None else (fit.undone_in,),
        )
    )


def _with_its_part(secure: Step, fits: Sequence[Step]) -> Step:
    """Put a fastening with the one part that it can be of: on its side, and at its joint."""
    own = [fit for fit in fits if fit.is_same(secure)]
    if len(own) != 1:
        return secure
    afterwards = own[0].told_afterwards and own[0].undone_in == secure.undone_in
    position = secure.position or own[0].position
    return replace(
        secure, side=secure.side or own[0].side, position=position, joint=own[0].joint, told_afterwards=afterwards
    )


def _held_at(item: str, fit: Step) -> tuple[Held, ...]:
    return tuple(one for one in fit.held if (one.joint or fit.item) == item)


def _with_joint(step: Step, parted: Sequence[Step], vocabulary: Vocabulary) -> Step:
    """Say across which joint a service runs: of those that list it, the first to part after it was freed."""
    best: tuple[bool, int, str] | None = None
    for joint in vocabulary.joints:
        if step.item not in joint.services or not may_cross(step.called, joint.part, vocabulary):
            continue
        for other in parted:
            if not step.is_alongside(other) or not (
                other.item == joint.part or (other.act == "fit" and is_parted_by(joint, other.item))
            ):
                continue
            earlier = other.turn < step.turn
            clue = (earlier, -other.turn if earlier else other.turn, joint.part)
            best = clue if best is None else min(best, clue)
    return step if best is None else replace(step, joint=best[2])


def _all_connected(connects: Sequence[Step], parted: Iterable[DisconnectionLine]) -> Iterator[Step]:
    """Yield the steps of connecting with what the register says of each service."""
    lines: dict[str | None, list[DisconnectionLine]] = {}
    for line in parted:
        lines.setdefault(line.item, []).append(line)
    alike: dict[str, list[Step]] = {}
    for step in connects:
        alike.setdefault(step.item, []).append(step)
    yield from (_connected(step, alike[step.item], lines.get(step.item, ())) for step in connects)


def _connected(step: Step, connects: Sequence[Step], parted: Sequence[DisconnectionLine]) -> Step:
    """Say what the register says of the service: whether it is blanked, and whether it was connected again.

    What is one line there and two steps here, by the joints that it crosses, is not known to be connected at either.

    Args:
        step: of its connecting.
        connects: such steps of the same service, this one among them.
        parted: the register's lines of that service.
    """
    own = [line for line in parted if _is_of(line, step)]
    days = [line.connected_on for line in own if line.connected_on]
    shared = any(_is_of(line, other) for line in own for other in connects if other is not step)
    asked = any(question.kind == "which-was-connected" for line in own for question in line.questions)
    closing = [move.entry for line in own for move in line.moves if move.what in ("connect", "fit")]
    return replace(
        step,
        blanked=any(line.blanked_on for line in own),
        done_on=max(days) if days and len(days) == len(own) and not shared else None,
        questions=("which-connected",) if asked or (days and shared) else step.questions,
        entries=_both(step.entries, tuple(closing)),
    )


def _is_of(line: DisconnectionLine, step: Step) -> bool:
    """Tell whether a line of the register is of the end that a step makes good."""
    return (
        (line.side, line.called) == (step.side, step.called)
        and step.is_at(line.item, line.side, line.place, line.position)
        and not (line.parted_at and step.parted_at and line.parted_at != step.parted_at)
        and any(move.entry in step.entries and move.what == "disconnect" for move in line.moves)
    )


def _secured(step: Step, done: Sequence[Done], vocabulary: Vocabulary) -> Step:
    """Say whether it was tightened and locked again: it is done when both were told."""
    told: dict[str, LoggedFact] = {}
    for turn, logged in done:
        if turn > step.turn and logged.fact.act in ("tighten", "lock") and _is_made_fast(step, logged, vocabulary):
            told[logged.fact.act] = logged
    step = replace(step, entries=_both(step.entries, tuple(logged.entry for logged in told.values())))
    if len(told) == 2:
        return replace(step, done_on=max(logged.at for logged in told.values()).date())
    if told:
        question: Question = "locking-not-told" if "tighten" in told else "tightening-not-told"
        return replace(step, questions=(*step.questions, question))
    return step


def _is_made_fast(step: Step, logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether a fact is of a fastening, or of the part that it holds: a mount is tight as its engine is."""
    item, side, place, position = _what(logged, vocabulary)
    held = item is not None and holds(step.item, item, vocabulary)
    return step.is_at(step.item if held else item, side, place, position)


def _tested(step: Step, done: Sequence[Done], vocabulary: Vocabulary) -> Step:
    tests = [
        log
        for turn, log in done
        if turn > step.turn and log.fact.act == "test" and step.is_at(*_what(log, vocabulary))
    ]
    return (
        replace(step, done_on=tests[-1].at.date(), entries=_both(step.entries, (tests[-1].entry,))) if tests else step
    )


def _releases(held: Sequence[Step], secures: Sequence[Step], vocabulary: Vocabulary) -> list[Step]:
    """Return the supports to take away: those that hold up what a joint to be made again holds."""
    joints = {joint.part: joint for joint in vocabulary.joints}
    return [
        step
        for step in held
        if any(
            same_side(step.side, secure.side)
            and any(is_held_up(vocabulary, step.item, one) for one in joints[secure.item].held_up)
            for secure in secures
            if secure.item in joints
        )
    ]


def _released(step: Step, fits: Sequence[Step], held: Sequence[SupportLine]) -> Step:
    """Say whether supports were taken away: where what they held is on again, and none of them stands."""
    own = [line for line in held if step.is_at(line.item, line.side, None, line.position)]
    on = [fit.done_on for fit in fits if fit.is_same(step)]
    gone = [line.until.date() for line in own if line.until]
    if not own or not on or len(gone) < len(own) or None in on:
        return step
    return replace(step, done_on=max(*gone, *(day for day in on if day)))


def is_held_up(vocabulary: Vocabulary, item: str, held_up: str) -> bool:
    """Tell whether what was supported is what a joint needs held up: itself, a part of it, or what it is part of."""
    return vocabulary.is_a(item, held_up) or vocabulary.is_a(held_up, item)


_ACT_ORDER: tuple[StepAct, ...] = ("fit", "secure", "release", "connect", "refill", "close")


def _in_liked_order(steps: Sequence[Step], vocabulary: Vocabulary) -> list[Step]:
    """Sort: what came off last first, its joint made at once; then by act and name."""
    joints = {joint.part: joint for joint in vocabulary.joints}

    def own(step: Step) -> tuple[object, ...]:
        places = tuple((one.scheme, one.at) for one in step.place or ())
        tag = step.tag or ""
        return (
            -step.turn,
            _ACT_ORDER.index(step.act),
            *(step.item, step.side or "", step.position, step.called, places, step.joint, tag),
            step.entries,
        )

    fits = sorted((step for step in steps if step.act == "fit"), key=own)

    def liked(step: Step) -> tuple[object, ...]:
        if step.act == "secure":
            joint = joints.get(step.item)
            for fit in fits:
                joins = joint is not None and is_parted_by(joint, fit.item) and step.is_alongside(fit)
                if fit.is_same(step) or joins:
                    return own(fit), own(step)
        return own(step), ()

    return sorted(steps, key=liked)
