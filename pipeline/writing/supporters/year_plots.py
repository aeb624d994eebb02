"""Bars by month as SVG: every number stands at its bar, so that no colour and no axis need be read."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from pipeline.writing.english import month

_WIDE, _HIGH, _TOP, _BOTTOM = 600, 190, 24, 28
_FILLS = ("#4c6310", "#b0752a")


@dataclass(frozen=True)
class Bars:
    """One kind of bar: its name, and how many by month (1 to 12)."""

    name: str
    count: Mapping[int, int]


def months_drawn(title: str, bars: Sequence[Bars], until: int = 12) -> str:
    """Return the drawing: the months of the year so far, for each as many bars side by side as there are kinds.

    Args:
        title: what it shows, for those who do not see it.
        bars: the kinds of bars; names and title are this program's own words.
        until: the last month (1 to 12) that the year has come to; none after it is drawn.
    """
    most = max([count for one in bars for count in one.count.values()], default=0) or 1
    slot = _WIDE / until
    wide = min(40.0, (slot - 12) / len(bars))
    room = _HIGH - _TOP - _BOTTOM
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {_HIGH}" width="{_WIDE}" height="{_HIGH}" '
        f'role="img" aria-label="{title}: {_in_words(bars)}" class="plot" style="max-width:100%;height:auto">'
    ]
    base = _HIGH - _BOTTOM
    for number in range(1, until + 1):
        middle = (number - 0.5) * slot
        for index, one in enumerate(bars):
            count = one.count.get(number, 0)
            if not count:
                continue
            left = middle + (index - len(bars) / 2) * wide
            high = room * count / most
            parts.append(
                f'<rect x="{left + 1:.1f}" y="{base - high:.1f}" width="{wide - 2:.1f}" height="{high:.1f}" '
                f'fill="{_FILLS[index]}" class="bar{index}"/>'
            )
            parts.append(
                f'<text x="{left + wide / 2:.1f}" y="{base - high - 5:.1f}" text-anchor="middle" font-size="14" '
                f'fill="currentColor">{count}</text>'
            )
        name = month(date(2000, number, 1))[0]
        parts.append(
            f'<text x="{middle:.1f}" y="{_HIGH - 8}" text-anchor="middle" font-size="14" '
            f'fill="currentColor">{name}</text>'
        )
    parts.append(f'<line x1="0" y1="{base}" x2="{_WIDE}" y2="{base}" stroke="currentColor" stroke-width="1"/></svg>')
    if len(bars) > 1:
        parts.append(_legend(bars))
    return "".join(parts)


def _legend(bars: Sequence[Bars]) -> str:
    return '<p class="legend">' + " ".join(
        f'<span><svg width="12" height="12" aria-hidden="true"><rect width="12" height="12" fill="{_FILLS[index]}" '
        f'class="bar{index}"/></svg> {one.name}</span>'
        for index, one in enumerate(bars)
    ) + "</p>"  # fmt: skip


def _in_words(bars: Sequence[Bars]) -> str:
    said = []
    for one in bars:
        counts = ", ".join(f"{month(date(2000, at, 1))} {count}" for at, count in sorted(one.count.items()) if count)
        said.append(f"{one.name}: {counts}")
    return "; ".join(said)
