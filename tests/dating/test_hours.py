"""Clocks of which the hour is told on some days and not on others, or which are told by the hour alone."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from pipeline.dating.clocks import date_all
from pipeline.dating.devices import TellsOfTime
from pipeline.dating.events import ClockEvent, Fixed
from pipeline.dating.hours import with_seconds_left_alone
from pipeline.dating.lines import ENDING, POINTING
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import ends_mislead, speech
from pipeline.dating.talk import TimedTalk
from pipeline.dating.tracks import follow
from pipeline.dating.ways import steps_s
from pipeline.values import Kind, TimeSource
from tests.dating.seen_media import LONDON, NOW, STARTS, clue, piece

HOUR_S, DAY_S = 3600.0, 86_400.0
SILENCE = speech([], [])
WINTER_S = datetime(2026, 1, 10, 10, 0, tzinfo=UTC).timestamp()


def _photos(day: float, out_s: float, zone_s: float = 0.0, told: bool = True, number: int = 5) -> list[ClockEvent]:
    """Return photos a minute apart, so many days into winter, whose clock is out by so much where anything tells."""
    true_s = [WINTER_S + day * DAY_S + 60.0 * n for n in range(number)]
    fixes = [(Fixed("GPS times", at_s, 1.0),) if told else () for at_s in true_s]
    return [ClockEvent(at_s + out_s, fixed=one, zone_s=zone_s) for at_s, one in zip(true_s, fixes, strict=True)]


def _follow(*some: list[ClockEvent], said=SILENCE):
    return follow([one for photos in some for one in photos], said, Prior.hand_set())


def _known(tracks) -> list[tuple[bool, int]]:
    """Return of each stretch whether it is sure, and its hours."""
    return [(track.sure, round(track.offset_s / HOUR_S)) for track in tracks]


def test_no_clock_drifts_by_an_hour_however_long_nothing_tells_of_it():
    assert steps_s(np.array([0.0, 400 * DAY_S]))[0] < HOUR_S / 2
    assert _known(_follow(_photos(0, HOUR_S), _photos(300, 0.0))) == [(True, 1), (True, 0)]


def test_clock_an_hour_fast_is_not_sure_months_later_where_nothing_tells_whether_it_still_was():
    winter, next_winter = _follow(_photos(0, HOUR_S), _photos(300, HOUR_S, told=False))
    assert (winter.sure, winter.unclear_s) == (True, 0)
    assert (next_winter.sure, next_winter.unclear_s) == (False, HOUR_S)
    assert _known(_follow(_photos(0, HOUR_S), _photos(20, HOUR_S, told=False))) == [(True, 1)]
    assert _known(_follow(_photos(0, HOUR_S), _photos(300, HOUR_S))) == [(True, 1)]


def test_clock_that_was_right_in_winter_is_not_sure_in_a_summer_of_which_nothing_tells():
    winter, summer = _follow(_photos(0, 8.0), _photos(100, 8.0, zone_s=HOUR_S, told=False))
    assert (winter.sure, summer.sure, summer.unclear_s) == (True, False, HOUR_S)
    assert (winter.last, summer.first) == (5, 5)


def test_clock_that_was_right_after_two_changes_of_the_zones_is_believed_after_the_third():
    winter, summer = _photos(0, 8.0), _photos(100, 8.0, zone_s=HOUR_S)
    autumn, spring = _photos(300, 8.0), _photos(450, 8.0, zone_s=HOUR_S, told=False)
    assert _known(_follow(winter, summer, autumn, spring)) == [(True, 0)]
    assert _known(_follow(summer, autumn, spring)) == [(True, 0), (False, 0)]


def test_photos_among_words_as_they_are_dated_and_not_an_hour_beside_tell_the_hour():
    later = [one for day in (300, 301) for one in _photos(day, HOUR_S, told=False, number=2)]
    at_s = [one.shown_s - HOUR_S for one in later]
    said = speech([], [(one - 20, one + 20) for one in at_s])
    assert _known(_follow(_photos(0, HOUR_S), later, said=said)) == [(True, 1)]
    both = speech([], [(one - 20 + by_s, one + 20 + by_s) for one in at_s for by_s in (0, HOUR_S)])
    assert _known(_follow(_photos(0, HOUR_S), later, said=both)) == [(True, 1), (False, 1)]


def test_photo_whose_hour_nothing_tells_is_not_moved_and_says_in_plain_words_that_it_may_be_an_hour_out():
    def seen(true_at: datetime, gps: bool):
        shown = clue(TimeSource.EXIF, (true_at + timedelta(hours=1)).replace(tzinfo=None).isoformat())
        fix = [clue(TimeSource.GPS, true_at.replace(tzinfo=None).isoformat(), "+00:00")] if gps else []
        return piece(*fix, shown, device="Tarnbeck Two")

    begins = datetime(2026, 1, 10, 10, 0, tzinfo=UTC)
    told = [seen(begins + timedelta(minutes=n), gps=True) for n in range(5)]
    later = datetime(2026, 11, 21, 10, 0, tzinfo=UTC)
    now = datetime(2027, 1, 1, tzinfo=UTC)
    dates, (known, unclear) = date_all([*told, seen(later, gps=False)], LONDON, STARTS, now, {})
    (*_, dated) = dates
    assert (dated.moved_s, dated.error_s) == (0, HOUR_S)
    (flag,) = dated.flags
    assert flag == "Nothing that its device took about then tells the hour: its clock may be an hour out."
    assert (known.sure, unclear.sure) == (True, False)
    assert unclear.why.endswith(
        "Nothing that it took on 21 November 2026 shows whether its clock was still so far out: these times may be "
        "an hour out, and were not moved."
    )


def _by_people(offset_s: float, error_s: float, kind: str = ENDING):
    (track,) = _follow(_photos(0, offset_s))
    return replace(track, offset_s=offset_s, error_s=error_s, drift_s_per_day=0.2, kinds=((kind, 12),))


@pytest.mark.parametrize(("offset_s", "hours_s"), [(16.6, 0.0), (-3613.4, -HOUR_S), (3590.0, HOUR_S)])
def test_seconds_that_are_not_clear_are_left_as_they_were_set(offset_s, hours_s):
    left = with_seconds_left_alone(_by_people(offset_s, 14.0), SILENCE)
    assert (left.offset_s, left.drift_s_per_day) == (hours_s, 0)
    assert left.error_s == pytest.approx(max(14.0, abs(offset_s - hours_s)))
    for clear in (_by_people(offset_s, 2.0), _by_people(hours_s + 90, 60.0)):
        assert with_seconds_left_alone(clear, SILENCE) is clear
    by_gps = replace(_by_people(offset_s, 14.0), kinds=(("GPS times", 5),))
    assert with_seconds_left_alone(by_gps, SILENCE) is by_gps


def test_a_few_seconds_by_the_ends_of_sentences_are_left_where_other_photos_show_that_they_mislead():
    said = replace(SILENCE, ends_mislead=True)
    left = with_seconds_left_alone(_by_people(3594.9, 0.2), said)
    assert (left.offset_s, round(left.error_s, 1)) == (HOUR_S, 5.1)
    for clear in (_by_people(3580.0, 0.2), _by_people(3594.9, 0.2, POINTING)):
        assert with_seconds_left_alone(clear, said) is clear


def _sentences() -> list[tuple[float, float]]:
    """Return sentences of different lengths, three seconds apart."""
    lengths = np.random.default_rng(3).uniform(4, 9, 40)
    starts = WINTER_S + np.cumsum(lengths + 3.0)
    return [(float(at), float(at + length)) for at, length in zip(starts, lengths, strict=True)]


def test_photos_in_the_middle_of_sentences_show_that_their_ends_mislead_and_photos_after_them_do_not():
    spans = _sentences()
    ended = np.array([end for _, end in spans])
    said = speech([], spans)
    assert ends_mislead(ended - 3.5, said)
    assert not ends_mislead(ended + 1.3, said)
    assert not ends_mislead(np.empty(0), said)


@pytest.mark.parametrize(("phone_late_s", "moved"), [(-3.5, False), (1.3, True)])
def test_camera_in_the_same_talks_as_a_phone_is_set_to_the_second_only_where_the_phones_photos_agree(
    phone_late_s, moved
):
    spans = _sentences()
    begins = datetime.fromtimestamp(spans[0][0], UTC)
    talk = piece(
        clue(TimeSource.CONTAINER, begins.replace(tzinfo=None).isoformat(), "+00:00"),
        kind=Kind.RECORDING,
        device="Pennard voice",
        duration_s=spans[-1][1] - spans[0][0],
    )
    spoken = tuple((first - spans[0][0], last - spans[0][0]) for first, last in spans)
    told = TellsOfTime(talks={talk.id: TimedTalk(media=talk.id, spans=spoken)})
    wall = [datetime.fromtimestamp(round(end), UTC).replace(tzinfo=None) for _, end in spans]
    camera = [
        piece(clue(TimeSource.EXIF, (one + timedelta(seconds=1.3 - 6)).isoformat()), device="Tarnbeck Two")
        for one in wall[::2]
    ]
    phone = [
        piece(
            clue(TimeSource.EXIF_OFFSET, (one + timedelta(seconds=phone_late_s)).isoformat(), "+00:00"),
            device="Linford phone",
        )
        for one in wall[1::2]
    ]
    dates, _ = date_all([talk, *camera, *phone], LONDON, STARTS, NOW, {}, told)
    by_s = {round(one.moved_s) for one in dates[1 : 1 + len(camera)]}
    assert by_s == ({6} if moved else {0})


@pytest.mark.parametrize(("offset_s", "weight"), [(3590.0, 8.0), (-20.0, 8.0), (-5979.0, 0.0), (20 * HOUR_S, 0.0)])
def test_ends_of_sentences_tell_of_clocks_that_are_nearly_whole_hours_out_alone(offset_s, weight):
    assert _by_people(offset_s, 2.0).weight == pytest.approx(weight)
