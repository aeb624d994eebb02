from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pipeline.writing.drawn_time import LEAST_PX, SHORTENED_PX, DrawnTime, minute_of, spread

_NEEDS = st.dictionaries(
    st.integers(0, 3000).map(lambda minute: minute * 60), st.floats(0, 500), min_size=1, max_size=30
)


@given(_NEEDS, st.lists(st.floats(-1000, 200_000), min_size=2, max_size=20))
def test_later_is_never_drawn_higher(needs: dict[int, float], moments: list[float]) -> None:
    time = DrawnTime.of(needs)
    places = [time.y(at) for at in sorted(moments)]
    assert places == sorted(places)
    assert places[0] >= 0 and places[-1] <= time.height


@given(_NEEDS)
def test_a_minute_in_which_something_happened_is_as_tall_as_it_needs(needs: dict[int, float]) -> None:
    time = DrawnTime.of(needs)
    drawn = {band.from_s: band for band in time.bands if not band.shortened}
    for minute, need_px in needs.items():
        assert drawn[minute].bottom - drawn[minute].top >= max(need_px, LEAST_PX) - 1e-6
    for before, after in pairwise(time.bands):
        assert (before.to_s, before.bottom) == (after.from_s, after.top)


def test_a_long_empty_stretch_is_shortened_and_a_short_one_is_not() -> None:
    time = DrawnTime.of({0: 10, 120: 10, 3600: 10})
    assert [(band.from_s, band.to_s, band.shortened) for band in time.bands] == [
        (0, 60, False), (60, 120, False), (120, 180, False), (180, 3600, True), (3600, 3660, False),
    ]  # fmt: skip
    assert time.height == 4 * LEAST_PX + SHORTENED_PX
    assert time.on_one_stretch(10, 170)
    assert not time.on_one_stretch(10, 3601)


def test_nothing_takes_no_height() -> None:
    assert DrawnTime.of({}).height == 0
    assert DrawnTime.of({}).y(5) == 0
    assert minute_of(-1) == -60


@given(st.lists(st.floats(0, 400), max_size=30).map(sorted), st.floats(1, 12))
def test_marks_keep_their_order_and_their_distance_and_stay_inside(wanted: list[float], apart: float) -> None:
    places = spread(wanted, apart, 0, 400)
    assert len(places) == len(wanted)
    for before, after in pairwise(places):
        assert after - before >= apart - 1e-6
    if wanted:
        assert places[0] >= -1e-6 and places[-1] <= 400 + 1e-6


def test_marks_that_have_room_stay_where_they_are_wanted() -> None:
    assert spread([10, 30, 31], 5, 0, 100) == [10, 28, 33]
