from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.leaning import MOST_NAMES, Leaning

NAMES = [
    "seat",
    "aileron",
    "aileron hinge",
    "longeron",
    "rudder hinge",
    "rudder",
    "Pitot head",
    "intercostal",
    "turnbuckle",
]


def test_a_name_that_sounds_like_several_words_heard_is_leaned_towards() -> None:
    assert Leaning(NAMES).near("We found a crack in the hinder costal there.")[0] == "intercostal"
    assert "rudder" in Leaning(NAMES).near("The rotter is off.")


def test_the_most_alike_comes_first() -> None:
    near = Leaning(NAMES).near("the long run and a rudder")
    assert near[0] == "rudder" and "longeron" in near


def test_a_name_of_everyday_words_is_heard_without_help() -> None:
    assert Leaning(["seat", "door"]).near("The seat is off its rails by the door.") == ()


def test_where_nothing_was_heard_nothing_is_leaned_towards() -> None:
    assert Leaning(NAMES).hotwords("") == ""
    assert Leaning(NAMES).hotwords("16, 17.") == ""
    assert Leaning([]).hotwords("the rudder") == ""


def test_a_word_tells_more_of_the_trade_the_less_everyday_english_has_it() -> None:
    leaning = Leaning(NAMES)
    assert leaning.trade_in("the longeron here") > leaning.trade_in("a head") > leaning.trade_in("a kettle") == 0


def test_no_more_are_chosen_than_the_decoder_can_bear() -> None:
    many = [f"{first}{last}eron" for first in "bcdfghjklmnprst" for last in ("al", "el", "il", "ol")]
    assert len(Leaning(many).near("the longeron and the aileron", most=MOST_NAMES)) <= MOST_NAMES


@given(st.permutations(NAMES))
def test_the_order_of_the_names_does_not_matter(names: list[str]) -> None:
    assert Leaning(names).hotwords("a rotter and a hinder costal") == Leaning(NAMES).hotwords(
        "a rotter and a hinder costal"
    )
