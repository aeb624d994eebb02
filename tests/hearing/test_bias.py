from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.bias import hotwords

NAMES = ["seat", "aileron", "aileron hinge", "longeron", "rudder hinge", "Pitot head", "fuel pump"]


def test_rare_trade_words_are_chosen_and_everyday_ones_are_not() -> None:
    chosen = hotwords(NAMES).split(", ")
    assert {"aileron", "longeron", "pitot"} <= set(chosen)
    assert not {"seat", "pump", "fuel", "head"} & set(chosen)


def test_each_word_is_given_once() -> None:
    chosen = hotwords(NAMES).split(", ")
    assert len(chosen) == len(set(chosen))


def test_a_word_of_many_names_comes_before_an_equally_rare_one_of_one_name() -> None:
    chosen = hotwords(["zorp", "blorg", "blorg hinge"], limit=1)
    assert chosen == "blorg"


def test_a_word_made_of_two_everyday_ones_is_not_given() -> None:
    assert hotwords(["tailwheel", "mainplane", "longeron"]) == "longeron"


def test_no_more_are_chosen_than_asked_for() -> None:
    assert len(hotwords(NAMES, limit=2).split(", ")) == 2
    assert hotwords(NAMES, limit=0) == ""
    assert hotwords([]) == ""


@given(st.permutations(NAMES))
def test_the_order_of_the_names_does_not_matter(names: list[str]) -> None:
    assert hotwords(names) == hotwords(NAMES)
