from datetime import UTC, datetime, timedelta

from pipeline.dating.clocks import correct, date_all
from pipeline.values import Clock, Kind, TimeSource
from tests.dating.seen_media import LONDON, NOW, STARTS, clue, piece

S = TimeSource
AT = datetime(2026, 2, 14, 10, 0, tzinfo=UTC)


def _photo(
    minute: float, shown_s: float, gps_late_s: float | None = None, device: str = "Tarnbeck Two", name: str = "p"
):
    """Return a photo taken ``minute`` into the day, its clock ``shown_s`` fast, its GPS time so many seconds old."""
    true_at = AT + timedelta(minutes=minute)
    shown = (true_at + timedelta(seconds=shown_s)).replace(tzinfo=None).isoformat()
    clues = [clue(S.EXIF, shown)]
    if gps_late_s is not None:
        fixed = (true_at - timedelta(seconds=gps_late_s)).replace(tzinfo=None).isoformat()
        clues.insert(0, clue(S.GPS, fixed, "+00:00"))
    return piece(*clues, device=device, name=name)


def _date(*media, pinned=None):
    return date_all(media, LONDON, STARTS, NOW, pinned or {})


def test_a_clock_that_is_not_sure_moves_nothing():
    media = _photo(0, 50)
    ((dated,), _) = _date(media)
    assert correct(dated, Clock(device="Tarnbeck Two", offset_s=50.0)) == dated


def test_other_photos_of_a_camera_an_hour_fast_are_moved_by_the_hour_and_say_why():
    with_gps = [_photo(n, 3600, gps_late_s=0) for n in range(4)]
    without = _photo(30, 3600)
    other = _photo(30, 3600, device="Wexcombe One")
    dates, clocks = _date(*with_gps, without, other)
    moved, left = dates[4], dates[5]
    assert moved.at == AT + timedelta(minutes=30)
    assert (moved.source, moved.moved_s) == (S.EXIF, -3600)
    assert moved.shown_at == AT + timedelta(minutes=90)
    assert moved.error_s < 10
    assert "1 h fast" in moved.flags[0]
    assert left.at == AT + timedelta(minutes=90)
    assert [(clock.device, clock.sure) for clock in clocks] == [("Tarnbeck Two", True), ("Wexcombe One", False)]


def test_a_wrong_day_and_a_clock_that_lost_its_power_are_found_too():
    years_s = (datetime(2000, 1, 1, 0, 5, tzinfo=UTC) - AT).total_seconds()
    with_gps = [_photo(n, years_s, gps_late_s=0) for n in range(5)]
    dates, _ = _date(*with_gps, _photo(7, years_s))
    assert dates[5].at == AT + timedelta(minutes=7)
    assert dates[5].source is S.EXIF


def test_a_clock_that_is_right_to_a_second_is_left_alone_and_its_error_shrinks():
    with_gps = [_photo(n, 1, gps_late_s=0) for n in range(4)]
    dates, clocks = _date(*with_gps, _photo(30, 1))
    assert clocks[0].sure
    assert (dates[4].moved_s, dates[4].flags) == (0, ())
    assert dates[4].at == dates[4].shown_at
    assert dates[4].error_s <= 2


def test_a_stale_gps_time_gives_way_to_the_corrected_clock():
    fresh = [_photo(n, 20, gps_late_s=0) for n in range(5)]
    stale = _photo(9, 20, gps_late_s=400)
    dates, _ = _date(*fresh, stale)
    assert [dated.source for dated in dates[:5]] == [S.GPS] * 5
    assert dates[5].source is S.EXIF
    assert dates[5].at == AT + timedelta(minutes=9)
    assert any("400 s" in flag for flag in dates[5].flags)


def test_a_gps_time_far_from_the_clock_is_used_and_flagged_while_too_few_tell_which_is_right():
    ((dated,), _) = _date(_photo(0, 0, gps_late_s=400))
    assert dated.source is S.GPS
    assert "too few" in dated.flags[0]
    assert dated.error_s == 400


def test_a_pinned_clock_beats_gps_and_everything_else():
    media = [_photo(n, 0, gps_late_s=0) for n in range(5)]
    dates, clocks = _date(*media, pinned={"Tarnbeck Two": 60.0})
    assert {dated.source for dated in dates} == {S.PINNED}
    assert dates[0].at == AT - timedelta(seconds=60)
    assert clocks[0].why == "Set in the book's settings."


def test_a_clock_that_was_set_anew_in_between_is_not_followed_out_of_the_books_time():
    years_s = (datetime(2000, 1, 1, 0, 5, tzinfo=UTC) - AT).total_seconds()
    before = [_photo(n, years_s, gps_late_s=0) for n in range(5)]
    after = _photo(60, 0)
    dates, _ = _date(*before, after)
    assert dates[5].at == AT + timedelta(minutes=60)


def test_a_recording_of_the_same_device_is_moved_with_its_photos():
    photos = [_photo(n, 3600, gps_late_s=0) for n in range(4)]
    note = piece(clue(S.BWF, "2026-02-14T11:30:00"), kind=Kind.RECORDING, device="Tarnbeck Two", duration_s=60.0)
    dates, _ = _date(*photos, note)
    assert dates[4].at == AT + timedelta(minutes=30)


def test_a_still_has_its_films_time_and_the_second_in_it():
    film = piece(clue(S.CONTAINER, "2026-02-14T10:15:00", "+00:00"), kind=Kind.FILM, duration_s=60.0)
    still = piece(still_of=film.id, still_at_s=12.5)
    dates, _ = _date(still, film)
    assert dates[0].at == dates[1].at + timedelta(seconds=12.5)
    assert (dates[0].media, dates[0].source, dates[0].error_s) == (still.id, S.FILM, dates[1].error_s)


def test_captions_beside_a_recording_have_its_time_and_others_their_own():
    note = piece(
        clue(S.CONTAINER, "2026-02-14T10:15:00", "+00:00"), kind=Kind.RECORDING, duration_s=60.0, name="note.m4a"
    )
    beside, alone = piece(kind=Kind.CAPTIONS, name="note.vtt"), piece(kind=Kind.CAPTIONS, name="other.vtt")
    dates, _ = _date(beside, note, alone)
    assert (dates[0].media, dates[0].at, dates[0].source) == (beside.id, dates[1].at, S.CONTAINER)
    assert dates[2].source is S.FILE


def test_the_dates_come_in_the_order_of_the_media_and_do_not_depend_on_it():
    media = [_photo(n, 3600, gps_late_s=0 if n < 5 else None, name=f"p{n}") for n in range(8)]
    dates, clocks = _date(*media)
    assert [dated.media for dated in dates] == [one.id for one in media]
    back, clocks_back = _date(*media[::-1])
    assert back[::-1] == dates
    assert clocks_back == clocks
