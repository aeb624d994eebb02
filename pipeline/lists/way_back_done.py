"""Which steps of the way back are done: connected, made fast, tested, supports away; and what leaves that open."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from pipeline.lists.logged import LoggedFact
from pipeline.lists.reassembly_step import Done, Question, Step, both_entries, spot_of
from pipeline.lists.services import PARTED
from pipeline.lists.usual_joints import holds
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import DisconnectionLine, SupportLine


def all_connected(connects: Sequence[Step], parted: Iterable[DisconnectionLine]) -> Iterator[Step]:
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
        entries=both_entries(step.entries, tuple(closing)),
    )


def _is_of(line: DisconnectionLine, step: Step) -> bool:
    """Tell whether a line of the register is of the end that a step makes good."""
    return (
        (line.side, line.called) == (step.side, step.called)
        and step.is_at(line.item, line.side, line.place, line.position)
        and not (line.parted_at and step.parted_at and line.parted_at != step.parted_at)
        and any(move.entry in step.entries and move.what in PARTED for move in line.moves)
    )


def secured(step: Step, made_fast: Sequence[Done], vocabulary: Vocabulary) -> Step:
    """Say whether it was tightened and locked again: it is done when both were told."""
    told: dict[str, LoggedFact] = {}
    for turn, logged in made_fast:
        if turn > step.turn and _is_made_fast(step, logged, vocabulary):
            told[str(logged.fact.act)] = logged
    step = replace(step, entries=both_entries(step.entries, tuple(logged.entry for logged in told.values())))
    if len(told) == 2:
        return replace(step, done_on=max(logged.at for logged in told.values()).date())
    if told:
        question: Question = "locking-not-told" if "tighten" in told else "tightening-not-told"
        return replace(step, questions=(*step.questions, question))
    return step


def _is_made_fast(step: Step, logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether a fact is of a fastening, or of the part that it holds: a mount is tight as its engine is."""
    item, side, place, position = spot_of(logged, vocabulary)
    held = item is not None and holds(step.item, item, vocabulary)
    return step.is_at(step.item if held else item, side, place, position)


def tested(step: Step, done: Sequence[Done], vocabulary: Vocabulary) -> Step:
    """Say whether what was drained and filled again was tested since."""
    tests = [
        logged
        for turn, logged in done
        if turn > step.turn and logged.fact.act == "test" and step.is_at(*spot_of(logged, vocabulary))
    ]
    if not tests:
        return step
    return replace(step, done_on=tests[-1].at.date(), entries=both_entries(step.entries, (tests[-1].entry,)))


def released(step: Step, fits: Sequence[Step], held: Sequence[SupportLine]) -> Step:
    """Say whether supports were taken away: where what they held is on again, and none of them stands."""
    own = [line for line in held if step.is_at(line.item, line.side, None, line.position)]
    on = [fit.done_on for fit in fits if fit.is_same(step)]
    gone = [line.until.date() for line in own if line.until]
    if not own or not on or len(gone) < len(own) or None in on:
        return step
    return replace(step, done_on=max(*gone, *(day for day in on if day)))
