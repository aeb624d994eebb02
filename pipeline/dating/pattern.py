"""Shutter times against speech: how well photos fit what was being said, for every way a clock might be out.

People point at what they photograph: "here you can see", and a moment later the shutter. So photos that are dated
right stand close to pointing words, or at least while somebody speaks, far more often than photos dated wrong. How
much more often is a likelihood: of each photo's time under the speech, against any time of the days at hand.

All times are seconds since 1970 UTC, as floating-point numbers in arrays.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Times = NDArray[np.float64]
Rows = NDArray[np.int64]
_LagShares = tuple[tuple[float, float, Times], ...]

DAY_S = 86_400.0
# The shutter after the words that point: mostly within three seconds, and regularly so; now and then before them, or
# later.
LAG_S = 1.8
_SELDOM_LAG_S, _SELDOM_SPREAD_S, _SELDOM = 0.8, 3.5, 0.3
_EARLIEST_S, _LATEST_S = -8.0, 10.0
_TAIL_S = 4.0  # a photo taken just after the words still belongs to them
END_LAG_S, _END_SPREAD_S, _END_EARLIEST_S = 1.3, 0.9, -1.0  # the shutter after the end of a sentence
_NEIGHBOURS = 3
LABEL_ERROR_S = 15.0
"""How far a label's photo and its number being read out lie apart (one sigma)."""
_TAG_GAIN = 0.8
FEWEST_ANCHORS = 4
SENTENCE_S = 10.0
"""By how much, at most, who photographs in the middle of sentences is before their ends."""
_RIGHT_TO_S, _FAR_MORE = 2.0, 5.0
CLEARLY = 0.35
"""How likely a photo must be of a pointing word to count as an anchor."""


@dataclass(frozen=True)
class Habit:
    """How somebody takes photos: how irregularly after words that point (s), and which share of them after such.

    ``ended`` is the share that is taken as a sentence has ended, whatever it said. Of the others, half are taken
    while somebody speaks, half at any time.
    """

    spread_s: float
    pointed: float
    ended: float = 0.0

    @property
    def other(self) -> float:
        """The share of photos taken while somebody speaks, and that of photos taken at any time."""
        return (1 - self.pointed - self.ended) / 2


USUAL_HABIT = Habit(1.2, 0.5)
HABITS = (USUAL_HABIT, *(Habit(spread_s, pointed) for pointed in (0.5, 0.8) for spread_s in (0.6, 1.2, 2.2)))
"""One of these is taken for each device, the one that fits it best."""
AT_ENDS = Habit(1.2, 0.2, ended=0.5)
"""That of people who say what they see and then photograph it, and seldom point."""


@dataclass(frozen=True)
class Speech:
    """What was said, as far as time goes: when words point, when somebody speaks, which tags are read out when."""

    points: Times
    starts: Times
    ends: Times
    tags: tuple[tuple[float, str], ...] = ()
    days: int = 1
    """On how many days, counted from the first words on, somebody speaks; one at least."""
    spoken_s: float = 0.0
    """How long somebody speaks, with a few seconds after each stretch; two at once count twice."""
    ends_mislead: bool = False
    """Whether photos whose time is known tell that its sentences' ends are no guide to the second."""

    @cached_property
    def marks(self) -> Times:
        """When words point or a tag is read out, in order."""
        return np.sort(np.concatenate([self.points, np.array([when for when, _ in self.tags], dtype=np.float64)]))

    @cached_property
    def read_out(self) -> dict[str, list[tuple[int, float]]]:
        """When each tag is read out, each time with its place among all times."""
        found: dict[str, list[tuple[int, float]]] = {}
        for turn, (when, tag) in enumerate(self.tags):
            found.setdefault(tag, []).append((turn, when))
        return found

    def earlier(self, by_s: float) -> "Speech":
        """Return the same with every time so much earlier."""
        tags = tuple((at - by_s, tag) for at, tag in self.tags)
        return replace(self, points=self.points - by_s, starts=self.starts - by_s, ends=self.ends - by_s, tags=tags)


