"""The aircraft from the side and from above as lines and marks: where each goes, in pixels.

The side is seen from port with the nose to the left; from above the nose is to the left too, so that port is below.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from pipeline.lists.airframe import STATES, Airframe, Drawn, State, Thing
from pipeline.trade.entries import Outline, StationPoint
from pipeline.writing.airframe_words import counts_of

View = Literal["side", "plan"]
_Group = tuple[float, float, tuple[Thing, ...]]
WIDTH_PX = 450.0
_SMALL_PX: dict[View, float] = {"side": 220.0, "plan": 150.0}
_SPAN_PX, _SMALL_SPAN_PX = 540.0, 260.0
_PAD_PX, _ROW_PX = 22.0, 16.0
_GLYPH_PX, _COUNT_PX, _GLYPH_ROW_PX, _BESIDE_PX = 13.0, 9.0, 14.0, 18.0
_TO_NUMBER_PX = 24.0
_NEAR_PX, _EDGE_PX = 15.0, 16.0
_APART_PX = 25.0
_FIRST: tuple[State, ...] = ("found", "open", "off", "done")


@dataclass(frozen=True)
class DrawnOutline:
    """An outline as drawn: its path, and how it looks."""

    path: str
    look: str


@dataclass(frozen=True)
class Glyph:
    """A sign of a state, with how many things it stands for; ``hollow``: a finding with work on it since."""

    state: State
    x: float
    y: float
    count: int = 1
    hollow: bool = False


@dataclass(frozen=True)
class Mark:
    """All that is at one spot: its sign there, its number at the edge, and the line between them."""

    number: int
    sign: Glyph
    x: float
    y: float
    glyphs: tuple[Glyph, ...]
    things: tuple[Thing, ...]


@dataclass(frozen=True)
class Tick:
    """A frame as a thin line over the body; ``label`` only where it is written."""

    x: float
    top: float
    bottom: float
    strong: bool
    label: str


@dataclass(frozen=True)
class Drawing:
    """One view: its size in pixels, and everything in it; frames lie over ``under`` and below ``over``."""

    view: View
    width: float
    height: float
    under: tuple[DrawnOutline, ...]
    over: tuple[DrawnOutline, ...]
    ticks: tuple[Tick, ...]
    marks: tuple[Mark, ...]
    supports: tuple[tuple[float, float, float], ...]
    middle: float
    ends: tuple[float, float]
    tips: float


def views(frame: Airframe, stations: Sequence[StationPoint], *, numbered: bool = True) -> tuple[Drawing, ...]:
    """Return the side view and the plan, as far as there are outlines for them.

    Args:
        frame: what there is to see.
        stations: of the type; frames are drawn on the side view.
        numbered: with numbers at the edge, for a list beside it; without, there is no room kept for them.
    """
    made = []
    number = 1
    order: tuple[View, ...] = ("plan", "side")
    for view in order:
        if any(one.outline.view == view for one in frame.drawn):
            sheet = _Sheet(frame, view, numbered)
            made.append(sheet.drawing(stations, number))
            number += len(made[-1].marks)
    return tuple(made)


def points_of(one: Drawn) -> list[tuple[float, float]]:
    """Return an outline's points as they stand: inches aft, inches to starboard or up."""
    shape, points = one.outline, list(one.outline.points)
    if shape.view == "side":
        return points
    if shape.symmetry == "halves":
        return points + [(aft, -across) for aft, across in reversed(points)]
    sign = -1.0 if one.side == "port" else 1.0
    return [(aft, sign * across) for aft, across in points]


