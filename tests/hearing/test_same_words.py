import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.same_words import said, same_said


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Forty-two bolts.", "42 bolts"),
        ("tail plane", "Tailplane,"),
        ("frame sixteen", "Frame 16"),
        ("the sixteenth", "the 16th"),
        ("P-0142", "P zero one four two"),
    ],
)
def test_the_same_words_written_differently_are_the_same(one: str, other: str) -> None:
    assert same_said(one, other)


@pytest.mark.parametrize(("one", "other"), [("fifteen", "fifty"), ("two", "too"), ("on", "off"), ("", "a")])
def test_other_words_are_not(one: str, other: str) -> None:
    assert not same_said(one, other)


@given(st.text(max_size=30))
def test_what_is_written_in_one_way_stays_so(text: str) -> None:
    assert set(said(text)) <= set("abcdefghijklmnopqrstuvwxyz0123456789")
