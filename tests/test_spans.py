"""Lengths of time in words."""

import pytest

from pipeline.spans import clock_text, span_text


@pytest.mark.parametrize(
    ("span_s", "said"),
    [
        (0.5, "0.5 s"), (3.0, "3 s"), (40, "40 s"), (-40, "40 s"), (300, "5 min"), (3580, "59 min 40 s"),
        (3604, "1 h 4 s"), (4043, "1 h 7 min 23 s"), (90061, "1 d 1 h 1 min"), (0, "0 s"),
    ],
)  # fmt: skip
def test_length_of_time_is_said_in_its_units(span_s, said):
    assert span_text(span_s) == said


def test_clock_is_fast_when_it_shows_more_than_the_true_time():
    assert (clock_text(3600), clock_text(-60)) == ("1 h fast", "1 min slow")
