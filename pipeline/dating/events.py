"""What tells of a device's clock: its events in order, each with all that speaks for its offset.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pipeline.dating.pattern import Habit, Speech, Times, gains_of_each, near_speech, tag_gains, within_reach

_MOST_AT_ONCE = 300_000  # pairs of an offset and an event, of some 100 bytes each while they are weighed
_STALE_S, _STALE = 600.0, 0.25
_WRONG, _NOWHERE = 0.02, 1e-6  # an anchor may be simply wrong: how likely, and its density then, per second
_BURST_S = 4.0
_ENOUGH_NEAR_WORDS = 2000

Indices = NDArray[np.int64]

GPS, CARD, TOLD = "GPS times", "clock cards", "spoken times"
"""What gives the true time of an event outright."""


@dataclass(frozen=True)
class Fixed:
    """The true time of an event, from elsewhere than the device's clock, and how far that may be out (s).

    A ``stale`` time may be late: a satellite receiver repeats its last fix. One that ``decides`` needs no other
    beside it.
    """

    kind: str
    true_s: float
    error_s: float
    stale: bool = False
    decides: bool = False


@dataclass(frozen=True)
class ClockEvent:
    """Something that happened when the device showed ``shown_s``: a photo, or words that say what time it is.

    ``zone_s`` is the zone's offset from UTC (s) by which a wall clock was read; None where the device gave its own.
    """

    shown_s: float
    photo: bool = True
    tags: tuple[str, ...] = ()
    fixed: tuple[Fixed, ...] = ()
    zone_s: float | None = None


@dataclass(frozen=True)
class Evidence:
    """The events in arrays: what the device showed, and how much each counts as a photo (of a burst one).

    ``telling`` are those that show a tag or whose true time is known, each with its place among all. ``zone`` is the
    zone's offset (s) by which the device's wall clock was read.
    """

    telling: tuple[tuple[int, ClockEvent], ...]
    said: Speech
    shown: Times
    counts: Times
    zone: Times

    @staticmethod
    def of(events: Sequence[ClockEvent], said: Speech) -> "Evidence":
        """Put events into arrays."""
        counts, last = [], -np.inf
        for one in events:
            counts.append(float(one.photo and (abs(one.shown_s - last) > _BURST_S or bool(one.tags))))
            last = one.shown_s if one.photo else last
        shown = np.array([one.shown_s for one in events], dtype=np.float64)
        telling = tuple((index, one) for index, one in enumerate(events) if one.tags or one.fixed)
        return Evidence(telling, said, shown, np.array(counts, dtype=np.float64), _zones(events))

    def part(self, first: int, last: int) -> "Evidence":
        """Return the same of the events from one to before another."""
        return self.these(np.arange(first, last))

    def these(self, rows: Indices) -> "Evidence":
        """Return the same of the events at these places, which are in order."""
        places = np.array([index for index, _ in self.telling], dtype=np.int64)
        now = np.searchsorted(rows, places)
        there = now < np.searchsorted(rows, places, side="right")
        telling = tuple(
            (place, one) for (_, one), place, kept in zip(self.telling, now.tolist(), there, strict=True) if kept
        )
        return Evidence(telling, self.said, self.shown[rows], self.counts[rows], self.zone[rows])

    def even_part(self, offsets: Times) -> "Evidence":
        """Return the same with an even part of the photos, where at these offsets enough of those are near words.

        So much evidence tells which of several offsets is right as well as all of it. What shows a tag, or whose true
        time is known, is always in it.

        Args:
            offsets: any number of offsets, or of offsets by events, at one of which the clock may well have been.
        """
        near = max((len(self.in_reach(one, 0.0)) for one in offsets), default=0)
        if near < 2 * _ENOUGH_NEAR_WORDS:
            return self
        wanted = np.ones(len(self.shown), dtype=np.bool_)
        wanted[self.photos] = False
        wanted[self.photos[:: near // _ENOUGH_NEAR_WORDS]] = True
        wanted[[index for index, _ in self.telling]] = True
        return self.these(np.flatnonzero(wanted))

    def showing_less(self, by_s: Times) -> "Evidence":
        """Return the same as if the device had shown so much less at each event."""
        return replace(self, shown=self.shown - by_s)

    @property
    def if_untouched(self) -> Times:
        """How much more a clock is out from each event to the next (s) that nobody changes when the clocks change.

        What a wall clock shows is read by the zone, so that it is the clock left as it was that seems to leap.
        """
        return -np.diff(self.zone)

    def telling_apart(self, offset_s: float, more_s: float, by_ends: bool = False) -> "Evidence":
        """Return the same of those events only that tell this offset from one up to so many seconds beside it.

        ``by_ends`` says that photos as sentences end are likelier than others.
        """
        matters = np.zeros(len(self.shown), dtype=np.bool_)
        matters[self.photos] = near_speech(self.shown[self.photos] - offset_s, self.said, more_s, by_ends)
        matters[self.labels] = matters[self.fixed_in_arrays[0]] = True
        return self if matters.all() else self.these(np.flatnonzero(matters))

    def in_reach(self, offsets: Times, more_s: float) -> Indices:
        """Return the places of the photos that have a word near that points, at these offsets or a little beside."""
        return self.photos[within_reach((self.shown - offsets)[self.photos], self.said, more_s)]

    @cached_property
    def photos(self) -> Indices:
        """The places of the photos that count."""
        return np.flatnonzero(self.counts)

    def under(self, offsets: Times, habit: Habit) -> Times:
        """Return how much each event speaks for each of some offsets (offsets by events)."""
        told = np.empty((len(offsets), len(self.shown)))
        for part in self._some_at_a_time(offsets):
            told[part] = self.along(offsets[part][:, None], habit)
        return told

    def speaks_for(self, offsets: Times, habits: Sequence[Habit]) -> Times:
        """Return how much all events together speak for each of some offsets (habits by offsets)."""
        told = np.empty((len(habits), len(offsets)))
        for part in self._some_at_a_time(offsets):
            for habit, speaks in enumerate(self._along_each(offsets[part][:, None], habits)):
                told[habit, part] = speaks.sum(1)
        return told

    def _some_at_a_time(self, offsets: Times) -> Iterator[slice]:
        """Yield parts of the offsets, as memory allows."""
        at_once = max(1, _MOST_AT_ONCE // max(1, len(self.shown)))
        return (slice(first, first + at_once) for first in range(0, len(offsets), at_once))

    def along(self, offsets: Times, habit: Habit) -> Times:
        """Return how much each event speaks for the offset that it would have (any shape, by events)."""
        return next(self._along_each(offsets, (habit,)))

    def _along_each(self, offsets: Times, habits: Iterable[Habit]) -> Iterator[Times]:
        at = self.shown - offsets
        more: list[tuple[Indices, Times]] = []
        if len(self.labels):
            gained = tag_gains(np.moveaxis(at[..., self.labels], -1, 0), self.tags, self.said)
            more.append((self.labels, np.moveaxis(gained, 0, -1)))
        for index, true_s, error_s, stale in self._fixed_in_turn:
            away = self.shown[index] - true_s - np.broadcast_to(offsets, at.shape)[..., index]
            more.append((index, _fixed_gain(away, error_s, stale)))
        for gain in gains_of_each(at[..., self.photos], self.said, habits):
            speaks = np.zeros(at.shape)
            speaks[..., self.photos] = gain
            for index, gained in more:
                speaks[..., index] += gained
            yield speaks

    @cached_property
    def fixed(self) -> list[tuple[int, Fixed]]:
        """The true times that are known, each with its event's place."""
        return [(index, fixed) for index, one in self.telling for fixed in one.fixed]

    @cached_property
    def fixed_in_arrays(self) -> tuple[Indices, Times, Times]:
        """The same in arrays: the events' places, the true times, and how far these may be out (s)."""
        return (
            np.array([index for index, _ in self.fixed], dtype=np.int64),
            np.array([one.true_s for _, one in self.fixed]),
            np.array([one.error_s for _, one in self.fixed]),
        )

    @cached_property
    def _fixed_in_turn(self) -> list[tuple[Indices, Times, Times, NDArray[np.bool_]]]:
        """The same with what may be late: the first of each event, then the second of those that have one, and on."""
        turns: list[list[tuple[int, Fixed]]] = []
        for index, one in self.telling:
            for turn, fixed in enumerate(one.fixed):
                turns += [[]] if turn == len(turns) else []
                turns[turn].append((index, fixed))
        return [
            (
                np.array([index for index, _ in turn], dtype=np.int64),
                np.array([one.true_s for _, one in turn]),
                np.array([one.error_s for _, one in turn]),
                np.array([one.stale for _, one in turn]),
            )
            for turn in turns
        ]

    @cached_property
    def labels(self) -> Indices:
        """The places of the photos that show a tag which is read out somewhere."""
        return np.array([index for index, _ in self._labelled], dtype=np.int64)

    @cached_property
    def tags(self) -> list[tuple[str, ...]]:
        """What those photos show."""
        return [one.tags for _, one in self._labelled]

    @cached_property
    def _labelled(self) -> list[tuple[int, ClockEvent]]:
        read_out = self.said.read_out
        return [(index, one) for index, one in self.telling if any(tag in read_out for tag in one.tags)]


def _zones(events: Sequence[ClockEvent]) -> Times:
    """Return the zone's offset at each event; where the device gave its own, that of the event before."""
    zone_s = next((one.zone_s for one in events if one.zone_s is not None), 0.0)
    zones = []
    for one in events:
        zone_s = zone_s if one.zone_s is None else one.zone_s
        zones.append(zone_s)
    return np.array(zones, dtype=np.float64)


def _fixed_gain(away: Times, error_s: Times, stale: NDArray[np.bool_]) -> Times:
    density = np.exp(-0.5 * (away / error_s) ** 2) / (error_s * np.sqrt(2 * np.pi))
    late = np.where(away > 0, np.exp(-np.maximum(away, 0.0) / _STALE_S) / _STALE_S, 0.0)
    density = np.where(stale, (1 - _STALE) * density + _STALE * late, density)
    gain: Times = np.log((1 - _WRONG) * density / _NOWHERE + _WRONG)
    return gain
