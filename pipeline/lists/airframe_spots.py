"""Where on the drawing of the aircraft a thing is: by its place, its part or its joint, or nowhere.

A station is a distance aft of the datum, and on a wing outboard of the centre line. Source: FAA-H-8083-31. A spot is
never guessed: what is only known to be in a zone has none.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal

from pipeline.reading.fact import Place, Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.trade.entries import Outline, StationPoint

Point = tuple[float, float]
_BODY, _WING = "fuselage", "mainplane"
_OUTBOARD = frozenset({"rib"})
_JOINED_IN = 5.0  # pieces of one part, such as an inner and an outer flap, lie no farther apart
_SIGN = {"port": -1.0, "starboard": 1.0}


@dataclass(frozen=True)
class Spot:
    """A point of a view: inches aft, then inches to starboard of the centre line (plan) or up (side)."""

    view: Literal["side", "plan"]
    aft: float
    across: float
    zone: str = "any"


class Spots:
    """Finds spots on one type's outlines; without outlines it finds none."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        """Take the outlines and the stations of a vocabulary."""
        self._words = vocabulary
        self._shapes = tuple(sorted(vocabulary.outline, key=lambda one: (one.line, one.shape)))

    @cached_property
    def _stations(self) -> Mapping[tuple[str, str], StationPoint]:
        return {(one.scheme, one.at): one for one in self._words.stations}

    @cached_property
    def _sections(self) -> frozenset[str]:
        """The whole aircraft's large pieces: to be somewhere in one of them is to have no spot."""
        whole = {_BODY, _WING}
        return frozenset(whole | {part.notation for part in self._words.parts if part.broader in whole})

    def spot(
        self, item: str | None, side: Side | None, place: Sequence[Place] | None, joint: str | None = None
    ) -> Spot | None:
        """Return where a thing is drawn, None where that is not known.

        Args:
            item: notation of the part.
            side: one side; None for not told. A part that is there on both sides needs it in the plan.
            place: frames, ribs, stations and spars that were named.
            joint: notation of the joint that it was parted at, used where the part has no outline of its own.
        """
        aft, out = self._distances(item, place or ())
        if out is not None:
            return self._on_wing(item, side, out, aft)
        if aft is not None:
            return self._on_body(side, aft)
        if any(one.scheme in ("frame", "station", "rib") for one in place or ()):
            return None  # a place was told, and this type's lists do not have it
        spar = next((found[0] for one in place or () if (found := self.inches(one.scheme, one.at))), None)
        if spar is not None and item is not None and self._words.is_a(item, _BODY):
            return self._on_body(side, spar)
        return self._of_part(item, side, spar) or self._of_joint(joint, side)

    def inches(self, scheme: str, at: str) -> tuple[float, str] | None:
        """Return how far a frame, rib or station is, and from where; the middle of a range such as "11-12"."""
        known = self._stations
        found = [known[scheme, name] for name in at.split("-") if (scheme, name) in known]
        if not found or len(found) < len(at.split("-")):
            return None
        return sum(one.inches for one in found) / len(found), found[0].measured_from

    def shapes(self, view: str) -> tuple[Outline, ...]:
        """Return the outlines of a view, the lowest first."""
        return tuple(one for one in self._shapes if one.view == view)

    def _distances(self, item: str | None, place: Sequence[Place]) -> tuple[float | None, float | None]:
        """Return inches aft of the datum and outboard of the centre line, as far as the place tells them."""
        aft = out = None
        for one in place:
            found = self.inches(one.scheme, one.at)
            if found is None and one.scheme == "station":
                wing = item is not None and self._words.is_a(item, _WING)
                found = _told(one.at, "centre-line" if wing else "datum")
            if found is None:
                continue
            distance, measured_from = found
            if measured_from == "centre-line":
                out = distance
            elif one.scheme != "spar" or any(other.scheme in _OUTBOARD for other in place):
                aft = distance
        return aft, out

    def _on_wing(self, item: str | None, side: Side | None, out: float, aft: float | None) -> Spot | None:
        if side not in _SIGN:
            return None
        shape = self._wing_at(item, out)
        if shape is None:
            return None
        chord = _chord(shape, out)
        within = aft is not None and chord[0] <= aft <= chord[-1]
        x = aft if within and aft is not None else (chord[0] + chord[-1]) / 2
        return Spot("plan", x, _SIGN[side] * out, shape.zone)

    def _wing_at(self, item: str | None, out: float) -> Outline | None:
        """Return the wing's outline that a rib is in: the part's own, or the only wing that reaches there."""
        there = [
            one
            for one in self.shapes("plan")
            if one.kind == "area" and self._words.is_a(one.part, _WING) and len(_chord(one, out)) > 1
        ]
        own = [one for one in there if item and one.part != _WING and self._words.is_a(item, one.part)]
        if own:
            return own[0]
        parts = {one.part for one in there}
        wings = [
            one
            for one in there
            if (part := self._words.part(one.part)) is not None and part.kind == "structure"
            if not any(other != one.part and self._words.is_a(one.part, other) for other in parts)
        ]
        # a biplane has two, one over the other; a section that begins where another ends is no second wing
        if any(_overlap(one, other) for at, one in enumerate(wings) for other in wings[:at]):
            return None
        return wings[0] if wings else None

    def _on_body(self, side: Side | None, aft: float) -> Spot | None:
        """Return a spot on the body's largest outline there: its middle, or its edge in the plan of a told side."""
        view: Literal["side", "plan"] = "plan" if side in _SIGN else "side"
        found = []
        for shape in self.shapes(view):
            reach = _crossings(_closed(shape), aft)
            if shape.kind == "area" and self._words.is_a(shape.part, _BODY) and reach:
                across = (reach[0] + reach[-1]) / 2 if side not in _SIGN else _SIGN[str(side)] * max(map(abs, reach))
                found.append((_area(shape), Spot(view, aft, across, shape.zone)))
        return max(found, key=lambda one: one[0])[1] if found else None

    def _of_joint(self, joint: str | None, side: Side | None) -> Spot | None:
        """Return a joint's own spot: what crosses a joint of the body is drawn at it, whichever side it is on."""
        own = [one for one in self._shapes if joint and one.part == joint]
        in_pairs = any(one.symmetry == "pair" for one in own)
        return self._of_part(joint, side if in_pairs else None, None)

    def _of_part(self, item: str | None, side: Side | None, spar: float | None) -> Spot | None:
        seen: set[str] = set()
        at = item or ""
        while at and at not in seen and (at == item or at not in self._sections):
            seen.add(at)
            own = [one for one in self._shapes if one.part == at]
            if own:
                return self._of_shapes(own, side, spar)
            part = self._words.part(at)
            at = part.broader if part else ""
        return None

    def _of_shapes(self, own: Sequence[Outline], side: Side | None, spar: float | None) -> Spot | None:
        """Return the middle of a part's one outline; of several of it on a side, nobody told which is meant."""
        plan = [one for one in own if one.view == "plan"]
        from_side = [one for one in own if one.view == "side"]
        if several(plan) or several(from_side):
            return None
        with_side = [one for one in plan if side in _SIGN or one.symmetry != "pair"]
        for shapes in (with_side, from_side) if side in _SIGN else (from_side, with_side):
            if shapes and not (shapes is from_side and side == "starboard"):
                return self._middle_of(max(shapes, key=_area), side, spar)
        return None

    def _middle_of(self, shape: Outline, side: Side | None, spar: float | None) -> Spot:
        aft, across = _middle(shape, spar)
        if shape.view == "plan":
            sign = _SIGN.get(str(side), 1.0)
            if shape.symmetry == "halves":
                across = max(abs(y) for _, y in shape.points) / 2 * sign if side in _SIGN else 0.0
            elif shape.symmetry == "pair":
                across *= sign
        return Spot(shape.view, aft, across, shape.zone)