class _Sheet:
    """The measures of one view, and its parts one by one."""

    def __init__(self, frame: Airframe, view: View, numbered: bool) -> None:
        self._frame, self._view, self._numbered = frame, view, numbered
        self._above = 0.0
        self._drawn = [one for one in frame.drawn if one.outline.view == view]
        everything = [point for one in self._drawn for point in points_of(one)]
        self._nose, self._aft = min(x for x, _ in everything), max(x for x, _ in everything)
        self._top, self._bottom = max(y for _, y in everything), min(y for _, y in everything)
        self._left, self._right = (self._side(left) for left in (True, False))
        most = WIDTH_PX - self._left - self._right if numbered else _SMALL_PX[view]
        span = _SPAN_PX if numbered else _SMALL_SPAN_PX
        self._scale = min(most / max(self._aft - self._nose, 1.0), span / max(self._top - self._bottom, 1.0))
        # a short, broad aircraft does not fill the width: it stands in the middle of what is left
        used = (self._aft - self._nose) * self._scale
        self._left += (most - used) / 2
        self.width = WIDTH_PX if numbered else round(used + 2 * self._left, 1)
        near = _NEAR_PX
        self._groups = self._sorted(_gathered(self._placed(), near))
        while numbered and self._too_many():
            near += _NEAR_PX
            self._groups = self._sorted(_gathered(self._placed(), near))
        self._above, self._below = (self._edge(above) for above in (True, False))
        self.height = round(self._above + (self._top - self._bottom) * self._scale + self._below, 1)

    def _sorted(self, groups: Sequence[_Group]) -> dict[bool, list[_Group]]:
        """Return the groups of a side view over and under the middle of the body; of a plan, all as one."""
        body = self.y(0)
        return {
            above: [one for one in groups if (one[1] <= body + 1) == above or (above and self._view == "plan")]
            for above in (True, False)
        }

    def _too_many(self) -> bool:
        """Tell whether more numbers are to stand in a row than it has room for."""
        if self._view == "side":
            return any((len(own) - 1) * (_APART_PX + 4) > WIDTH_PX - 2 * _EDGE_PX for own in self._groups.values())
        middle, high = self.x((self._nose + self._aft) / 2), (self._top - self._bottom) * self._scale
        at_left = sum(one[0] < middle for one in self._groups[True])
        most = max(at_left, len(self._groups[True]) - at_left)
        return (most - 1) * _APART_PX > high + 2 * _PAD_PX - 2 * _EDGE_PX

    def _is_left(self, aft: float) -> bool:
        return aft < (self._nose + self._aft) / 2

    def _side(self, left: bool) -> float:
        """Return how much room is left before or behind the aircraft: for numbers with their signs in a plan."""
        own = [
            one.state
            for one in self._frame.things
            if one.spot and one.spot.view == self._view == "plan" and self._is_left(one.spot.aft) == left
        ]
        if not self._numbered:
            return 14.0
        numbers = [own.count(state) for state in _FIRST if state in own]
        return _TO_NUMBER_PX + _BESIDE_PX + sum(map(_breadth, numbers)) if numbers else _PAD_PX

    def _edge(self, above: bool) -> float:
        """Return how much room is left over or under the aircraft: for numbers with their signs in a side view."""
        most = max((len(counts_of(own)) for _, _, own in self._groups[above]), default=0)
        if not (self._numbered and most and self._view == "side"):
            return _PAD_PX
        return _ROW_PX + most * _GLYPH_ROW_PX + _PAD_PX

    def x(self, aft: float) -> float:
        return round(self._left + (aft - self._nose) * self._scale, 1)

    def y(self, across: float) -> float:
        return round(self._above + (self._top - across) * self._scale, 1)

    def drawing(self, stations: Sequence[StationPoint], first: int) -> Drawing:
        # frames show on the body, and not on the nacelle or the wing in front of it
        body = max((at for at, one in enumerate(self._drawn) if one.outline.symmetry != "pair"), default=-1) + 1
        lines = [self._line(one) for one in self._drawn]
        return Drawing(
            view=self._view,
            width=self.width,
            height=self.height,
            under=tuple(lines[:body]),
            over=tuple(lines[body:]),
            ticks=tuple(self._ticks(stations)) if self._view == "side" else (),
            marks=tuple(self._marks(first)),
            supports=tuple(self._supports()),
            middle=self.y(0),
            ends=(self.x(self._nose), self.x(self._aft)),
            tips=self._tips(),
        )

    def _tips(self) -> float:
        """Return where the farthest point off the centre line stands along the aircraft: in a plan, the wing tips."""
        own = [point for one in self._drawn for point in points_of(one)]
        out = max(abs(across) for _, across in own)
        tip = [aft for aft, across in own if abs(across) > out - 10]
        return self.x((min(tip) + max(tip)) / 2)

    def _line(self, one: Drawn) -> DrawnOutline:
        places = [f"{self.x(aft):g} {self.y(across):g}" for aft, across in points_of(one)]
        kind = one.outline.kind
        closed = "" if kind == "line" else "Z"
        look = f"{kind} off" if one.off else f"{kind} open" if self._is_open(one) else kind
        return DrawnOutline(f"M{'L'.join(places)}{closed}", look)

    def _is_open(self, one: Drawn) -> bool:
        return one.outline.kind == "line" and any(
            thing.state == "open" and thing.item == one.outline.part and thing.side in (None, one.side)
            for thing in self._frame.things
        )

    def _ticks(self, stations: Sequence[StationPoint]) -> Iterable[Tick]:
        frames = sorted((one for one in stations if one.scheme == "frame"), key=lambda one: one.inches)
        sections = [one.outline for one in self._drawn if one.outline.kind == "area" and not one.outline.symmetry]
        last = float("-inf")
        for one in frames:
            # of all that an upright crosses, the body is what is longest; a canopy only stands on it
            reached = [shape for shape in sections if crossed(shape, one.inches)]
            if not reached:
                continue
            reach = crossed(max(reached, key=_length), one.inches)
            x = self.x(one.inches)
            label = one.at if one.strong and x - last > 16 else ""
            last = x if label else last
            yield Tick(x, self.y(max(reach)), self.y(min(reach)), one.strong, label)

    def _supports(self) -> Iterable[tuple[float, float, float]]:
        for one in self._frame.things:
            if one.state == "support" and one.place and one.spot and one.spot.view == self._view == "side":
                yield self.x(one.spot.aft), self.y(one.spot.across), self.y(self._bottom)

    def _placed(self) -> list[tuple[float, float, Thing]]:
        return [
            (self.x(one.spot.aft), self.y(one.spot.across), one)
            for one in self._frame.things
            if one.spot is not None and one.spot.view == self._view and one.state != "support"
        ]

    def _marks(self, first: int) -> list[Mark]:
        groups = {
            above: [(x, round(y + self._above, 1), own) for x, y, own in own_groups]
            for above, own_groups in self._groups.items()
        }
        if not self._numbered:
            both = groups[True] if self._view == "plan" else [*groups[True], *groups[False]]
            return [_plain(x, y, own) for x, y, own in both]
        return self._at_sides(groups[True], first) if self._view == "plan" else self._in_rows(groups, first)

    def _at_sides(self, groups: Sequence[_Group], first: int) -> list[Mark]:
        made: list[Mark] = []
        middle = self.x((self._nose + self._aft) / 2)
        for left in (True, False):
            own = sorted((one for one in groups if (one[0] < middle) == left), key=lambda one: (one[1], one[0]))
            places = spread([y for _, y, _ in own], _APART_PX, (_EDGE_PX, self.height - _EDGE_PX))
            edge, outwards = (
                (self.x(self._nose) - _TO_NUMBER_PX, -1) if left else (self.x(self._aft) + _TO_NUMBER_PX, 1)
            )
            for (x, y, things), at in zip(own, places, strict=True):
                glyphs, away = [], _BESIDE_PX
                for one in _glyphs(things):
                    # a count stands to the right of its sign, so at the left it takes its room before it
                    shift = _breadth(one.count) - _GLYPH_PX if left else 0.0
                    x_px = round(edge + outwards * (away + shift), 1)
                    glyphs.append(Glyph(one.state, x_px, at, one.count, one.hollow))
                    away += _breadth(one.count)
                made.append(Mark(first + len(made), _sign(x, y, things), edge, at, tuple(glyphs), things))
        return made

    def _in_rows(self, groups: Mapping[bool, Sequence[_Group]], first: int) -> list[Mark]:
        made: list[Mark] = []
        for above in (True, False):
            own = sorted(groups[above], key=lambda one: (one[0], one[1]))
            places = spread([x for x, _, _ in own], _APART_PX + 4, (_EDGE_PX, WIDTH_PX - _EDGE_PX))
            edge, outwards = (self._above - 14, -1) if above else (self.height - self._below + 18, 1)
            for (x, y, things), at in zip(own, places, strict=True):
                glyphs = tuple(
                    Glyph(one.state, at, edge + outwards * (18.0 + turn * _GLYPH_ROW_PX), one.count, one.hollow)
                    for turn, one in enumerate(_glyphs(things))
                )
                made.append(Mark(first + len(made), _sign(x, y, things), at, edge, glyphs, things))
        return made


