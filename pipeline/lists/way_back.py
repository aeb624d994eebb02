"""The way back: in which order it goes together again, why, and where somebody authorised must look first."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pipeline.lists.controls_called import is_no_flight_control
from pipeline.lists.disconnections import disconnections
from pipeline.lists.holding_up import holding_up
from pipeline.lists.known_parts import ENGINES
from pipeline.lists.logged import LoggedFact
from pipeline.lists.parted_at import joint_called
from pipeline.lists.parts_off import parts_off
from pipeline.lists.reassembly_order import all_before, in_reassembly_order
from pipeline.lists.reassembly_step import Step
from pipeline.lists.way_back_edges import Edge, edges_of, is_cover, strength
from pipeline.lists.way_back_steps import steps_of
from pipeline.reading.fact import Side
from pipeline.reading.positions import engines_named
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import (
    DisconnectionLine,
    HoldPoint,
    PartOff,
    SupportLine,
    WayBack,
    WayBackCycle,
    WayBackEdge,
    WayBackStep,
)
from pipeline.trade.entries import HoldRule

_OF_CONTROLS = "duplicate-inspection"
_ONE_AN_ENGINE = frozenset({"engine", "nacelle", "propeller"})
_OF_A_SIDE = frozenset({"inner", "outer"})


class _Assembly(NamedTuple):
    """A large part on its side; of engines, also which."""

    item: str
    side: Side | None
    position: str


def way_back(
    facts: Iterable[LoggedFact],
    vocabulary: Vocabulary,
    off: Sequence[PartOff] | None = None,
    parted: Sequence[DisconnectionLine] | None = None,
    held: Sequence[SupportLine] | None = None,
) -> WayBack:
    """Return the steps of putting together again, in order, with the reasons and the hold points.

    What came off last goes back first, unless something else must come before it. Where the reasons go round in a
    circle, the weakest is left out, and the circle is told, unless that was only told in one breath.

    Args:
        facts: of all days, in any order.
        vocabulary: for what belongs to what, the joints, the rules of order and the hold points.
        off: what ``parts_off`` makes of the facts, where that is known already.
        parted: what ``disconnections`` makes of them, where that is known already.
        held: what ``holding_up`` makes of them, where that is known already.
    """
    facts = tuple(facts)
    off = parts_off(facts, vocabulary) if off is None else off
    parted = disconnections(facts, vocabulary) if parted is None else parted
    held = holding_up(facts, vocabulary) if held is None else held
    steps = steps_of(facts, off, parted, held, vocabulary)
    reasons = edges_of(steps, facts, vocabulary)
    ordered = in_reassembly_order(steps, {edge: strength(why) for edge, why in reasons.items()})
    left_out = {one.left_out for one in ordered.broken}
    ids = _ids(ordered.nodes)
    kept = [edge for edge in reasons if edge not in left_out]
    holds = _Holds(vocabulary, ordered.nodes, kept, ids, engines_have_sides=_engines_have_sides(facts, vocabulary))
    return WayBack(
        steps=tuple(_record(step, ids[step], vocabulary) for step in ordered.nodes),
        edges=tuple(
            WayBackEdge(before=ids[one], after=ids[other], reasons=tuple(why), left_out=(one, other) in left_out)
            for (one, other), why in reasons.items()
        ),
        cycles=tuple(
            WayBackCycle(
                steps=tuple(ids[step] for step in one.cycle),
                left_out=(ids[one.left_out[0]], ids[one.left_out[1]]),
            )
            for one in ordered.broken
            if {why.kind for why in reasons[one.left_out]} != {"together"}  # told in one breath, it yields to all
        ),
        hold_points=tuple(holds.points),
        order=tuple(holds.order),
    )


def before(way: WayBack, ids: Iterable[str]) -> tuple[str, ...]:
    """Return, in order, all steps that are not done and all hold points that come before any of some steps."""
    edges = [(one.before, one.after) for one in way.edges if not one.left_out]
    for hold in way.hold_points:
        edges += [(step, hold.id) for step in hold.after] + [(hold.id, step) for step in hold.before]
    known = all_before(way.order, edges)
    wanted = set().union(*(known[one] for one in ids if one in known))
    done = {step.id for step in way.steps if step.done_on is not None}
    return tuple(one for one in way.order if one in wanted and one not in done)


def _ids(steps: Sequence[Step]) -> dict[Step, str]:
    ids: dict[Step, str] = {}
    used: dict[str, int] = {}
    for step in steps:
        places = [f"{one.scheme}-{one.at}" for one in step.place or ()]
        at = step.parted_at.replace(" ", "-") or step.joint
        called = step.called.replace(" ", "-")
        more = [step.position.replace(" ", "-"), called if called != step.item else ""]
        words = [step.act, step.item, step.side, *more, *places, f"at-{at}" if at else None]
        name = "-".join(word for word in words if word)
        used[name] = used.get(name, 0) + 1
        ids[step] = name if used[name] == 1 else f"{name}-no-{used[name]}"
    return ids


def _record(step: Step, id_: str, vocabulary: Vocabulary) -> WayBackStep:
    return WayBackStep(
        id=id_,
        act=step.act,
        item=step.item,
        side=step.side,
        place=step.place,
        position=step.position,
        called=step.called,
        joint=step.joint,
        parted_at=step.parted_at,
        assembly=assembly_of(step, vocabulary),
        undone_on=step.at.date() if step.at else None,
        held=step.held,
        tag=step.tag,
        stowage=step.stowage,
        kept_in_words=step.kept_in_words,
        blanked=step.blanked,
        done_on=step.done_on,
        questions=step.questions,
        entries=step.entries,
    )


def assembly_of(step: Step, vocabulary: Vocabulary) -> str:
    """Return the large part that a step belongs to ("mainplane" for an aileron), "" where it belongs to none."""
    joints = {joint.part: joint for joint in vocabulary.joints}
    item = step.joint or joint_called(step.parted_at, vocabulary) or step.item
    joint = joints.get(item)
    if joint is not None and joint.part not in joint.joins:
        item = joint.joins[0]
    at = vocabulary.part(item)
    while at is not None and at.broader:
        at = vocabulary.part(at.broader)
    top = at.notation if at is not None else item
    has_parts = any(part.broader == top for part in vocabulary.parts)
    return top if has_parts or top in joints else ""


@dataclass
class _Holds:
    """The hold points of an order, put where they stop it."""

    vocabulary: Vocabulary
    steps: Sequence[Step]
    edges: Sequence[Edge]
    ids: Mapping[Step, str]
    engines_have_sides: bool

    def __post_init__(self) -> None:
        self.points: list[HoldPoint] = []
        self.order: list[str] = []
        just_before: dict[Step, list[Step]] = {step: [] for step in self.steps}
        just_after: dict[Step, list[Step]] = {step: [] for step in self.steps}
        for one, other in self.edges:
            just_after[one].append(other)
            just_before[other].append(one)
        last_of = self._last_of_systems()
        for step in self.steps:
            for rule in self._rules("before", step):
                self._stop(rule, step, after=just_before[step], before=[self.ids[step]])
            self.order.append(self.ids[step])
            for rule in self._rules("after", step):
                covers = [one for one in just_after[step] if is_cover(one, self.vocabulary)]
                inspections = [
                    f"{hold.hold}-{self.ids[one]}" for one in covers for hold in self._rules("before", one)
                ]
                later = [*(self.ids[one] for one in just_after[step]), *inspections]
                self._stop(rule, step, after=[step], before=later)
            for rule, worked in last_of.get(step, ()):
                self._stop_system(rule, worked)

    def _rules(self, place: str, step: Step) -> list[HoldRule]:
        return [rule for rule in self.vocabulary.holds if rule.place == place and self._is_for(rule, step)]

    def _is_for(self, rule: HoldRule, step: Step) -> bool:
        if step.act not in rule.after or (rule.hold == _OF_CONTROLS and is_no_flight_control(step.called)):
            return False
        part = self.vocabulary.part(step.item)
        every = not rule.kinds and not rule.parts
        of_kind = part is not None and part.kind in rule.kinds
        return every or of_kind or any(self.vocabulary.is_a(step.item, one) for one in rule.parts)

    def _stop(self, rule: HoldRule, step: Step, after: Sequence[Step], before: Sequence[str]) -> None:
        self._add(
            HoldPoint(
                id=f"{rule.hold}-{self.ids[step]}",
                hold=rule.hold,
                name=rule.name,
                item=step.item,
                side=step.side,
                place=step.place,
                position=step.position,
                called=step.called,
                assembly=assembly_of(step, self.vocabulary),
                after=tuple(self.ids[one] for one in after),
                before=tuple(before),
                why=rule.why,
                source=rule.source,
            )
        )

    def _add(self, hold: HoldPoint) -> None:
        self.points.append(hold)
        self.order.append(hold.id)

    def _last_of_systems(self) -> dict[Step, list[tuple[HoldRule, list[Step]]]]:
        """Return, with the last step of each, what is worked through once for an assembly on a side, or an engine."""
        found: dict[tuple[str, _Assembly], tuple[HoldRule, list[Step]]] = {}
        for step in self.steps:
            for rule in self._rules("system", step):
                found.setdefault((rule.hold, self._assembly(step)), (rule, []))[1].append(step)
        last: dict[Step, list[tuple[HoldRule, list[Step]]]] = {}
        for rule, steps in found.values():
            last.setdefault(steps[-1], []).append((rule, steps))
        return last

    def _stop_system(self, rule: HoldRule, steps: Sequence[Step]) -> None:
        assembly = self._assembly(steps[-1])
        words = (rule.hold, assembly.item, assembly.side, assembly.position.replace(" ", "-"))
        own = {step.item for step in steps}
        self._add(
            HoldPoint(
                id="-".join(word for word in words if word),
                hold=rule.hold,
                name=rule.name,
                item=assembly.item or (own.pop() if len(own) == 1 else None),
                side=assembly.side,
                position=assembly.position,
                assembly=assembly.item,
                after=tuple(self.ids[one] for one in steps),
                why=rule.why,
                source=rule.source,
            )
        )

    def _assembly(self, step: Step) -> _Assembly:
        """Return the large part that a step belongs to; a port magneto may be the left one of an engine."""
        item = assembly_of(step, self.vocabulary)
        part = self.vocabulary.part(item)
        if part is None or part.zone != ENGINES:
            return _Assembly(item, step.side, "")
        on_a_side = self.engines_have_sides and (not step.position or step.position in _OF_A_SIDE)
        return _Assembly(item, step.side if on_a_side else None, step.position)


def _engines_have_sides(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> bool:
    """Tell whether somebody told of an engine, its propeller, or what it has, with the side that the engine is on."""
    of_engines = (
        one for one in facts if (part := vocabulary.part(one.fact.item or "")) is not None and part.zone == ENGINES
    )
    return any(
        (one.fact.side and one.fact.item in _ONE_AN_ENGINE)
        or any(named.side for named in engines_named(one.sentence))
        for one in of_engines
    )
