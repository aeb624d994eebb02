"""What each kind of rule looks for in the facts.

Source: the columns of rules.csv; that a support and freed services come before a joint is parted is common practice,
no source.
"""

import re
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from itertools import chain
from typing import NamedTuple

from pipeline.lists.holding_up import held_up_at
from pipeline.lists.lifting_gear import HANGING, LiftingGear
from pipeline.lists.logged import LoggedFact, at_their_engines, same_place, same_side, sides
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import SupportLine
from pipeline.trade.entries import Joint, Rule

_SAME_STATION_INCHES = 1.0
_HELD = ("support", "lift")
_WITH = re.compile(
    r"\b(?:off|out|away)\b[^.,;]{0,20} (?:with|on|by|in) (?:the|a|our|both|two) [^.,;]*", re.IGNORECASE
)


class Hit(NamedTuple):
    """A fact that sets off a rule, and what nobody told of. ``about`` is the joint that it is work on."""

    logged: LoggedFact
    missing: tuple[str, ...] = ()
    place: tuple[Place, ...] | None = None
    about: str | None = None

    @property
    def item(self) -> str | None:
        """The part or joint that the hit is about."""
        return self.about or self.logged.fact.item


class Evidence:
    """All that the rules look at: facts in the order told; ``held`` are the parts that some joint wants held up."""

    def __init__(self, facts: Iterable[LoggedFact], lines: Iterable[SupportLine], vocabulary: Vocabulary) -> None:
        """Put the facts in order, by act and by part, and the joints by what they hold."""
        self.facts = at_their_engines(facts, vocabulary)
        self.lines = tuple(lines)
        self.lines_under: dict[str | None, list[SupportLine]] = {}
        for line in self.lines:
            self.lines_under.setdefault(line.item, []).append(line)
        self.vocabulary = vocabulary
        self.joints = {joint.part: joint for joint in vocabulary.joints}
        self.held = frozenset(name for joint in vocabulary.joints for name in joint.held_up)
        self._by_act: dict[str, list[LoggedFact]] = {}
        self._by_item: dict[str, list[LoggedFact]] = {}
        self._done_on: dict[str, dict[str, list[LoggedFact]]] = {}
        self._of_part: dict[str, tuple[LoggedFact, ...]] = {}
        self._of_entry: dict[str, list[LoggedFact]] = {}
        self._gear = LiftingGear(vocabulary)
        self._turn = {id(one): turn for turn, one in enumerate(self.facts)}
        for one in self.facts:
            self._of_entry.setdefault(one.entry, []).append(one)
            if one.fact.status == "done":
                act, item = str(one.fact.act), str(one.fact.item)
                self._by_act.setdefault(act, []).append(one)
                self._done_on.setdefault(item, {}).setdefault(act, []).append(one)
            self._by_item.setdefault(str(one.fact.item), []).append(one)

    def done(self, acts: Iterable[str]) -> Iterator[LoggedFact]:
        """Yield the facts that tell that one of these acts was done, act by act, each in the order told."""
        return chain.from_iterable(self._by_act.get(act, ()) for act in acts)

    def done_on(self, acts: Iterable[str], item: str | None) -> Iterator[LoggedFact]:
        """Yield the facts that tell that one of these acts was done on a part, or on what is related to it."""
        for other, by_act in self._done_on.items():
            if self.related(other, item):
                yield from chain.from_iterable(by_act.get(act, ()) for act in acts)

    def done_on_itself(self, act: str, item: str) -> Iterable[LoggedFact]:
        """Return the facts that tell that an act was done on a part of that very name, in the order told."""
        return self._done_on.get(item, {}).get(act, ())

    def is_hung_up(self, logged: LoggedFact) -> bool:
        """Tell whether a sentence says that something came off with lifting gear: "prop off with the hoist"."""
        with_gear = _WITH.search(logged.sentence)
        return with_gear is not None and not HANGING.isdisjoint(self._gear.named_in(with_gear.group()))

    def turn(self, logged: LoggedFact) -> int:
        """Return which fact of all it is, in the order told."""
        return self._turn[id(logged)]

    def of_part(self, part: str) -> tuple[LoggedFact, ...]:
        """Return the facts about a part, or what belongs to it; in no order."""
        if part not in self._of_part:
            mine = [item for item in self._by_item if self.vocabulary.is_a(item, part)]
            self._of_part[part] = tuple(chain.from_iterable(self._by_item[item] for item in mine))
        return self._of_part[part]

    def after_in_entry(self, logged: LoggedFact) -> list[LoggedFact]:
        """Return what was told after a fact in its own entry."""
        entry = self._of_entry[logged.entry]
        return entry[entry.index(logged) + 1 :]

    def related(self, one: str | None, other: str | None) -> bool:
        """Tell whether one of two parts is the other, or belongs to it."""
        if one is None or other is None:
            return False
        return self.vocabulary.is_a(one, other) or self.vocabulary.is_a(other, one)

    def joint_of(self, item: str | None) -> Joint | None:
        """Return the joint that work on a part is work on: its own, else the named joint that it meets another at."""
        if item is not None and item in self.joints:
            return self.joints[item]
        # the struts and wires that a wing also meets are no joint of its own
        named = [joint for joint in self.joints.values() if joint.part.endswith("-joint")]
        return next((joint for joint in named if item in joint.joins), None)

    def is_any(self, item: str | None, items: Iterable[str]) -> bool:
        """Tell whether a part is one of these, or belongs to one."""
        return item is not None and any(self.vocabulary.is_a(item, one) for one in items)