def speech(
    points: Sequence[float], spans: Sequence[tuple[float, float]], tags: Sequence[tuple[float, str]] = ()
) -> Speech:
    """Put the speech of one recorder in order; spans that touch or overlap are joined."""
    pairs = np.array(spans, dtype=np.float64).reshape(-1, 2)
    starts, ends = _joined(pairs[:, 0], pairs[:, 1])
    return Speech(
        points=np.sort(np.array(points, dtype=np.float64)),
        starts=starts,
        ends=ends,
        tags=tuple(sorted(tags)),
        days=max(1, len(np.unique((starts - starts[:1]) // DAY_S))),
        spoken_s=float((ends - starts + _TAIL_S).sum()),
    )


def together(several: Sequence[Speech]) -> Speech:
    """Put the speech of several recorders into one.

    Its days are those of whoever spoke on most, and its length is theirs added up, so that neither depends on
    where their clocks put them.
    """
    nothing = [np.empty(0)]
    starts, ends = _joined(
        np.concatenate([one.starts for one in several] or nothing),
        np.concatenate([one.ends for one in several] or nothing),
    )
    return Speech(
        points=np.sort(np.concatenate([one.points for one in several] or nothing)),
        starts=starts,
        ends=ends,
        tags=tuple(sorted(tag for one in several for tag in one.tags)),
        days=max((one.days for one in several), default=1),
        spoken_s=sum(one.spoken_s for one in several),
    )


def _joined(starts: Times, ends: Times) -> tuple[Times, Times]:
    """Join spans that touch or overlap; in order."""
    if not len(starts):
        return starts, ends
    order = np.argsort(starts, kind="stable")
    starts, latest = starts[order], np.maximum.accumulate(ends[order])
    first = np.flatnonzero(np.concatenate([[True], starts[1:] > latest[:-1]]))
    return starts[first], latest[np.append(first[1:], len(starts)) - 1]


def _lag_shares(lags: Times, spread_s: float) -> _LagShares:
    """Return (mean, spread, density per second) of each way in which the shutter may follow the words."""
    return tuple(
        (mean, spread, share * np.exp(-0.5 * ((lags - mean) / spread) ** 2) / (spread * np.sqrt(2 * np.pi)))
        for mean, spread, share in ((LAG_S, spread_s, 1 - _SELDOM), (_SELDOM_LAG_S, _SELDOM_SPREAD_S, _SELDOM))
    )


def gains(at: Times, said: Speech, habit: Habit) -> Times:
    """Return, for photos truly taken then, how much likelier they are there than at any time (natural logarithm).

    Args:
        at: true times, in an array of any shape.
        said: the speech, in true time too.
        habit: of whoever took them.

    Source: a mixture of three sources of photos, compared with an even spread; common practice, no source.
    """
    return next(gains_of_each(at, said, (habit,)))


def gains_of_each(at: Times, said: Speech, habits: Iterable[Habit]) -> Iterator[Times]:
    """Yield the same for one habit after the other: what does not depend on the habit is worked out once.

    Most photos are far from every word that points: what they tell is one of two numbers.
    """
    near = _Near.of(at.ravel(), said)
    speaking = _speaking(at.ravel(), said)
    beside = speaking[near.rows]
    for habit in habits:
        silent, spoken = np.log(_density(np.array([False, True]), 0.0, said, habit))
        gain: Times = np.where(speaking, spoken, silent)
        gain[near.rows] = np.log(_density(beside, near.total(habit.spread_s), said, habit))
        if habit.ended:
            rows, lags = _after_ends(at.ravel(), said)
            gain[rows] = np.logaddexp(gain[rows], np.log(_ended_density(lags, said, habit)))
        yield gain.reshape(at.shape)


def ends_mislead(at: Times, said: Speech) -> bool:
    """Tell whether photos truly taken then would come as sentences end far more often some seconds earlier or later.

    So it is with people who photograph in the middle of what they say.
    """
    steps_s = np.arange(-SENTENCE_S, SENTENCE_S + 1.0)
    worth = np.array([gains(at - step_s, said, AT_ENDS).sum() for step_s in steps_s])
    return float(worth.max() - worth[np.abs(steps_s) <= _RIGHT_TO_S].max()) > _FAR_MORE


def _after_ends(at: Times, said: Speech) -> tuple[Rows, Times]:
    """Return the photos (indices) that are taken as somebody has just ended, and how long after that."""
    last = np.searchsorted(said.ends, at - _END_EARLIEST_S, side="right") - 1
    rows = np.flatnonzero(last >= 0)
    lags = at[rows] - said.ends[last[rows]]
    near = lags <= _TAIL_S
    return rows[near], lags[near]


def _ended_density(lags: Times, said: Speech, habit: Habit) -> Times:
    """Return how likely the ends of sentences make photos so long after them, against an even spread."""
    scale = habit.ended * DAY_S * said.days / max(1, len(said.ends)) / (_END_SPREAD_S * np.sqrt(2 * np.pi))
    density: Times = scale * np.exp(-0.5 * ((lags - END_LAG_S) / _END_SPREAD_S) ** 2)
    return density


def _speaking(at: Times, said: Speech) -> NDArray[np.bool_]:
    """Tell at which times somebody speaks, or has only just ended."""
    if not said.spoken_s:
        return np.zeros(at.shape, dtype=np.bool_)
    index = np.searchsorted(said.starts, at, side="right") - 1
    inside: NDArray[np.bool_] = (index >= 0) & (at <= said.ends[np.maximum(index, 0)] + _TAIL_S)
    return inside


def _density(speaking: NDArray[np.bool_], total: Times | float, said: Speech, habit: Habit) -> Times:
    """Return how likely photos are, against an even spread, by whether somebody speaks and what words point."""
    whole_s = DAY_S * said.days
    density = np.full(speaking.shape, habit.other)
    if said.spoken_s:
        density += habit.other * whole_s / said.spoken_s * speaking
    if len(said.points):
        density += habit.pointed * whole_s / len(said.points) * total
    return density


@dataclass(frozen=True)
class _Near:
    """The photos (indices, in order) that have words that point near them.

    ``pairs`` are places among those photos, and how long after such a word each was taken: by its nearest word first.
    """

    rows: Rows
    pairs: tuple[tuple[Rows, Times], ...]

    @staticmethod
    def of(at: Times, said: Speech) -> "_Near":
        last = np.searchsorted(said.points, at - _EARLIEST_S, side="right") - 1
        rows, pairs = np.arange(0), list[tuple[Rows, Times]]()
        for back in range(_NEIGHBOURS):
            # a photo that is near a word is nearer still to the one after that
            known = rows if back else np.arange(len(at))
            known = known[last[known] >= back]
            lags = at[known] - said.points[last[known] - back]
            near = lags <= _LATEST_S
            rows = known[near] if not back else rows
            pairs.append((np.searchsorted(rows, known[near]), lags[near]))
        return _Near(rows, tuple(pairs))

    def total(self, spread_s: float) -> Times:
        """Return how likely the words near each of the photos make its time, per second, added up."""
        total = np.zeros(len(self.rows))
        for places, lags in self.pairs:
            total[places] += sum(part for _, _, part in _lag_shares(lags, spread_s))
        return total


def within_reach(at: Times, said: Speech, more_s: float) -> NDArray[np.bool_]:
    """Tell which photos, truly taken then or up to so many seconds earlier or later, have a word near that points."""
    first = np.searchsorted(said.points, at - _LATEST_S - more_s)
    reach: NDArray[np.bool_] = first < np.searchsorted(said.points, at - _EARLIEST_S + more_s, side="right")
    return reach


def near_speech(at: Times, said: Speech, more_s: float, by_ends: bool = False) -> NDArray[np.bool_]:
    """Tell which photos, truly taken then, could be likelier or less likely so many seconds earlier or later.

    Of the others, what was said tells the same all that time: nothing near them points, begins or ends.

    Args:
        at: true times.
        said: the speech, in true time too.
        more_s: how much earlier or later.
        by_ends: whether photos as sentences end are likelier than others.
    """
    begins = np.searchsorted(said.starts, at - more_s) < np.searchsorted(said.starts, at + more_s, side="right")
    ended = at - _TAIL_S
    until = at - _END_EARLIEST_S if by_ends else ended
    ends = np.searchsorted(said.ends, ended - more_s) < np.searchsorted(said.ends, until + more_s, side="right")
    near: NDArray[np.bool_] = begins | ends | within_reach(at, said, more_s)
    return near


def pointing_shares(at: Times, said: Speech, habit: Habit) -> tuple[Rows, Times, Times, Times]:
    """Return, for pairs of a photo and a pointing word near it, how the word pulls at the photo's time.

    Returns:
        The photos' indices; how much later than expected each was taken (s); the weight of that (1/s²); and how
        likely it is that the photo was taken because of the word (0 to 1).
    """
    if not len(said.points):
        empty = np.empty(0)
        return np.empty(0, dtype=np.int64), empty, empty, empty
    near = _Near.of(at, said)
    density = _density(_speaking(at[near.rows], said), near.total(habit.spread_s), said, habit)
    scale = habit.pointed * DAY_S * said.days / len(said.points) / density
    pairs = [
        (near.rows[places], lags - mean, share / spread**2, share)
        for places, lags in near.pairs
        for mean, spread, part in _lag_shares(lags, habit.spread_s)
        for share in (scale[places] * part,)
    ]
    rows, late, weights, shares = (np.concatenate(column) for column in zip(*pairs, strict=True))
    return rows, late, weights, shares


def ending_shares(at: Times, said: Speech, habit: Habit) -> tuple[Rows, Times, Times, Times]:
    """Return the same (``pointing_shares``) for pairs of a photo and the end of a sentence just before it."""
    if not habit.ended or not len(said.ends):
        return np.empty(0, dtype=np.int64), np.empty(0), np.empty(0), np.empty(0)
    rows, lags = _after_ends(at, said)
    shares = _ended_density(lags, said, habit) / np.exp(gains(at[rows], said, habit))
    return rows, lags - END_LAG_S, shares / _END_SPREAD_S**2, shares


def tag_gains(at: Times, seen: Sequence[Sequence[str]], said: Speech) -> Times:
    """Return how much likelier photos of tags are at these times, where the same tags are read out near them.

    Args:
        at: true times; the first axis is the photo.
        seen: the tags in each photo.
        said: the speech, in true time too.
    """
    gain = np.zeros(at.shape)
    for row, tags in enumerate(seen):
        times = [when for tag in tags for _, when in said.read_out.get(tag, ())]
        if times:
            away = (at[row][..., None] - np.array(times) - LAG_S) / LABEL_ERROR_S
            density = np.exp(-0.5 * away**2).sum(-1) / (LABEL_ERROR_S * np.sqrt(2 * np.pi) * len(times))
            gain[row] = np.log(1 - _TAG_GAIN + _TAG_GAIN * DAY_S * said.days * density)
    return gain


def label_lags(at: Times, seen: Sequence[Sequence[str]], said: Speech) -> list[tuple[int, float]]:
    """Return, for photos of labels (indices), how much later than expected after the reading out they were taken (s).

    Only the nearest time is told at which one of a photo's tags was read out, and only where that is near.
    """
    found = []
    for row, tags in enumerate(seen):
        times = sorted(one for tag in set(tags) for one in said.read_out.get(tag, ()))
        nearest = min((float(at[row]) - when - LAG_S for _, when in times), key=abs, default=math.inf)
        if abs(nearest) <= 3 * LABEL_ERROR_S:
            found.append((row, nearest))
    return found
