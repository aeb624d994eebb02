from dataclasses import replace
from datetime import UTC, datetime
from zlib import crc32

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.dating import events
from pipeline.dating.events import ClockEvent, Evidence, Fixed
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import USUAL_HABIT, speech
from pipeline.dating.tracks import follow
from pipeline.dating.ways import likeliest, steps_s

AT_S = datetime(2026, 2, 14, 10, 0, tzinfo=UTC).timestamp()
SILENCE = speech([], [])


def _fixes(*differences_s: float) -> list[ClockEvent]:
    """Return photos a minute apart whose camera and satellite time differ by so much."""
    return [
        ClockEvent(AT_S + 60 * n + difference_s, fixed=(Fixed("GPS times", AT_S + 60 * n, 1.0, stale=True),))
        for n, difference_s in enumerate(differences_s)
    ]


def _follow(*differences_s: float):
    return follow(_fixes(*differences_s), SILENCE, Prior.hand_set())


def test_four_agreeing_anchors_are_enough_and_three_are_not():
    (four,) = _follow(3600, 3601, 3600, 3600.5)
    assert (four.sure, four.anchors) == (True, 4)
    assert four.offset_s == pytest.approx(3600, abs=1)
    assert not any(track.sure for track in _follow(3600, 3601, 3600))


def test_one_clock_card_is_enough():
    card = ClockEvent(AT_S + 7384.0, fixed=(Fixed("clock cards", AT_S, 1.5, decides=True),))
    (track,) = follow([card], SILENCE, Prior.hand_set())
    assert track.sure
    assert track.offset_s == pytest.approx(7384, abs=0.5)


def test_stale_gps_times_do_not_move_the_fit():
    (track,) = _follow(12, 300, 12.5, 11.5, 940, 12, 75)
    assert track.sure
    assert track.offset_s == pytest.approx(12, abs=0.5)
    assert track.anchors == 4


def test_photos_that_share_one_gps_time_count_once():
    shared = [ClockEvent(AT_S + 0.5 * n, fixed=(Fixed("GPS times", AT_S, 1.0, stale=True),)) for n in range(6)]
    (track,) = follow(shared, SILENCE, Prior.hand_set())
    assert (track.anchors, track.sure) == (1, False)


def test_anchors_that_do_not_agree_make_no_sure_fit():
    assert not any(track.sure for track in _follow(0, 60, 120, 180, 240, 300))


def test_offsets_that_are_weighed_some_at_a_time_give_the_same_track(monkeypatch):
    at_once = _follow(3600, 3601, 3600, 3600.5, 12, 3599.5)
    monkeypatch.setattr(events, "_MOST_AT_ONCE", 20)
    assert _follow(3600, 3601, 3600, 3600.5, 12, 3599.5) == at_once


@pytest.mark.parametrize("drift_s_per_day", [0.0, 4.0])
def test_where_many_photos_are_near_words_an_even_part_of_them_tells_the_same(monkeypatch, drift_s_per_day):
    when = [(day, crc32(b"%d %d" % (day, turn))) for day in range(8) for turn in range(50)]
    points = sorted(AT_S + 86_400 * day + chance % 20_000 for day, chance in when)
    said = speech(points, [(at - 4, at + 6 + crc32(b"%d" % at) % 9) for at in points])
    late_s = [1.2, 1.8, 2.4, 1.5, 2.1]
    taken = [
        at + late_s[number % 5] + 384 + drift_s_per_day * (at - AT_S) / 86_400 for number, at in enumerate(points)
    ]
    told = [ClockEvent(one) for one in taken]
    (whole,) = follow(told, said, Prior.hand_set())
    weighed = []
    really = Evidence.speaks_for
    monkeypatch.setattr(
        Evidence, "speaks_for", lambda self, *more: weighed.append(len(self.shown)) or really(self, *more)
    )
    monkeypatch.setattr(events, "_ENOUGH_NEAR_WORDS", 60)
    (part,) = follow(told, said, Prior.hand_set())
    assert max(weighed) < len(told) / 3
    assert part.sure and (part.anchors, part.firm, part.whole) == (whole.anchors, whole.firm, whole.whole)
    assert part.offset_s == pytest.approx(whole.offset_s, abs=0.11)
    assert part.offset_s == pytest.approx(384 + drift_s_per_day * 3.6, abs=0.5)
    assert part.drift_s_per_day == pytest.approx(whole.drift_s_per_day, abs=0.01)


