from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from pipeline.dating.clocks import correct, date_all, date_still
from pipeline.dating.devices import TellsOfTime
from pipeline.dating.spoken_times import spoken_times
from pipeline.dating.talk import TimedTalk
from pipeline.values import Clock, Codes, FileSeen, Kind, TimeSource
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


def test_one_photo_more_leaves_everything_else_that_its_clock_dated_as_it_was():
    with_gps = [_photo(5 * n, 423 + (n % 5 - 2) / 4, gps_late_s=0) for n in range(60)]
    without = [_photo(5 * n + 2, 423) for n in range(60)]
    before, (clock,) = _date(*with_gps, *without)
    after, (clock_after,) = _date(*with_gps, *without, _photo(310, 423.9, gps_late_s=0))
    assert before[60].moved_s == -423 and "60 of 60" in clock.why and "61 of 61" in clock_after.why
    assert after[:-1] == before


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
    (dated,), _ = _date(film)
    own = date_still(still, dated)
    assert own.at == dated.at + timedelta(seconds=12.5)
    assert (own.media, own.source, own.error_s) == (still.id, S.FILM, dated.error_s)


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


# Clock cards, spoken times, labels ----------------------------------------------------------------------------------


def _note(minute, shown_s, talk_times=(), tags=(), points=(), device="Talkwren", source=S.BWF):
    """Return a recording of ten minutes that began so many minutes into the day, and what it tells of time."""
    shown = (AT + timedelta(minutes=minute, seconds=shown_s)).replace(tzinfo=None).isoformat()
    media = piece(clue(source, shown), kind=Kind.RECORDING, device=device, duration_s=600.0, name=f"{minute}.wav")
    talk = TimedTalk(
        media=media.id, spans=((0.0, 600.0),), points=tuple(points), tags=tuple(tags), times=tuple(talk_times)
    )
    return media, talk


def _date_told(media, talks=(), codes=None):
    told = TellsOfTime(talks={talk.media: talk for talk in talks}, codes=codes or {})
    return date_all(media, LONDON, STARTS, NOW, {}, told)


def test_one_photographed_clock_card_sets_its_camera_and_dates_its_own_photo():
    card, other = _photo(0, 5025), _photo(40, 5025)
    dates, clocks = _date_told([card, other], codes={card.id: Codes(card_at=AT)})
    assert (clocks[0].sure, round(clocks[0].offset_s)) == (True, 5025)
    assert (dates[0].at, dates[0].source) == (AT, S.CARD)
    assert dates[1].at == AT + timedelta(minutes=40)
    assert "1 of 1 clock cards agree" in clocks[0].why


def test_clock_card_read_aloud_sets_the_recorder_that_heard_it():
    (said,) = spoken_times(
        "The time is ten hours, two minutes and five seconds, on Saturday the 14th of February 2026."
    )
    first, talk = _note(0, 7200, talk_times=[(125.0, said)])
    later, nothing = _note(90, 7200)
    dates, clocks = _date_told([first, later], [talk, nothing])
    assert clocks[0].sure
    assert dates[0].at == AT
    assert dates[1].at == AT + timedelta(minutes=90)


def test_four_spoken_times_that_agree_set_a_recorder_and_three_do_not():
    def told(number):
        notes = []
        for n in range(number):
            (said,) = spoken_times(f"it's {5 + 10 * n} past ten")
            notes.append(_note(10 * n, 3600, talk_times=[(300.0 + 7 * n, said)]))
        dates, clocks = _date_told([media for media, _ in notes], [talk for _, talk in notes])
        return clocks[0].sure, dates[0].moved_s

    assert told(4)[0]
    assert told(4)[1] == pytest.approx(-3600, abs=30)
    assert told(3) == (False, 0)


def test_labels_seen_and_read_out_set_a_camera_without_a_single_pointing_word():
    tags = [(60.0 + 100 * n, f"P-01{n:02}") for n in range(5)]
    note, talk = _note(0, 0, tags=tags, source=S.NAME, device="")
    photos = [_photo((at_s + 3) / 60, 3600) for at_s, _ in tags]
    codes = {photo.id: Codes(tags=(tag,)) for photo, (_, tag) in zip(photos, tags, strict=True)}
    _, clocks = _date_told([note, *photos], [talk], codes)
    assert clocks[0].sure
    assert clocks[0].offset_s == pytest.approx(3600, abs=8)
    assert "labels" in clocks[0].why


