"""Every piece of media dated, with its device's clock corrected where it is known how far it is out."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pipeline.dating.clock_reasons import NOBODY, hours_text
from pipeline.dating.device_clock import WORTH_MOVING_S, DeviceClock
from pipeline.dating.devices import NOTHING_TOLD, Devices, TellsOfTime
from pipeline.dating.followed import Once, anew
from pipeline.dating.lines import AGREES_S
from pipeline.dating.sources import WALL_CLOCK
from pipeline.dating.zones import local, seconds
from pipeline.intake.same_name import recordings_beside
from pipeline.spans import clock_text, span_text
from pipeline.values import Clock, Dated, Media, TimeSource


def date_all(
    media: Sequence[Media],
    zone: ZoneInfo,
    book_starts: date,
    now: datetime,
    pinned: Mapping[str, float],
    told: TellsOfTime = NOTHING_TOLD,
    once: Once = anew,
) -> tuple[tuple[Dated, ...], tuple[Clock, ...]]:
    """Date all media of a book, each device's clock being corrected where it is known how far it is out.

    Args:
        media: everything that was taken in; the result has the same order. Captions have the time of their recording.
        zone: the book's time zone.
        book_starts: nothing in the book is more than a day older.
        now: the present.
        pinned: device → seconds that its clock showed less the true time, by the book's settings; beats all else.
        told: what was said and seen of time.
        once: gives the clocks that were followed before from the same.

    Returns:
        The dates, in the order of ``media``, and the clock of every device that showed a time or is pinned: one for
        each stretch between two settings of it, in order.
    """
    by_id = sorted(media, key=lambda one: one.id)
    devices = Devices.of(by_id, zone, book_starts, now, pinned, told, once)
    clocks = {name: devices.clock(name) for name in sorted({*devices.media, *pinned})}
    dates = {one.id: _date(one, devices, clocks.get(one.probe.device)) for one in by_id}
    beside = recordings_beside(by_id)
    done = tuple(replace(dates[beside.get(one.id, one.id)], media=one.id) for one in media)
    return done, tuple(fit for clock in clocks.values() for fit, _ in clock.fits)


def _date(media: Media, devices: Devices, clock: DeviceClock | None) -> Dated:
    """Date by the device's clock where that is better than what the media says without it."""
    plain, own, card_at = devices.plain[media.id], devices.owns[media.id], devices.card_at(media.id)
    pinned = media.probe.device in devices.pinned
    if card_at is not None and not pinned:
        return _by_card(plain, local(card_at, devices.zone))
    if own is None or clock is None:
        return plain
    fit, offset_s = clock.at(media.id, seconds(own.at))
    by_gps = plain.source is TimeSource.GPS
    if not fit.sure:
        return _doubted(plain) if by_gps else _hour_unclear(plain, clock.unclear_s(media.id))
    unknown_s = clock.between_settings_s(media.id)
    if unknown_s and not by_gps:
        flag = "Its device's clock was set anew about then, and nothing tells whether before or after it."
        error_s = round(max(plain.error_s, unknown_s), 3)
        return replace(plain, flags=(*plain.flags, flag), error_s=error_s)
    coarse_s = min((clue.error_s for clue in media.probe.clues if clue.source is own.source), default=1.0)
    source = TimeSource.PINNED if pinned else own.source
    moved = correct(plain, fit, source, coarse_s, offset_s, clock.least_s)
    earliest, latest = devices.limits
    if not earliest <= moved.at <= latest:  # the clock was set anew in between
        return plain
    moved = replace(moved, at=local(moved.at, devices.zone))
    return _gps_or(plain, moved, fit) if by_gps and not pinned else moved


def correct(
    dated: Dated,
    clock: Clock,
    source: TimeSource | None = None,
    error_s: float = 1.0,
    offset_s: float | None = None,
    least_s: float = WORTH_MOVING_S,
) -> Dated:
    """Date a piece of media by its device's clock less what that clock is out by, where that is enough to tell.

    Args:
        dated: as it was dated without knowing the clock; ``shown_at`` is what the clock said.
        clock: where it is not sure, nothing changes.
        source: where ``shown_at`` came from; the source of ``dated`` where not given.
        error_s: how coarse ``shown_at`` is.
        offset_s: what the clock was out by just then, where it drifts.
        least_s: a clock that is out by less is left alone.
    """
    if not clock.sure:
        return dated
    out_s = round(clock.offset_s if offset_s is None else offset_s, 3)
    worth_it = abs(out_s) >= least_s or source is TimeSource.PINNED
    moved_s = -out_s if worth_it and out_s else 0.0
    at = (dated.shown_at + timedelta(seconds=moved_s)).astimezone(dated.at.tzinfo)
    flags = dated.flags
    if moved_s:
        flags = (*flags, f"Its device's clock was {clock_text(out_s)}; corrected for it.{_left_alone(clock)}")
    scatter_s = 2 * clock.spread_s / max(1.0, clock.anchors / 4) ** 0.5
    return replace(
        dated,
        at=at,
        source=source or dated.source,
        error_s=round(max(1.0, error_s, scatter_s, clock.error_s, 0.0 if worth_it else abs(out_s)), 3),
        moved_s=moved_s,
        flags=flags,
    )


def _left_alone(clock: Clock) -> str:
    """Return what nobody did to a clock that was left as it was, which ends its reasons; "" of any other.

    What else they tell stands with the clock alone: it counts photos of any day, so that each new one would change
    what is told of all that are moved by it.
    """
    return f" {clock.why[clock.why.index(NOBODY) :]}" if clock.untouched else ""


def _by_card(plain: Dated, at: datetime) -> Dated:
    return replace(
        plain,
        at=at,
        source=TimeSource.CARD,
        error_s=1.0,
        moved_s=round((at - plain.shown_at).total_seconds(), 3),
        flags=(*plain.flags, "It shows a clock card, whose time it has."),
    )


def _gps_or(plain: Dated, moved: Dated, clock: Clock) -> Dated:
    stale_s = (moved.at - plain.at).total_seconds()
    if abs(stale_s) <= max(3.0, 3 * clock.spread_s):
        return plain
    stale = f"Its GPS time, {plain.at:%H:%M:%S}, is {abs(stale_s):.0f} s from what its clock says; not used."
    return replace(moved, flags=(*moved.flags, stale))


def _doubted(plain: Dated) -> Dated:
    if abs(plain.moved_s) <= AGREES_S:
        return plain
    flag = (
        f"Its GPS time and its device's clock are {span_text(plain.moved_s)} apart, and too few photos have a "
        "GPS time to tell which is right; the GPS time is used."
    )
    # A stale GPS time is minutes old, seldom more than an hour.
    error_s = max(plain.error_s, min(abs(plain.moved_s), 3600.0))
    return replace(plain, flags=(*plain.flags, flag), error_s=round(error_s, 3))


def _hour_unclear(plain: Dated, unclear_s: float) -> Dated:
    """Doubt the time of a wall clock of which nothing tells whether it was changed when the zone's were."""
    if not unclear_s or plain.source not in WALL_CLOCK:
        return plain
    flag = f"Nothing that its device took about then tells the hour: its clock may be {hours_text(unclear_s)} out."
    return replace(plain, flags=(*plain.flags, flag), error_s=max(plain.error_s, unclear_s))


def date_still(still: Media, film: Dated) -> Dated:
    """Date a still by its film: as far after its start, and as far off."""
    into = timedelta(seconds=still.still_at_s or 0.0)
    return replace(film, media=still.id, at=film.at + into, shown_at=film.shown_at + into, source=TimeSource.FILM)
