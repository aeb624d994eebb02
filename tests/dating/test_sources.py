from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from pipeline.dating.sources import NOBODY_KNOWS_S, date_media
from pipeline.values import Dated, Kind, TimeSource
from tests.dating.seen_media import LONDON, NOW, STARTS, clue, piece, wall_times

S = TimeSource
GPS = clue(S.GPS, "2026-02-14T10:15:00", "+00:00")
WITH_OFFSET = clue(S.EXIF_OFFSET, "2026-02-14T10:16:00", "+00:00")
EXIF = clue(S.EXIF, "2026-02-14T10:17:00")
CONTAINER = clue(S.CONTAINER, "2026-02-14T10:18:00", "+00:00")
BWF = clue(S.BWF, "2026-02-14T10:19:00")
NOTE = clue(S.NOTE, "2026-02-14T10:20:00", "+00:00")


def _date(media, **how):
    return date_media(media, LONDON, STARTS, NOW, **how)


def test_the_best_source_is_taken_whatever_order_the_clues_come_in():
    best_first = [GPS, WITH_OFFSET, EXIF, CONTAINER, BWF, NOTE]
    for number, best in enumerate(best_first):
        rest = best_first[number:]
        for order in (rest, rest[::-1]):
            found = _date(piece(*order, name="2026-02-14 10.21.00.jpg"))
            assert found.source is best.source
            assert found.at == datetime(2026, 2, 14, 10, 15 + number, tzinfo=UTC)
    assert _date(piece(name="2026-02-14 10.21.00.jpg")).source is S.NAME
    assert _date(piece()).source is S.FILE


def test_photo_without_offset_is_read_in_the_books_zone():
    found = _date(piece(clue(S.EXIF, "2026-07-14T10:15:00")))
    assert found.at.isoformat() == "2026-07-14T10:15:00+01:00"
    assert found.flags == ()


def test_a_camera_set_to_another_zone_is_told():
    found = _date(piece(clue(S.EXIF_OFFSET, "2026-07-14T10:15:00", "+00:00")))
    assert found.at.isoformat() == "2026-07-14T11:15:00+01:00"
    assert "+00:00" in found.flags[0]
    assert "+01:00" in found.flags[0]


def test_the_hour_that_occurs_twice_is_flagged_and_an_hour_unsure():
    found = _date(piece(clue(S.EXIF, "2026-10-25T01:30:00")))
    assert "twice" in found.flags[0]
    assert found.error_s == 3600


def test_the_hour_that_never_was_is_flagged():
    found = _date(piece(clue(S.EXIF, "2026-03-29T01:30:00")))
    assert "went forward" in found.flags[0]
    assert found.error_s == 3600


@pytest.mark.parametrize(
    ("wall", "said"),
    [
        ("2025-12-30T23:00:00", "before the book starts"),
        ("2026-12-03T00:00:00", "in the future"),
        ("2006-01-01T00:00:41", "lost its power"),
        ("1980-01-01T00:00:00", "lost its power"),
    ],
)
def test_an_impossible_date_is_never_believed_and_the_next_source_is_taken(wall, said):
    found = _date(piece(clue(S.EXIF, wall), name="2026-02-14 10.21.00.jpg"))
    assert found.source is S.NAME
    assert said in found.flags[0]


def test_a_day_at_either_end_of_the_books_time_is_allowed():
    for wall in ("2025-12-31T12:00:00", "2026-12-02T10:00:00"):
        assert _date(piece(clue(S.EXIF, wall))).source is S.EXIF


def test_midnight_of_new_years_day_in_a_year_of_the_books_own_is_believed_from_gps():
    media = piece(clue(S.GPS, "2020-01-01T00:00:10", "+00:00"), clue(S.EXIF, "2020-01-01T00:00:10"))
    found = date_media(media, LONDON, STARTS.replace(year=2019), NOW)
    assert found.source is S.GPS
    media = piece(clue(S.EXIF, "2020-01-01T00:00:10"))
    assert date_media(media, LONDON, STARTS.replace(year=2019), NOW).source is S.FILE


def test_the_files_own_time_is_always_flagged_and_a_day_unsure():
    found = _date(piece())
    assert found.source is S.FILE
    assert found.error_s == 86_400
    assert "copying" in found.flags[0]


def test_the_file_time_of_a_recording_is_its_end():
    found = _date(piece(kind=Kind.RECORDING, duration_s=90.0, modified=datetime(2026, 6, 1, 9, 1, 30, tzinfo=UTC)))
    assert found.at == datetime(2026, 6, 1, 9, 0, tzinfo=UTC)


def test_when_no_date_is_possible_the_nearest_is_given_with_an_error_of_years():
    media = piece(clue(S.EXIF, "2000-01-01T00:00:12"), modified=datetime(1980, 1, 1, tzinfo=UTC))
    found = _date(media)
    assert found.at == datetime(2000, 1, 1, 0, 0, 12, tzinfo=UTC)
    assert found.error_s == NOBODY_KNOWS_S
    assert "No date that it gives is possible" in found.flags[-1]