def test_recorder_that_stamps_the_end_says_so():
    gaps = ((0, 300.0), (20, 95.0), (45, 500.0))
    notes = [
        piece(
            clue(S.CONTAINER, (AT + timedelta(minutes=m, seconds=s)).replace(tzinfo=None).isoformat(), "+00:00"),
            kind=Kind.RECORDING,
            device="Talkwren",
            duration_s=s,
            modified_ns=round((AT + timedelta(minutes=m, seconds=s + 0.4)).timestamp() * 1e9) + 17,
        )
        for m, s in gaps
    ]
    dates, clocks = _date(*notes)
    assert clocks[0].stamps == "end"
    assert [dated.at for dated in dates] == [AT + timedelta(minutes=m) for m, _ in gaps]


def test_recordings_that_would_overlap_if_their_stamps_were_starts_are_stamped_at_their_end():
    def note(minute, length_s):
        shown = (AT + timedelta(minutes=minute)).replace(tzinfo=None).isoformat()
        return piece(clue(S.CONTAINER, shown, "+00:00"), kind=Kind.RECORDING, device="T", duration_s=length_s)

    _, clocks = _date(note(10, 600.0), note(13, 120.0), note(30, 60.0))
    assert clocks[0].stamps == "end"


@pytest.mark.parametrize("passed_on", [(), ("/media/A from Col.jpg",)])
def test_photos_across_a_resetting_of_the_clock_go_by_the_numbers_of_their_names(passed_on):
    """Put back by an hour in the middle of work, a clock shows the same times twice."""
    before = [_photo(n, 3600, gps_late_s=0, name=f"OLLF{n:04}.JPG") for n in range(6)]
    after = [_photo(30 + n, 0, gps_late_s=0, name=f"OLLF{30 + n:04}.JPG") for n in range(6)]
    between = [_photo(62, 0, name="OLLF0062.JPG"), _photo(3.5, 3600, name="OLLF0003.JPG")]
    media = [*before[:3], *before[4:], between[1], *after, between[0]]
    named = [FileSeen(path=path, size=1, modified_ns=1) for path in passed_on]  # under which one of them is known too
    media[0] = replace(media[0], files=(*named, *media[0].files))
    dates, clocks = _date(*media)
    assert [round(clock.offset_s) for clock in clocks] == [3600, 0]
    assert dates[media.index(between[1])].at == AT + timedelta(minutes=3.5)
    assert dates[media.index(between[0])].at == AT + timedelta(minutes=62)


# A clock set anew, left alone, or told on one day -------------------------------------------------------------------

DAY, AUTUMN = 24 * 60, 250 * 24 * 60  # minutes; the clocks go back on 25 October 2026
POINTS_S = (11.0, 64.0, 97.0, 171.0, 260.0, 342.0, 385.0, 470.0, 555.0)
OTHER_POINTS_S = (8.0, 49.0, 131.0, 188.0, 239.0, 301.0, 411.0, 502.0, 540.0)


def _shown(minute, fast_s, name, device="Tarnbeck Two"):
    """Return a photo of a camera whose wall clock is so much fast of local time so many minutes into the days."""
    wall = (AT + timedelta(minutes=minute, seconds=fast_s)).astimezone(LONDON).replace(tzinfo=None)
    return piece(clue(S.EXIF, wall.isoformat()), device=device, name=name)


def _pointed_at(minute, fast_s, first, points_s=POINTS_S):
    """Return a recording that is right, what it tells, and a photo of each moment at which its words point."""
    wall = (AT + timedelta(minutes=minute)).astimezone(LONDON).replace(tzinfo=None).isoformat()
    note = piece(clue(S.BWF, wall), kind=Kind.RECORDING, device="Talkwren", duration_s=600.0, name=f"{minute}.wav")
    talk = TimedTalk(media=note.id, spans=tuple((at - 1, at + 4) for at in points_s), points=tuple(points_s))
    photos = [_shown(minute + (at + 1.8) / 60, fast_s, f"OLLF{first + n:04}.JPG") for n, at in enumerate(points_s)]
    return note, talk, photos


