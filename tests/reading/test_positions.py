"""Which engine is meant where port and starboard do not tell."""

import pytest

from pipeline.reading.positions import (
    Named,
    engines_named,
    number_told,
    numbers_an_engine,
    position_told,
    same_position,
)


@pytest.mark.parametrize(
    ("words", "side", "position"),
    [
        ("the nose engine's off", None, "nose"),
        ("center engine cowlings", None, "centre"),
        ("the port inner engine", "port", "inner"),
        ("the outboard starboard prop", "starboard", "outer"),
        ("number two engine's off", None, "number 2"),
        ("engine no. 3 is off", None, "number 3"),
        ("The starter's off number two, three nuts", None, "number 2"),
        ("the generator's off number two as well", None, "number 2"),
        ("a crack in the exhaust stack of number two, about 30 mm long", None, "number 2"),
        ("Number three's fuel line is capped", None, "number 3"),
        ("Fuel pipe on number three's capped now", None, "number 3"),
        ("the number one magnetos are off", None, "number 1"),
        ("number two oil cooler", None, "number 2"),
        ("rib number three's rivets", None, ""),
        ("screws of panel number two are out", None, ""),
        ("on number two shelf", None, ""),
        ("number two magneto", None, ""),
        ("number four cylinder is off", None, ""),
        ("the port engine is off", "port", ""),
        ("the nose engine and the port engine", "port", ""),
        ("the inner engine and the outer engine", None, ""),
        ("the nose wheel by the engine", None, ""),
        ("the outer wing", None, ""),
    ],
)
def test_a_position_is_read_from_the_words_that_name_an_engine(words, side, position):
    assert position_told(words, side) == position


def test_engines_that_a_part_goes_between_are_named_in_order():
    words = "Put the number three starter on number two."
    assert engines_named(words) == (Named(None, "number 3"), Named(None, "number 2"))


def test_three_or_four_engines_are_more_than_both():
    assert number_told("The three propellers are all off now") == 3
    assert number_told("all four main engines") == 4
    assert number_told("both propellers are off") is None
    assert number_told("three bolts of the propeller") is None


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ((None, "nose"), ("port", ""), False),
        ((None, "nose"), (None, ""), True),
        (("port", "inner"), ("port", ""), True),
        (("port", "inner"), ("port", "outer"), False),
        ((None, "number 2"), (None, "number 2"), True),
        (("port", ""), (None, ""), True),
        ((None, "number 1"), ("port", "outer"), True),
        ((None, "number 1"), ("starboard", "outer"), False),
        ((None, "number 3"), ("starboard", "inner"), True),
        ((None, "number 3"), ("starboard", "outer"), False),
        (("port", "number 4"), (None, "outer"), False),
        ((None, "number 4"), (None, "nose"), False),
    ],
)
def test_an_engine_told_by_its_place_is_not_one_told_by_its_side(one, other, same):
    assert same_position(one, other) is same
    assert same_position(other, one) is same


@pytest.mark.parametrize(
    ("words", "numbered"),
    [
        ("We're on the number four engine.", True),
        ("Engine number two is off.", True),
        ("Number three's governor is off.", True),
        ("No. 2 oil cooler", True),
        ("Number four cowling is dented.", False),
        ("Number two magneto is the impulse one.", False),
        ("Number four's still with the panel beater.", False),
    ],
)
def test_number_of_what_an_engine_has_several_of_numbers_no_engine(words, numbered):
    assert numbers_an_engine(words) is numbered
