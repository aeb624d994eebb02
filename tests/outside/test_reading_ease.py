"""Reading ease against textstat (a published program, MIT), and against figures worked out by hand.

The formulas are those of R. Flesch (1948) and J. P. Kincaid and others (1975): tests/writing/reading_ease.py.
"""

from collections.abc import Callable

import pytest

from pipeline.book import vocabulary_folders
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.told import words
from tests.writing.reading_ease import flesch, grade, kincaid, reading_ease
from tests.writing.supporters.invented_books import BOOKS, InventedBook

textstat = pytest.importorskip("textstat")
counting = pytest.importorskip("textstat.backend.counts._count_syllables")


@pytest.fixture(autouse=True)
def _offline(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let textstat count by pyphen's hyphens, as for other languages: its word list would come over a network."""
    monkeypatch.setattr(counting, "get_cmudict", lambda _: None)


_TEXT = (
    "The wing came off on Saturday. Sixteen bolts held it in its place, and we undid every one. "
    "It took seven of us to bring it away. Next, we plan to take off the other one."
)


def test_the_formulas_give_what_is_worked_out_by_hand() -> None:
    assert flesch(10, 1.5) == pytest.approx(206.835 - 10.15 - 126.9)
    assert kincaid(10, 1.5) == pytest.approx(3.9 + 17.7 - 15.59)


def test_our_count_is_near_that_of_another_program() -> None:
    assert reading_ease(_TEXT) == pytest.approx(textstat.flesch_reading_ease(_TEXT), abs=12)
    assert grade(_TEXT) == pytest.approx(textstat.flesch_kincaid_grade(_TEXT), abs=2)


@pytest.mark.parametrize("made", BOOKS)
def test_every_invented_report_is_plain_by_the_other_programs_count_too(made: Callable[[], InventedBook]) -> None:
    book = made()
    story = plan(Asked(book.records, book.settings, load_vocabulary(vocabulary_folders("")), book.first, book.last))
    told = words(story.sentences)
    assert textstat.flesch_reading_ease(told) >= 60, told
    assert textstat.flesch_kincaid_grade(told) <= 8, told
    assert reading_ease(told) >= 60 and grade(told) <= 8