def _held_up(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find work on a joint while nobody told of a support under what must be held up."""
    for logged in told.done(rule.acts):
        joint = told.joint_of(logged.fact.item)
        if joint is None or not joint.held_up or logged.fact.of == "person" or told.is_hung_up(logged):
            continue
        missing = tuple(name for name in joint.held_up if not _is_held(told, name, logged))
        # what meets at the joint is held up piece by piece; the aircraft's weight, anywhere that is named
        piece_by_piece = set(joint.held_up) <= set(joint.joins)
        if missing and (piece_by_piece or len(missing) == len(joint.held_up)):
            yield Hit(logged, missing, about=joint.part)


def _is_held(told: Evidence, name: str, logged: LoggedFact) -> bool:
    return all(
        _is_held_on(told, name, logged, side) or _is_off(told, name, logged, (side, logged.position))
        for side in sides(logged.fact.side)
    )


def _is_off(told: Evidence, name: str, logged: LoggedFact, here: tuple[Side | None, str]) -> bool:
    """Tell whether a part had come off before a fact was told, and was not on again: nothing hangs there."""
    moves = (one for act in ("remove", "fit") for one in told.done_on_itself(act, name))
    before = [one for one in moves if told.turn(one) < told.turn(logged) and _is_on_that_side(one, here)]
    return bool(before) and max(before, key=told.turn).fact.act == "remove"


def _is_held_on(told: Evidence, name: str, logged: LoggedFact, side: Side | None) -> bool:
    here = (side, logged.position)
    if any(
        same_side(line.side, side) and same_position((line.side, line.position), here) and _stood(told, line, logged)
        for item, lines in told.lines_under.items()
        if _holds(told, item, name)
        for line in lines
    ):
        return True
    return any(
        _holds(told, one.fact.item, name) and _is_on_that_side(one, here)
        for one in told.done(_HELD)
        if one.fact.of == "person" and one.at <= logged.at and one.at.date() == logged.at.date()
    )


def _is_on_that_side(one: LoggedFact, here: tuple[Side | None, str]) -> bool:
    """Tell whether a fact can be of a side and an engine."""
    side, _ = here
    return same_side(one.fact.side, side) and same_position((one.fact.side, one.position), here)


def _stood(told: Evidence, line: SupportLine, logged: LoggedFact) -> bool:
    """Tell whether a support was there when a fact was told; one of the same entry, unless it had gone before."""
    if line.since > logged.at or line.until is None or line.until != logged.at:
        return line.since <= logged.at and (line.until is None or logged.at < line.until)
    return any(one.fact.act == line.ended_by for one in told.after_in_entry(logged))


def _holds(told: Evidence, supported: str | None, name: str) -> bool:
    """Tell whether a support under one part can hold up another: a frame's can, the other section's cannot."""
    if supported is None or told.related(supported, name):
        return True
    part = told.vocabulary.part(supported)
    if part is None or part.kind != "structure" or supported in told.held:
        return False
    return not part.broader or told.vocabulary.is_a(name, part.broader)


def _set_down(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find where a section was lifted, and nothing told since says what it stands on."""
    for logged in told.done(rule.acts):
        if (
            logged.fact.item in told.held
            and logged.fact.of != "person"
            and not _is_told(rule, told, logged, since=True)
        ):
            yield Hit(logged)


def _strong_place(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find supports that stand where the type's list marks no strong point."""
    strong = {(point.scheme, point.at) for point in told.vocabulary.stations if point.strong}
    schemes = {scheme for scheme, _ in strong}
    for line in told.lines:
        if line.how != "support" or line.until is not None:
            continue
        weak = tuple(
            place
            for place in line.place or ()
            if (place.scheme in schemes and (place.scheme, place.at) not in strong)
            or (place.scheme == "station" and schemes and _is_between_strong_points(told, line, place))
        )
        first = next((one for one in told.done([line.moves[0].what]) if weak and _is_of_line(one, line)), None)
        if first is not None and not any(
            one.fact.place and same_place(one.fact.place, weak) and one.at >= first.at
            for one in told.done(rule.answers)
        ):
            yield Hit(first, place=weak)


def _is_of_line(logged: LoggedFact, line: SupportLine) -> bool:
    fact = logged.fact
    return (
        logged.at == line.since
        and logged.entry == line.moves[0].entry
        and (fact.act, fact.item) == (line.moves[0].what, line.item)
        and set(line.place or ()) <= set(fact.place or ())
    )


def _is_between_strong_points(told: Evidence, line: SupportLine, place: Place) -> bool:
    """Tell whether a fuselage station is none of the strong points; one that is no number cannot be told."""
    if not told.is_any(line.item, ("fuselage",)) or not re.fullmatch(r"\d+(\.\d+)?", place.at):
        return False
    return all(
        abs(point.inches - float(place.at)) > _SAME_STATION_INCHES
        for point in told.vocabulary.stations
        if point.strong and point.measured_from == "datum"
    )


def _services(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find parts parted or taken off while nobody told that all their services were freed before.

    Only services that this aircraft has count: those of a joint whose number of fasteners the type's list gives, and
    those that somebody has told of at any time. The common list names what some aircraft have.
    """
    for logged in told.done(rule.acts):
        joint = told.joint_of(logged.fact.item)
        if joint is None:
            continue
        missing = tuple(
            name
            for name in joint.services
            if (joint.count is not None or told.of_part(name)) and not _is_freed(rule, told, name, logged)
        )
        if missing:
            yield Hit(logged, missing, about=joint.part)


def _is_freed(rule: Rule, told: Evidence, service: str, logged: LoggedFact) -> bool:
    return all(
        any(
            one.at <= logged.at
            and (_did(one.fact, rule.answers) or _is_not_there(one.fact))
            and _is_on_that_side(one, (side, logged.position))
            for one in told.of_part(service)
        )
        for side in sides(logged.fact.side)
    )


def _is_not_there(fact: MarkedFact) -> bool:
    return fact.status == "seen" and fact.finding == "missing" and not fact.absent


def _before(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find work on a part before which none of the answers was told."""
    for logged in told.done(rule.acts):
        if told.is_any(logged.fact.item, rule.items) and not _is_told(rule, told, logged, since=False):
            yield Hit(logged)


def _after(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find work on a part since which none of the answers was told."""
    for logged in told.done(rule.acts):
        if told.is_any(logged.fact.item, rule.items) and not _is_told(rule, told, logged, since=True):
            yield Hit(logged)


def _is_told(rule: Rule, told: Evidence, logged: LoggedFact, *, since: bool) -> bool:
    """Tell whether an answer was told of each side that a fact is about, since then or before."""
    answers = [
        one
        for one in told.done_on(rule.answers, logged.fact.item)
        if (one.at >= logged.at if since else one.at <= logged.at) and _can_be_there(one, logged)
    ]
    return all(
        any(_is_on_that_side(one, (side, logged.position)) for one in answers) for side in sides(logged.fact.side)
    )


def _can_be_there(one: LoggedFact, other: LoggedFact) -> bool:
    """Tell whether two facts of one part can be of the same place."""
    # of what is moved or lowered, a place is where it went, and of a lift where the slings were
    handled = {one.fact.act, other.fact.act} & {"support", "lift", "lower", "move", "store"}
    return bool(handled) or same_place(one.fact.place, other.fact.place)


def _hazard(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find work, conditions or words that the usual warning goes with."""
    words = re.compile(rf"\b(?:{'|'.join(map(re.escape, rule.words))})\b", re.IGNORECASE) if rule.words else None
    concerned = {item: _is_concerned(rule, told, item) for item in {one.fact.item for one in told.facts}}
    for logged in told.facts:
        fact = logged.fact
        if (words is not None and words.search(logged.sentence)) or (
            concerned[fact.item] and (_did(fact, rule.acts) or _shows(fact, rule.findings))
        ):
            yield Hit(logged)


def _is_concerned(rule: Rule, told: Evidence, item: str | None) -> bool:
    if not rule.items and not rule.kinds:
        return True
    part = told.vocabulary.part(item) if item else None
    return part is not None and (part.kind in rule.kinds or told.is_any(item, rule.items))


def _did(fact: MarkedFact, acts: Container[str | None]) -> bool:
    return fact.status == "done" and fact.act in acts


def _shows(fact: MarkedFact, findings: Container[str | None]) -> bool:
    return fact.status == "seen" and fact.finding in findings and not fact.absent


def _raised(rule: Rule, told: Evidence) -> Iterator[Hit]:
    """Find work under what only lifting gear is told to hold."""
    for logged in told.done(rule.acts):
        if not told.is_any(logged.fact.item, rule.items):
            continue
        gear = [line.by for line in held_up_at(told.lines, logged.at) if _may_be_above(line, logged.fact.side)]
        if any(set(by) & set(rule.by) for by in gear) and all(set(by) <= set(rule.by) for by in gear):
            yield Hit(logged)


def _may_be_above(line: SupportLine, side: Side | None) -> bool:
    return bool(line.by) and same_side(line.side, side)


LOOK: Mapping[str, Callable[[Rule, Evidence], Iterator[Hit]]] = {
    "held-up": _held_up,
    "set-down": _set_down,
    "strong-place": _strong_place,
    "services": _services,
    "before": _before,
    "after": _after,
    "hazard": _hazard,
    "raised": _raised,
}
"""How each kind of rule looks; a rule "off" is not looked for."""
