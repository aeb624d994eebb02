from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hardware.units import UNITS, beside, inches, metric, mixed
from pipeline.shipped import shipped


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        ("15", "thou", "15 thou (0.38 mm)"),
        ("1", "thou", "1 thou (0.025 mm)"),
        ("2.5", "thou", "2.5 thou (0.064 mm)"),
        ("0.748", "in", "0.748 in (19.0 mm)"),
        ("0.0015", "in", "0.0015 in (0.038 mm)"),
        ("0.3125", "in", "0.3125 in (7.9 mm)"),
        ("0.015625", "in", "0.015625 in (0.40 mm)"),
        ("1500", "psi", "1,500 psi (10,340 kPa)"),
        ("0.5", "gal", "0.5 imperial gal (2.3 l)"),
        ("0", "in", "0 in (0.0 mm)"),
        ("20", "N·m", "20 N·m"),
        ("4", "degC", "4 °C"),
        ("2.5", "deg", "2.5°"),
        ("3", "swings", "3 swings"),
    ],
)
def test_measure_is_shown_as_said_with_the_metric_beside(value: str, unit: str, text: str) -> None:
    assert beside(Fraction(value), unit) == text


def test_gallon_is_imperial_unless_the_book_says_it_is_american() -> None:
    assert metric(Fraction(1), "gal") == (Fraction("4.54609"), "l")
    assert metric(Fraction(1), "gal", gallon="US") == (Fraction("3.785411784"), "l")
    assert beside(Fraction(10), "gal", gallon="US") == "10 US gal (38 l)"


def test_metric_measures_come_back_as_they_are() -> None:
    for unit in ("mm", "cm", "m", "kg", "N·m", "l", "degC", "deg", "h", "min"):
        assert metric(Fraction(7, 3), unit) == (Fraction(7, 3), unit)


def test_unknown_unit_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'furlong' is no unit"):
        metric(Fraction(1), "furlong")


def test_every_unit_of_the_vocabulary_can_be_shown_in_metric() -> None:
    words = (shipped("vocab") / "base" / "units.csv").read_text(encoding="utf-8").splitlines()
    notations = {line.split(",")[0] for line in words if line and not line.startswith(("#", "notation"))}
    assert notations <= UNITS


@pytest.mark.parametrize(
    ("value", "text"),
    [("1/4", "1/4"), ("5/4", "1 1/4"), ("2", "2"), ("0", "0"), ("0.19", "0.190"), ("63/64", "63/64")],
)
def test_length_in_inches_is_written_as_a_workshop_writes_it(value: str, text: str) -> None:
    assert mixed(Fraction(value)) == text


def test_size_in_inches_has_millimetres_to_three_figures() -> None:
    assert inches(Fraction(1, 4)) == "1/4 in (6.35 mm)"
    assert inches(Fraction(5, 4)) == "1 1/4 in (31.8 mm)"
    assert inches(Fraction(1, 32)) == "1/32 in (0.794 mm)"


@given(
    st.fractions(min_value=Fraction(1, 1000), max_value=5000),
    st.sampled_from(sorted(UNITS - {"degC", "deg", "h", "min"})),
)
def test_metric_value_shown_is_within_a_twentieth_of_the_true_one(value: Fraction, unit: str) -> None:
    shown = beside(value, unit)
    if "(" not in shown:
        return
    in_metric, metric_unit = metric(value, unit)
    read = Fraction(shown.split("(")[1].removesuffix(f" {metric_unit})").replace(",", ""))
    assert abs(read - in_metric) <= in_metric / 20


@given(st.integers(0, 10**6), st.integers(1, 64), st.sampled_from(sorted(UNITS)))
def test_conversion_is_exact_and_in_proportion(top: int, below: int, unit: str) -> None:
    value = Fraction(top, below)
    assert metric(value, unit)[0] == value * metric(Fraction(1), unit)[0]
