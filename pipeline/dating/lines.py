"""One stretch of a device's clock as a straight line: how far it was out, how it drifted, and how sure that is.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from pipeline.dating.by_ends import Lines
from pipeline.dating.events import Evidence, Fixed, Indices
from pipeline.dating.offsets import Prior, offsets_near
from pipeline.dating.pattern import (
    CLEARLY,
    DAY_S,
    FEWEST_ANCHORS,
    LABEL_ERROR_S,
    Habit,
    Times,
    ending_shares,
    label_lags,
    pointing_shares,
)
from pipeline.dating.ways import STEP_S_PER_DAY, USUAL_DRIFT_S_PER_DAY

SURE_MARGIN = 5.0
"""How much likelier than all other offsets together (natural logarithm) a sure one is."""
POINTING, LABELS = "photos just after words that point", "labels seen and read out"
ENDING = "photos just as a sentence has ended"
BY_PEOPLE = frozenset({POINTING, LABELS, ENDING})
"""What people do tells of a clock, and not to the second."""
_WEIGHTS = {LABELS: 2.0, ENDING: 2 / 3}
"""What an anchor counts for: a number read out and its label are one moment, sentences end every few seconds."""
WIDEST_SPREAD_S = 3.0
UNCLEAR_S = 5.0
"""A clock that may be further out than this is not clear to the second."""
HOUR_S = 3600.0
DAY_OUT_S = 14.5 * HOUR_S
"""No zone is further out than this, only another day."""
_NEAR_HOURS_S = 300.0
AGREES_S = 5.0
_RIVAL_S, _NEAR_S, _UNCLEAR_COSTS = 6.0, 120.0, 4.0
_MAD_TO_SIGMA = 1.4826  # of a normal distribution
_LONG_ENOUGH_S = 6 * 3600.0
_MOST_DRIFT = 120.0
_DRIFT_COSTS = 4.0
_LEAST_RUN_S = 6.0  # people differ by a second or two in how soon they press the shutter: less is no drift
_ROUNDS = 12
_WANDERS_S = 30.0  # so far a line may be moved before the photos near words are looked for again


@dataclass(frozen=True)
class Track:
    """A stretch in which a device's clock ran on undisturbed: the events from ``first`` to before ``last``.

    Where the zone's clocks were changed and the device's was not, the parts before and after are a track each, fitted
    as one: ``whole`` are the events of all of them, and ``untouched`` says that it goes on the one before. ``anew``
    says that the clock began anew with it (``lives.py``), ``unclear_s`` how far it may be out because
    nothing in it tells the hour (``hours.py``).

    ``firm`` are the first and the last of them that agree with it. ``offset_s`` is that at ``middle_s`` by the
    device. ``kinds`` counts the anchors that agree, by kind. ``spread_s`` is how far these lie apart (one sigma),
    ``expected_s`` how far anchors of their kinds do. ``margin`` is how much likelier the offset, or one within two
    minutes of it, is than all others together (natural logarithm); ``error_s`` is how far it may be out (one sigma).
    ``decided`` says that it needs no more anchors: one that needs no other beside it agrees, or they come from both
    sides of a while without a photo (``lives.py``).
    """

    first: int
    last: int
    whole: tuple[int, int]
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
    untouched: bool = False
    anew: bool = False
    unclear_s: float = 0.0

    @property
    def anchors(self) -> int:
        """How many anchors agree."""
        return sum(number for _, number in self.kinds)

    @property
    def weight(self) -> float:
        """How much the anchors that agree count for: ends of sentences, of which days are full, tell hours only."""
        telling = [(kind, number) for kind, number in self.kinds if kind != ENDING or self.by_whole_hours]
        return sum(number * _WEIGHTS.get(kind, 1.0) for kind, number in telling)

    @property
    def whole_hours_s(self) -> float:
        """The whole hours (s) nearest to what the clock is out by."""
        return HOUR_S * round(self.offset_s / HOUR_S)

    @property
    def by_whole_hours(self) -> bool:
        """Whether the clock is out by nearly whole hours, as in another zone or by summer time, or right."""
        return abs(self.offset_s) < DAY_OUT_S and abs(self.offset_s - self.whole_hours_s) <= _NEAR_HOURS_S

    @property
    def sure(self) -> bool:
        """Whether to believe it."""
        enough = self.decided or (
            self.weight >= FEWEST_ANCHORS and self.spread_s <= max(WIDEST_SPREAD_S, self.expected_s)
        )
        return enough and self.margin >= SURE_MARGIN and not self.unclear_s

    def offset_at(self, shown_s: float) -> float:
        """Return the offset when the device showed this time."""
        return self.offset_s + self.drift_s_per_day * (shown_s - self.middle_s) / DAY_S


@dataclass(frozen=True)
class ClockStretch:
    """What a line is fitted to.

    ``own`` are the events of the stretch, the first of which is ``first`` among the device's; ``path`` is the
    likeliest offset at each. ``part`` is an even part of them, by which the offsets in ``states`` are compared:
    ``speaks`` is how much it speaks for each.
    """

    own: Evidence
    part: Evidence
    path: Times
    states: Times
    speaks: Times
    habit: Habit
    prior: Prior
    first: int

    @property
    def middle_s(self) -> float:
        """What the device showed in its middle."""
        return float((self.own.shown.min() + self.own.shown.max()) / 2)

    @property
    def about_s(self) -> float:
        """About how far the clock was out in it."""
        return float(np.median(self.path))

    @property
    def last(self) -> int:
        """The event before which it ends."""
        return self.first + len(self.path)


def fit(stretch: ClockStretch) -> tuple[Track, list[int]]:
    """Fit one stretch with a straight line, and say how sure it is against every other state.

    The line that its ``part`` speaks most for is moved to where all of it does.

    Returns the events that agree with it, too, counted from the stretch's first.
    """
    own, habit, prior, middle_s = stretch.own, stretch.habit, stretch.prior, stretch.middle_s
    lines = Lines.of(stretch.part, middle_s, stretch.about_s, habit, prior) if habit.ended else None
    line, spoken = _best_line(stretch, lines)
    offsets = line.offset_s + line.drift * (own.shown - middle_s) / DAY_S
    agreeing = agreeing_with(own, offsets, habit)
    away = np.array([one.apart_s for one in agreeing])
    expected_s = float(np.median([one.error_s for one in agreeing])) if agreeing else 0.0
    best = spoken + float(prior.log_density(np.array([line.offset_s]))[0])
    apart = np.abs(stretch.states[:, None] - np.unique(np.round(offsets))[None]).min(1)
    others = stretch.speaks + prior.log_density(stretch.states)
    margin, error_s = _how_sure(best, others, apart, expected_s, len(agreeing))
    if lines is not None:
        error_s = max(error_s, lines.out_s(line.offset_s, line.drift))
    track = Track(
        first=stretch.first,
        last=stretch.last,
        whole=(stretch.first, stretch.last),
        firm=(stretch.first, stretch.last - 1),
        middle_s=middle_s,
        offset_s=line.offset_s,
        drift_s_per_day=line.drift,
        kinds=counted(agreeing),
        spread_s=float(_MAD_TO_SIGMA * np.median(np.abs(away - np.median(away)))) if len(away) else 0.0,
        expected_s=expected_s,
        error_s=error_s,
        margin=margin,
        decided=decides(own, offsets),
    )
    return track, [one.event for one in agreeing]


def _best_line(stretch: ClockStretch, lines: Lines | None) -> "tuple[_Line, float]":
    """Return a stretch's line, level or with a drift that is worth it, and how much its ``part`` speaks for it."""
    own, part, middle_s, habit = stretch.own, stretch.part, stretch.middle_s, stretch.habit
    line = _line(part, middle_s, stretch.about_s, None, habit)
    span_days = float(np.ptp(own.shown)) / DAY_S
    if span_days * DAY_S >= _LONG_ENOUGH_S:
        starts = [lines.best] if lines else _sloping(part, middle_s, line.offset_s, stretch.prior)
        sloped = max((_line(part, middle_s, *start, habit) for start in starts), key=lambda one: one.worth)
        if sloped.worth > line.worth + _DRIFT_COSTS and abs(sloped.drift) * span_days > _LEAST_RUN_S:
            line = sloped
    spoken = line.speaks
    if part is not own:
        line = _line(own, middle_s, line.offset_s, line.drift or None, habit)
    return _to_whole_steps(line, (float(own.shown.min()) - middle_s) / DAY_S), spoken


