"""The lives of a clock: one without a battery begins anew each time that it is switched on.

What such a clock shows lies before the book starts, and goes back. Nothing is known of one of its lives by another,
and after twenty minutes without a photo nobody knows whether it was the same life: unless the photos before and after
fall among words together, so far apart as the clock has it.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from pipeline.dating.events import ClockEvent, Evidence
from pipeline.dating.lines import SURE_MARGIN, Track, agreeing_with, counted
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import FEWEST_ANCHORS, USUAL_HABIT, Speech
from pipeline.dating.tracks import follow

_NOBODY_KNOWS_S = 1200.0
_FEWEST_BESIDE = 2
"""What the anchors before and after such a while must count for, so that they tell that it was one life."""


def follow_each_life(
    events: Sequence[ClockEvent], said: Speech, prior: Prior, possible: tuple[float, float]
) -> tuple[Track, ...]:
    """Follow a device's clock through each of its lives by itself.

    Args:
        events: in the order in which they happened, as far as that is known; else by what the device showed.
        said: what was said, in true time.
        prior: how likely a clock of this kind is to be out by how much, where it shows what may be true.
        possible: the earliest and the latest true time that anything may have.

    Returns:
        The stretches between settings of the clock, in order, all events in them.
    """
    tracks: list[Track] = []
    so_far: tuple[Track, ...] = ()
    began = 0
    for first, last in pairwise(_edges(events, possible[0])):
        may_go_on = first > 0 and events[first - 1].shown_s < events[first].shown_s < possible[0]
        whole = _followed(events[began:last], said, prior, possible) if may_go_on else ()
        if _one_life(whole, events[began:last], first - began, said):
            so_far = (replace(whole[0], decided=True, error_s=max(whole[0].error_s, whole[0].spread_s)),)
            continue
        tracks += (_later(track, began) for track in so_far)
        so_far, began = _followed(events[first:last], said, prior, possible), first
    return (*tracks, *(_later(track, began) for track in so_far))


def _followed(
    events: Sequence[ClockEvent], said: Speech, prior: Prior, possible: tuple[float, float]
) -> tuple[Track, ...]:
    """Follow the clock through one life; of a clock that shows what cannot be true, any offset is as likely."""
    shown = [one.shown_s for one in events]
    anything = Prior.any_between(min(shown) - possible[1], max(shown) - possible[0])
    return follow(events, said, prior if max(shown) >= possible[0] else anything)


def _one_life(whole: Sequence[Track], events: Sequence[ClockEvent], cut: int, said: Speech) -> bool:
    """Tell whether one line through all events is far likelier than any other, and both parts of them agree with it.

    How far the anchors lie apart is of no account: they say how clear the second is, and the parts the hour.
    """
    if len(whole) != 1 or whole[0].weight < FEWEST_ANCHORS or whole[0].margin < SURE_MARGIN:
        return False
    for part in (events[:cut], events[cut:]):
        own = Evidence.of(part, said)
        offsets = np.array([whole[0].offset_at(one.shown_s) for one in part])
        beside = replace(whole[0], kinds=counted(agreeing_with(own, offsets, USUAL_HABIT)))
        if beside.weight < _FEWEST_BESIDE:
            return False
    return True


def _later(track: Track, by: int) -> Track:
    """Return a track of events that so many others come before."""
    (begins, ends), (first, last) = track.whole, track.firm
    return replace(
        track,
        first=track.first + by,
        last=track.last + by,
        whole=(begins + by, ends + by),
        firm=(first + by, last + by),
        anew=by > 0 and track.first == 0,
    )


def _edges(events: Sequence[ClockEvent], earliest_s: float) -> list[int]:
    """Return where each life begins among the events, and where the last one ends."""
    return [0, *_begins(events, earliest_s), len(events)] if events else []


def _begins(events: Sequence[ClockEvent], earliest_s: float) -> Iterator[int]:
    shown = [one.shown_s for one in events]
    anew = any(after < min(before, earliest_s) for before, after in pairwise(shown))
    for at, (before, after) in enumerate(pairwise(shown), 1):
        if after < earliest_s:
            began = after < before or (anew and after - before > _NOBODY_KNOWS_S)
        else:
            began = before < earliest_s  # somebody set it
        if began:
            yield at