def test_no_events_make_no_track():
    assert follow([], SILENCE, Prior.hand_set()) == ()


def test_a_clock_put_right_in_the_middle_is_two_fits():
    before, after = _follow(3600, 3601, 3600, 3600, 3600.5, 0, 1, 0, 0.5, 0)
    assert (before.sure, after.sure) == (True, True)
    assert before.offset_s == pytest.approx(3600, abs=1)
    assert after.offset_s == pytest.approx(0.3, abs=1)
    assert (before.last, after.first) == (5, 5)


def test_drift_is_told_only_when_the_days_carry_it():
    days = [
        ClockEvent(
            AT_S + 86_400 * day + 30 + 8 * day + n,
            fixed=(Fixed("GPS times", AT_S + 86_400 * day + n, 1.0, stale=True),),
        )
        for day in range(5)
        for n in range(0, 600, 120)
    ]
    (track,) = follow(days, SILENCE, Prior.hand_set())
    assert track.drift_s_per_day == pytest.approx(8, abs=0.5)
    (one_day,) = follow(days[:5], SILENCE, Prior.hand_set())
    assert one_day.drift_s_per_day == 0


HOUR_S, MONTH_S = 3600.0, 30 * 86_400.0


def _wall_clock(differences_s, before_s, after_s, months=1.0):
    """Return photos with fixes of a wall clock, half of them before the zone goes from one offset to another.

    ``differences_s`` are by how much the wall clock is out, were the zone's offset the one before all the time.
    """
    half = len(differences_s) // 2
    found = []
    for n, difference_s in enumerate(differences_s):
        zone_s = before_s if n < half else after_s
        true_s = AT_S + 60 * n + (0 if n < half else months * MONTH_S)
        fixed = (Fixed("GPS times", true_s, 1.0, stale=True),)
        found.append(ClockEvent(true_s + difference_s + before_s - zone_s, fixed=fixed, zone_s=zone_s))
    return found


@given(
    st.floats(-5000, 5000),
    st.sampled_from([(HOUR_S, 0.0), (0.0, HOUR_S), (7200.0, 5400.0)]),
    st.integers(2, 6),
    st.floats(0.01, 1.5),
)
def test_clock_that_nobody_changes_with_the_clocks_is_one_stretch_and_few_anchors_after_it_suffice(
    offset_s, zones, few, months
):
    before_s, after_s = zones
    seen = _wall_clock([offset_s] * (2 * few), before_s, after_s, months)
    summer, winter = follow(seen, SILENCE, Prior.hand_set())
    assert (summer.untouched, winter.untouched) == (False, True)
    assert summer.sure == winter.sure == (2 * few >= 4)
    assert summer.offset_s == pytest.approx(offset_s, abs=1)
    assert winter.offset_s - summer.offset_s == pytest.approx(before_s - after_s, abs=0.1)
    assert (summer.last, winter.first) == (few, few)


def test_clock_that_is_changed_with_the_clocks_is_one_fit_as_one_of_a_zone_that_never_changes():
    seen = _wall_clock([20.0, 20.0, 20.0, 20.0 - HOUR_S, 20.0 - HOUR_S, 20.0 - HOUR_S], HOUR_S, 0.0)
    (track,) = follow(seen, SILENCE, Prior.hand_set())
    assert (track.untouched, track.anchors) == (False, 6)
    assert track.offset_s == pytest.approx(20, abs=1)


def test_nothing_tells_of_an_hour_where_no_anchor_is_on_the_other_side_of_the_change():
    before = _wall_clock([20.0] * 10, HOUR_S, 0.0)[:5]
    after = [replace(one, fixed=()) for one in _wall_clock([20.0] * 10, HOUR_S, 0.0)[5:]]
    summer, winter = follow([*before, *after], SILENCE, Prior.hand_set())
    assert (summer.untouched, winter.untouched) == (False, False)
    assert (summer.sure, winter.sure, winter.first, winter.last) == (True, False, 5, 10)


def test_one_stray_anchor_on_the_other_side_makes_no_hour():
    seen = _wall_clock([20.0] * 10, HOUR_S, 0.0)
    seen = [one if n < 5 or n == 7 else replace(one, fixed=()) for n, one in enumerate(seen)]
    assert not any(track.untouched for track in follow(seen, SILENCE, Prior.hand_set()))