def _how_sure(best: float, others: Times, apart: Times, expected_s: float, agreeing: int) -> tuple[float, float]:
    """Return how much likelier a line is than the other states, and how far it may be out (s).

    Args:
        best: how much speaks for the line.
        others: how much speaks for each state.
        apart: how far each state lies from the line (s).
        expected_s: how far the anchors that agree lie from it as a rule.
        agreeing: how many these are.
    """
    close_s = max(_RIVAL_S, 3 * expected_s)
    margin, error_s = _margin(best, others[apart > close_s]), expected_s / np.sqrt(max(1, agreeing))
    if margin < SURE_MARGIN:
        # The hour may be clear though the second is not: then all offsets near it stand for it together.
        near = (apart > close_s) & (apart <= _NEAR_S)
        chances = np.exp(np.append(others[near] - best, 0.0))
        error_s = float(np.sqrt((chances * np.append(apart[near], close_s / 3) ** 2).sum() / chances.sum()))
        margin = _margin(best, others[apart > max(close_s, _NEAR_S)]) - _UNCLEAR_COSTS
    return margin, float(error_s)


def _margin(best: float, others: Times) -> float:
    return best - float(np.logaddexp.reduce(others)) if len(others) else float(np.inf)


def _sloping(own: Evidence, middle_s: float, offset_s: float, prior: Prior) -> list[tuple[float, float]]:
    """Return offsets at the middle and drifts of lines near a level one that many photos agree with."""
    days = (own.shown - middle_s) / DAY_S
    half_days = float(np.ptp(days)) / 2
    step = AGREES_S / half_days
    photos = own.photos
    found = [(offset_s, 0.0)]
    for drift in np.arange(-STEP_S_PER_DAY, STEP_S_PER_DAY + step, max(step, STEP_S_PER_DAY / 20)):
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
        return self.speaks - 0.5 * (self.drift / USUAL_DRIFT_S_PER_DAY) ** 2