def test_clock_card_of_one_day_binds_its_own_stretch_and_never_blames_a_recorder_that_is_right():
    note, talk, photos = _pointed_at(0, 40, 1)
    card = _shown(20 * DAY, 3640, "OLLF0020.JPG")
    shown_at = AT + timedelta(minutes=20 * DAY)
    beside = _shown(20 * DAY + 90, 3640, "OLLF0021.JPG")
    media = [note, *photos, card, beside]
    dates, clocks = _date_told(media, [talk], {card.id: Codes(card_at=shown_at)})
    assert [one.moved_s for one in dates[:1]] == [0.0]
    assert {clock.device: clock.sure for clock in clocks}["Talkwren"] is False
    assert [round(one.moved_s) for one in dates[1:]] == [-40] * len(photos) + [-3640] * 2


def test_camera_that_nobody_puts_back_in_autumn_is_found_by_few_photos_and_said_in_plain_words():
    summer, talk, photos = _pointed_at(AUTUMN, 40, 1)
    winter, talk_then, late = _pointed_at(AUTUMN + 10 * DAY, 3640, 20, POINTS_S[:3])
    media = [summer, winter, *photos, *late]
    dates, clocks = _date_told(media, [talk, talk_then])
    assert [round(one.moved_s) for one in dates] == [0, 0, *[-40] * len(photos), *[-3640] * len(late)]
    camera = [clock for clock in clocks if clock.device == "Tarnbeck Two"]
    assert [(clock.sure, clock.untouched) for clock in camera] == [(True, False), (True, True)]
    said = "Nobody put it back when the clocks went back on 25 October 2026: it ran on as it was."
    assert camera[1].why.endswith(said) and said in dates[-1].flags[0]
    assert said not in camera[0].why


def test_camera_that_somebody_puts_back_in_autumn_stays_one_fit():
    summer, talk, photos = _pointed_at(AUTUMN, 40, 1)
    winter, talk_then, late = _pointed_at(AUTUMN + 10 * DAY, 40, 20, POINTS_S[:3])
    dates, clocks = _date_told([summer, winter, *photos, *late], [talk, talk_then])
    assert [round(one.moved_s) for one in dates[2:]] == [-40] * 12
    assert len(clocks) == 2


@pytest.mark.parametrize("after_s", [6, 15, 120])
def test_photos_of_one_series_keep_the_setting_of_the_last_that_tells_of_it_when_another_day_comes_in(after_s):
    note, talk, photos = _pointed_at(0, 40, 1)
    last = _shown((POINTS_S[-1] + 1.8 + after_s) / 60, 40, "OLLF0015.JPG")
    alone, _ = _date_told([note, *photos, last], [talk])
    other, talk_then, late = _pointed_at(15 * DAY, 1240, 20, OTHER_POINTS_S)
    dates, _ = _date_told([note, *photos, last, other, *late], [talk, talk_then])
    of_last = dates[1 + len(photos)]
    assert abs(of_last.at - alone[-1].at) < timedelta(seconds=0.2)
    assert of_last.error_s == pytest.approx(alone[-1].error_s, abs=1)
    assert round(dates[-1].moved_s) == -1240


def test_photo_half_way_between_two_settings_is_in_doubt_by_what_lies_between_them():
    note, talk, photos = _pointed_at(0, 40, 1)
    between = _shown(7 * DAY, 40, "OLLF0015.JPG")
    other, talk_then, late = _pointed_at(15 * DAY, 1240, 20, OTHER_POINTS_S)
    dates, _ = _date_told([note, *photos, between, other, *late], [talk, talk_then])
    assert dates[1 + len(photos)].error_s == pytest.approx(1200, abs=5)
    assert "set anew" in dates[1 + len(photos)].flags[0]


def test_clock_pinned_as_right_is_no_doubt():
    dates, _ = _date(_photo(0, 0), pinned={"Tarnbeck Two": 0.0})
    assert (dates[0].flags, dates[0].moved_s, dates[0].source) == ((), 0.0, S.PINNED)


def _pressed_late(source, offset):
    """Photos of a clock that is right, each six seconds after the words began that point."""
    note, talk, _ = _pointed_at(0, 0, 1)
    late = [(AT + timedelta(seconds=at + 6)).replace(tzinfo=None).isoformat() for at in POINTS_S]
    photos = [piece(clue(source, wall, offset), device="Wexcombe One") for wall in late]
    dates, clocks = _date_told([note, *photos], [talk])
    (own,) = [clock for clock in clocks if clock.device == "Wexcombe One"]
    return dates, own


