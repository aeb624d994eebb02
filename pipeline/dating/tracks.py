"""One device's clock followed through time: how far it was out, how it drifted, and when somebody set it anew.

The evidence is photos under speech (``pattern.py``) and anchors that give the true time outright. Every offset that
some of it speaks for is a state; the likeliest way through the states, from the device's first sign of life to the
last, is found by dynamic programming, where small steps are cheap (a clock drifts) and leaps are dear (somebody set
it). Each stretch between leaps is then fitted with a straight line.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pipeline.dating.events import Event, Evidence, Fixed, Indices
from pipeline.dating.pattern import (
    CLEARLY,
    DAY_S,
    FEWEST_ANCHORS,
    HABITS,
    LABEL_ERROR_S,
    USUAL_HABIT,
    Habit,
    Prior,
    Speech,
    Times,
    label_lags,
    likely_offsets,
    offsets_near,
    pointing_shares,
)

SURE_MARGIN = 5.0
"""How much likelier than all other offsets together (natural logarithm) a sure one is."""
POINTING, LABELS = "photos just after words that point", "labels seen and read out"
WIDEST_SPREAD_S = 3.0
AGREES_S = 5.0
_MOST_STATES = 48
_STATES_A_DAY = 6
_MOST_DAYS = 60
_DRIFTS_S = 90.0
_FINE_S = np.arange(-4.0, 4.25, 0.5)
_RIVAL_S, _NEAR_S, _UNCLEAR_COSTS = 6.0, 120.0, 4.0
_SET_ANEW, _AT_A_BREAK, _BREAK_S = -8.0, 3.0, 600.0
_STEP_S, _STEP_S_PER_DAY, _STEP = 2.0, 30.0, -1.0
_MAD_TO_SIGMA = 1.4826  # of a normal distribution
_LONG_ENOUGH_S = 6 * 3600.0
_MOST_DRIFT, _USUAL_DRIFT = 120.0, 6.0
_DRIFT_COSTS = 4.0
_LEAST_RUN_S = 6.0  # people differ by a second or two in how soon they press the shutter: less is no drift
_ROUNDS = 12
_WANDERS_S = 30.0  # so far a line may be moved before the photos near words are looked for again


@dataclass(frozen=True)
class Track:
    """A stretch in which a device's clock ran on undisturbed: the events from ``first`` to before ``last``.

    ``firm`` are the first and the last of them that agree with it. ``offset_s`` is that at ``middle_s`` by the
    device. ``kinds`` counts the anchors that agree, by kind. ``spread_s`` is how far these lie apart (one sigma),
    ``expected_s`` how far anchors of their kinds do. ``margin`` is how much likelier the offset, or one within two
    minutes of it, is than all others together (natural logarithm); ``error_s`` is how far it may be out (one sigma).
    """

    first: int
    last: int
    firm: tuple[int, int]
    middle_s: float
    offset_s: float
    drift_s_per_day: float
    kinds: tuple[tuple[str, int], ...]
    spread_s: float
    expected_s: float
    error_s: float
    margin: float
    decided: bool

    @property
    def anchors(self) -> int:
        """How many anchors agree."""
        return sum(number for _, number in self.kinds)

    @property
    def sure(self) -> bool:
        """Whether to believe it."""
        enough = self.decided or (
            self.anchors >= FEWEST_ANCHORS and self.spread_s <= max(WIDEST_SPREAD_S, self.expected_s)
        )
        return enough and self.margin >= SURE_MARGIN

    def offset_at(self, shown_s: float) -> float:
        """Return the offset when the device showed this time."""
        return self.offset_s + self.drift_s_per_day * (shown_s - self.middle_s) / DAY_S


def follow(events: Sequence[Event], said: Speech, prior: Prior) -> tuple[Track, ...]:
    """Follow a device's clock.

    Args:
        events: in the order in which they happened, as far as that is known; else by what the device showed.
        said: what was said, in true time.
        prior: how likely a clock of this kind is to be out by how much.

    Returns:
        The stretches between settings of the clock, in order, all events in them; none where there are no events.
    """
    if not events:
        return ()
    evidence = Evidence.of(events, said)
    states = _states(evidence, prior)
    begins = prior.log_density(states)
    told = evidence.speaks_for(states, HABITS)
    habit = HABITS[int((told + begins).max(1).argmax())]
    path = _likeliest(evidence.under(states, habit), states, evidence.shown, begins)
    steps = np.abs(np.diff(states[path])) > _steps_s(evidence.shown)
    cuts = [0, *(np.flatnonzero(steps) + 1).tolist(), len(path)]
    tracks = []
    for first, last in pairwise(cuts):
        own = evidence.part(first, last)
        speaks = (told if len(cuts) == 2 else own.speaks_for(states, HABITS)).max(0)
        tracks.append(_fit(own, states, states[path[first:last]], speaks, habit, prior, first))
    return tuple(tracks)


def _states(evidence: Evidence, prior: Prior) -> Times:
    """Return the offsets worth considering, each moved to where most evidence near it speaks for it."""
    photos = evidence.shown[evidence.photos]
    fixed = [evidence.shown[index] - one.true_s for index, one in evidence.fixed]
    starts = np.unique(
        np.concatenate([likely_offsets(photos, evidence.said, _MOST_STATES, prior), np.round(fixed), np.zeros(1)])
    )
    best = np.array([_likeliest_near(start, evidence, prior) for start in starts.tolist()])
    return np.unique(np.concatenate([best, _of_each_day(photos, evidence.said, best, prior)]))


def _likeliest_near(offset_s: float, evidence: Evidence, prior: Prior) -> float:
    """Return which offset within a few seconds of one most speaks for."""
    fine = offset_s + _FINE_S
    own = evidence.telling_apart(offset_s, float(_FINE_S.max()))
    total = own.speaks_for(fine, (USUAL_HABIT,))[0] + prior.log_density(fine)
    return float(fine[total.argmax()])


def _of_each_day(photos: Times, said: Speech, found: Times, prior: Prior) -> Times:
    """Return what each day by itself speaks for within a minute or so of the offsets found, for clocks that drift."""
    days = np.unique(photos // DAY_S)
    if not 2 <= len(days) <= _MOST_DAYS:
        return np.empty(0)
    more = []
    for day in days:
        more.append(offsets_near(photos[photos // DAY_S == day], said, found, _DRIFTS_S, _STATES_A_DAY, prior))
    return np.concatenate(more)


def _likeliest(speaks: Times, states: Times, shown: Times, begins: Times) -> Indices:
    """Return the likeliest state at each event: small steps cost little, leaps as much as a clock set anew.

    No leap is as cheap as a step, so that only the likeliest state of all is ever leapt from.
    """
    apart, every = np.abs(states[:, None] - states[None, :]), np.arange(len(states))
    steps, breaks = _steps_s(shown), np.minimum(_AT_A_BREAK, np.log1p(np.abs(np.diff(shown)) / _BREAK_S))
    leap = _SET_ANEW + begins
    beside = _Beside(apart)
    score = begins + speaks[:, 0]
    came = np.empty(speaks.shape[::-1], dtype=np.int16)
    numbers = beside.numbers(steps).tolist()
    for at, (step_s, number, a_break) in enumerate(zip(steps.tolist(), numbers, breaks.tolist(), strict=True), 1):
        best, through = every, score
        neighbours = beside.nearest(number)
        if neighbours.shape[1]:
            each = score[neighbours]
            nearest = each.argmax(1)
            best, through = _better(best, through, neighbours[every, nearest], each[every, nearest] + _STEP)
        top = score.argmax()
        leapt = np.where(apart[top] > step_s, score[top] + (leap + a_break), -np.inf)
        came[at], score = _better(best, through, top, leapt)
        score = score + speaks[:, at]
    path = np.empty(speaks.shape[1], dtype=np.int64)
    path[-1] = score.argmax()
    for at in range(speaks.shape[1] - 1, 0, -1):
        path[at - 1] = came[at, path[at]]
    return path


def _better(best: Indices, through: Times, other: Indices | np.int64, way: Times) -> tuple[Indices, Times]:
    """Return for each state the better of two ways to it, and its worth; of equal ones that from the first state."""
    so = (way > through) | ((way == through) & (other < best))
    return np.where(so, other, best), np.where(so, way, through)


class _Beside:
    """The states that lie within a step of each, in order."""

    def __init__(self, apart: Times) -> None:
        self._apart, self._known = apart, dict[int, Indices]()
        self._reaches = np.sort(apart, axis=None)

    def numbers(self, steps_s: Times) -> Indices:
        """Return how many distances of two states each of some steps reaches."""
        return np.searchsorted(self._reaches, steps_s, side="right")

    def nearest(self, number: int) -> Indices:
        """Return for each state those that are so near: a row a state, filled up with the state itself.

        ``number`` is how many distances of two states there are of that length or less.
        """
        if number not in self._known:
            near = self._apart <= self._reaches[number - 1]
            np.fill_diagonal(near, val=False)
            found = np.tile(np.arange(len(near))[:, None], (1, int(near.sum(1).max())))
            for row, one in zip(found, near, strict=True):
                places = np.flatnonzero(one)
                row[: len(places)] = places
            self._known[number] = found
        return self._known[number]


def _steps_s(shown: Times) -> Times:
    """Return how far a clock may drift from each event to the next."""
    steps: Times = _STEP_S + _STEP_S_PER_DAY * np.abs(np.diff(shown)) / DAY_S
    return steps


def _fit(
    own: Evidence,
    states: Times,
    path: Times,
    speaks: Times,
    habit: Habit,
    prior: Prior,
    first: int,
) -> Track:
    """Fit one stretch with a straight line, and say how sure it is against every other state."""
    middle_s = float((own.shown.min() + own.shown.max()) / 2)
    line = _line(own, middle_s, float(np.median(path)), None, habit)
    span_days = float(np.ptp(own.shown)) / DAY_S
    if span_days * DAY_S >= _LONG_ENOUGH_S:
        starts = _sloping(own, middle_s, line.offset_s, prior)
        sloped = max((_line(own, middle_s, *start, habit) for start in starts), key=lambda one: one.worth)
        if sloped.worth > line.worth + _DRIFT_COSTS and abs(sloped.drift) * span_days > _LEAST_RUN_S:
            line = sloped
    offsets = line.offset_s + line.drift * (own.shown - middle_s) / DAY_S
    agreeing = _agreeing(own, offsets, habit)
    away = np.array([apart for _, _, _, apart, _ in agreeing])
    expected_s = float(np.median([error_s for *_, error_s in agreeing])) if agreeing else 0.0
    best = line.speaks + float(prior.log_density(np.array([line.offset_s]))[0])
    apart = np.abs(states[:, None] - np.unique(np.round(offsets))[None]).min(1)
    others = speaks + prior.log_density(states)
    close_s = max(_RIVAL_S, 3 * expected_s)
    margin, error_s = _margin(best, others[apart > close_s]), expected_s / np.sqrt(max(1, len(agreeing)))
    if margin < SURE_MARGIN:
        # The hour may be clear though the second is not: then all offsets near it stand for it together.
        near = (apart > close_s) & (apart <= _NEAR_S)
        chances = np.exp(np.append(others[near] - best, 0.0))
        error_s = float(np.sqrt((chances * np.append(apart[near], close_s / 3) ** 2).sum() / chances.sum()))
        margin = _margin(best, others[apart > max(close_s, _NEAR_S)]) - _UNCLEAR_COSTS
    rows = [index for index, *_ in agreeing] or [0, len(path) - 1]
    return Track(
        first=first,
        last=first + len(path),
        firm=(first + min(rows), first + max(rows)),
        middle_s=middle_s,
        offset_s=line.offset_s,
        drift_s_per_day=line.drift,
        kinds=_counted(agreeing),
        spread_s=float(_MAD_TO_SIGMA * np.median(np.abs(away - np.median(away)))) if len(away) else 0.0,
        expected_s=expected_s,
        error_s=float(error_s),
        margin=margin,
        decided=any(one.decides and abs(apart) <= AGREES_S for one, apart in _apart(own, offsets)),
    )


def _margin(best: float, others: Times) -> float:
    return best - float(np.logaddexp.reduce(others)) if len(others) else float(np.inf)


def _sloping(own: Evidence, middle_s: float, offset_s: float, prior: Prior) -> list[tuple[float, float]]:
    """Return offsets at the middle and drifts of lines near a level one that many photos agree with."""
    days = (own.shown - middle_s) / DAY_S
    half_days = float(np.ptp(days)) / 2
    step = AGREES_S / half_days
    photos = own.photos
    found = [(offset_s, 0.0)]
    for drift in np.arange(-_STEP_S_PER_DAY, _STEP_S_PER_DAY + step, max(step, _STEP_S_PER_DAY / 20)):
        level = own.shown[photos] - drift * days[photos]
        within_s = 60 + abs(drift) * half_days
        near = offsets_near(level, own.said, np.array([offset_s]), within_s, 2, prior)
        found += [(float(one), float(drift)) for one in near if abs(one - offset_s) <= 60 + abs(drift) * half_days][
            :2
        ]
    return found


@dataclass(frozen=True)
class _Line:
    offset_s: float
    drift: float
    speaks: float

    @property
    def worth(self) -> float:
        """How much speaks for it, less what its drift is unlikely by."""
        return self.speaks - 0.5 * (self.drift / _USUAL_DRIFT) ** 2


def _line(own: Evidence, middle_s: float, offset_s: float, drift: float | None, habit: Habit) -> _Line:
    """Move a line to where the evidence speaks most for it; level where no drift is given to begin with.

    Pairs of photo and word are weighed by how likely they belong together, and the line is fitted by least squares;
    and so on.
    """
    slopes, drift = drift is not None, drift or 0.0
    days = (own.shown - middle_s) / DAY_S
    began = offset_s + drift * days
    photos = own.in_reach(began, _WANDERS_S)
    for _ in range(_ROUNDS):
        offsets = offset_s + drift * days
        if np.abs(offsets - began).max() > _WANDERS_S:
            began, photos = offsets, own.in_reach(offsets, _WANDERS_S)
        rows, away, weights = _pulls(own, photos, offsets, habit)
        if weights.sum() < 1e-9:
            break
        x = days[rows]
        total, lean, square = weights.sum(), (weights * x).sum(), (weights * x * x).sum()
        pull, turn, spread = (weights * away).sum(), (weights * away * x).sum(), total * square - lean * lean
        if slopes and spread > 1e-9:
            offset_s += (pull * square - turn * lean) / spread
            drift = float(np.clip(drift + (turn * total - pull * lean) / spread, -_MOST_DRIFT, _MOST_DRIFT))
        else:
            offset_s += pull / total
    return _Line(float(offset_s), drift, float(own.along(offset_s + drift * days, habit).sum()))


def _pulls(own: Evidence, photos: Indices, offsets: Times, habit: Habit) -> tuple[Indices, Times, Times]:
    """Return events (indices), how far each lies from where it is expected (s), and their weights (1/s²).

    ``photos`` are those among which are all that have a word near that points.
    """
    rows, away, weights, _ = pointing_shares(own.shown[photos] - offsets[photos], own.said, habit)
    labels = _labels(own, own.shown - offsets)
    if not own.fixed and not labels:
        return photos[rows], away, weights
    index, true_s, errors = own.fixed_in_arrays
    fixed_away = own.shown[index] - true_s - offsets[index]
    fixed_weights = np.where(np.abs(fixed_away) <= 4 * errors, 1 / np.maximum(errors, 0.1) ** 2, 0.0)
    return (
        np.concatenate([photos[rows], index, np.array([row for row, _ in labels], dtype=np.int64)]),
        np.concatenate([away, fixed_away, [late_s for _, late_s in labels]]),
        np.concatenate([weights, fixed_weights, np.full(len(labels), LABEL_ERROR_S**-2)]),
    )


def _apart(own: Evidence, offsets: Times) -> list[tuple[Fixed, float]]:
    return [(one, float(own.shown[index] - one.true_s - offsets[index])) for index, one in own.fixed]


_Agreeing = tuple[int, str, float, float, float]


def _agreeing(own: Evidence, offsets: Times, habit: Habit) -> list[_Agreeing]:
    """List the anchors that agree: event, kind, true time, how far each lies from the line, how far such do (s)."""
    photos = own.photos
    at = own.shown - offsets
    rows, away, _, shares = pointing_shares(at[photos], own.said, habit)
    found: dict[int, _Agreeing] = {}
    pairs = zip(shares.tolist(), rows.tolist(), away.tolist(), strict=True)
    for share, row, late_s in sorted(pairs):
        if share >= CLEARLY:
            index = int(photos[row])
            found[index] = (index, POINTING, float(at[index]), late_s, habit.spread_s)
    agreeing = list(found.values())
    for index, late_s in _labels(own, at):
        if index not in found:
            agreeing.append((index, LABELS, float(at[index]), late_s, LABEL_ERROR_S))
    for (index, one), (_, apart) in zip(own.fixed, _apart(own, offsets), strict=True):
        if abs(apart) <= max(AGREES_S, 2 * one.error_s):
            agreeing.append((index, one.kind, one.true_s, apart, one.error_s))
    return agreeing


def _labels(own: Evidence, at: Times) -> list[tuple[int, float]]:
    found = label_lags(at[own.labels], own.tags, own.said)
    return [(int(own.labels[row]), late_s) for row, late_s in found]


def _counted(agreeing: Sequence[_Agreeing]) -> tuple[tuple[str, int], ...]:
    """Count the anchors of each kind; those that share one true time (a receiver's last fix) count once."""
    true_s: dict[str, set[float]] = {}
    for _, kind, at_s, *_ in agreeing:
        true_s.setdefault(kind, set()).add(at_s)
    return tuple((kind, len(times)) for kind, times in sorted(true_s.items()))