def _told(at: str, measured_from: str) -> tuple[float, str] | None:
    """Return a station that is said by its distance: "178" is 178 inches."""
    try:
        numbers = [float(number) for number in at.split("-")]
    except ValueError:
        return None
    return sum(numbers) / len(numbers), measured_from


def _closed(shape: Outline) -> list[Point]:
    return [*shape.points, shape.points[0]]


def _crossings(points: Sequence[Point], at: float) -> list[float]:
    """Return, in order, where an outline crosses the line at ``at`` of the first coordinate."""
    found = set()
    for (x, y), (to_x, to_y) in pairwise(points):
        if min(x, to_x) <= at <= max(x, to_x):
            found |= {y, to_y} if x == to_x else {y + (to_y - y) * (at - x) / (to_x - x)}
    return sorted(found)


def _chord(shape: Outline, out: float) -> list[float]:
    return _crossings([(across, along) for along, across in _closed(shape)], out)


def _overlap(one: Outline, other: Outline) -> bool:
    (_, low, _, high), (_, other_low, _, other_high) = _box(one), _box(other)
    return min(high, other_high) - max(low, other_low) > _JOINED_IN


def _box(shape: Outline) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in shape.points], [y for _, y in shape.points]
    return min(xs), min(ys), max(xs), max(ys)


def _middle(shape: Outline, aft: float | None = None) -> Point:
    """Return the middle of an outline, at a distance aft where that is told and lies within it."""
    left, low, right, high = _box(shape)
    middle = aft if aft is not None and left <= aft <= right else (left + right) / 2
    reach = _crossings(_closed(shape), middle)
    return middle, (reach[0] + reach[-1]) / 2 if reach else (low + high) / 2


def _area(shape: Outline) -> float:
    left, low, right, high = _box(shape)
    return (right - left) * (high - low)


def several(shapes: Sequence[Outline]) -> bool:
    """Tell whether outlines of one part, on one side of one view, are several of it: they do not lie side by side."""
    boxes = [_box(one) for one in shapes]
    joined = boxes[:1]
    left = boxes[1:]
    while touching := [one for one in left if any(_touch(one, other) for other in joined)]:
        joined += touching
        left = [one for one in left if one not in touching]
    return bool(left)


def _touch(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return all(one[at] <= other[at + 2] + _JOINED_IN and other[at] <= one[at + 2] + _JOINED_IN for at in (0, 1))
