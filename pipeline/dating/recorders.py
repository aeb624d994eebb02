"""Recorders' clocks, told by cameras: whether a recorder stamps start or end, and whether its clock is out.

Speech is what cameras are set by, so a recorder's clock is taken as right unless cameras that are known to be right,
or several cameras together, say that it is not. Every way in which it might be wrong is weighed by how well all
photos stand under all speech then, each camera's own clock being out by whatever suits it best.

All times are seconds since 1970 UTC.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pipeline.dating.offsets import Prior, likely_offsets
from pipeline.dating.pattern import (
    CLEARLY,
    DAY_S,
    FEWEST_ANCHORS,
    USUAL_HABIT,
    Speech,
    Times,
    gains,
    pointing_shares,
    speech,
    together,
)
from pipeline.dating.talk import TimedTalk

_ENDS_UNLESS_TOLD = 0.35  # how many recorders stamp the end
_ENDS_MARGIN = 3.0
_OFFSET_MARGIN = 4.0
_CHANCE = 4.0
_LEAST_S = 10.0  # people differ by a few seconds in how soon they press the shutter: less says nothing of a clock
_NUMBERS_OF_PHOTOS = np.unique(np.minimum(150.0, 1.2 ** np.arange(30)).astype(np.int64))
_BUSY_DAYS = 3
_MOST_CANDIDATES = 8
_FINE_S = np.arange(-3.0, 3.25, 0.5)


@dataclass(frozen=True)
class Recording:
    """A recording: when it would start if its stamp were its start, how long it is, and what it tells of time."""

    stamp_s: float
    length_s: float
    talk: TimedTalk


@dataclass(frozen=True)
class Recorder:
    """One recorder: its recordings, how likely its clock is to be out, and what is already known of it.

    ``ends`` is None where the files leave open whether the stamp marks the end. ``offset_s`` is None where nothing
    has settled how far its clock is out; ``named`` is False for recordings whose device is not known, whose clock
    is then taken as right.
    """

    recordings: tuple[Recording, ...]
    prior: Prior
    ends: bool | None = False
    offset_s: float | None = None
    named: bool = True

    @property
    def stamps(self) -> tuple[bool, ...]:
        """What its stamps may mark: False for the start, True for the end."""
        return (False, True) if self.ends is None else (self.ends,)

    def speech(self, ends: bool, offset_s: float) -> Speech:
        """Return what it recorded, in true time if that is how its clock is."""
        return (self._as_ends if ends else self._as_starts).earlier(offset_s)

    @cached_property
    def _as_starts(self) -> Speech:
        return joined_speech((one.talk, one.stamp_s) for one in self.recordings)

    @cached_property
    def _as_ends(self) -> Speech:
        return joined_speech((one.talk, one.stamp_s - one.length_s) for one in self.recordings)


@dataclass(frozen=True)
class Camera:
    """Photos of a device: what it showed then, and how likely its clock is to be out.

    ``right`` says that these times are known to be right; of one device some photos may be and others not.
    """

    device: str
    shown_s: Times
    prior: Prior
    right: bool = False

    def busiest(self) -> "Camera":
        """Return the same with photos of its busiest few days only, in which no clock drifts far; not too many.

        They are counted in steps, and of several times as busy it is the first: a photo more seldom makes it another.
        """
        first = np.searchsorted(self.shown_s, self.shown_s - _BUSY_DAYS * DAY_S)
        photos = np.arange(1, len(self.shown_s) + 1) - first
        steps = np.searchsorted(_NUMBERS_OF_PHOTOS, photos, side="right") - 1
        last = int(np.argmax(steps))
        return replace(self, shown_s=self.shown_s[last + 1 - _NUMBERS_OF_PHOTOS[steps[last]] : last + 1])


@dataclass(frozen=True)
class RecorderSettled:
    """What was found of a recorder: whether it stamps the end, what it showed less the true time, if that is sure.

    ``anchors`` counts the photos that come just after its words that point.
    """

    ends: bool
    offset_s: float
    sure: bool = False
    anchors: int = 0


def joined_speech(talks: Iterable[tuple[TimedTalk, float]]) -> Speech:
    """Put the talk of several recordings, each with the true time at which it starts, into one."""
    points: list[float] = []
    spans: list[tuple[float, float]] = []
    tags: list[tuple[float, str]] = []
    for talk, start_s in talks:
        points += [start_s + at for at in talk.points]
        spans += [(start_s + first, start_s + last) for first, last in talk.spans]
        tags += [(start_s + at, tag) for at, tag in talk.tags]
    return speech(points, spans, tags)


def settle(recorders: Mapping[str, Recorder], cameras: Sequence[Camera]) -> dict[str, RecorderSettled]:
    """Settle every recorder.

    To begin with, all stamps mark starts and all clocks that nothing tells of are right. Then whichever one change of
    one recorder makes everything most likely is made, and the next, until none is worth it.
    """
    settled = {name: RecorderSettled(bool(one.ends), one.offset_s or 0.0) for name, one in recorders.items()}
    open_ones = [name for name, one in recorders.items() if one.ends is None or (one.named and one.offset_s is None)]
    if not open_ones or not cameras:
        return settled
    everything = _Everything.of(recorders, [camera.busiest() for camera in cameras])
    for _ in range(2 * len(open_ones)):
        changes = [change for name in open_ones for change in everything.changes(name, settled)]
        gain, name, change = max(changes, key=lambda change: change[0], default=(0.0, "", None))
        if change is None or gain <= 0:
            break
        settled[name] = change
    return {name: everything.counted(name, settled) for name in settled}


@dataclass(frozen=True)
class _Everything:
    """All recorders and cameras. ``away`` are the likely differences (s) of a camera's clock and a recorder's."""

    recorders: Mapping[str, Recorder]
    cameras: Sequence[Camera]
    away: Mapping[tuple[int, str, bool], Times]

    @staticmethod
    def of(recorders: Mapping[str, Recorder], cameras: Sequence[Camera]) -> "_Everything":
        away = {
            (place, name, ends): likely_offsets(seen.shown_s, one.speech(ends, 0.0), _MOST_CANDIDATES, seen.prior)
            for name, one in recorders.items()
            for ends in one.stamps
            for place, seen in enumerate(cameras)
            if seen.device != name
        }
        return _Everything(recorders, cameras, away)

    def changes(
        self, name: str, settled: Mapping[str, RecorderSettled]
    ) -> Iterator[tuple[float, str, RecorderSettled]]:
        """Yield what else a recorder may be, and how much likelier that makes all than it must to be believed."""
        one, now = self.recorders[name], settled[name]
        unmoved = [replace(now, ends=ends) for ends in one.stamps]
        worth = {way: self._worth({**settled, name: way}) for way in unmoved}
        for way in unmoved:
            if way != now:
                yield worth[way] - worth[now] - _ENDS_MARGIN, name, way
        if not one.named or one.offset_s is not None:
            return
        for ends in one.stamps:
            for offset_s in self._offsets(name, ends):
                if abs(offset_s - now.offset_s) >= _LEAST_S:
                    way = RecorderSettled(ends, offset_s, True)
                    yield self._worth({**settled, name: way}) - max(worth.values()) - _OFFSET_MARGIN, name, way

    def _offsets(self, name: str, ends: bool) -> list[float]:
        """Return offsets of a recorder at which its words fit photos, the cameras' clocks being right or as known."""
        found = []
        for place, seen in enumerate(self.cameras):
            if seen.device != name:
                found += [-float(one) for one in self.away[place, name, ends]]
        return found

    def _worth(self, settled: Mapping[str, RecorderSettled]) -> float:
        """Return how likely (natural logarithm) all is; what is the same however the recorders are is left out."""
        total = 0.0
        for name, one in self.recorders.items():
            way = settled[name]
            total += float(one.prior.log_density(np.array([way.offset_s]))[0])
            if one.ends is None:
                total += float(np.log(_ENDS_UNLESS_TOLD if way.ends else 1 - _ENDS_UNLESS_TOLD))
        said = {name: one.speech(settled[name].ends, settled[name].offset_s) for name, one in self.recorders.items()}
        everybody = together(list(said.values()))
        return total + sum(self._camera_worth(place, said, everybody, settled) for place in range(len(self.cameras)))

    def counted(self, name: str, settled: Mapping[str, RecorderSettled]) -> RecorderSettled:
        """Return what was found of a recorder with its anchors; it is not sure with too few of them."""
        found = settled[name]
        if not found.sure:
            return found
        heard = self.recorders[name].speech(found.ends, found.offset_s)
        anchors = 0
        for place, seen in enumerate(self.cameras):
            if seen.device != name:
                offsets = np.zeros(1) if seen.right else self._offsets_of(place, settled)
                anchors += max(_agreeing(seen.shown_s - offset_s, heard) for offset_s in offsets)
        sure = anchors >= FEWEST_ANCHORS
        return RecorderSettled(found.ends, found.offset_s if sure else 0.0, sure, anchors)

    def _offsets_of(self, place: int, settled: Mapping[str, RecorderSettled]) -> Times:
        others = [(name, way) for name, way in settled.items() if name != self.cameras[place].device]
        rough = [self.away[place, name, way.ends] + way.offset_s for name, way in others]
        offsets: Times = (np.concatenate([*rough, np.zeros(1)])[:, None] + _FINE_S).ravel()
        return offsets

    def _camera_worth(
        self, place: int, said: Mapping[str, Speech], everybody: Speech, settled: Mapping[str, RecorderSettled]
    ) -> float:
        """Return how well a camera's photos fit what one recorder heard, or all of them if that is clearly better.

        Photos of what one recorder heard fall under others' words by chance, here more and there less. ``everybody``
        is all that was said.
        """
        seen = self.cameras[place]
        heard = [speech for name, speech in said.items() if name != seen.device]
        by_all = everybody if len(heard) == len(said) else together(heard)
        if seen.right:
            return float(gains(seen.shown_s, by_all, USUAL_HABIT).sum())
        offsets = self._offsets_of(place, settled)
        at = seen.shown_s[None] - offsets[:, None]
        alone = [gains(at, one, USUAL_HABIT).sum(1) for one in heard]
        told = gains(at, by_all, USUAL_HABIT).sum(1) - _CHANCE * np.sqrt(len(seen.shown_s))
        return float((np.maximum.reduce([told, *alone]) + seen.prior.log_density(offsets)).max())


def _agreeing(at: Times, heard: Speech) -> int:
    """Return how many photos, truly taken then, come just after words that point."""
    rows, _, _, shares = pointing_shares(at, heard, USUAL_HABIT)
    return len(np.unique(rows[shares >= CLEARLY]))
