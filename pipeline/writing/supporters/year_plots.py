"""Bars by month as SVG: every number stands at its bar, so that no colour and no axis need be read."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from pipeline.english import month

# As wide as a phone shows it, so that its letters are as large there as those of the text beside it.
_WIDE, _NAME, _FIGURE, _BAR, _APART = 320, 86, 34, 17, 9
_FILLS = ("#4c6310", "#b0752a")


@dataclass(frozen=True)
class Bars:
    """One kind of bar: its name, and how many by month (1 to 12)."""

    name: str
    count: Mapping[int, int]


def months_drawn(title: str, bars: Sequence[Bars], since: int = 1, until: int = 12) -> str:
    """Return the drawing: a row for each month of the year so far, in it as many bars as there are kinds.

    Args:
        title: what it shows, for those who do not see it.
        bars: the kinds of bars; names and title are this program's own words.
        since: the first month (1 to 12) that the book tells of; none before it is drawn.
        until: the last month that the year has come to; none after it is drawn.
    """
    most = max([count for one in bars for count in one.count.values()], default=0) or 1
    row = _BAR * len(bars) + _APART
    high = row * (until - since + 1)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {high}" width="{_WIDE}" height="{high}" '
        f'role="img" aria-label="{title}: {_in_words(bars)}" class="plot months">'
    ]
    for number in range(since, until + 1):
        top = (number - since) * row + _APART / 2
        # in full: "Jan" alone is a name as well, and would be taken out as a stranger's
        parts.append(_letters(0, top + row / 2 - _APART / 2, month(date(2000, number, 1))))
        for index, one in enumerate(bars):
            if count := one.count.get(number, 0):
                parts += _bar(index, count, (_WIDE - _NAME - _FIGURE) * count / most, top + index * _BAR)
    parts.append(f'<line x1="{_NAME}" y1="0" x2="{_NAME}" y2="{high}" stroke="currentColor" stroke-width="1"/></svg>')
    if len(bars) > 1:
        parts.append(_legend(bars))
    return "".join(parts)


def _bar(index: int, count: int, wide: float, top: float) -> list[str]:
    return [
        f'<rect x="{_NAME}" y="{top + 1:.1f}" width="{wide:.1f}" height="{_BAR - 2}" '
        f'fill="{_FILLS[index]}" class="bar{index}"/>',
        _letters(_NAME + wide + 6, top + _BAR / 2, str(count)),
    ]


def _letters(x: float, middle: float, text: str) -> str:
    return f'<text x="{x:.1f}" y="{middle + 5:.1f}" font-size="15" fill="currentColor">{text}</text>'


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
