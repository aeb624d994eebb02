import hashlib
from datetime import datetime, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pipeline.writing.supporters.choosing import (
    BURST_S,
    ENOUGH_PICTURES,
    LEAST_P,
    MOST_IN_ONE,
    MOST_LOOKED_AT,
    MOST_PICTURES,
    MOST_PLAIN,
    Group,
    choose,
)
from pipeline.writing.supporters.looks import Look
from tests.writing.a_weekend import SATURDAY


def _times(**seconds: float) -> dict[str, datetime]:
    return {name: SATURDAY + timedelta(seconds=at) for name, at in seconds.items()}


def test_a_doubtful_photo_is_not_shown() -> None:
    assert choose([[Group("e", (("a", LEAST_P - 0.01),))]], _times(a=0)) == ((),)


def test_of_a_burst_the_likeliest_is_shown() -> None:
    chosen = choose([[Group("e", (("a", 0.8), ("b", 0.9), ("c", 0.7)))]], _times(a=0, b=3, c=6))
    assert [one.media for one in chosen[0]] == ["b"]


def test_photos_of_one_minute_are_taken_only_where_there_are_few() -> None:
    few = Group("e", tuple((f"a{index}", 0.9) for index in range(3)))
    enough = ENOUGH_PICTURES // 2
    many = [[Group(f"f{part}", tuple((f"b{part}{index}", 0.9) for index in range(enough)))] for part in range(2)]
    times = {f"a{index}": SATURDAY + timedelta(seconds=20 * index) for index in range(3)}
    assert len(choose([[few]], times)[0]) == 3
    times |= {
        f"b{part}{index}": SATURDAY + timedelta(hours=1 + part, minutes=2 * index)
        for part in range(2)
        for index in range(enough)
    }
    assert [len(section) for section in choose([[few], *many], times)] == [1, enough, enough]


def test_every_group_shows_one_before_any_shows_two() -> None:
    groups = [Group("e", (("a", 0.99), ("b", 0.98), ("c", 0.97))), Group("f", (("d", 0.7),))]
    chosen = choose([groups], _times(a=0, b=100, c=200, d=300), most=2)
    assert {one.media for one in chosen[0]} == {"a", "d"}


def test_the_leading_photo_comes_first_even_where_room_is_short() -> None:
    sections = [[Group("e", (("a", 0.99),))], [Group("f", (("b", 0.7),))]]
    assert [one.media for one in choose(sections, _times(a=0, b=300), first=["b"], most=1)[1]] == ["b"]


def test_few_photos_are_shown_that_nobody_told_of() -> None:
    plain = [Group(f"e{index}", ((f"a{index}", 0.99),), plain=True) for index in range(5)]
    told = Group("f", (("b", 0.7),))
    times = {f"a{index}": SATURDAY + timedelta(minutes=5 * index) for index in range(5)}
    times["b"] = SATURDAY + timedelta(hours=2)
    shown = [one.media for one in choose([[*plain, told]], times)[0]]
    assert shown[-1] == "b" and len(shown) == 1 + MOST_PLAIN


def test_one_section_does_not_take_all_the_room() -> None:
    wing = [Group(f"e{index}", ((f"a{index}", 0.99),)) for index in range(20)]
    gear = [Group(f"f{index}", ((f"b{index}", 0.7),)) for index in range(20)]
    times = {f"a{index}": SATURDAY + timedelta(minutes=5 * index) for index in range(20)}
    times |= {f"b{index}": SATURDAY + timedelta(days=1, minutes=5 * index) for index in range(20)}
    assert [len(section) for section in choose([wing, gear], times)] == [MOST_IN_ONE, MOST_IN_ONE]


@given(st.lists(st.tuples(st.integers(0, 5000), st.floats(0, 1)), max_size=40))
def test_chosen_photos_are_likely_apart_in_time_and_not_too_many(photos: list[tuple[int, float]]) -> None:
    named = [(f"p{index}", at, p) for index, (at, p) in enumerate(photos)]
    groups = [Group(f"e{index}", ((name, p),)) for index, (name, _, p) in enumerate(named)]
    times = {name: SATURDAY + timedelta(seconds=at) for name, at, _ in named}
    chosen = [one for section in choose([groups[:20], groups[20:]], times) for one in section]
    assert len(chosen) <= MOST_PICTURES
    assert all(one.p >= LEAST_P for one in chosen)
    at = sorted(one.at for one in chosen)
    assert all((later - earlier).total_seconds() >= BURST_S for earlier, later in pairwise(at))


def _look(sharpness: float = 200.0, mark: int = 0) -> Look:
    return Look(sharpness=sharpness, dark=0.0, burnt=0.0, mark=mark)


def test_a_sharp_photo_is_shown_before_a_blurred_one_that_is_a_little_likelier() -> None:
    looks = {"a": _look(5.0, 1), "b": _look(200.0, 2**40 - 1)}
    chosen = choose([[Group("e", (("a", 0.95), ("b", 0.9)))]], _times(a=0, b=300), looks=looks.get)
    assert [one.media for one in chosen[0]] == ["b"]


def test_a_blurred_photo_is_shown_where_there_is_no_other() -> None:
    chosen = choose([[Group("e", (("a", 0.95),))]], _times(a=0), looks={"a": _look(5.0)}.get)
    assert [one.media for one in chosen[0]] == ["a"]


def test_of_photos_that_look_alike_one_is_shown_however_far_apart_they_were_taken() -> None:
    looks = {"a": _look(mark=7), "b": _look(mark=3), "c": _look(mark=2**60 - 1)}
    groups = [Group("e", (("a", 0.95), ("c", 0.9))), Group("f", (("b", 0.9),))]
    chosen = choose([groups], _times(a=0, b=3000, c=6000), looks=looks.get)
    assert [one.media for one in chosen[0]] == ["a", "c"]


def test_of_a_month_with_nine_hundred_photos_about_twelve_are_shown_and_few_are_looked_at() -> None:
    looked: list[str] = []

    def look(media: str) -> Look:
        looked.append(media)
        return _look(mark=hash_of(media))

    groups = [Group(f"e{part}", tuple((f"p{part}-{index}", 0.9) for index in range(45))) for part in range(20)]
    times = {
        f"p{part}-{index}": SATURDAY + timedelta(days=part, minutes=2 * index)
        for part in range(20)
        for index in range(45)
    }
    chosen = choose([groups[:10], groups[10:]], times, looks=look)
    assert sum(len(section) for section in chosen) == MOST_PICTURES
    assert len({one.group for section in chosen for one in section}) == MOST_PICTURES
    assert len(looked) <= 20 * MOST_LOOKED_AT


def hash_of(name: str) -> int:
    """A mark far from that of any other name."""
    return int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], "big")
