from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pipeline.reading.numbers import find_numbers
from tests.said_numbers import in_words


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("three one seven", [317]),
        ("station three seventeen", [317]),
        ("two hundred and forty nuts", [240]),
        ("400 and fifty foot pounds", [450]),
        ("100 and two of them are bent", [100, 2]),
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
        ("oh one four two", [142]),
        ("oh double two", [22]),
        ("three four", [3, 4]),
        ("three oh", [30]),
        ("nine ten", [9, 10]),
        ("three thirty-seconds", [Fraction(3, 32)]),
        ("thirty-one sixty-fourths", [Fraction(31, 64)]),
        ("wait twenty thirty seconds", [20, 30]),
        ("three-quarter inch bolts", [Fraction(3, 4)]),
        ("two three-quarter inch bolts", [2, Fraction(3, 4)]),
        ("two and three quarter inches", [Fraction(11, 4)]),
        ("five sixteenth bolts", [Fraction(5, 16)]),
        ("7 32nds and 3 16ths", [Fraction(7, 32), Fraction(3, 16)]),
        ("1½ in, ¼ in", [Fraction(3, 2), Fraction(1, 4)]),
        ("1 and 5/8", [Fraction(13, 8)]),
        ("one and five eighths", [Fraction(13, 8)]),
        ("an inch and a quarter", [Fraction(1, 4)]),
        ("a third of it", [Fraction(1, 3)]),
        ("a third bolt", []),
        ("a couple of", [2]),
        ("couple of bolts, couple up the rod", [2]),
        ("a couple of hundred rivets", [200]),
        ("four to six", [4, 6]),
        ("between eleven and twelve", [11, 12]),
        ("frames ten eleven twelve", [10, 11, 12]),
        ("forty two forty four", [42, 44]),
        ("built in nineteen forty four", [1944]),
        ("point oh five", [Fraction(1, 20)]),
        ("point twenty five", [Fraction(1, 4)]),
        ("nought point three", [Fraction(3, 10)]),
        ("four and a half thousand", [4500]),
        ("two hundred and fifty thousand", [250_000]),
        ("hundred and twenty psi", [120]),
        ("a few hundred, hundreds of them", []),
        ("six thousandths", [6]),
        ("a good eighth of an inch", [Fraction(1, 8)]),
        ("a bare sixteenth, a good three of them", [Fraction(1, 16), 3]),
        ("frame three-five, former two-four", [35, 24]),
        ("two-three screws", [2, 3]),
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


@given(st.integers(min_value=0, max_value=999_999), st.sampled_from([" ", "-"]))
@example(100_000, " ")
@example(250_000, " ")
@example(999_999, "-")
def test_any_number_in_words_is_read_back(number: int, joint: str) -> None:
    found = find_numbers(f"it had {in_words(number, joint=joint)} rivets")
    assert [one.value for one in found] == [number]


@given(st.integers(min_value=11, max_value=99).filter(lambda hundreds: hundreds % 10), st.integers(0, 99))
def test_hundreds_above_ten_are_read_back(hundreds: int, rest: int) -> None:
    said = f"{in_words(hundreds)} hundred" + (f" and {in_words(rest)}" if rest else "")
    assert [one.value for one in find_numbers(f"at {said} psi")] == [hundreds * 100 + rest]


@given(st.integers(min_value=0, max_value=999_999), st.sampled_from(["{}", "{:,}"]))
def test_any_number_in_figures_is_read_back(number: int, form: str) -> None:
    assert [one.value for one in find_numbers(f"it had {form.format(number)} rivets")] == [number]


@given(st.text(alphabet="0123456789", min_size=3, max_size=6))
def test_figures_said_one_by_one_are_kept_as_they_were_said(digits: str) -> None:
    names = {"0": "oh"} | {str(n): in_words(n) for n in range(1, 10)}
    (found,) = find_numbers(f"tag P {' '.join(names[digit] for digit in digits)} on it")
    assert found.digits == digits


_PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}


@given(
    st.sampled_from(sorted(_PARTS)),
    st.integers(0, 31),
    st.integers(0, 20),
    st.sampled_from([" ", "-"]),
    st.booleans(),
)
def test_any_fraction_of_a_ruler_is_read_back(
    below: int, half_top: int, whole: int, joint: str, hyphens: bool
) -> None:
    top = (2 * half_top + 1) % below
    part = _PARTS[below] if hyphens else _PARTS[below].replace("-", " ")
    said = f"{in_words(top, joint=joint)} {part}" + ("s" if top > 1 else "")
    if whole:
        said = f"{in_words(whole)} and {said}"
    text = f"about {said} of an inch"
    assert [one.value for one in find_numbers(text)] == [whole + Fraction(top, below)]
    (number,) = find_numbers(text)
    assert text[number.start : number.end] == said


@given(st.integers(0, 999), st.text(alphabet="0123456789", min_size=1, max_size=4))
def test_any_decimal_is_read_back(whole: int, decimals: str) -> None:
    names = {"0": "oh"} | {str(n): in_words(n) for n in range(1, 10)}
    said = f"{in_words(whole)} point {' '.join(names[digit] for digit in decimals)}"
    value = Fraction(f"{whole}.{decimals}")
    assert [one.value for one in find_numbers(f"it's {said} thou")] == [value]
    assert [one.value for one in find_numbers(f"it's {whole}.{decimals} thou")] == [value]


@given(st.text(max_size=60))
def test_numbers_of_any_text_do_not_overlap(text: str) -> None:
    found = find_numbers(text)
    assert all(a.end <= b.start for a, b in pairwise(found))
