"""Photos that are placed nowhere because nobody knows what their device's clock shows."""

from collections import Counter
from collections.abc import Mapping, Sequence

from pipeline.records import MediaRecord, Records
from pipeline.values import Clock, TimeSource

_BY_HAND = frozenset({TimeSource.EXIF, TimeSource.NAME, TimeSource.FILE})
"""What dates a photo where its device's clock is set by hand, and is not known, or has shown an impossible date."""


def photos_waiting(records: Records) -> Mapping[str, int]:
    """Return how many photos that are placed nowhere wait for the clock of their device, by device, in order.

    A device that sets its clock itself is passed over, and so is a photo that its own data date apart from the clock.
    """
    loose = {one.media for one in records.unplaced_photos}
    fits: dict[str, list[Clock]] = {}
    for clock in records.clocks:
        fits.setdefault(clock.device, []).append(clock)
    waiting = Counter(
        one.device
        for one in records.media
        if one.id in loose
        and one.device in fits
        and one.time_source in _BY_HAND
        and not _known(one, fits[one.device])
    )
    return dict(sorted(waiting.items()))


def _known(photo: MediaRecord, fits: Sequence[Clock]) -> bool:
    """Tell whether the clock of a photo's device is known when it was taken."""

    def beside_s(fit: Clock) -> float:
        if fit.since is None or fit.until is None:
            return 0.0
        return max((fit.since - photo.shown_at).total_seconds(), (photo.shown_at - fit.until).total_seconds(), 0.0)

    return min(fits, key=lambda fit: (beside_s(fit), not fit.sure)).sure
