"""What tells of a device's clock: its events in order, each with all that speaks for its offset.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pipeline.dating.pattern import Habit, Speech, Times, gains_of_each, tag_gains

_MOST_AT_ONCE = 300_000  # pairs of an offset and an event, of some 100 bytes each while they are weighed
_STALE_S, _STALE = 600.0, 0.25
_WRONG, _NOWHERE = 0.02, 1e-6  # an anchor may be simply wrong: how likely, and its density then, per second
_BURST_S = 4.0

Indices = NDArray[np.int64]


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
class Event:
    """Something that happened when the device showed ``shown_s``: a photo, or words that say what time it is."""

    shown_s: float
    photo: bool = True
    tags: tuple[str, ...] = ()
    fixed: tuple[Fixed, ...] = ()


@dataclass(frozen=True)
class Evidence:
    """The events in arrays: what the device showed, and how much each counts as a photo (of a burst one)."""

    events: tuple[Event, ...]
    said: Speech
    shown: Times
    counts: Times

    @staticmethod
    def of(events: Sequence[Event], said: Speech) -> "Evidence":
        """Put events into arrays."""
        counts, last = [], -np.inf
        for one in events:
            counts.append(float(one.photo and (abs(one.shown_s - last) > _BURST_S or bool(one.tags))))
            last = one.shown_s if one.photo else last
        shown = np.array([one.shown_s for one in events], dtype=np.float64)
        return Evidence(tuple(events), said, shown, np.array(counts, dtype=np.float64))

    def part(self, first: int, last: int) -> "Evidence":
        """Return the same of the events from one to before another."""
        return Evidence(self.events[first:last], self.said, self.shown[first:last], self.counts[first:last])

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
        at_once = max(1, _MOST_AT_ONCE // len(self.shown))
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
        return [(index, fixed) for index, one in enumerate(self.events) for fixed in one.fixed]

    @cached_property
    def _fixed_in_turn(self) -> list[tuple[Indices, Times, Times, NDArray[np.bool_]]]:
        """The same in arrays: of all events the first, then of those that have more the second, and so on."""
        turns: list[list[tuple[int, Fixed]]] = []
        for index, one in enumerate(self.events):
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
        read_out = self.said.read_out
        found = [index for index, one in enumerate(self.events) if any(tag in read_out for tag in one.tags)]
        return np.array(found, dtype=np.int64)

    @cached_property
    def tags(self) -> list[tuple[str, ...]]:
        """What those photos show."""
        return [self.events[index].tags for index in self.labels]


def _fixed_gain(away: Times, error_s: Times, stale: NDArray[np.bool_]) -> Times:
    density = np.exp(-0.5 * (away / error_s) ** 2) / (error_s * np.sqrt(2 * np.pi))
    late = np.where(away > 0, np.exp(-np.maximum(away, 0.0) / _STALE_S) / _STALE_S, 0.0)
    density = np.where(stale, (1 - _STALE) * density + _STALE * late, density)
    gain: Times = np.log((1 - _WRONG) * density / _NOWHERE + _WRONG)
    return gain
