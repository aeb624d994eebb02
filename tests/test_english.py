from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.english import (
    day_text,
    in_words,
    listed,
    named_up_to,
    nth,
    plural,
    sentence,
    span_of_days,
    with_article,
)


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("bolt", "bolts"),
        ("bush", "bushes"),
        ("gusset", "gussets"),
        ("battery", "batteries"),
        ("aileron hinge", "aileron hinges"),
        ("person", "people"),
        ("nut and bolt", "nuts and bolts"),
        ("bay", "bays"),
        ("locking wire", "locking wire"),
    ],
)
def test_plurals_are_those_of_the_trade(one: str, many: str) -> None:
    assert plural(one) == many
    assert plural(one, 1) == one


@pytest.mark.parametrize(
    ("phrase", "whole"),
    [
        ("aileron", "an aileron"),
        ("rudder", "a rudder"),
        ("hour", "an hour"),
        ("union", "a union"),
        ("undercarriage door", "an undercarriage door"),
        ("MS part", "an MS part"),
        ("8 mm bolt", "an 8 mm bolt"),
        ("11-hole plate", "an 11-hole plate"),
        ("12 mm bolt", "a 12 mm bolt"),
        ("one-piece skin", "a one-piece skin"),
    ],
)
def test_a_and_an_go_by_sound(phrase: str, whole: str) -> None:
    assert with_article(phrase) == whole


def test_lists_are_joined_as_in_a_sentence() -> None:
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b"]) == "a and b"
    assert listed(["a", "b", "c"]) == "a, b and c"


def test_of_many_names_the_first_are_told_and_how_many_more_there_are() -> None:
    assert named_up_to(["a", "b"], 2) == "a, b"
    assert named_up_to(["a", "b", "c"], 2) == "a, b and 1 more"
    assert named_up_to(["a"] * 1202, 2) == "a, a and 1,200 more"


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, "no"),
        (14, "fourteen"),
        (40, "forty"),
        (68, "sixty-eight"),
        (240, "two hundred and forty"),
        (1000, "1,000"),
    ],
)
def test_numbers_in_words(number: int, words: str) -> None:
    assert in_words(number) == words


@given(st.integers(1, 999), st.integers(1, 999))
def test_different_numbers_are_worded_differently(one: int, other: int) -> None:
    assert (in_words(one) == in_words(other)) == (one == other)


def test_a_sentence_has_one_capital_and_one_stop() -> None:
    assert sentence("the wing came off") == "The wing came off."
    assert sentence("Is it off?") == "Is it off?"


def test_a_day_is_told_with_its_year() -> None:
    assert day_text(date(2026, 2, 14)) == "14 February 2026"


def test_a_span_of_days_names_month_and_year_once() -> None:
    assert span_of_days(date(2026, 2, 14), date(2026, 2, 14)) == "14 February 2026"
    assert span_of_days(date(2026, 2, 14), date(2026, 2, 15)) == "14 to 15 February 2026"
    assert span_of_days(date(2025, 12, 30), date(2026, 1, 2)) == "30 December 2025 to 2 January 2026"


def test_a_number_in_figures_says_which_one_it_is() -> None:
    assert [nth(number) for number in (1, 2, 3, 4, 11, 12, 21, 112, 123)] == [
        "1st", "2nd", "3rd", "4th", "11th", "12th", "21st", "112th", "123rd",
    ]  # fmt: skip
