"""How far each device's clock is out, and every piece of media dated with that known."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from pathlib import PurePath
from statistics import median
from zoneinfo import ZoneInfo

from pydantic import AwareDatetime

from pipeline.dating.ends import stamped_on_stopping
from pipeline.dating.sources import Reading, date_media, own_clock, time_limits
from pipeline.dating.zones import local
from pipeline.spans import clock_text, span_text
from pipeline.values import Clock, Dated, Kind, Media, TimeSource, Value

_FEWEST_ANCHORS = 4
_AGREE_WITHIN_S = 5.0
_WIDEST_SPREAD_S = 2.0
_WORTH_MOVING_S = 2.0
_MAD_TO_SIGMA = 1.4826  # of a normal distribution


class Anchor(Value):
    """One comparison of a device's clock with the true time."""

    media: str
    shown_at: AwareDatetime
    true_at: AwareDatetime


def fit_clocks(shown: Mapping[str, Sequence[Anchor]]) -> tuple[Clock, ...]:
    """Fit each device's clock offset (what it showed less the true time), the devices in order of name.

    A receiver that has not found the satellites yet repeats its last time, which then is older than the photo: stale
    times are late differences, and of photos that share one time only the earliest can be right. So the offset is
    the median of the largest group of differences that agree within 5 s, the earlier group of two alike. A fit is
    sure when at least four agree, they are at least half of all, and their spread (1.4826 times the median absolute
    deviation) is at most 2 s. An unsure one moves nothing.

    Args:
        shown: the anchors of each device.

    Source: common practice, no source; the factor 1.4826 makes the spread a standard deviation for normal errors.
    """
    return tuple(_fit(device, shown[device]) for device in sorted(shown))


def correct(dated: Dated, clock: Clock, source: TimeSource | None = None, error_s: float = 1.0) -> Dated:
    """Date a piece of media by its device's clock less what that clock is out by, where that is 2 s or more.

    Args:
        dated: as it was dated without knowing the clock; ``shown_at`` is what the clock said.
        clock: where it is not sure, nothing changes.
        source: where ``shown_at`` came from; the source of ``dated`` where not given.
        error_s: how coarse ``shown_at`` is.
    """
    if not clock.sure:
        return dated
    # Fixes and shutters differ by a second or so: a clock that is right to that much is left alone.
    worth_it = abs(clock.offset_s) >= _WORTH_MOVING_S or source is TimeSource.PINNED
    moved_s = -clock.offset_s if worth_it else 0.0
    at = (dated.shown_at + timedelta(seconds=moved_s)).astimezone(dated.at.tzinfo)
    flags = dated.flags
    if worth_it:
        flags = (*flags, f"Its device's clock was {clock_text(clock.offset_s)}; corrected for it. {clock.why}")
    return dated.model_copy(
        update={
            "at": at,
            "source": source or dated.source,
            "error_s": round(max(1.0, error_s, 2 * clock.spread_s, 0.0 if worth_it else abs(clock.offset_s)), 3),
            "moved_s": round(moved_s, 3),
            "flags": flags,
        }
    )


def date_all(
    media: Sequence[Media],
    zone: ZoneInfo,
    book_starts: date,
    now: datetime,
    pinned: Mapping[str, float],
) -> tuple[tuple[Dated, ...], tuple[Clock, ...]]:
    """Date all media of a book, each device's clock being corrected where it is known how far it is out.

    Args:
        media: everything that was taken in; the result has the same order.
        zone: the book's time zone.
        book_starts: nothing in the book is more than a day older.
        now: the present.
        pinned: device → seconds that its clock showed less the true time, by the book's settings; beats all else.

    Returns:
        The dates, in the order of ``media``, and one clock for every device that showed a time or is pinned.
    """
    first = _Dating(zone, book_starts, now, stamped_on_stopping(media, zone))
    owns = {one.id: own_clock(one, zone, one.id in first.ends) for one in media}
    plain = {one.id: first.date(one) for one in media}
    anchors: dict[str, list[Anchor]] = defaultdict(list)
    for one in media:
        own = owns[one.id]
        if not one.probe.device or own is None:
            continue
        anchors[one.probe.device]  # a device that shows a time has a clock, known or not
        if plain[one.id].source is TimeSource.GPS:
            anchors[one.probe.device].append(Anchor(media=one.id, shown_at=own.at, true_at=plain[one.id].at))
    clocks = {clock.device: clock for clock in fit_clocks(anchors)}
    clocks.update((device, _pinned_clock(device, offset_s)) for device, offset_s in pinned.items())
    dates = {
        one.id: first.by_clock(one, plain[one.id], owns[one.id], clocks.get(one.probe.device), pinned)
        for one in media
    }
    beside = _recordings_beside(media)
    done = tuple(_of_its_kin(one, dates, zone, beside.get(one.id)) for one in media)
    return done, tuple(clocks[device] for device in sorted(clocks))


