"""What is told of a clock by whole hours alone: where its second is not clear, and where not even its hour is.

People set a camera right but for some seconds, or leave it whole hours out. Where only what people do tells of its
clock, and not to the second, the seconds are left as they were set.

Cameras seldom change for summer time by themselves, and people forget to change them, or do it late. So what was told
of a camera in one winter says little of the hour in the next summer; and one that was an hour fast may have been put
right over a long pause. Where photos fall among words as they are dated, and would not an hour earlier or later, the
hour is known. Where nothing tells it apart, the stretch is not sure.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

import numpy as np

from pipeline.dating.events import Evidence
from pipeline.dating.lines import BY_PEOPLE, DAY_OUT_S, ENDING, HOUR_S, SURE_MARGIN, UNCLEAR_S, Track
from pipeline.dating.pattern import DAY_S, SENTENCE_S, Habit, Speech

# Seconds are left alone that are fewer than so many times what the clock may be out by, up to a minute.
_TIMES, _MOST_S = 3.0, 60.0
_LONG_PAUSE_S = 60 * DAY_S
_FOLLOWED = 2  # a clock that was right before and after so many changes goes with the zone
_TOLD_BY = 2 * SURE_MARGIN  # two photos among words, or an anchor that needs no other


def with_hours_known(tracks: Sequence[Track], evidence: Evidence, habit: Habit) -> tuple[Track, ...]:
    """Return the stretches of a clock, those that are sure cut where they begin or cease to tell the hour.

    A piece goes on until the zone's clocks change; that of a clock that is whole hours out, until a long pause, too.

    Args:
        tracks: of a clock that people set, in order.
        evidence: all of its events.
        habit: of whoever took its photos.
    """
    return tuple(one for track in tracks for one in _pieces(track, evidence, habit))


def with_seconds_left_alone(track: Track, said: Speech) -> Track:
    """Return a stretch of a clock as right but for whole hours, where that is as likely as the seconds found.

    That is so where the second is not clear; and where sentences' ends tell of it to some seconds, and are no guide:
    who photographs in the middle of sentences is always some seconds before they end, whatever the clock.
    """
    kinds = {kind for kind, _ in track.kinds}
    if not kinds <= BY_PEOPLE:
        return track
    hours_s = track.whole_hours_s
    away_s = abs(track.offset_s - hours_s)
    unclear_s = min(_TIMES * track.error_s, _MOST_S) if track.error_s > UNCLEAR_S else 0.0
    if away_s > max(unclear_s, SENTENCE_S if ENDING in kinds and said.ends_mislead else 0.0):
        return track
    return replace(track, offset_s=hours_s, drift_s_per_day=0.0, error_s=max(track.error_s, away_s))


def _pieces(track: Track, evidence: Evidence, habit: Habit) -> Iterator[Track]:
    own = evidence.part(track.first, track.last)
    hours_s = track.whole_hours_s
    out = track.by_whole_hours and hours_s != 0
    changes = np.diff(own.zone) != 0
    edges = np.flatnonzero(changes | (out & (np.diff(own.shown) > _LONG_PAUSE_S))) + 1
    if not track.sure or not len(edges) or abs(track.offset_s) >= DAY_OUT_S:
        yield track
        return
    spans = list(pairwise([0, *edges.tolist(), len(own.shown)]))
    others_s = sorted({HOUR_S, -HOUR_S, hours_s} if out else {HOUR_S, -HOUR_S})
    known = [_tells_hour(track, own.part(*span), others_s, habit) for span in spans]
    followed = sum(before and after for before, after in pairwise(known))
    if not out and followed >= _FOLLOWED:
        known = [True] * len(spans)
    for told, group in groupby(zip(spans, known, strict=True), lambda one: one[1]):
        same = [span for span, _ in group]
        yield _piece(track, same[0][0], same[-1][1], 0.0 if told else max(HOUR_S, abs(hours_s)))


def _tells_hour(track: Track, own: Evidence, others_s: Sequence[float], habit: Habit) -> bool:
    """Tell whether some of a track's events speak for its offset rather than for those so much smaller."""
    offsets = np.array([track.offset_at(shown_s) for shown_s in own.shown.tolist()])
    speaks = own.along(offsets, habit).sum()
    return all(speaks - own.along(offsets - other_s, habit).sum() >= _TOLD_BY for other_s in others_s)


def _piece(track: Track, first: int, last: int, unclear_s: float) -> Track:
    """Return the part of a track from one of its events to before another, and how far its hour may be out."""
    since, until = track.first + first, track.first + last
    return replace(
        track,
        first=since,
        last=until,
        firm=(max(since, min(track.firm[0], until - 1)), min(until - 1, max(track.firm[1], since))),
        untouched=track.untouched and first == 0,
        anew=track.anew and first == 0,
        unclear_s=unclear_s,
    )
