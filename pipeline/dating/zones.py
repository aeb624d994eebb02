"""Wall-clock readings and instants: what a reading means in a zone, and in the hours that occur twice or never.

Source: IANA tz database, by ``zoneinfo``; RFC 3339 for offsets.
"""

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from functools import lru_cache
from zoneinfo import ZoneInfo

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")


@dataclass(frozen=True, slots=True)
class Instant:
    """An instant with the offset in force in the book's zone.

    ``ambiguous``: the reading occurs twice that day, and ``at`` is the first. ``missing``: clocks jumped over the
    reading, and ``at`` is what a clock that had not been put forward meant. ``hour_s`` is how far off ``at`` is if
    the other meaning is the right one.
    """

    at: datetime
    ambiguous: bool = False
    missing: bool = False
    hour_s: float = 0.0


def local(at: datetime, zone: ZoneInfo) -> datetime:
    """Return the instant with the fixed offset that ``zone`` has then.

    The offset is fixed because Python compares and subtracts two datetimes of one ``ZoneInfo`` by their wall
    clocks, which is wrong across a change of the clocks.
    """
    try:
        utc = at.astimezone(UTC)  # first, because a datetime of this very zone would come back as it is
        offset = utc.astimezone(zone).utcoffset() or timedelta(0)
        # RFC 3339 knows whole minutes only; zones had odd seconds before about 1930.
        return utc.astimezone(_fixed(round(offset.total_seconds() / 60)))
    except OverflowError:  # within a day of the first or last year there is
        return at


@lru_cache(maxsize=2000)  # so many minutes there are in a day, and one for all that have it
def _fixed(minutes: int) -> timezone:
    return timezone(timedelta(minutes=minutes))


def seconds(at: datetime) -> float:
    """Return seconds since 1970 UTC."""
    return (at - _EPOCH).total_seconds()


def instant(at_s: float, zone: ZoneInfo) -> datetime:
    """Return the instant at so many seconds since 1970 UTC, with the fixed offset that ``zone`` has then."""
    return local(_EPOCH + timedelta(seconds=at_s), zone)


def change_between(first: datetime, last: datetime, zone: ZoneInfo) -> datetime | None:
    """Return when the zone's clocks changed between two instants, to the second; None where both have one offset.

    Of several changes it is one of them.
    """

    def offset(at_s: float) -> timedelta | None:
        return instant(at_s, zone).utcoffset()

    early_s, late_s = sorted((int(seconds(first)), int(seconds(last))))
    if offset(early_s) == offset(late_s):
        return None
    before = offset(early_s)
    while late_s - early_s > 1:
        middle_s = (early_s + late_s) // 2
        early_s, late_s = (middle_s, late_s) if offset(middle_s) == before else (early_s, middle_s)
    return instant(late_s, zone)


def wall_in_zone(wall: str, zone: ZoneInfo) -> Instant | None:
    """Return what a reading (ISO 8601 without offset) on a clock in ``zone`` means; None where it is no reading."""
    reading = _reading(wall)
    if reading is None:
        return None
    try:
        first, second = reading.replace(tzinfo=zone, fold=0), reading.replace(tzinfo=zone, fold=1)
        before, after = first.utcoffset(), second.utcoffset()
        at = local(first, zone)
    except (OverflowError, ValueError):
        return None
    if before is None or after is None or before == after:
        return Instant(at=at)
    return Instant(
        at=at, ambiguous=before > after, missing=before < after, hour_s=abs((before - after).total_seconds())
    )


def wall_at_offset(wall: str, offset: str, zone: ZoneInfo) -> Instant | None:
    """Return what a reading at ``offset`` ("+01:00") means, given with ``zone``'s offset; None where it is none."""
    reading = _reading(wall)
    match = _OFFSET.fullmatch(offset)
    if reading is None or match is None or int(match[2]) > 23 or int(match[3]) > 59:
        return None
    minutes = int(match[2]) * 60 + int(match[3])
    try:
        fixed = _fixed(-minutes if match[1] == "-" else minutes)
        return Instant(at=local(reading.replace(tzinfo=fixed), zone))
    except (OverflowError, ValueError):
        return None


def _reading(wall: str) -> datetime | None:
    try:
        reading = datetime.fromisoformat(wall)
    except ValueError:
        return None
    return reading if reading.tzinfo is None else None
