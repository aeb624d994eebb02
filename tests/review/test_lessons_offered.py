"""Which of the words that a person put right the review page offers to teach: those that could be taught."""

import pytest

from pipeline.review.words import lessons
from tests.writing.a_weekend import records, vocabulary


def offered(heard: str, read: str) -> list[tuple[str, str]]:
    said = records().utterances[0].model_copy(update={"heard": heard, "read": read, "corrections": ()})
    return list(lessons(said, vocabulary()))


def test_word_that_was_heard_wrong_is_offered() -> None:
    assert offered("The grommit ladle is off.", "The rudder is off.") == [("grommit ladle", "rudder")]


@pytest.mark.parametrize(
    ("heard", "read"),
    [
        ("The aileron is off.", "The aileron isn't off."),
        ("It's held for bolts.", "It's held Four bolts."),
        ("It took 60 turns.", "It took sixty turns."),
        ("The aileron came off.", "The elevator came off."),
        ("It is on now, torque to 60.", "It is on mount, torqued to 60."),
    ],
)
def test_what_would_be_refused_is_not_offered(heard: str, read: str) -> None:
    assert offered(heard, read) == []
