"""Changes of the clocks against the IANA time zone database."""

import calendar
from datetime import UTC, datetime, timedelta, timezone
from importlib.resources import files

import pytest

from pipeline.dating.sources import date_media
from pipeline.dating.zones import local, wall_in_zone
from pipeline.values import TimeSource
from tests.dating.seen_media import LONDON, NOW, STARTS, clue, piece

# Source: IANA tz database, Europe/London: the last Sundays of March and October at 01:00 UTC.
FORWARD = datetime(2026, 3, 29, 1, tzinfo=UTC)
BACK = datetime(2026, 10, 25, 1, tzinfo=UTC)


def _rule(name: str) -> str:
    """Return the rule for the years to come that ends the database's compiled file (RFC 8536, 3.3)."""
    raw = files("tzdata").joinpath("zoneinfo", *name.split("/")).read_bytes()
    return raw.rstrip(b"\n").rpartition(b"\n")[2].decode("ascii")


def _last_sunday(year: int, month: int) -> int:
    return max(week[calendar.SUNDAY] for week in calendar.monthcalendar(year, month))


def test_the_changes_are_where_the_database_has_them():
    # POSIX: the fifth (last) Sunday (0) of month 3 at 01:00 and of month 10 at 02:00 on the clock that then shows.
    assert _rule("Europe/London") == "GMT0BST,M3.5.0/1,M10.5.0"
    assert datetime(2026, 3, _last_sunday(2026, 3), 1, tzinfo=UTC) == FORWARD
    assert datetime(2026, 10, _last_sunday(2026, 10), 2, tzinfo=timezone(timedelta(hours=1))) == BACK


@pytest.mark.parametrize(("change", "before_h", "after_h"), [(FORWARD, 0, 1), (BACK, 1, 0)])
def test_the_offset_changes_at_one_in_the_morning_utc_and_not_a_second_off(change, before_h, after_h):
    assert local(change - timedelta(seconds=1), LONDON).utcoffset() == timedelta(hours=before_h)
    assert local(change, LONDON).utcoffset() == timedelta(hours=after_h)


@pytest.mark.parametrize(
    ("wall", "ambiguous", "missing", "utc"),
    [
        ("2026-03-29T00:59:59", False, False, "2026-03-29T00:59:59+00:00"),
        ("2026-03-29T01:00:00", False, True, "2026-03-29T01:00:00+00:00"),
        ("2026-03-29T01:59:59", False, True, "2026-03-29T01:59:59+00:00"),
        ("2026-03-29T02:00:00", False, False, "2026-03-29T01:00:00+00:00"),
        ("2026-10-25T00:59:59", False, False, "2026-10-24T23:59:59+00:00"),
        ("2026-10-25T01:00:00", True, False, "2026-10-25T00:00:00+00:00"),
        ("2026-10-25T01:59:59", True, False, "2026-10-25T00:59:59+00:00"),
        ("2026-10-25T02:00:00", False, False, "2026-10-25T02:00:00+00:00"),
    ],
)
def test_readings_around_the_changes_mean_what_the_database_says(wall, ambiguous, missing, utc):
    found = wall_in_zone(wall, LONDON)
    assert (found.ambiguous, found.missing) == (ambiguous, missing)
    assert found.at == datetime.fromisoformat(utc)
    flags = date_media(piece(clue(TimeSource.EXIF, wall)), LONDON, STARTS, NOW).flags
    assert bool(flags) == (ambiguous or missing)
