from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.dating.names import date_in_name
from tests.dating.seen_media import wall_times

QUARTER_PAST = "2026-02-14T10:15:00"


@pytest.mark.parametrize(
    ("name", "wall"),
    [
        ("IMG_20260214_101500.jpg", QUARTER_PAST),
        ("VID_20260214_101500.mp4", QUARTER_PAST),
        ("VID20260214101500.mp4", QUARTER_PAST),
        ("20260214101500.wav", QUARTER_PAST),
        ("2026-02-14 10.15.00.jpg", QUARTER_PAST),
        ("2026-02-14 10-15-00 port wing.m4a", QUARTER_PAST),
        ("2026-02-14T10-15-00.wav", QUARTER_PAST),
        ("Note 2026-02-14 at 10.15.00.m4a", QUARTER_PAST),
        ("Recording 2026.02.14 10h15.m4a", QUARTER_PAST),
        ("20260214-1015.wav", QUARTER_PAST),
        ("2026-02-14_10-15.opus", QUARTER_PAST),
        ("2026-02-14 10.15.00 PM.jpg", "2026-02-14T22:15:00"),
        ("IMG_20260214_101500~2.jpg", QUARTER_PAST),
        ("IMG_20260214_101500_1.jpg", QUARTER_PAST),
        ("20260214_101500(1).jpg", QUARTER_PAST),
        ("IMG_20260214_101500123.jpg", f"{QUARTER_PAST}.123"),
        ("P-0142 rudder 20260214_101500.jpg", QUARTER_PAST),
    ],
)
def test_dates_with_a_time_of_day_are_read(name, wall):
    found = date_in_name(name)
    assert (found.wall, found.offset) == (wall, None)
    assert found.error_s <= 60


@pytest.mark.parametrize(
    "name",
    [
        "AUD-20260214-WA0003.opus",
        "2026-02-14.jpg",
        "20260214 tail off.jpg",
        "IMG-20260214-0007.jpg",
        "2026_02_14 (3).png",
    ],
)
def test_a_date_alone_is_its_midday_and_half_a_day_unsure(name):
    found = date_in_name(name)
    assert (found.wall, found.error_s) == ("2026-02-14T12:00:00", 43_200)


def test_names_that_are_in_utc_say_so():
    assert date_in_name("PXL_20260214_101500123.jpg").offset == "+00:00"
    assert date_in_name("20260214T101500Z.wav").offset == "+00:00"
    assert date_in_name("20260214T101500+0100.wav").offset == "+01:00"


@pytest.mark.parametrize(
    "name",
    [
        "DSC_0142.jpg",
        "IMG_4711.HEIC",
        "20261345.jpg",
        "20260230_101500.jpg",
        "serial 120260214101500.jpg",
        "202602141015001234567.jpg",
        "1771064100123.jpg",
        "REC00012.wav",
        "bolt AN3-20.jpg",
        "2026-02-14 to 2026-02-15.jpg",
        "31000214.jpg",
        "2026.jpg",
        "",
    ],
)
def test_serial_numbers_and_impossible_dates_are_no_dates(name):
    assert date_in_name(name) is None


def test_an_impossible_time_leaves_the_date():
    assert date_in_name("IMG_20260214_256100.jpg").wall == "2026-02-14T12:00:00"


@given(st.text(max_size=60))
def test_no_name_is_a_crash_and_every_wall_time_is_one(name):
    found = date_in_name(name)
    assert found is None or datetime.fromisoformat(found.wall).tzinfo is None


@given(
    wall_times(1990, 2099),
    st.sampled_from(["IMG_{:%Y%m%d_%H%M%S}.jpg", "{:%Y-%m-%d %H.%M.%S} wing.wav", "VID{:%Y%m%d%H%M%S}.mp4"]),
)
def test_every_moment_that_is_written_into_a_name_is_read_back(at, form):
    assert date_in_name(form.format(at)).wall == at.isoformat(timespec="seconds")


@given(st.dates(date(1900, 1, 1), date(2099, 12, 31)), st.text("ABCDEFGHIJ _-", max_size=10))
def test_every_day_that_is_written_into_a_name_is_read_back(day, around):
    assert date_in_name(f"{around}{day:%Y%m%d} {around}").wall == f"{day.isoformat()}T12:00:00"
