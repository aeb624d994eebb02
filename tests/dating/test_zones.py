from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from pipeline.dating.zones import local, wall_at_offset, wall_in_zone
from tests.dating.seen_media import wall_times

LONDON = ZoneInfo("Europe/London")
ZONES = st.sampled_from([LONDON, ZoneInfo("Australia/Lord_Howe"), ZoneInfo("America/St_Johns"), ZoneInfo("UTC")])


def test_a_reading_is_taken_in_the_books_zone():
    assert wall_in_zone("2026-07-14T10:15:00.25", LONDON).at.isoformat() == "2026-07-14T10:15:00.250000+01:00"
    assert wall_in_zone("2026-02-14T10:15:00", LONDON).at.isoformat() == "2026-02-14T10:15:00+00:00"


def test_an_hour_that_occurs_twice_is_marked_and_the_first_is_taken():
    found = wall_in_zone("2026-10-25T01:30:00", LONDON)
    assert (found.ambiguous, found.missing, found.hour_s) == (True, False, 3600)
    assert found.at == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


def test_an_hour_that_never_was_is_marked_and_read_as_a_clock_not_yet_put_forward():
    found = wall_in_zone("2026-03-29T01:30:00", LONDON)
    assert (found.ambiguous, found.missing, found.hour_s) == (False, True, 3600)
    assert found.at.isoformat() == "2026-03-29T02:30:00+01:00"


def test_a_reading_with_an_offset_is_given_with_the_offset_of_the_book():
    assert wall_at_offset("2026-02-14T11:15:00", "+01:00", LONDON).at.isoformat() == "2026-02-14T10:15:00+00:00"


def test_what_is_no_reading_is_none():
    for wall in ("", "2026-02-30T00:00:00", "2026-02-14T10:15:00+00:00", "yesterday", "0001-01-01T00:00:00"):
        assert wall_in_zone(wall, ZoneInfo("Asia/Tokyo")) is None or wall.startswith("0001")
    for offset in ("", "+1:00", "+24:00", "Z", "+01:99"):
        assert wall_at_offset("2026-02-14T10:15:00", offset, LONDON) is None


def test_instants_of_one_zone_subtract_truly_across_a_change_of_the_clocks():
    before = local(datetime(2026, 10, 25, 0, 30, tzinfo=UTC), LONDON)
    after = local(datetime(2026, 10, 25, 1, 30, tzinfo=UTC), LONDON)
    assert (before.hour, after.hour) == (1, 1)
    assert after - before == timedelta(hours=1)


@given(wall_times(1931, 2037), ZONES)
def test_every_instant_read_back_from_its_wall_clock_is_itself_or_its_twin(naive, zone):
    at = naive.replace(tzinfo=UTC)
    shown = at.astimezone(zone).replace(tzinfo=None, fold=0)
    found = wall_in_zone(shown.isoformat(), zone)
    assert not found.missing
    apart_s = abs((found.at - at).total_seconds())
    assert apart_s == 0 or (found.ambiguous and apart_s == found.hour_s)


@given(wall_times(1, 9999), ZONES, st.integers(-14 * 60, 14 * 60))
def test_no_reading_and_no_offset_is_a_crash(naive, zone, minutes):
    sign, size = "-+"[minutes >= 0], abs(minutes)
    wall_in_zone(naive.isoformat(), zone)
    wall_at_offset(naive.isoformat(), f"{sign}{size // 60:02d}:{size % 60:02d}", zone)
    local(naive.replace(tzinfo=UTC), zone)
