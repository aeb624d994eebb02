from datetime import timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pipeline.records import EntryRecord, PhotoLink
from pipeline.writing.supporters.choosing import APART_S, LEAST_P, MOST_PICTURES, choose
from tests.writing.a_weekend import SATURDAY, media_id


def _entry(name: str, *photos: tuple[str, float]) -> EntryRecord:
    return EntryRecord(
        id=name, at=SATURDAY, media=media_id("r"), start_s=0, end_s=1, utterances=(),
        photos=tuple(PhotoLink(media=media_id(one), p=p, why=()) for one, p in photos),
    )  # fmt: skip


def _times(**seconds: float) -> dict[str, object]:
    return {media_id(name): SATURDAY + timedelta(seconds=at) for name, at in seconds.items()}


def test_a_doubtful_photo_is_not_shown() -> None:
    assert choose([[_entry("e", ("a", LEAST_P - 0.01))]], _times(a=0)) == ((),)  # type: ignore[arg-type]


def test_of_two_photos_taken_together_the_likelier_is_shown() -> None:
    chosen = choose([[_entry("e", ("a", 0.8), ("b", 0.9))]], _times(a=0, b=20))  # type: ignore[arg-type]
    assert [one.media for one in chosen[0]] == [media_id("b")]


def test_every_entry_shows_one_before_any_shows_two() -> None:
    entries = [_entry("e", ("a", 0.99), ("b", 0.98), ("c", 0.97)), _entry("f", ("d", 0.7))]
    chosen = choose([entries], _times(a=0, b=100, c=200, d=300), most=2)  # type: ignore[arg-type]
    assert {one.media for one in chosen[0]} == {media_id("a"), media_id("d")}


def test_the_leading_entry_comes_first_even_where_room_is_short() -> None:
    sections = [[_entry("e", ("a", 0.99))], [_entry("f", ("b", 0.7))]]
    chosen = choose(sections, _times(a=0, b=300), first="f", most=1)  # type: ignore[arg-type]
    assert [one.media for one in chosen[1]] == [media_id("b")]


@given(st.lists(st.tuples(st.integers(0, 5000), st.floats(0, 1)), max_size=40))
def test_chosen_photos_are_likely_apart_in_time_and_not_too_many(photos: list[tuple[int, float]]) -> None:
    named = [(f"p{index}", at, p) for index, (at, p) in enumerate(photos)]
    entries = [_entry(f"e{index}", (name, p)) for index, (name, _, p) in enumerate(named)]
    times = {media_id(name): SATURDAY + timedelta(seconds=at) for name, at, _ in named}
    chosen = [one for section in choose([entries[:20], entries[20:]], times) for one in section]
    assert len(chosen) <= MOST_PICTURES
    assert all(one.p >= LEAST_P for one in chosen)
    at = sorted(one.at for one in chosen)
    assert all((later - earlier).total_seconds() >= APART_S for earlier, later in pairwise(at))
