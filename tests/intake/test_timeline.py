from hypothesis import given
from hypothesis import strategies as st

from pipeline.intake.timeline import Timeline


def test_a_missing_piece_is_filled_and_the_next_one_follows_in_its_place():
    line = Timeline(10.0)
    assert [line.gap_before(start_s, 1.0) for start_s in (0.0, 1.0, 4.0, 5.0)] == [0.0, 0.0, 2.0, 0.0]
    assert line.rest_s == 4.0


def test_time_stamps_that_start_again_follow_on_at_once():
    line = Timeline(10.0)
    assert [line.gap_before(start_s, 1.0) for start_s in (0.0, 1.0, 0.0, 1.0, 3.0)] == [0.0, 0.0, 0.0, 0.0, 1.0]


def test_a_time_stamp_beyond_the_end_is_no_gap():
    line = Timeline(10.0)
    assert [line.gap_before(start_s, 1.0) for start_s in (0.0, 5000.0, 5001.0)] == [0.0, 0.0, 0.0]


@given(
    st.lists(st.tuples(st.one_of(st.none(), st.floats(0, 1e6)), st.floats(0.001, 1)), max_size=50), st.floats(1, 60)
)
def test_silence_never_makes_a_recording_longer_than_it_says_it_is(pieces, claimed_s):
    line = Timeline(claimed_s)
    gaps_s = [line.gap_before(start_s, length_s) for start_s, length_s in pieces]
    assert all(gap_s >= 0 for gap_s in gaps_s)
    assert sum(gaps_s) <= claimed_s + 1.0


def test_header_that_lies_puts_no_day_of_silence_into_a_minute_of_sound():
    line = Timeline(80_000.0)
    assert line.gap_before(0.0, 60.0) == 0.0
    assert line.gap_before(70_000.0, 1.0) == 0.0
    assert line.at_s == 61.0


@given(st.lists(st.tuples(st.floats(0, 1e6), st.floats(0.001, 100)), max_size=50))
def test_silence_is_never_more_than_an_hour_beyond_as_much_as_there_is_sound(pieces):
    line = Timeline(1e9)
    silence_s = sum(line.gap_before(start_s, length_s) for start_s, length_s in pieces)
    assert silence_s <= 3600.0 + sum(length_s for _, length_s in pieces) + 1e-6
