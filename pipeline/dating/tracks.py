"""One device's clock followed through time: how far it was out, how it drifted, and when somebody set it anew.

The evidence is photos under speech (``pattern.py``) and anchors that give the true time outright. Every offset that
some of it speaks for is a state; the likeliest way through the states, from the device's first sign of life to the
last, is found (``ways.py``), where small steps are cheap (a clock drifts) and leaps are dear (somebody set it). A
wall clock that nobody touches when the clocks change in spring or autumn is out by so much more from then on: that is
no leap, but the same stretch, and evidence from before and after tells of it together. Each stretch between leaps is
then fitted with a straight line (``lines.py``).

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from pipeline.dating.events import ClockEvent, Evidence, Indices
from pipeline.dating.hours import with_hours_known, with_seconds_left_alone
from pipeline.dating.lines import SURE_MARGIN, ClockStretch, Track, agreeing_with, counted, decides, fit
from pipeline.dating.offsets import Prior, likely_offsets, offsets_by_ends, offsets_near
from pipeline.dating.pattern import AT_ENDS, DAY_S, HABITS, USUAL_HABIT, Habit, Speech, Times
from pipeline.dating.ways import likeliest, steps_s

_MOST_STATES = 48
_LIKELIEST = 4  # so many of the offsets found are tried to see how many photos they put near words
_STATES_A_DAY = 6
_MOST_DAYS = 60
_DRIFTS_S = 90.0
_FINE_S = np.arange(-4.0, 4.25, 0.5)
_MOST_UNTOUCHED, _FEWEST_BESIDE = 16, 2
# A clock may be right, or whole hours out: another zone, or summer time.
_HOURS_S = np.arange(-14.0, 15.0, dtype=np.float64) * np.float64(3600.0)
_BY_ENDS_S, _MOST_BY_ENDS = 240.0, 8
_ENOUGH, _FAR_MORE = 1 / 2, 1.75  # of the photos; times


def follow(events: Sequence[ClockEvent], said: Speech, prior: Prior) -> tuple[Track, ...]:
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
    tracks, habit = _followed(evidence, prior, HABITS)
    by_hand = prior == Prior.hand_set()
    if by_hand and not (all(track.sure for track in tracks) and _enough(tracks, evidence)):
        # Sentences end every few seconds: when they do is asked only where little else tells.
        by_ends, _ = _followed(evidence, prior, (*HABITS, AT_ENDS))
        if _tells_more(by_ends, tracks):
            tracks, habit = by_ends, AT_ENDS
    if prior.between is None:
        tracks = tuple(with_seconds_left_alone(track, said) if track.sure else track for track in tracks)
    return with_hours_known(tracks, evidence, habit) if by_hand else tracks


def _enough(tracks: Sequence[Track], evidence: Evidence) -> bool:
    """Tell whether so many photos agree that these are no chance company of the others."""
    decided = any(track.decided for track in tracks)
    return decided or sum(track.anchors for track in tracks) >= _ENOUGH * len(evidence.photos)


def _tells_more(by_ends: Sequence[Track], tracks: Sequence[Track]) -> bool:
    """Tell whether the ends of sentences tell the clock of more events, or agree with far more of as many.

    Some photos come as a sentence ends by chance. Source: on made days where people point, no such fit has half as
    much again as the words that point; where they don't, it has twice as much or more.
    """
    (known, agree), (known_before, agreed) = _told(by_ends), _told(tracks)
    return known > known_before or (known == known_before and agree > _FAR_MORE * agreed)


def _told(tracks: Sequence[Track]) -> tuple[int, float]:
    """Return of how many events the clock is known, and how much agrees with that."""
    sure = [track for track in tracks if track.sure]
    return sum(track.last - track.first for track in sure), sum(track.weight for track in sure)


def _followed(evidence: Evidence, prior: Prior, habits: Sequence[Habit]) -> tuple[tuple[Track, ...], Habit]:
    """Follow a clock by one of these habits: that of photos as sentences end if it is among them, or the best.

    Returns that habit, too.
    """
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
        track, agreeing = fit(ClockStretch(own, part, offsets, states, speaks, habit, prior, first))
        tracks += _parts(track, agreeing, more_s)
    return tuple(tracks), habit


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
    agreeing = agreeing_with(own, offsets, habit)
    margin = float((own.along(offsets, habit) - own.along(offsets + other_s, habit)).sum())
    return margin >= SURE_MARGIN and (
        decides(own, offsets) or sum(number for _, number in counted(agreeing)) >= _FEWEST_BESIDE
    )


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
