"""The steps of putting together again: one for each thing that was taken off, undone, disconnected or opened."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from pipeline.lists.controls_called import controls_called
from pipeline.lists.known_parts import is_of_the_aircraft
from pipeline.lists.logged import LoggedFact, in_order, position_of, same_place, same_side, sides
from pipeline.lists.part_lives import undone_and_put_away
from pipeline.lists.parted_at import is_another_end, parted_at
from pipeline.lists.reassembly_step import BACK, Done, Step, StepAct, both_entries, spot_of
from pipeline.lists.services import is_service
from pipeline.lists.way_back_done import all_connected, released, secured, tested
from pipeline.lists.way_back_edges import is_cover
from pipeline.lists.way_back_joints import (
    is_held_up,
    is_parted_by,
    joints_here,
    parting_of,
    secures_of,
    with_its_part,
    with_joint,
)
from pipeline.reading.fact import Place, Side
from pipeline.reading.fluids import is_bled
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import DisconnectionLine, PartEvent, PartOff, SupportLine


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
        if logged.fact.status == "done" and is_of_the_aircraft(logged.fact.item, vocabulary)
    ]
    by_entry: dict[str, list[Done]] = {}
    for turn, logged in done:
        by_entry.setdefault(logged.entry, []).append((turn, logged))
    fits = [
        _fit(line, by_entry)
        for line in _with_new_ones(off)
        if line.removed_on or ((line.stowage or line.kept_in_words) and line.state == "unknown")
    ]
    fits, closes = _with_opened(fits, done, vocabulary)
    connects = _undone(done, "connect", vocabulary, merged=False)
    joints = joints_here({str(logged.fact.item) for logged in ordered}, vocabulary)
    secures = secures_of(_undone(done, "secure", vocabulary), fits, joints, vocabulary)
    parting = parting_of([*fits, *secures], joints)
    fits = [with_joint(step, parting, vocabulary) for step in fits]
    secures = [with_its_part(step, fits) for step in secures]
    came_off_in = frozenset(step.undone_in for step in fits if step.undone_in and not is_cover(step, vocabulary))
    connects = _merged([with_joint(step, parting, vocabulary, came_off_in) for step in connects])
    made_fast = [(turn, logged) for turn, logged in done if logged.fact.act in ("tighten", "lock")]
    steps = [
        *fits,
        *closes,
        *all_connected(connects, parted),
        *(secured(step, made_fast, vocabulary) for step in secures),
        *(tested(step, done, vocabulary) for step in _undone(done, "refill", vocabulary)),
        *(
            released(step, fits, held)
            for step in _releases(_undone(done, "release", vocabulary), secures, vocabulary)
        ),
    ]
    return tuple(_in_liked_order(steps, vocabulary))


def _with_new_ones(parts: Iterable[PartOff]) -> Iterator[PartOff]:
    """Yield the parts that go on; where a new one waits to take the place of one, the new one, from where it is."""
    parts = tuple(parts)
    off = {_spot(line) for line in parts if line.state == "off"}
    waiting = {_spot(line): line for line in parts if line.state == "unknown" and line.stowage and not line.questions}
    for line in parts:
        new = waiting.get(_spot(line))
        if new is not None and line.state == "off":
            told = {"called": new.called, "tag": new.tag, "stowage": new.stowage, "life": (*line.life, *new.life)}
            yield line.model_copy(update={**told, "kept_in_words": ""})
        elif line is not new or _spot(line) not in off:
            yield line


def _spot(line: PartOff) -> tuple[str, Side | None, tuple[Place, ...] | None, str]:
    return line.item, line.side, line.place, line.position


def _fit(line: PartOff, by_entry: Mapping[str, Sequence[Done]]) -> Step:
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
    off = _came_off(line.life) or undone_and_put_away(line.life)
    if off is None:
        asked = any(one.kind == "not-removed" for one in line.questions)
        return replace(step, questions=("undoing-not-told",) if asked else ())
    for turn, logged in by_entry.get(off.entry, ()):
        named = logged.fact.act == off.act and logged.fact.item in (line.item, off.called)
        if named and same_side(step.side, logged.fact.side) and same_place(step.place, logged.fact.place):
            kept = any(event.entry == off.entry and event.stowage is not None for event in line.life)
            return replace(step, at=logged.at, turn=turn, undone_in=logged.entry, told_afterwards=kept)
    return replace(step, questions=("undoing-not-told",))


def _came_off(life: Sequence[PartEvent]) -> PartEvent | None:
    """Return when a part came off last; told again while it was off, it is the first telling that counts."""
    off: PartEvent | None = None
    on_again = False
    for event in life:
        if event.what in ("removed", "removed-again") and (off is None or on_again):
            off, on_again = event, False
        elif event.what == "refitted":
            on_again = True
    return off


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
                    entries=both_entries(opened.entries, known[at].entries),
                )
        if not same:
            closed = [log for turn, log in done if turn > opened.turn and log.fact.act == "fit"]
            again = [log.at.date() for log in closed if opened.is_at(*spot_of(log, vocabulary))]
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
        if _back_of(logged, vocabulary) == act
        for called in (controls_called(logged, vocabulary) if act == "connect" else ()) or ("",)
        for side in sides(logged.fact.side)
    ]
    return _merged(steps) if merged else steps


def _back_of(logged: LoggedFact, vocabulary: Vocabulary) -> StepAct | None:
    """Return what puts right what was done; a pipe that was parted is connected again, and joins nothing.

    What was bled of its air is put right: only what was drained, or bled down, is to be filled again.
    """
    act = str(logged.fact.act)
    if is_bled(act, logged.said):
        return None
    return "connect" if act == "separate" and is_service(logged.fact.item, vocabulary) else BACK.get(act)


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
        made = replace(first, last_turn=last_turn, parted_at=at, entries=both_entries(first.entries, step.entries))
        found[*key, end] = made
        known[end : end + 1] = [made]
    return list(found.values())


def _is_another_end(one: Step, other: Step) -> bool:
    if one.act != "connect" or one.at is None or other.at is None:
        return False
    return is_another_end(one.parted_at, one.at.date(), other.parted_at, other.at.date())


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
