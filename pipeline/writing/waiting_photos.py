"""Photos that are placed nowhere because nobody knows what their device's clock shows."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta

from pipeline.records import MediaRecord, Records
from pipeline.values import Clock, TimeSource
from pipeline.writing.before_the_start import devices_before_the_start

_BY_HAND = frozenset({TimeSource.EXIF, TimeSource.NAME, TimeSource.FILE})
"""What dates a photo where its device's clock is set by hand, and is not known, or has shown an impossible date."""
_LONG_PAST = timedelta(days=366)
"""So long ago that nobody has merely set a clock wrong: a clock that lost its power shows the day it was made for."""


def photos_waiting(records: Records) -> Mapping[str, int]:
    """Return how many photos that are placed nowhere wait for the clock of their device, by device, in order.

    A device that sets its clock itself is passed over, and so are one whose clock is right and shows days before the
    book starts, and a photo that its own data date apart from the clock.
    """
    return dict(sorted(Counter(one.device for one in _waiting(records)).items()))


def shows_long_past(records: Records) -> frozenset[str]:
    """Return the devices of which every photo that waits shows a day long past: their clocks begin anew."""
    waiting = list(_waiting(records))
    shown = {one.device for one in waiting if one.taken_at - one.shown_at < _LONG_PAST}
    return frozenset(one.device for one in waiting) - shown


def _waiting(records: Records) -> Iterator[MediaRecord]:
    loose = {one.media for one in records.unplaced_photos}
    right = devices_before_the_start(records)
    fits: dict[str, list[Clock]] = {}
    for clock in records.clocks:
        fits.setdefault(clock.device, []).append(clock)
    for one in records.media:
        waits = one.id in loose and one.device in fits and one.time_source in _BY_HAND
        if waits and one.device not in right and not _known(one, fits[one.device]):
            yield one


def _known(photo: MediaRecord, fits: Sequence[Clock]) -> bool:
    """Tell whether the clock of a photo's device is known when it was taken."""

    def beside_s(fit: Clock) -> float:
        if fit.since is None or fit.until is None:
            return 0.0
        return max((fit.since - photo.shown_at).total_seconds(), (photo.shown_at - fit.until).total_seconds(), 0.0)

    return min(fits, key=lambda fit: (beside_s(fit), not fit.sure)).sure