@given(
    st.floats(-90_000, 90_000),
    st.lists(st.floats(-1, 1), min_size=5, max_size=30),
    st.lists(st.floats(60, 3600), max_size=3),
)
def test_any_offset_is_found_within_a_second_or_two_whatever_a_few_stale_times_say(offset_s, noise_s, stale_s):
    tracks = _follow(*(offset_s + one for one in noise_s), *(offset_s + one for one in stale_s))
    assert tracks[0].sure
    assert tracks[0].offset_s == pytest.approx(offset_s, abs=1.5)


@given(st.lists(st.floats(-2, 2), min_size=4, max_size=20), st.floats(-1e5, 1e5))
def test_shifting_every_anchor_shifts_the_offset_and_nothing_else(differences, by_s):
    one, other = (_follow(*ds) for ds in (differences, [d + by_s for d in differences]))
    assert len(one) == len(other) == 1
    assert other[0].offset_s - one[0].offset_s == pytest.approx(by_s, abs=0.1)
    assert other[0].anchors == one[0].anchors


@pytest.mark.parametrize("seed", range(20))
def test_likeliest_way_is_that_of_weighing_every_step_from_every_state_to_every_other(seed):
    chance = np.random.default_rng(seed)
    states = np.unique(chance.choice([0.0, 0.5, 3.0, 9.0, 60.0, 3600.0, 3604.0, -3600.0], 6))
    shown = AT_S + np.cumsum(chance.choice([3.0, 70.0, 4000.0, 86_400.0], 40))
    speaks = chance.normal(0, 6, (len(states), len(shown)))
    begins = Prior.hand_set().log_density(states)
    untouched = chance.choice([0.0, 0.0, 3600.0, -3600.0], 39)
    plainly = _plainly(speaks, states, shown, begins, untouched)
    assert likeliest(speaks, states, shown, begins, untouched).tolist() == plainly


def _plainly(speaks, states, shown, begins, untouched):
    apart = np.abs(states[:, None] - states[None, :])
    score, came = begins + speaks[:, 0], []
    for at, step_s in enumerate(steps_s(shown), 1):
        leap = -8.0 + begins[None, :] + min(3.0, np.log1p((shown[at] - shown[at - 1]) / 600))
        as_left = (untouched[at - 1] != 0) & (np.abs(states[:, None] + untouched[at - 1] - states) <= step_s)
        cost = np.where((apart <= step_s) | as_left, -1.0, leap)
        np.fill_diagonal(cost, 0.0)
        through = score[:, None] + cost
        came.append(through.argmax(0))
        score = through.max(0) + speaks[:, at]
    way = [int(score.argmax())]
    for before in reversed(came):
        way.insert(0, int(before[way[0]]))
    return way


def test_what_no_offset_near_one_tells_apart_changes_nothing_there():
    chance = np.random.default_rng(5)
    begins = AT_S + np.cumsum(chance.integers(20, 900, 60))
    said = speech([*(begins + 2.0)], [(at, at + 12.0) for at in begins], [(AT_S + 50.0, "P-0001")])
    shots = np.sort(AT_S + chance.integers(0, int(begins[-1] - AT_S), 300))
    seen = [ClockEvent(float(at), tags=("P-0001",) if at == shots[7] else ()) for at in shots]
    evidence = Evidence.of([*seen, *_fixes(2.0, 3.0)], said)
    for offset_s in (-40.0, 0.0, 1.5, 300.0):
        near = offset_s + np.arange(-4.0, 4.5, 0.5)
        few = evidence.telling_apart(offset_s, 4.0)
        assert len(few.shown) < len(evidence.shown)
        assert len(few.labels) == 1 and len(few.fixed) == 2
        whole, part = (some.speaks_for(near, (USUAL_HABIT,))[0] for some in (evidence, few))
        assert part - part[0] == pytest.approx(whole - whole[0], abs=1e-6)


def test_photos_in_reach_are_all_that_have_a_word_near_them():
    said = speech([AT_S, AT_S + 500.0], [(AT_S - 1, AT_S + 5), (AT_S + 499, AT_S + 505)])
    evidence = Evidence.of([ClockEvent(AT_S + after_s) for after_s in (-40.0, -30.0, 0.0, 39.0, 50.0, 470.0)], said)
    assert evidence.in_reach(np.zeros(6), 30.0).tolist() == [1, 2, 3, 5]
