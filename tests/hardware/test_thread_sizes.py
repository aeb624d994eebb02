"""Tests of threads' sizes: their numbers count nothing."""

import pytest

from pipeline.hardware.thread_sizes import find_thread_sizes


def _sizes(text: str) -> list[str]:
    return [text[one.start : one.end] for one in find_thread_sizes(text)]


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("Six 2BA screws", "2BA"),
        ("four BA nuts off the panel", "four BA"),
        ("the 6 B.A. bolts are out", "6 B.A."),
        ("nine 10-32 machine screws", "10-32"),
        ("ten thirty-two bolts, six of them", "ten thirty-two"),
        ("8-32 UNC", "8-32"),
    ],
)
def test_size_of_a_thread_is_found(text: str, size: str) -> None:
    assert _sizes(text) == [size]


@pytest.mark.parametrize(
    "text",
    [
        "corrosion at frames 10-32",
        "bag ten thirty-two bolts",
        "eight bolts out of thirty-two",
        "22BA",
        "rack two, bay three",
        "between ribs 6-32, screws",
    ],
)
def test_other_numbers_are_no_size(text: str) -> None:
    assert _sizes(text) == []