def test_photo_that_a_network_clock_dates_before_the_book_is_not_moved_to_the_day_of_its_copying():
    older = clue(S.EXIF_OFFSET, "2024-07-03T11:20:05", "+01:00")
    found = _date(piece(older, modified=datetime(2026, 6, 1, tzinfo=UTC)))
    assert (found.at, found.source) == (datetime(2024, 7, 3, 10, 20, 5, tzinfo=UTC), S.EXIF_OFFSET)
    assert found.error_s == NOBODY_KNOWS_S and found.moved_s == 0
    assert "before the book starts" in found.flags[0] and "book_starts" in found.flags[-1]
    reset = clue(S.EXIF_OFFSET, "2015-01-01T00:00:41", "+00:00")
    assert _date(piece(reset, modified=datetime(2026, 6, 1, tzinfo=UTC))).source is S.FILE
    assert _date(piece(older, name="2026-02-14 10.21.00.jpg")).source is S.NAME


def test_a_container_time_that_marks_the_end_is_moved_back_by_the_length():
    media = piece(CONTAINER, kind=Kind.RECORDING, duration_s=180.0)
    assert _date(media).at == datetime(2026, 2, 14, 10, 18, tzinfo=UTC)
    assert _date(media, marks_end=True).at == datetime(2026, 2, 14, 10, 15, tzinfo=UTC)
    ended = clue(S.CONTAINER, "2026-02-14T10:18:00", "+00:00", marks_end=True)
    assert _date(piece(ended, kind=Kind.FILM, duration_s=180.0)).at == datetime(2026, 2, 14, 10, 15, tzinfo=UTC)


def test_a_date_alone_is_flagged_and_half_a_day_unsure():
    found = _date(piece(name="AUD-20260214-WA0003.opus"))
    assert found.at == datetime(2026, 2, 14, 12, tzinfo=UTC)
    assert found.error_s == 43_200
    assert "Only the day is known" in found.flags[0]


def test_a_name_that_gives_another_time_than_the_camera_is_told():
    found = _date(piece(EXIF, name="IMG_20260214_111700.jpg"))
    assert found.source is S.EXIF
    assert "Its name says 2026-02-14 11:17:00" in found.flags[0]
    assert _date(piece(EXIF, name="IMG_20260214_101702.jpg")).flags == ()


@pytest.mark.parametrize("source", [S.EXIF_OFFSET, S.NOTE])
def test_a_name_that_shows_the_time_of_the_place_abroad_where_it_was_taken_is_not_another_time(source):
    def flags(name):
        return _date(piece(clue(source, "2026-02-14T11:00:00", "+03:00"), name=name)).flags

    assert not any("Its name says" in flag for flag in flags("IMG_20260214_110000.jpg"))
    assert any("Its name says 2026-02-14 12:00:00" in flag for flag in flags("IMG_20260214_120000.jpg"))


def test_what_the_devices_own_clock_showed_is_kept_beside_a_better_source():
    found = _date(piece(GPS, WITH_OFFSET))
    assert found.shown_at - found.at == timedelta(seconds=60)
    assert found.moved_s == -60
    unbelieved = _date(piece(GPS, clue(S.EXIF, "2000-01-01T00:00:00")))
    assert unbelieved.shown_at.year == 2000


_times = wall_times(1970, 2090).map(lambda at: at.isoformat())
_clues = st.lists(
    st.builds(
        clue,
        st.sampled_from([S.GPS, S.EXIF_OFFSET, S.EXIF, S.CONTAINER, S.BWF, S.NOTE]),
        st.one_of(_times, st.text(max_size=12)),
        st.sampled_from([None, "+00:00", "-09:30", "+14:00", "nonsense"]),
    ),
    max_size=5,
)


@given(_clues, st.integers(-(2**62), 2**62), st.sampled_from(list(Kind)), st.booleans())
def test_everything_gets_an_instant_and_an_impossible_one_is_always_flagged(clues, modified_ns, kind, marks_end):
    media = piece(*clues, kind=kind, duration_s=None if kind is Kind.PHOTO else 33.0, modified_ns=modified_ns)
    found = _date(media, marks_end=marks_end)
    assert found.at.utcoffset() is not None
    assert found.error_s > 0
    possible = datetime(2025, 12, 31, tzinfo=UTC) <= found.at <= NOW + timedelta(days=1)
    assert possible or (found.flags and found.error_s == NOBODY_KNOWS_S)
    as_json = TypeAdapter(Dated)
    assert as_json.validate_json(as_json.dump_json(found)) == found


def test_day_in_the_name_of_the_folder_dates_what_nothing_else_dates():
    scanned = piece(name="2026-02-14 wing off/slide 11.tif", modified=datetime(2026, 8, 1, tzinfo=UTC))
    found = _date(scanned)
    assert (found.source, found.at.date().isoformat(), found.error_s) == (S.NAME, "2026-02-14", 43_200)
    assert found.flags == ("Only the day is known, from the name of its folder.",)
    assert _date(piece(EXIF, name="2026-03-01 wing off/a.jpg")).flags == ()
    assert _date(piece(name="2026-03-01 wing off/2026-02-14 a.jpg")).at.day == 14


def test_file_of_the_very_day_that_its_folder_is_named_for_keeps_the_hour_of_its_own_time():
    found = _date(piece(name="2026-02-14/note.wav", modified=datetime(2026, 2, 14, 15, 30, tzinfo=UTC)))
    assert (found.source, found.at.hour) == (S.FILE, 15)


@pytest.mark.parametrize("folder", ["winter 2026", "2026-02-14/cockpit", "2026-02-14 to 2026-02-15"])
def test_folder_that_tells_no_day_dates_nothing(folder):
    assert _date(piece(name=f"{folder}/a.jpg")).source is S.FILE
