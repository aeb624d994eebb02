from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.reading.numbers import find_numbers


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("three one seven", [317]),
        ("station three seventeen", [317]),
        ("two hundred and forty nuts", [240]),
        ("fifteen hundred psi", [1500]),
        ("1,500 psi", [1500]),
        ("a hundred and twenty", [120]),
        ("five sixteenths", [Fraction(5, 16)]),
        ("one thirty-second", [Fraction(1, 32)]),
        ("two and a half thou", [Fraction(5, 2)]),
        ("1 1/4 in", [Fraction(5, 4)]),
        ("0.748 of an inch", [Fraction(748, 1000)]),
        ("nought point four", [Fraction(2, 5)]),
        ("half a dozen bolts and a couple of nuts", [6, 2]),
        ("forty-two, let me count, forty-four", [42, 44]),
        ("ribs four to nine", [4, 9]),
        ("oh no, a second one", [1]),
        ("nothing to count", []),
    ],
)
def test_number_is_read_exactly(text: str, values: list[Fraction | int]) -> None:
    assert [number.value for number in find_numbers(text)] == values


def test_leading_nought_of_a_tag_is_kept() -> None:
    assert find_numbers("P oh two one six")[0].digits == "0216"


def test_span_covers_the_words_of_the_number() -> None:
    text = "about two hundred and forty nuts"
    number = find_numbers(text)[0]
    assert text[number.start : number.end] == "two hundred and forty"


_ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
]
_ONES += ["eighteen", "nineteen"]
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def in_words(number: int) -> str:
    if number < 20:
        return _ONES[number]
    if number < 100:
        return _TENS[number // 10 - 2] + (f" {_ONES[number % 10]}" if number % 10 else "")
    if number < 1000:
        rest = f" and {in_words(number % 100)}" if number % 100 else ""
        return f"{_ONES[number // 100]} hundred{rest}"
    below = number % 1000
    joint = " and " if 0 < below < 100 else " "
    return f"{in_words(number // 1000)} thousand" + (joint + in_words(below) if below else "")


@given(st.integers(min_value=0, max_value=9999))
def test_any_number_in_words_is_read_back(number: int) -> None:
    assert [found.value for found in find_numbers(f"it had {in_words(number)} rivets")] == [number]


@given(st.text(max_size=60))
def test_numbers_of_any_text_do_not_overlap(text: str) -> None:
    found = find_numbers(text)
    assert all(a.end <= b.start for a, b in pairwise(found))