def test_clock_that_sets_itself_is_not_moved_by_how_late_people_press_the_shutter():
    dates, phone = _pressed_late(S.EXIF_OFFSET, "+00:00")
    assert [one.moved_s for one in dates] == [0.0] * 10
    assert phone.sure and "nothing was moved" in phone.why


def test_few_seconds_by_the_shutter_alone_are_not_surer_than_people_are_quick():
    dates, camera = _pressed_late(S.EXIF, None)
    moved_s = abs(camera.offset_s)
    assert camera.sure and 2 < moved_s < 10
    assert all(one.error_s >= min(moved_s, 4.0) for one in dates if one.moved_s)


# Where hardly anybody points ----------------------------------------------------------------------------------------

SPANS = (((0.0, 6.5), (8.9, 12.0), (15.2, 21.1), (24.8, 27.0), (29.5, 36.2)), ((0.0, 4.1), (7.3, 15.0), (17.2, 21.9)))


def _told_in(minute, spans, points=(), tags=()):
    note, talk = _note(minute, 0)
    return note, talk.model_copy(update={"spans": spans, "points": points, "tags": tags})


def test_camera_an_hour_slow_is_found_by_photos_as_sentences_end_in_two_notes():
    notes = [_told_in(0, SPANS[0]), _told_in(95, SPANS[1])]
    ends = [(minute, end) for minute, spans in ((0, SPANS[0]), (95, SPANS[1])) for _, end in spans]
    photos = [_photo(minute + (end + 1.5) / 60, -3588, name=f"BK5_{n}.JPG") for n, (minute, end) in enumerate(ends)]
    dates, clocks = _date_told([*(note for note, _ in notes), *photos], [talk for _, talk in notes])
    (clock,) = [one for one in clocks if one.device == "Tarnbeck Two"]
    assert clock.sure and clock.offset_s == pytest.approx(-3588, abs=2)
    assert "8 of 8 photos come just as a sentence has ended" in clock.why
    assert dates[2].moved_s == pytest.approx(3588, abs=2)


def test_offset_of_weeks_that_rests_on_three_photos_is_not_told():
    """Three photos of one day fit words of three weeks before by chance."""
    note, talk, _ = _pointed_at(0, 0, 1)
    photos = [_photo(21 * DAY + 7 + (at + 1.8) / 60, 0, name=f"p{at}") for at in POINTS_S[:3]]
    _, clocks = _date_told([note, *photos], [talk])
    (clock,) = [one for one in clocks if one.device == "Tarnbeck Two"]
    assert (clock.sure, clock.offset_s, clock.anchors) == (False, 0.0, 0)


def test_offset_of_a_week_is_not_told_by_sentences_that_end_as_they_do_every_day():
    notes = [_told_in(0, SPANS[0], points=(6.0, 20.0)), _told_in(95, SPANS[1])]
    ends = [(minute, end) for minute, spans in ((0, SPANS[0]), (95, SPANS[1])) for _, end in spans]
    for fast_s, told in ((-3588, True), (7 * 86_400 - 3588, False)):
        photos = [_photo(at + (end + 1.5) / 60, fast_s, name=f"BK5_{n}.JPG") for n, (at, end) in enumerate(ends)]
        _, clocks = _date_told([*(note for note, _ in notes), *photos], [talk for _, talk in notes])
        assert [one.sure for one in clocks if one.device == "Tarnbeck Two"] == [told]


def test_clock_that_began_at_new_year_is_believed_by_one_label_read_out_and_two_words_that_point():
    note, talk = _told_in(0, (*SPANS[0], (60.0, 68.0)), points=(9.3, 30.1), tags=((64.0, "D-0101"),))
    began_s = (datetime(2016, 1, 1, tzinfo=UTC) - AT).total_seconds() + 3600
    taken_s = (11.1, 31.9, 66.0)
    photos = [_photo(at / 60, began_s, name=f"PS12000{n}.JPG") for n, at in enumerate(taken_s)]
    dates, clocks = _date_told([note, *photos], [talk], {photos[2].id: Codes(tags=("D-0101",))})
    (clock,) = [one for one in clocks if one.device == "Tarnbeck Two"]
    assert clock.sure and clock.offset_s == pytest.approx(began_s, abs=3)
    assert all(abs((one.at - AT).total_seconds() - at) < 3 for one, at in zip(dates[1:], taken_s, strict=True))


