"""How far one device's clock was out, at every moment of it."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise

from pipeline.dating.lines import Track
from pipeline.dating.zones import seconds
from pipeline.values import Clock

WORTH_MOVING_S = 2.0
"""Fixes and shutters differ by a second or so: a clock that is right to that much is left alone."""
_LONG_S = 43_200.0  # in half a day without photos a clock may be set as well as in a year
_HARDLY = 0.05  # so unlikely it must be that a clock was set just there


@dataclass(frozen=True)
class DeviceClock:
    """The fits of one device's clock in order, each with its track (None where it was pinned or nothing tells).

    ``order`` gives the place of each piece of media among the events that the tracks are made of, ``shown_s`` what
    the device showed at each of these. ``least_s`` is the least that it is corrected by.
    """

    fits: tuple[tuple[Clock, Track | None], ...]
    order: Mapping[str, int]
    shown_s: Sequence[float] = ()
    least_s: float = WORTH_MOVING_S

    def at(self, media: str, shown_s: float) -> tuple[Clock, float]:
        """Return the fit that a piece of media falls in, and what the clock was out by (s) when it showed that."""
        index = self.order.get(media)
        if index is None:
            fit, track = min(self.fits, key=lambda fit: _outside_s(fit[0], shown_s))
        else:
            fit, track = self.fits[bisect_right(self._lasts, index)]
        return fit, track.offset_at(shown_s) if track is not None else fit.offset_s

    def unclear_s(self, media: str) -> float:
        """Return by how much a time may be out because nothing near it tells the clock's hour; mostly 0."""
        index = self.order.get(media)
        track = self.fits[bisect_right(self._lasts, index)][1] if index is not None else None
        return track.unclear_s if track is not None else 0.0

    def between_settings_s(self, media: str) -> float:
        """Return by how much a time may be out because the clock was set anew just before it or just after; mostly 0.

        Such a photo comes after the last that tells of one fit and before the first that tells of the next, and not
        so soon after the one or before the other that there was hardly time for it. A clock that was left alone when
        the zone's clocks changed was not set anew, and of one that began anew it is known where.
        """
        index = self.order.get(media)
        if index is None:
            return 0.0
        own = bisect_right(self._lasts, index)
        tracks = [track for _, track in self.fits[max(0, own - 1) : own + 2] if track is not None]
        for before, after in pairwise(tracks):
            if before.firm[1] < index < after.firm[0] and not (after.untouched or after.anew):
                edge = before.firm[1] if index < after.first else after.firm[0]
                beside_s = abs(self._time_s[index] - self._time_s[edge])
                whole_s = self._time_s[after.firm[0]] - self._time_s[before.firm[1]]
                return abs(after.offset_s - before.offset_s) if beside_s >= _HARDLY * whole_s else 0.0
        return 0.0

    @cached_property
    def _time_s(self) -> list[float]:
        """How much time there was before each event to set the clock (s): in a month no more than in a night."""
        tracks = [track for _, track in self.fits if track is not None]
        true_s = [self.shown_s[at] - one.offset_s for one in tracks for at in range(one.first, one.last)]
        return list(accumulate((min(abs(b - a), _LONG_S) for a, b in pairwise(true_s)), initial=0.0))

    @cached_property
    def _lasts(self) -> list[int]:
        """Where the stretch of each fit ends among the events."""
        return [track.last for _, track in self.fits if track is not None]


def _outside_s(clock: Clock, shown_s: float) -> float:
    if clock.since is None or clock.until is None:
        return 0.0
    return max(seconds(clock.since) - shown_s, shown_s - seconds(clock.until), 0.0)
