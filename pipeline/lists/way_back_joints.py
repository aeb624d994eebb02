"""Which fastenings are made again, of which part each is, and across which joint a service runs."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import replace

from pipeline.lists.controls_called import may_cross
from pipeline.lists.parted_at import may_be_at
from pipeline.lists.reassembly_step import Step
from pipeline.lists.usual_joints import holds, is_named_for_holding
from pipeline.reading.fact import Place
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Held
from pipeline.trade.entries import Joint


def joints_here(told: Container[str], vocabulary: Vocabulary) -> tuple[Joint, ...]:
    """Return the joints that this aircraft may have: a strut or a wire between two parts only where it was told of.

    Args:
        told: every part that some fact is about.
        vocabulary: for the joints that are usual.
    """
    return tuple(
        one
        for one in vocabulary.joints
        if one.part in told or one.part in one.joins or is_named_for_holding(one.part)
    )


def secures_of(
    undone: Sequence[Step], fits: Sequence[Step], joints: Sequence[Joint], vocabulary: Vocabulary
) -> list[Step]:
    """Return what is to be tightened and locked: what was undone, and what must have been, for a part to come off."""
    secures = list(undone)
    for fit in fits:
        holding = any(is_held_by(fit, step, vocabulary) for step in undone)
        for joint in joints:
            own = joint.part == fit.item and not holding
            if own or is_parted_by(joint, fit.item):
                _take_in(secures, joint.part, fit, place=fit.place if own else None)
        if any(one.told != "usual" and one.joint in (None, fit.item) for one in fit.held):
            _take_in(secures, fit.item, fit, place=fit.place)
    return secures


def is_held_by(fit: Step, secure: Step, vocabulary: Vocabulary) -> bool:
    """Tell whether a part came off as what holds it was undone: an engine by the fastenings of its mount."""
    together = fit.undone_in != "" and fit.undone_in == secure.undone_in and fit.is_alongside(secure)
    return together and holds(secure.item, fit.item, vocabulary)


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


def with_its_part(secure: Step, fits: Sequence[Step]) -> Step:
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


def parting_of(came_apart: Sequence[Step], joints: Sequence[Joint]) -> dict[str, list[Step]]:
    """Return the steps in which each joint was parted, by its name."""
    of_item: dict[str, list[Step]] = {}
    for step in came_apart:
        of_item.setdefault(step.item, []).append(step)
    parting = {}
    for joint in joints:
        parted = [step for item in joint.joins if is_parted_by(joint, item) for step in of_item.get(item, ())]
        parting[joint.part] = [*of_item.get(joint.part, ()), *(step for step in parted if step.act == "fit")]
    return parting


def with_joint(
    step: Step, parting: Mapping[str, Sequence[Step]], vocabulary: Vocabulary, came_off_in: Container[str] = ()
) -> Step:
    """Say across which joint a service runs: of those that list it, the first to part after it was freed.

    What was freed as another part came off is not of what came apart on another day.

    Args:
        step: of a service, or of another part.
        parting: by joint, the steps in which it was parted.
        vocabulary: for the joints, and what runs across each.
        came_off_in: the entries that tell of parts that came off, covers aside.
    """
    freed_with_it = step.act == "connect" and step.undone_in in came_off_in
    best: tuple[bool, int, str] | None = None
    for joint in vocabulary.joints:
        if step.item not in joint.services or not may_cross(step.called, joint.part, vocabulary):
            continue
        if step.parted_at and not may_be_at(step.parted_at, joint.part, vocabulary):
            continue
        for other in parting.get(joint.part, ()):
            if not step.is_alongside(other):
                continue
            if freed_with_it and not _is_on_its_day(step, other):
                continue
            earlier = other.turn < step.turn
            clue = (earlier, -other.turn if earlier else other.turn, joint.part)
            best = clue if best is None else min(best, clue)
    return step if best is None else replace(step, joint=best[2])


def _is_on_its_day(step: Step, other: Step) -> bool:
    """Tell whether another step was undone on the day on which this one was."""
    if step.at is None or other.at is None:
        return step.undone_in in other.entries
    return step.at.date() == other.at.date()


def is_held_up(vocabulary: Vocabulary, item: str, held_up: str) -> bool:
    """Tell whether what was supported is what a joint needs held up: itself, a part of it, or what it is part of."""
    return vocabulary.is_a(item, held_up) or vocabulary.is_a(held_up, item)