def _life(day: int, number: int, minutes):
    """Return photos of a camera without a battery, whose clock begins in 2015 as it is switched on at eight."""
    began_s = (datetime(2015, 1, 1, tzinfo=UTC) - AT).total_seconds() - day * DAY * 60.0 + 7200
    return [_photo(day * DAY + at, began_s, name=f"P10100{number + n:02}.JPG") for n, at in enumerate(minutes)]


def test_clock_card_dates_its_own_life_of_a_camera_that_begins_anew_each_time_and_no_other():
    before, own, after = _life(0, 1, (40, 41, 42)), _life(7, 4, (10, 11, 12)), _life(14, 7, (95, 96))
    card_at = AT + timedelta(days=7, minutes=11)
    dates, clocks = _date_told([*before, *own, *after], codes={own[1].id: Codes(card_at=card_at)})
    assert [one.sure for one in clocks] == [False, True, False]
    assert [one.at for one in dates[3:6]] == [card_at + timedelta(minutes=n) for n in (-1, 0, 1)]
    assert {one.source for one in (*dates[:3], *dates[6:])} == {S.FILE}


def test_lives_of_a_clock_are_told_apart_however_often_it_begins_anew():
    lives = [_life(7 * week, 1 + 3 * week, (10, 11, 12)) for week in range(7)]
    card_at = AT + timedelta(days=28, minutes=11)
    dates, clocks = _date_told(
        [one for life in lives for one in life], codes={lives[4][1].id: Codes(card_at=card_at)}
    )
    assert [one.sure for one in clocks] == [week == 4 for week in range(7)]
    assert [one.source is S.FILE for one in dates] == [at // 3 != 4 for at in range(21)]


def test_clock_card_is_believed_of_a_camera_whose_clock_is_years_out():
    photos = _life(7, 4, (10, 11, 12))
    card_at = AT + timedelta(days=7, minutes=11)
    dates, (clock,) = _date_told(photos, codes={photos[1].id: Codes(card_at=card_at)})
    assert clock.sure
    assert [one.at for one in dates] == [card_at + timedelta(minutes=n) for n in (-1, 0, 1)]


def _anew_for_a_day(second_minute):
    """Return a right camera's photos of two weekends, and between them those of a day on which its clock began anew.

    On that day it takes three photos of a note at ten and three of another 183 minutes later; ``second_minute`` is
    when it took the latter by its own clock.
    """
    spans = ((0.4, 4.2), (4.6, 8.6), (10.5, 13.4), (18.3, 24.3), (31.1, 39.1), (52.7, 56.2))
    notes = [
        _told_in(7 * DAY, spans, points=(6.0, 55.0)),
        _told_in(7 * DAY + 183, spans, tags=((20.0, "P-0002"),)),
    ]
    began_s = (datetime(2015, 1, 1, 0, 12, tzinfo=UTC) - AT).total_seconds() - 7 * DAY * 60
    again_s = began_s + (second_minute - 183) * 60
    first = [_photo(7 * DAY + at / 60, began_s, name=f"OS0004{n}.JPG") for n, at in enumerate((7.8, 14.5, 56.8))]
    second = [
        _photo(7 * DAY + 183 + at / 60, again_s, name=f"OS0005{n}.JPG") for n, at in enumerate((5.9, 14.0, 22.0))
    ]
    right = [_photo(day * DAY, 0, name=f"OS000{number}.JPG") for day, number in ((0, 30), (14, 60))]
    codes = {second[2].id: Codes(tags=("P-0002",))}
    dates, clocks = _date_told(
        [*first, *second, *right, *(note for note, _ in notes)], [talk for _, talk in notes], codes
    )
    return dates, [one for one in clocks if one.device == "Tarnbeck Two"]


def test_photos_hours_apart_under_notes_as_far_apart_tell_the_clock_that_began_anew_that_day():
    dates, clocks = _anew_for_a_day(183)
    assert [one.sure for one in clocks] == [False, True, False]
    for one, at_s in zip(dates[:6], (7.8, 14.5, 56.8, *(183 * 60 + at for at in (5.9, 14.0, 22.0))), strict=True):
        assert (one.at - AT - timedelta(days=7)).total_seconds() == pytest.approx(at_s, abs=3)


def test_photos_hours_apart_of_a_clock_that_began_anew_in_between_are_not_dated_by_each_other():
    _, clocks = _anew_for_a_day(97)
    assert [one.sure for one in clocks] == [False] * 4