class _Dating:
    """What dating needs to know about the book."""

    def __init__(self, zone: ZoneInfo, book_starts: date, now: datetime, ends: frozenset[str]) -> None:
        self.zone = zone
        self.book_starts = book_starts
        self.now = now
        self.ends = ends
        self.limits = time_limits(zone, book_starts, now)

    def date(self, media: Media) -> Dated:
        return date_media(media, self.zone, self.book_starts, self.now, media.id in self.ends)

    def by_clock(
        self, media: Media, plain: Dated, own: Reading | None, clock: Clock | None, pinned: Mapping[str, float]
    ) -> Dated:
        """Date by the device's clock where that is better than what the media says without it."""
        if own is None or clock is None:
            return plain
        by_gps = plain.source is TimeSource.GPS
        if not clock.sure:
            return _doubted(plain) if by_gps else plain
        coarse_s = min((clue.error_s for clue in media.probe.clues if clue.source is own.source), default=1.0)
        if media.probe.device in pinned:
            return self._possible(correct(plain, clock, TimeSource.PINNED, coarse_s), plain)
        moved = self._possible(correct(plain, clock, own.source, coarse_s), plain)
        if by_gps:
            stale_s = (moved.at - plain.at).total_seconds()
            if abs(stale_s) <= max(3.0, 3 * clock.spread_s):
                return plain
            stale = f"Its GPS time, {plain.at:%H:%M:%S}, is {abs(stale_s):.0f} s from what its clock says; not used."
            return moved.model_copy(update={"flags": (*moved.flags, stale)})
        return moved

    def _possible(self, moved: Dated, plain: Dated) -> Dated:
        """Keep the plain date where the clock would lead out of the book's time: it was set anew in between."""
        earliest, latest = self.limits
        if earliest <= moved.at <= latest:
            return moved.model_copy(update={"at": local(moved.at, self.zone)})
        return plain


def _doubted(plain: Dated) -> Dated:
    if abs(plain.moved_s) <= _AGREE_WITHIN_S:
        return plain
    flag = (
        f"Its GPS time and its device's clock are {span_text(plain.moved_s)} apart, and too few photos have a "
        "GPS time to tell which is right; the GPS time is used."
    )
    # A stale GPS time is minutes old, seldom more than an hour.
    error_s = max(plain.error_s, min(abs(plain.moved_s), 3600.0))
    return plain.model_copy(update={"flags": (*plain.flags, flag), "error_s": round(error_s, 3)})


def _fit(device: str, anchors: Sequence[Anchor]) -> Clock:
    freshest: dict[datetime, float] = {}
    for anchor in anchors:
        difference_s = (anchor.shown_at - anchor.true_at).total_seconds()
        freshest[anchor.true_at] = min(difference_s, freshest.get(anchor.true_at, difference_s))
    differences = sorted(freshest.values())
    if not differences:
        return Clock(device=device, offset_s=0.0, why="Nothing from it has a GPS time to compare its clock with.")
    agreeing = _largest_group(differences)
    offset_s = median(agreeing)
    spread_s = _MAD_TO_SIGMA * median(abs(one - offset_s) for one in agreeing)
    enough = len(agreeing) >= _FEWEST_ANCHORS and 2 * len(agreeing) >= len(differences)
    sure = enough and spread_s <= _WIDEST_SPREAD_S
    why = f"{len(agreeing)} of {len(differences)} GPS times agree with each other within {_AGREE_WITHIN_S:.0f} s."
    return Clock(
        device=device,
        offset_s=round(offset_s, 3),
        anchors=len(agreeing),
        spread_s=round(spread_s, 3),
        sure=sure,
        why=why if sure else f"{why} That is not enough to be sure, so that nothing was moved.",
    )


def _largest_group(differences: Sequence[float]) -> Sequence[float]:
    """Return the largest run of sorted differences that lie within ``_AGREE_WITHIN_S`` of each other."""
    best: Sequence[float] = ()
    first = 0
    for last, difference_s in enumerate(differences):
        while difference_s - differences[first] > _AGREE_WITHIN_S:
            first += 1
        if last - first + 1 > len(best):
            best = differences[first : last + 1]
    return best


def _pinned_clock(device: str, offset_s: float) -> Clock:
    return Clock(device=device, offset_s=offset_s, sure=True, why="Set in the book's settings.")


def _recordings_beside(media: Sequence[Media]) -> dict[str, str]:
    """Return, for each caption file with a recording or film of the same name beside it, that one's id."""
    sound = {
        PurePath(file.path).with_suffix(""): one.id
        for one in media
        if one.probe.kind in (Kind.RECORDING, Kind.FILM)
        for file in one.files
    }
    found: dict[str, str] = {}
    for one in media:
        places = [PurePath(file.path).with_suffix("") for file in one.files if one.probe.kind is Kind.CAPTIONS]
        recording = next((sound[place] for place in places if place in sound), None)
        if recording is not None:
            found[one.id] = recording
    return found


def _of_its_kin(media: Media, dates: Mapping[str, Dated], zone: ZoneInfo, recording: str | None) -> Dated:
    """Date a still by its film and captions by their recording; anything else stays as it is."""
    if recording is not None:
        return dates[recording].model_copy(update={"media": media.id})
    film = dates.get(media.still_of) if media.still_of else None
    if film is None:
        return dates[media.id]
    into = timedelta(seconds=media.still_at_s or 0.0)
    return film.model_copy(
        update={
            "media": media.id,
            "at": local(film.at + into, zone),
            "shown_at": local(film.shown_at + into, zone),
            "source": TimeSource.FILM,
        }
    )
