"""The lives of a clock: one without a battery begins anew each time that it is switched on.

What such a clock shows lies before the book starts, and goes back. Nothing is known of one of its lives by another,
and after an hour without a photo nobody knows whether it was the same life.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from pipeline.dating.events import ClockEvent
from pipeline.dating.lines import Track
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import Speech
from pipeline.dating.tracks import follow

_NOBODY_KNOWS_S = 3600.0


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
    for first, last in pairwise(_edges(events, possible[0])):
        shown = [one.shown_s for one in events[first:last]]
        anything = Prior.any_between(min(shown) - possible[1], max(shown) - possible[0])
        of_life = follow(events[first:last], said, prior if max(shown) >= possible[0] else anything)
        tracks += (_later(track, first) for track in of_life)
    return tuple(tracks)


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
