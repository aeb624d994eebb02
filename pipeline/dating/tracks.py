"""One device's clock followed through time: how far it was out, how it drifted, and when somebody set it anew.

The evidence is photos under speech (``pattern.py``) and anchors that give the true time outright. Every offset that
some of it speaks for is a state; the likeliest way through the states, from the device's first sign of life to the
last, is found (``ways.py``), where small steps are cheap (a clock drifts) and leaps are dear (somebody set it). A
wall clock that nobody touches when the clocks change in spring or autumn is out by so much more from then on: that is
no leap, but the same stretch, and evidence from before and after tells of it together. Each stretch between leaps is
then fitted with a straight line.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pipeline.dating.events import Event, Evidence, Fixed, Indices
from pipeline.dating.pattern import (
    AT_ENDS,
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
    ending_shares,
    label_lags,
    likely_offsets,
    offsets_by_ends,
    offsets_near,
    pointing_shares,
)
from pipeline.dating.ways import STEP_S_PER_DAY, likeliest, steps_s

SURE_MARGIN = 5.0
"""How much likelier than all other offsets together (natural logarithm) a sure one is."""
POINTING, LABELS = "photos just after words that point", "labels seen and read out"
ENDING = "photos just as a sentence has ended"
BY_PEOPLE = frozenset({POINTING, LABELS, ENDING})
"""What people do tells of a clock, and not to the second."""
_WEIGHTS = {LABELS: 2.0, ENDING: 2 / 3}
"""What an anchor counts for: a number read out and its label are one moment, sentences end every few seconds."""
WIDEST_SPREAD_S = 3.0
AGREES_S = 5.0
_MOST_STATES = 48
_LIKELIEST = 4  # so many of the offsets found are tried to see how many photos they put near words
_STATES_A_DAY = 6
_MOST_DAYS = 60
_DRIFTS_S = 90.0
_FINE_S = np.arange(-4.0, 4.25, 0.5)
_RIVAL_S, _NEAR_S, _UNCLEAR_COSTS = 6.0, 120.0, 4.0
_MOST_UNTOUCHED, _FEWEST_BESIDE = 16, 2
# A clock may be right, or whole hours out: another zone, or summer time.
_HOURS_S = np.arange(-14.0, 15.0, dtype=np.float64) * np.float64(3600.0)
_BY_ENDS_S, _MOST_BY_ENDS = 240.0, 8
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

    Where the zone's clocks were changed and the device's was not, the parts before and after are a track each, fitted
    as one: ``whole`` are the events of all of them, and ``untouched`` says that it goes on the one before.

    ``firm`` are the first and the last of them that agree with it. ``offset_s`` is that at ``middle_s`` by the
    device. ``kinds`` counts the anchors that agree, by kind. ``spread_s`` is how far these lie apart (one sigma),
    ``expected_s`` how far anchors of their kinds do. ``margin`` is how much likelier the offset, or one within two
    minutes of it, is than all others together (natural logarithm); ``error_s`` is how far it may be out (one sigma).
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

    @property
    def anchors(self) -> int:
        """How many anchors agree."""
        return sum(number for _, number in self.kinds)

    @property
    def sure(self) -> bool:
        """Whether to believe it."""
        weight = sum(number * _WEIGHTS.get(kind, 1.0) for kind, number in self.kinds)
        enough = self.decided or (weight >= FEWEST_ANCHORS and self.spread_s <= max(WIDEST_SPREAD_S, self.expected_s))
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
    tracks = _followed(evidence, prior, HABITS)
    if prior != Prior.hand_set() or all(track.sure for track in tracks):
        return tracks
    # Sentences end every few seconds: when they do is asked only where nothing else tells.
    by_ends = _followed(evidence, prior, (*HABITS, AT_ENDS))
    return by_ends if _told(by_ends) > _told(tracks) else tracks


def _told(tracks: Sequence[Track]) -> int:
    """Return of how many events the clock is known."""
    return sum(track.last - track.first for track in tracks if track.sure)


def _followed(evidence: Evidence, prior: Prior, habits: Sequence[Habit]) -> tuple[Track, ...]:
    """Follow a clock by one of these habits: that of photos as sentences end if it is among them, or the best."""
    found = likely_offsets(evidence.shown[evidence.photos], evidence.said, _MOST_STATES, prior)
    some = evidence.even_part(np.append(found[:_LIKELIEST], 0.0))
    states = _states(some, found, prior, habits)
    begins = prior.log_density(states)
    told = some.speaks_for(states, habits)
    habit = AT_ENDS if AT_ENDS in habits else habits[int((told + begins).max(1).argmax())]
    path, untouched = _way(evidence, states, habit, begins)
    steps = np.diff(states[path]) - untouched
    cuts = [0, *(np.flatnonzero(np.abs(steps) > steps_s(evidence.shown)) + 1).tolist(), len(path)]
    tracks: list[Track] = []
    for first, last in pairwise(cuts):
        more_s = np.append(0.0, np.cumsum(untouched[first : last - 1]))
        own = evidence.part(first, last).showing_less(more_s)
        offsets = states[path[first:last]] - more_s
        part = own.even_part(offsets[None])
        alone = len(cuts) == 2 and not more_s.any() and some is evidence and part is own
        speaks = (told if alone else part.speaks_for(states, habits)).max(0)
        track, agreeing = _fit(own, part, states, offsets, speaks, habit, prior, first)
        tracks += _parts(track, agreeing, more_s)
    return tuple(tracks)


def _way(evidence: Evidence, states: Times, habit: Habit, begins: Times) -> tuple[Indices, Times]:
    """Return the likeliest state at each event, and how far the clock was left behind from each to the next (s).

    That the device's clock was left as it was when the zone's changed must be told by events before and after it.
    """
    speaks, may_be = evidence.under(states, habit), evidence.if_untouched
    while True:
        path = likeliest(speaks, states, evidence.shown, begins, may_be)
        steps = np.diff(states[path])
        far = np.abs(steps - may_be)
        untouched = np.where((far <= steps_s(evidence.shown)) & (far < np.abs(steps)), may_be, 0.0)
        ends = (np.abs(steps) > steps_s(evidence.shown)) | (untouched != 0)
        edges = [0, *(np.flatnonzero(ends) + 1).tolist(), len(path)]
        doubted = [
            middle - 1
            for before, middle, after in zip(edges, edges[1:], edges[2:], strict=False)
            if untouched[middle - 1]
            and not (
                _tells(evidence.part(before, middle), states[path[before:middle]], untouched[middle - 1], habit)
                and _tells(evidence.part(middle, after), states[path[middle:after]], -untouched[middle - 1], habit)
            )
        ]
        if not doubted:
            return path, untouched
        may_be[doubted] = 0.0


def _tells(own: Evidence, offsets: Times, other_s: float, habit: Habit) -> bool:
    """Tell whether enough speaks for these offsets rather than for those so many seconds beside them."""
    agreeing = _agreeing(own, offsets, habit)
    decided = any(one.decides and abs(apart) <= AGREES_S for one, apart in _apart(own, offsets))
    margin = float((own.along(offsets, habit) - own.along(offsets + other_s, habit)).sum())
    return margin >= SURE_MARGIN and (decided or sum(number for _, number in _counted(agreeing)) >= _FEWEST_BESIDE)


def _parts(track: Track, agreeing: Sequence[int], more_s: Times) -> Iterator[Track]:
    """Yield a fitted stretch in the parts before and after each change of the zone's clocks that left it behind.

    Args:
        track: the whole, as if its clock had been changed.
        agreeing: the events that agree with it.
        more_s: how much more it showed at each event, for not having been changed.
    """
    edges = [0, *(np.flatnonzero(np.diff(more_s)) + 1).tolist(), len(more_s)]
    for first, last in pairwise(edges):
        rows = [row for row in agreeing if first <= row < last] or [first, last - 1]
        yield replace(
            track,
            first=track.first + first,
            last=track.first + last,
            firm=(track.first + min(rows), track.first + max(rows)),
            middle_s=track.middle_s + float(more_s[first]),
            offset_s=track.offset_s + float(more_s[first]),
            untouched=first > 0,
        )


def _states(evidence: Evidence, found: Times, prior: Prior, habits: Sequence[Habit]) -> Times:
    """Return the offsets worth considering: those found, each moved to where most evidence near it speaks for it."""
    photos, by_ends = evidence.shown[evidence.photos], AT_ENDS in habits
    fixed = [evidence.shown[index] - one.true_s for index, one in evidence.fixed]
    starts = np.unique(np.concatenate([found, np.round(fixed), np.zeros(1)]))
    best = [_likeliest_near(start, evidence, prior, USUAL_HABIT) for start in starts.tolist()]
    if by_ends:
        ends = offsets_by_ends(photos, evidence.said, _HOURS_S, _BY_ENDS_S, _MOST_BY_ENDS, prior)
        best += [_likeliest_near(start, evidence, prior, AT_ENDS) for start in [*starts.tolist(), *ends.tolist()]]
    tried = np.unique(best)
    habit = AT_ENDS if by_ends else USUAL_HABIT
    tried = np.unique(np.concatenate([tried, _if_untouched(evidence, tried, prior, habit)]))
    return np.unique(np.concatenate([tried, _of_each_day(photos, evidence.said, tried, prior, by_ends)]))


def _if_untouched(evidence: Evidence, found: Times, prior: Prior, habit: Habit) -> Times:
    """Return what the likeliest offsets are before or after the zone's clocks change, if the device's do not."""
    zones = np.unique(evidence.zone)
    apart: Times = np.unique(zones[:, None] - zones)
    apart = apart[apart != 0]
    if not len(apart):
        return apart
    worth = evidence.speaks_for(found, (habit,))[0] + prior.log_density(found)
    likeliest = found[np.argsort(-worth, kind="stable")[:_MOST_UNTOUCHED]]
    beside: Times = (likeliest[:, None] + apart).ravel()
    return beside


def _likeliest_near(offset_s: float, evidence: Evidence, prior: Prior, habit: Habit) -> float:
    """Return which offset within a few seconds of one most speaks for."""
    fine = offset_s + _FINE_S
    own = evidence.telling_apart(offset_s, float(_FINE_S.max()), by_ends=habit.ended > 0)
    total = own.speaks_for(fine, (habit,))[0] + prior.log_density(fine)
    return float(fine[total.argmax()])


def _of_each_day(photos: Times, said: Speech, found: Times, prior: Prior, by_ends: bool) -> Times:
    """Return what each day by itself speaks for within a minute or so of the offsets found, for clocks that drift."""
    days = np.unique(photos // DAY_S)
    if not 2 <= len(days) <= _MOST_DAYS:
        return np.empty(0)
    more = []
    for day in days:
        of_day = photos[photos // DAY_S == day]
        more.append(offsets_near(of_day, said, found, _DRIFTS_S, _STATES_A_DAY, prior))
        if by_ends:
            more.append(offsets_by_ends(of_day, said, _HOURS_S, _BY_ENDS_S, _STATES_A_DAY, prior))
    return np.concatenate(more)


def _fit(
    own: Evidence,
    part: Evidence,
    states: Times,
    path: Times,
    speaks: Times,
    habit: Habit,
    prior: Prior,
    first: int,
) -> tuple[Track, list[int]]:
    """Fit one stretch with a straight line, and say how sure it is against every other state.

    What is told by comparing is told by an even ``part`` of the stretch, as ``speaks`` is; the line is then moved to
    where all of it speaks most for it.

    Returns the events that agree with it, too, counted from the stretch's first.
    """
    middle_s = float((own.shown.min() + own.shown.max()) / 2)
    line = _line(part, middle_s, float(np.median(path)), None, habit)
    span_days = float(np.ptp(own.shown)) / DAY_S
    if span_days * DAY_S >= _LONG_ENOUGH_S:
        starts = _sloping(part, middle_s, line.offset_s, prior, habit)
        sloped = max((_line(part, middle_s, *start, habit) for start in starts), key=lambda one: one.worth)
        if sloped.worth > line.worth + _DRIFT_COSTS and abs(sloped.drift) * span_days > _LEAST_RUN_S:
            line = sloped
    spoken = line.speaks
    if part is not own:
        line = _line(own, middle_s, line.offset_s, line.drift or None, habit)
    line = _to_whole_steps(line, (float(own.shown.min()) - middle_s) / DAY_S)
    offsets = line.offset_s + line.drift * (own.shown - middle_s) / DAY_S
    agreeing = _agreeing(own, offsets, habit)
    away = np.array([apart for _, _, _, apart, _ in agreeing])
    expected_s = float(np.median([error_s for *_, error_s in agreeing])) if agreeing else 0.0
    best = spoken + float(prior.log_density(np.array([line.offset_s]))[0])
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
    track = Track(
        first=first,
        last=first + len(path),
        whole=(first, first + len(path)),
        firm=(first, first + len(path) - 1),
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
    return track, [index for index, *_ in agreeing]


def _margin(best: float, others: Times) -> float:
    return best - float(np.logaddexp.reduce(others)) if len(others) else float(np.inf)


def _sloping(
    own: Evidence, middle_s: float, offset_s: float, prior: Prior, habit: Habit
) -> list[tuple[float, float]]:
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
        if habit.ended:
            by_ends = offsets_by_ends(level, own.said, np.array([offset_s]), within_s, 2, prior)
            near = np.ravel(np.column_stack([by_ends, near]) if len(near) == len(by_ends) else by_ends)
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


def _apart(own: Evidence, offsets: Times) -> list[tuple[Fixed, float]]:
    return [(one, float(own.shown[index] - one.true_s - offsets[index])) for index, one in own.fixed]


_Agreeing = tuple[int, str, float, float, float]


def _agreeing(own: Evidence, offsets: Times, habit: Habit) -> list[_Agreeing]:
    """List the anchors that agree: event, kind, true time, how far each lies from the line, how far such do (s)."""
    photos = own.photos
    at = own.shown - offsets
    found: dict[int, _Agreeing] = {}
    for kind, told in ((ENDING, ending_shares), (POINTING, pointing_shares)):
        rows, away, _, shares = told(at[photos], own.said, habit)
        pairs = zip(shares.tolist(), rows.tolist(), away.tolist(), strict=True)
        for share, row, late_s in sorted(pairs):
            if share >= CLEARLY:
                index = int(photos[row])
                found[index] = (index, kind, float(at[index]), late_s, habit.spread_s)
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
