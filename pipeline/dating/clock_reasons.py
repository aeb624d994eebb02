"""A device's clock as the record has it: its fit in round figures, and in words what that rests on."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from pipeline.dating.device_clock import WORTH_MOVING_S, DeviceClock
from pipeline.dating.events import CARD, GPS, TOLD, ClockEvent
from pipeline.dating.lines import BY_PEOPLE, ENDING, HOUR_S, LABELS, POINTING, SURE_MARGIN, UNCLEAR_S, Track
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import FEWEST_ANCHORS
from pipeline.dating.zones import change_between, instant
from pipeline.english import day_text
from pipeline.values import Clock

NOBODY = "Nobody"
"""Begins the last of a clock's reasons, where it was left as it was as the zone's clocks were changed."""
_LEAST_BY_PEOPLE_S = 10.0  # so late people may press the shutter, or so early
_PEOPLE = " Such a clock sets itself, and so few seconds may be how late people press the shutter: nothing was moved."
_HABIT_S = 4.0  # by which one person presses the shutter later than another


def alone(device: str, offset_s: float, sure: bool, why: str, stamps: str, anchors: int = 0) -> DeviceClock:
    """Return the clock of a device that is out by the same throughout, or of which nothing is known."""
    clock = Clock(device=device, offset_s=round(offset_s, 3), anchors=anchors, sure=sure, why=why, stamps=stamps)
    return DeviceClock(((clock, None),), {})


def least_worth_moving_s(prior: Prior, tracks: Sequence[Track]) -> float:
    """Return by how much a clock must be out for anything to be moved.

    That is more where it sets itself, and people alone tell that it is out.
    """
    by_people = prior == Prior.network_set() and {kind for one in tracks for kind, _ in one.kinds} <= BY_PEOPLE
    return _LEAST_BY_PEOPLE_S if by_people else WORTH_MOVING_S


def as_clock(
    device: str, track: Track, events: Sequence[ClockEvent], zone: ZoneInfo, stamps: str, least_s: float
) -> Clock:
    """Return one stretch of a device's clock as the record has it; ``least_s`` is what is worth moving for."""
    shown = [one.shown_s for one in events[track.first : track.last]]
    left_alone = track.sure and WORTH_MOVING_S <= abs(track.offset_s) < least_s
    why = _why(track, events, zone) + (_PEOPLE if left_alone else "")
    if not track.sure and track.anchors < FEWEST_ANCHORS:  # so few agree with one offset or another by chance
        track = replace(track, offset_s=0.0, drift_s_per_day=0.0, kinds=(), spread_s=0.0, error_s=0.0)
    return Clock(
        device=device,
        offset_s=round(track.offset_s, 3),
        drift_s_per_day=round(track.drift_s_per_day, 3),
        anchors=track.anchors,
        spread_s=round(track.spread_s, 3),
        error_s=round(max(track.error_s, _habit_s(track)), 3),
        sure=track.sure,
        why=why,
        since=instant(min(shown), zone),
        until=instant(max(shown), zone),
        stamps=stamps,
        untouched=track.untouched,
    )


def _habit_s(track: Track) -> float:
    """Return how much of a small offset may be how late people press the shutter, where only they tell of it."""
    small = {kind for kind, _ in track.kinds} <= BY_PEOPLE and abs(track.offset_s) < _LEAST_BY_PEOPLE_S
    return min(abs(track.offset_s), _HABIT_S) if track.sure and small else 0.0


def _why(track: Track, events: Sequence[ClockEvent], zone: ZoneInfo) -> str:
    own = events[slice(*track.whole)]
    agree = dict(track.kinds)
    told = []
    for kind in (CARD, GPS, TOLD):
        there = len({one.true_s for event in own for one in event.fixed if one.kind == kind})
        if there:
            told.append(f"{agree.get(kind, 0)} of {there} {kind} agree with it")
    if POINTING in agree:
        told.append(f"{agree[POINTING]} of {sum(one.photo for one in own)} photos come just after words that point")
    if ENDING in agree:
        told.append(f"{agree[ENDING]} of {sum(one.photo for one in own)} photos come just as a sentence has ended")
    if LABELS in agree:
        labels = agree[LABELS]
        told.append(f"{labels} label{'s' * (labels != 1)} photographed as the number was read out")
    evidence = "; ".join(told)
    evidence = (
        f"{evidence[:1].upper()}{evidence[1:]}." if evidence else "Nothing that it took or heard tells the time."
    )
    if track.unclear_s:
        return f"{evidence} {_hour_unclear(track, events, zone)}"
    if track.sure:
        about = f" The second is not clear: it may be {track.error_s:.0f} s off." if track.error_s > UNCLEAR_S else ""
        return evidence + about + (_left_alone(track, events, zone) if track.untouched else "")
    rivals = track.anchors >= FEWEST_ANCHORS and track.margin < SURE_MARGIN
    also = " Another offset fits nearly as well." if rivals else ""
    return f"{evidence}{also} That is not enough to be sure, so that nothing was moved."


def _hour_unclear(track: Track, events: Sequence[ClockEvent], zone: ZoneInfo) -> str:
    """Say that nothing in a track tells the hour, which other stretches of the clock do."""
    shown = [instant(one.shown_s, zone).date() for one in events[track.first : track.last]]
    first, last = day_text(min(shown)), day_text(max(shown))
    days = f"on {first}" if first == last else f"from {first} to {last}"
    asked = "was still so far out" if track.whole_hours_s else "had been changed for summer or winter time"
    return (
        f"Nothing that it took {days} shows whether its clock {asked}: these times may be "
        f"{hours_text(track.unclear_s)} out, and were not moved."
    )


def hours_text(span_s: float) -> str:
    """Return a length of time in whole hours, in words."""
    hours = round(span_s / HOUR_S)
    return "an hour" if hours == 1 else f"{hours} hours"


def _left_alone(track: Track, events: Sequence[ClockEvent], zone: ZoneInfo) -> str:
    """Say that a clock was left as it was when the clocks changed before a track."""
    before, after = (instant(events[at].shown_s, zone) for at in (track.first - 1, track.first))
    changed = change_between(before, after, zone)
    if changed is None:
        return f" {NOBODY} changed it when the clocks changed, and it ran on as it was."
    day = day_text(changed)
    if (before.utcoffset() or timedelta(0)) > (after.utcoffset() or timedelta(0)):
        return f" {NOBODY} put it back when the clocks went back on {day}: it ran on as it was."
    return f" {NOBODY} put it forward when the clocks went forward on {day}: it ran on as it was."
