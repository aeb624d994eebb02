"""The way back as a drawing: boxes in rows down the page, an assembly at a time, lines from what comes first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pipeline.lists.reassembly_order import without_detours
from pipeline.records import BookRecord, WayBack
from pipeline.writing.pages import page
from pipeline.writing.terms import Terms
from pipeline.writing.way_back_words import assembly_text, by_assembly, done_text, hold_text, notes_of, step_text

_BOX_PX, _GAP_PX, _LINE_PX, _PAD_PX, _ROW_GAP_PX = 244, 20, 15, 8, 34
_LANE_PX = 14
_MOST_IN_A_ROW = 3
_COLUMNS = 37
_ROW_PX = _MOST_IN_A_ROW * _BOX_PX + (_MOST_IN_A_ROW - 1) * _GAP_PX
_MARGIN_PX = 24


@dataclass(frozen=True)
class Box:
    """A step or a hold point: its lines of text, where it stands, and the lines that point to other assemblies."""

    id: str
    title: str
    lines: tuple[str, ...]
    bold: int
    hold: bool
    done: bool
    x: float = 0.0
    y: float = 0.0

    @property
    def height(self) -> float:
        """Return its height in pixels."""
        return len(self.lines) * _LINE_PX + 2 * _PAD_PX

    @property
    def middle(self) -> float:
        """Return where its middle stands, in pixels from the left."""
        return self.x + _BOX_PX / 2


@dataclass(frozen=True)
class Part:
    """An assembly as drawn: its boxes, and the paths between them."""

    title: str
    y: float
    boxes: tuple[Box, ...]
    paths: tuple[str, ...]
    width: float
    height: float


def way_back_drawing(way: WayBack, terms: Terms, book: BookRecord, page_place: str) -> str:
    """Return the drawing as SVG: an assembly below the other, and in each, what comes first stands higher."""
    numbers = {one: at for at, one in enumerate(way.order, start=1)}
    edges = _all_edges(way)
    parts: list[Part] = []
    y = 120.0
    for title, ids in _assemblies(way, terms):
        part = _part(title, ids, edges, _boxes(way, terms, numbers, edges, ids), y)
        parts.append(part)
        y += part.height + 60
    return page(
        "way-back/drawing.svg",
        book=book,
        parts=parts,
        width=round(max((part.width for part in parts), default=_ROW_PX + 2 * _MARGIN_PX)),
        height=round(y),
        box=_BOX_PX,
        line=_LINE_PX,
        pad=_PAD_PX,
        page=page_place,
    )


def _all_edges(way: WayBack) -> tuple[tuple[str, str], ...]:
    edges = [(one.before, one.after) for one in way.edges if not one.left_out]
    for hold in way.hold_points:
        edges += [(step, hold.id) for step in hold.after] + [(hold.id, step) for step in hold.before]
    return without_detours(way.order, edges)


def _assemblies(way: WayBack, terms: Terms) -> list[tuple[str, list[str]]]:
    return [(assembly_text(one, terms), ids) for one, ids in by_assembly(way, terms)]


def _boxes(
    way: WayBack,
    terms: Terms,
    numbers: Mapping[str, int],
    edges: Sequence[tuple[str, str]],
    ids: Sequence[str],
) -> dict[str, Box]:
    steps = {step.id: step for step in way.steps}
    holds = {hold.id: hold for hold in way.hold_points}
    here = set(ids)
    boxes = {}
    for one in ids:
        elsewhere = sorted(numbers[first] for first, after in edges if after == one and first not in here)
        if one in steps:
            step = steps[one]
            text, more = step_text(step, terms), [done_text(step), *notes_of(step, terms)[:1]]
        else:
            text, more = f"Hold: {hold_text(holds[one], terms)}", []
        if elsewhere:
            more.append(f"After no. {', '.join(map(str, elsewhere))} of other sheets")
        what = _wrapped(f"{numbers[one]}. {text}")
        rest = [line for note in more if note for line in _wrapped(note)]
        boxes[one] = Box(
            id=one,
            title=" ".join((text, *more)).strip(),
            lines=(*what, *rest),
            bold=len(what),
            hold=one in holds,
            done=one in steps and steps[one].done_on is not None,
        )
    return boxes


def _wrapped(text: str) -> list[str]:
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > _COLUMNS:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return [line if len(line) <= _COLUMNS else line[: _COLUMNS - 1] + "…" for line in lines]


def _part(title: str, ids: Sequence[str], edges: Sequence[tuple[str, str]], boxes: dict[str, Box], y: float) -> Part:
    inside = [(first, after) for first, after in edges if first in boxes and after in boxes]
    rows = _rows(ids, inside)
    row_of = {one: at for at, row in enumerate(rows) for one in row}
    tops, heights, at_y = [], [], 0.0
    for row in rows:
        tops.append(at_y)
        heights.append(max(boxes[one].height for one in row))
        at_y += heights[-1] + _ROW_GAP_PX
    lanes = _lanes(inside, row_of)
    gutter = _MARGIN_PX + _LANE_PX * (max(lanes.values(), default=-1) + 1)
    placed: dict[str, Box] = {}
    for at, row in enumerate(rows):
        wide = len(row) * _BOX_PX + (len(row) - 1) * _GAP_PX
        left = gutter + (_ROW_PX - wide) / 2
        for place, one in enumerate(_by_what_comes_first(row, inside, placed)):
            placed[one] = replace(boxes[one], x=left + place * (_BOX_PX + _GAP_PX), y=tops[at])
    paths = tuple(
        _path(placed[first], placed[after], (tops[row_of[first]] + heights[row_of[first]], tops[row_of[after]]), lane)
        for first, after in inside
        for lane in [gutter - _LANE_PX * (lanes[first, after] + 1) if (first, after) in lanes else None]
    )
    return Part(title, y, tuple(placed[one] for one in ids), paths, gutter + _ROW_PX + _MARGIN_PX, at_y)


def _rows(ids: Sequence[str], edges: Sequence[tuple[str, str]]) -> list[list[str]]:
    """Put each as high as what comes first allows; a row that would be too wide goes on in the next."""
    depth = dict.fromkeys(ids, 0)
    before: dict[str, list[str]] = {one: [] for one in ids}
    for first, after in edges:
        before[after].append(first)
    for one in ids:
        depth[one] = max((depth[first] + 1 for first in before[one]), default=0)
    rows: list[list[str]] = []
    for level in sorted(set(depth.values())):
        row = [one for one in ids if depth[one] == level]
        rows += [row[at : at + _MOST_IN_A_ROW] for at in range(0, len(row), _MOST_IN_A_ROW)]
    return rows


def _by_what_comes_first(
    row: Sequence[str], edges: Sequence[tuple[str, str]], placed: Mapping[str, Box]
) -> list[str]:
    """Sort a row so that each stands near the middle of what leads to it."""

    def middle(one: str) -> float:
        above = [placed[first].middle for first, after in edges if after == one and first in placed]
        return sum(above) / len(above) if above else _ROW_PX / 2

    return sorted(row, key=lambda one: (middle(one), row.index(one)))


def _lanes(edges: Sequence[tuple[str, str]], row_of: Mapping[str, int]) -> dict[tuple[str, str], int]:
    """Give each line that passes a row a lane at the side, as few lanes as do without two in one."""
    lanes: dict[tuple[str, str], int] = {}
    free_from: list[int] = []
    for edge in sorted(edges, key=lambda one: (row_of[one[0]], row_of[one[1]])):
        start, end = row_of[edge[0]], row_of[edge[1]]
        if end - start < 2:
            continue
        lane = next((at for at, free in enumerate(free_from) if free <= start), len(free_from))
        if lane == len(free_from):
            free_from.append(0)
        free_from[lane] = end
        lanes[edge] = lane
    return lanes


def _path(first: Box, after: Box, between: tuple[float, float], lane: float | None) -> str:
    """Return a line from the foot of one box to the head of another: straight down, or by a lane at the side.

    Args:
        first: where it begins.
        after: where it ends.
        between: the foot of the first box's row, and the head of the other's.
        lane: the lane's place, None for a line to the next row.
    """
    start, end = first.y + first.height, after.y - 5
    below, above = between[0] + _ROW_GAP_PX / 3, between[1] - _ROW_GAP_PX / 2
    x, to = first.middle, after.middle
    if lane is None:
        return f"M{x:.0f} {start:.0f}V{below:.0f}C{x:.0f} {end:.0f} {to:.0f} {below:.0f} {to:.0f} {end:.0f}"
    return f"M{x - 20:.0f} {start:.0f}V{below:.0f}H{lane:.0f}V{above:.0f}H{to - 20:.0f}V{end:.0f}"
