"""Which engine is meant where port and starboard do not tell."""

import pytest

from pipeline.reading.positions import number_told, position_told, same_position


@pytest.mark.parametrize(
    ("words", "side", "position"),
    [
        ("the nose engine's off", None, "nose"),
        ("center engine cowlings", None, "centre"),
        ("the port inner engine", "port", "inner"),
        ("the outboard starboard prop", "starboard", "outer"),
        ("number two engine's off", None, "number 2"),
        ("engine no. 3 is off", None, "number 3"),
        ("the port engine is off", "port", ""),
        ("the nose engine and the port engine", "port", ""),
        ("the inner engine and the outer engine", None, ""),
        ("the nose wheel by the engine", None, ""),
        ("the outer wing", None, ""),
    ],
)
def test_a_position_is_read_from_the_words_that_name_an_engine(words, side, position):
    assert position_told(words, side) == position


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
    ],
)
def test_an_engine_told_by_its_place_is_not_one_told_by_its_side(one, other, same):
    assert same_position(one, other) is same
    assert same_position(other, one) is same