def _length(shape: Outline) -> float:
    return max(aft for aft, _ in shape.points) - min(aft for aft, _ in shape.points)


def crossed(shape: Outline, aft: float) -> list[float]:
    """Return where an outline of the body crosses an upright at a distance aft of the datum."""
    found = []
    for (x, y), (to_x, to_y) in pairwise([*shape.points, shape.points[0]]):
        if x != to_x and min(x, to_x) <= aft <= max(x, to_x):
            found.append(y + (to_y - y) * (aft - x) / (to_x - x))
    return found


def spread(wanted: Sequence[float], apart: float, within: tuple[float, float]) -> list[float]:
    """Return places in the order wanted, no two nearer than ``apart``, each near where it was wanted.

    Where they do not all fit within the bounds, they stand closer, at even distances.
    """
    if not wanted:
        return []
    low, high = within
    apart = min(apart, (high - low) / max(1, len(wanted) - 1))
    places: list[float] = []
    for one in wanted:
        places.append(max(one, low, places[-1] + apart if places else low))
    limit = high
    for at in range(len(places) - 1, -1, -1):
        places[at] = min(places[at], limit)
        limit = places[at] - apart
    return [round(one, 1) for one in places]


def _gathered(placed: Iterable[tuple[float, float, Thing]], near_px: float) -> list[_Group]:
    """Put together what is at one spot, or too near to another to be drawn apart."""
    groups: list[tuple[float, float, list[Thing]]] = []
    for x, y, thing in sorted(placed, key=lambda one: (one[0], one[1])):
        near = [one for one in groups if abs(one[0] - x) < near_px and abs(one[1] - y) < near_px]
        if near:
            near[0][2].append(thing)
        else:
            groups.append((x, y, [thing]))
    return [(x, y, tuple(own)) for x, y, own in groups]


def _breadth(count: int) -> float:
    return _GLYPH_PX + (_COUNT_PX * len(str(count)) if count > 1 else 0.0)


def _glyphs(things: Sequence[Thing]) -> list[Glyph]:
    numbers = counts_of(things)
    return [Glyph(state, 0, 0, numbers[state], _hollow(state, things)) for state in STATES if state in numbers]


def _hollow(state: State, things: Sequence[Thing]) -> bool:
    return state == "found" and all(one.since for one in things if one.state == "found")


def _sign(x: float, y: float, things: Sequence[Thing]) -> Glyph:
    states = {one.state for one in things}
    first = next(state for state in _FIRST if state in states)
    return Glyph(first, x, round(y, 1), 1, _hollow(first, things))


def _plain(x: float, y: float, things: tuple[Thing, ...]) -> Mark:
    sign = _sign(x, y, things)
    return Mark(0, Glyph(sign.state, x, y, len(things), sign.hollow), x, y, (), things)