def _to_whole_steps(line: _Line, first_day: float) -> _Line:
    """Return a line at a whole step at the first event of its stretch, and with a whole step of drift.

    Devices show whole seconds. A line that was not on a step would be another with every photo that comes in, by some
    thousandth of a second, and everything that was dated by it with it.
    """
    drift = round(line.drift, 3)
    return replace(line, drift=drift, offset_s=round(line.offset_s + line.drift * first_day, 1) - drift * first_day)


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
        rows, away, weights = _pulls(own, own.photos if habit.ended else photos, offsets, habit)
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
    at = own.shown[photos] - offsets[photos]
    pulls = pointing_shares(at, own.said, habit), ending_shares(at, own.said, habit)
    rows, away, weights, _ = (np.concatenate(both) for both in zip(*pulls, strict=True))
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


def decides(own: Evidence, offsets: Times) -> bool:
    """Tell whether a true time that needs no other beside it agrees with the offset at its event."""
    return any(one.decides and abs(apart_s) <= AGREES_S for one, apart_s in _apart(own, offsets))


def _apart(own: Evidence, offsets: Times) -> list[tuple[Fixed, float]]:
    return [(one, float(own.shown[index] - one.true_s - offsets[index])) for index, one in own.fixed]


class Agreeing(NamedTuple):
    """An anchor that agrees with a line, how far it lies from that, and how far such do (s)."""

    event: int
    kind: str
    true_s: float
    apart_s: float
    error_s: float


def agreeing_with(own: Evidence, offsets: Times, habit: Habit) -> list[Agreeing]:
    """List the anchors that agree with the offset at each event."""
    photos = own.photos
    at = own.shown - offsets
    found: dict[int, Agreeing] = {}
    for kind, told in ((ENDING, ending_shares), (POINTING, pointing_shares)):
        rows, away, _, shares = told(at[photos], own.said, habit)
        pairs = zip(shares.tolist(), rows.tolist(), away.tolist(), strict=True)
        for share, row, late_s in sorted(pairs):
            if share >= CLEARLY:
                index = int(photos[row])
                found[index] = Agreeing(index, kind, float(at[index]), late_s, habit.spread_s)
    agreeing = list(found.values())
    for index, late_s in _labels(own, at):
        if index not in found:
            agreeing.append(Agreeing(index, LABELS, float(at[index]), late_s, LABEL_ERROR_S))
    for (index, one), (_, apart) in zip(own.fixed, _apart(own, offsets), strict=True):
        if abs(apart) <= max(AGREES_S, 2 * one.error_s):
            agreeing.append(Agreeing(index, one.kind, one.true_s, apart, one.error_s))
    return agreeing


def _labels(own: Evidence, at: Times) -> list[tuple[int, float]]:
    found = label_lags(at[own.labels], own.tags, own.said)
    return [(int(own.labels[row]), late_s) for row, late_s in found]


def counted(agreeing: Sequence[Agreeing]) -> tuple[tuple[str, int], ...]:
    """Count the anchors of each kind; those that share one true time (a receiver's last fix) count once."""
    true_s: dict[str, set[float]] = {}
    for one in agreeing:
        true_s.setdefault(one.kind, set()).add(one.true_s)
    return tuple((kind, len(times)) for kind, times in sorted(true_s.items()))
