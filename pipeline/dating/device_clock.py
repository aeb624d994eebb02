"""How far one device's clock was out, at every moment of it."""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from pipeline.dating.tracks import Track
from pipeline.dating.zones import seconds
from pipeline.values import Clock


@dataclass(frozen=True)
class DeviceClock:
    """The fits of one device's clock in order, each with its track (None where it was pinned or nothing tells).

    ``order`` gives the place of each piece of media among the events that the tracks are made of.
    """

    fits: tuple[tuple[Clock, Track | None], ...]
    order: Mapping[str, int]

    def at(self, media: str, shown_s: float) -> tuple[Clock, float]:
        """Return the fit that a piece of media falls in, and what the clock was out by (s) when it showed that."""
        index = self.order.get(media)
        if index is None:
            fit, track = min(self.fits, key=lambda fit: _outside_s(fit[0], shown_s))
        else:
            fit, track = self.fits[bisect_right(self._lasts, index)]
        return fit, track.offset_at(shown_s) if track is not None else fit.offset_s

    def between_settings_s(self, media: str) -> float:
        """Return by how much a time may be out because the clock was set anew just before it or just after; mostly 0.

        Such a photo comes after the last that tells of one fit and before the first that tells of the next.
        """
        index = self.order.get(media)
        if index is None:
            return 0.0
        own = bisect_right(self._lasts, index)
        tracks = [track for _, track in self.fits[max(0, own - 1) : own + 2] if track is not None]
        for before, after in pairwise(tracks):
            if before.firm[1] < index < after.firm[0]:
                return abs(after.offset_s - before.offset_s)
        return 0.0

    @cached_property
    def _lasts(self) -> list[int]:
        """Where the stretch of each fit ends among the events."""
        return [track.last for _, track in self.fits if track is not None]


def _outside_s(clock: Clock, shown_s: float) -> float:
    if clock.since is None or clock.until is None:
        return 0.0
    return max(seconds(clock.since) - shown_s, shown_s - seconds(clock.until), 0.0)
