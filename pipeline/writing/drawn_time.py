"""Time as it runs down a drawing: a minute is as tall as what happened in it needs; empty stretches are shortened.

The way from time to height is never turned back: what happened later is never drawn higher.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MINUTE_S = 60
LEAST_PX = 34.0
"""How tall a minute is in which little happened."""
SHORTENED_PX = 46.0
_EMPTY_KEPT = 3  # so many empty minutes between two that are not are drawn at full height


@dataclass(frozen=True)
class Band:
    """A minute, or an empty stretch that is drawn shortened; seconds since 1970 UTC, pixels from the top."""

    from_s: int
    to_s: int
    top: float
    bottom: float
    shortened: bool = False


@dataclass(frozen=True)
class DrawnTime:
    """The bands of one drawing, without a hole between them."""

    bands: tuple[Band, ...]

    @classmethod
    def of(cls, needs_px: Mapping[int, float]) -> "DrawnTime":
        """Lay out time.

        Args:
            needs_px: for each minute in which something happened (seconds since 1970 UTC at its start) how tall it
                must be at least.
        """
        bands: list[Band] = []
        top = 0.0
        for minute in sorted(needs_px):
            start = bands[-1].to_s if bands else minute
            empty = (minute - start) // MINUTE_S
            if empty > _EMPTY_KEPT:
                bands.append(Band(start, minute, top, top + SHORTENED_PX, shortened=True))
                top += SHORTENED_PX
            else:
                for one in range(start, minute, MINUTE_S):
                    bands.append(Band(one, one + MINUTE_S, top, top + LEAST_PX))
                    top += LEAST_PX
            height = max(LEAST_PX, needs_px[minute])
            bands.append(Band(minute, minute + MINUTE_S, top, top + height))
            top += height
        return cls(tuple(bands))

    @property
    def height(self) -> float:
        """How tall the whole is."""
        return self.bands[-1].bottom if self.bands else 0.0

    def y(self, at_s: float) -> float:
        """Return how far down an instant is; before the first band it is the top, after the last the bottom."""
        if not self.bands or at_s <= self.bands[0].from_s:
            return 0.0
        band = self.bands[bisect_right(self.bands, at_s, key=lambda one: one.from_s) - 1]
        share = min(1.0, (at_s - band.from_s) / (band.to_s - band.from_s))
        return band.top + share * (band.bottom - band.top)

    def stretches(self) -> tuple[tuple[Band, ...], ...]:
        """Return the minutes that follow one another without a shortened stretch between them."""
        found: list[list[Band]] = [[]]
        for band in self.bands:
            if band.shortened:
                found.append([])
            else:
                found[-1].append(band)
        return tuple(tuple(one) for one in found if one)

    def on_one_stretch(self, one_s: float, other_s: float) -> bool:
        """Tell whether two instants are both drawn, with nothing shortened between them."""
        first, last = min(one_s, other_s), max(one_s, other_s)
        return any(bands[0].from_s <= first and last < bands[-1].to_s for bands in self.stretches())


def minute_of(at_s: float) -> int:
    """Return the start of the minute that an instant is in, in seconds since 1970 UTC."""
    return int(at_s // MINUTE_S) * MINUTE_S


def spread(wanted: Sequence[float], apart: float, top: float, bottom: float) -> list[float]:
    """Return places near those wanted, in their order, at least ``apart`` from one another, between top and bottom.

    Where they don't all fit, the first is at the top and the last stands below the bottom.

    Args:
        wanted: sorted places.
    """
    # Less its turn times the distance, the places must only not go back: blocks of equals, each at its mean (the pool
    # adjacent violators algorithm; common practice, from memory).
    blocks: list[tuple[float, int]] = []
    for turn, place in enumerate(wanted):
        total, count = place - turn * apart, 1
        while blocks and blocks[-1][0] / blocks[-1][1] >= total / count:
            total, count = total + blocks[-1][0], count + blocks[-1][1]
            blocks.pop()
        blocks.append((total, count))
    low = top
    high = max(top, bottom - (len(wanted) - 1) * apart)
    level = [min(max(total / count, low), high) for total, count in blocks for _ in range(count)]
    return [place + turn * apart for turn, place in enumerate(level)]
