from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.merge import Merged, merge, regions, text_of
from pipeline.hearing.same_words import same_said
from pipeline.values import HeardWord


def look(text: str, probability: float = 0.9, start_s: float = 0.0, per_word_s: float = 0.4) -> tuple[HeardWord, ...]:
    return tuple(
        HeardWord(
            start_s=start_s + at * per_word_s,
            end_s=start_s + (at + 1) * per_word_s,
            text=word,
            probability=probability,
        )
        for at, word in enumerate(text.split())
    )


def trade_in(text: str) -> float:
    return 0.8 * any(word in text.lower() for word in ("rudder", "fin", "intercostal", "longeron", "aileron"))


def merged_of(first: Sequence[HeardWord], second: Sequence[HeardWord]) -> Merged:
    return merge(first, second, trade_in)


def words_of(merged: Merged) -> list[HeardWord]:
    return [one.word for one in merged.kept]


def heard(first: str, second: str, sure: tuple[float, float] = (0.9, 0.9)) -> str:
    return text_of(words_of(merged_of(look(first, sure[0]), look(second, sure[1]))))


def others(first: str, second: str) -> dict[str, str | None]:
    return {word.text.lower(): word.other for word in words_of(merged_of(look(first), look(second)))}


def test_where_two_looks_sound_alike_the_one_that_knows_the_trade_is_believed() -> None:
    assert heard("The rotter is off", "The rudder is off") == "The rudder is off"
    assert heard("A hinder costal cracked", "an intercostal cracked") == "An intercostal cracked"


def test_what_the_other_look_heard_is_kept_beside_the_word() -> None:
    assert others("frame sixteen is cracked", "frame fifteen is cracked") == {
        "frame": None,
        "sixteen": "fifteen",
        "is": None,
        "cracked": None,
    }


def test_the_same_number_in_words_and_in_figures_is_no_difference() -> None:
    assert set(others("all forty two bolts", "all 42 bolts").values()) == {None}
    assert set(others("the sixteenth frame", "the 16th frame").values()) == {None}
    assert set(others("the tail plane is off", "the tailplane is off").values()) == {None}


def test_a_clause_that_the_second_look_lost_is_kept() -> None:
    assert heard("The fin is off and the rudder is in the rack", "The fin is off") == (
        "The fin is off and the rudder is in the rack"
    )


def test_a_clause_that_only_the_second_look_heard_is_kept_where_there_is_time_for_it() -> None:
    first = (*look("The fin is off.", start_s=0), *look("Then we stopped.", start_s=5))
    second = (
        *look("The fin is off.", start_s=0),
        *look("and the rudder too.", start_s=2),
        *look("Then we stopped.", start_s=5),
    )
    merged = merged_of(first, second)
    assert text_of(words_of(merged)) == "The fin is off. And the rudder too. Then we stopped."
    assert {word.other for word in words_of(merged)[4:8]} == {""}
    assert merged.invented == ()


def test_a_run_for_which_there_is_no_time_is_left_out_as_invented() -> None:
    merged = merged_of(
        look("The fin is off. Then we stopped."), look("The fin is off. longeron, rudder, fin Then we stopped.")
    )
    assert text_of(words_of(merged)) == "The fin is off. Then we stopped."
    assert [text_of(run) for run in merged.invented] == ["longeron, rudder, fin"]


def test_a_small_word_that_is_not_kept_is_told_of_at_the_word_beside_it() -> None:
    second = (*look("There is"), *look("no", probability=0.02, start_s=0.8), *look("corrosion here", start_s=1.2))
    merged = merged_of(look("There is corrosion here"), second)
    assert text_of(words_of(merged)) == "There is corrosion here"
    assert {word.text: word.other for word in words_of(merged)}["corrosion"] == "no corrosion"


def test_a_look_that_heard_nothing_takes_nothing_away() -> None:
    assert heard("The fin is off", "") == "The fin is off"
    assert heard("", "") == ""


WORDS = st.lists(
    st.sampled_from(["the", "fin", "rotter", "rudder", "two", "2", "is", "off.", "not", "longeron"]), max_size=12
)


@given(WORDS, WORDS)
def test_alignment_holds_every_word_of_both_looks_in_order(first: list[str], second: list[str]) -> None:
    found = list(regions(look(" ".join(first)), look(" ".join(second))))
    assert [word.text for region in found for word in region.first] == first
    assert [word.text for region in found for word in region.second] == second
    assert all(same_said(text_of(region.first), text_of(region.second)) for region in found if region.same)


@given(WORDS)
def test_two_looks_that_agree_give_what_they_heard(words: list[str]) -> None:
    merged = merged_of(look(" ".join(words)), look(" ".join(words)))
    assert [(word.text.lower(), word.other) for word in words_of(merged)] == [(word, None) for word in words]


@given(WORDS, WORDS)
def test_words_stay_in_order_of_time_and_each_comes_from_a_look(first: list[str], second: list[str]) -> None:
    merged = merged_of(look(" ".join(first)), look(" ".join(second)))
    starts = [word.start_s for word in words_of(merged)]
    assert starts == sorted(starts)
    assert {word.text.lower().rstrip(".") for word in words_of(merged)} <= {
        word.rstrip(".") for word in (*first, *second)
    }
