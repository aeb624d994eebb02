"""Lines on two logarithmic scales, as SVG: black, one accent, each line with its name at its end."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from itertools import pairwise

_WIDE, _HIGH = 760, 460
_LEFT, _RIGHT, _TOP, _BOTTOM = 64, 250, 44, 48
_INK, _FAINT, _ACCENT = "#1a1a1a", "#c9c9c4", "#b0522a"
_APART = 15.0
_FONT = 'font-family="Georgia, serif"'


@dataclass(frozen=True)
class Line:
    """One line: its name, and its points as (x, y), both above nought. ``accent`` sets it off."""

    name: str
    points: Sequence[tuple[float, float]]
    accent: bool = False


def exponent(points: Sequence[tuple[float, float]]) -> float:
    """Return the power of x with which y grows: the slope of the straight line nearest to the logarithms.

    Source: least squares; common practice. Points are (x, y), both above nought; of fewer than two it is 0.
    """
    logs = [(math.log(x), math.log(y)) for x, y in points if x > 0 and y > 0]
    if len({x for x, _ in logs}) < 2:
        return 0.0
    middle_x, middle_y = sum(x for x, _ in logs) / len(logs), sum(y for _, y in logs) / len(logs)
    along = sum((x - middle_x) * (y - middle_y) for x, y in logs)
    return float(along / sum((x - middle_x) ** 2 for x, _ in logs))


def drawn(title: str, across: str, unit: str, lines: Sequence[Line], notes: Mapping[str, str]) -> str:
    """Return the drawing.

    Args:
        title: what it shows.
        across: what runs to the right.
        unit: of what runs up.
        lines: at least one, with at least one point.
        notes: what stands behind a line's name, by name.
    """
    xs = [x for line in lines for x, _ in line.points]
    ys = [y for line in lines for _, y in line.points]
    across_scale = _Scale(min(xs), max(xs), _LEFT, _WIDE - _RIGHT)
    up = _Scale(min(ys), max(ys), _HIGH - _BOTTOM, _TOP)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {_HIGH}" width="{_WIDE}" height="{_HIGH}" '
        f'role="img" aria-label="{escape(title)}"><rect width="{_WIDE}" height="{_HIGH}" fill="#fff"/>',
        _text(_LEFT, 22, title, size=16),
    ]
    for value in across_scale.marks():
        x = across_scale.at(value)
        parts.append(_rule(x, _TOP, x, _HIGH - _BOTTOM))
        parts.append(_text(x, _HIGH - _BOTTOM + 18, f"{value:,g}", anchor="middle"))
    for value in up.marks():
        y = up.at(value)
        parts.append(_rule(_LEFT, y, _WIDE - _RIGHT, y))
        parts.append(_text(_LEFT - 8, y + 4, f"{value:,g}", anchor="end"))
    parts.append(_text((_LEFT + _WIDE - _RIGHT) / 2, _HIGH - 8, across, anchor="middle"))
    parts.append(_text(_LEFT - 8, _TOP - 8, unit, anchor="end"))
    wanted = [up.at(line.points[-1][1]) + 4 for line in lines]
    for line, label_y in zip(lines, _spread(wanted), strict=True):
        colour, wide = (_ACCENT, 2.2) if line.accent else (_INK, 1.1)
        places = [(across_scale.at(x), up.at(y)) for x, y in line.points]
        way = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
        parts.append(f'<polyline points="{way}" fill="none" stroke="{colour}" stroke-width="{wide}"/>')
        parts += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.4" fill="{colour}"/>' for x, y in places]
        end_x, end_y = places[-1]
        name_x = _WIDE - _RIGHT + 22
        parts.append(_rule(end_x + 4, end_y, name_x - 4, label_y - 4, _FAINT))
        parts.append(_text(name_x, label_y, f"{line.name}{notes.get(line.name, '')}", colour=colour))
    return "".join(parts) + "</svg>\n"


@dataclass(frozen=True)
class _Scale:
    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        width = math.log(self.high / self.low) or 1.0
        return self.start + (self.end - self.start) * math.log(value / self.low) / width

    def marks(self) -> list[float]:
        """Return the powers of ten in reach, or ones, twos and fives of them where there are too few."""
        powers = range(math.floor(math.log10(self.low)), math.ceil(math.log10(self.high)) + 1)
        for steps in ((1,), (1, 2, 5)):
            found = [step * 10.0**power for power in powers for step in steps]
            found = [value for value in found if self.low * 0.999 <= value <= self.high * 1.001]
            if len(found) > 2:
                break
        return found


def _spread(wanted: Sequence[float]) -> list[float]:
    """Return places near those wanted, none nearer to another than a line of writing."""
    order = sorted(range(len(wanted)), key=lambda at: wanted[at])
    placed = list(wanted)
    for before, after in pairwise(order):
        placed[after] = max(placed[after], placed[before] + _APART)
    over = max(0.0, max(placed) - (_HIGH - _BOTTOM))
    for at in reversed(order):  # what stands below the drawing is pushed up again
        above = [placed[other] for other in order[order.index(at) + 1 :]]
        placed[at] = min(placed[at], *(one - _APART for one in above)) if above else placed[at] - over
    return placed


def _text(x: float, y: float, text: str, anchor: str = "start", size: int = 12, colour: str = _INK) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" {_FONT} font-size="{size}" fill="{colour}" text-anchor="{anchor}">'
        f"{escape(text)}</text>"
    )


def _rule(x1: float, y1: float, x2: float, y2: float, colour: str = _FAINT) -> str:
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" stroke-width="0.6"/>'
