"""A clock that is set back: it is told in one line, nothing is lost, and no date is judged by it."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from measuring.small_story import Warm
from pipeline.book import new_book
from pipeline.errors import ExitCode, WrongCommand
from pipeline.history import chain
from pipeline.history.clock import no_earlier_than, set_back
from pipeline.runner import run
from tests.small_media import make_captions, make_photo
from tests.test_runner import NOW, TEN

BACK = datetime(2001, 1, 1, tzinfo=UTC)


@pytest.fixture
def book(tmp_path: Path):
    return new_book(tmp_path / "book", NOW.date(), aircraft="Crew Trainer")


def test_run_with_the_clock_set_back_says_so_and_dates_as_before(book, tmp_path):
    warm = Warm()
    make_captions(tmp_path / "media" / "note.vtt", TEN)
    before = run(book, [tmp_path / "media"], NOW, bench=warm.bench).records
    make_photo(tmp_path / "media" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    outcome = run(book, [], BACK, bench=warm.bench)
    assert outcome.exit_code is ExitCode.DONE
    assert "says 2001-01-01 00:00 UTC, and the book's history goes on to 2026-03-01 12:00 UTC" in outcome.clock_back
    assert "\n" not in outcome.clock_back and "Set the clock right." in outcome.clock_back
    after = outcome.records
    assert {one.taken_at for one in before.media} < {one.taken_at for one in after.media}
    assert not any(one.flags for one in after.media)
    assert not chain.read(book.history_file).breaks
    right = run(book, [], NOW + timedelta(days=1), bench=warm.bench)
    assert not right.clock_back and right.records == after


def test_first_run_with_a_clock_before_the_book_starts_is_refused(book, tmp_path):
    make_captions(tmp_path / "media" / "note.vtt", TEN)
    with pytest.raises(WrongCommand, match=r"clock of this machine says 2001-01-01, which is before the book starts"):
        run(book, [tmp_path / "media"], BACK, bench=Warm().bench)
    assert not book.history_file.exists()


def test_clock_that_is_put_right_by_a_little_is_not_told_of():
    event = chain.Event(n=1, at=NOW, who="x", act="seal", on="y", previous="0")
    assert set_back([], BACK) == "" and no_earlier_than([], BACK) == BACK
    assert set_back([event], NOW - timedelta(minutes=4)) == ""
    assert set_back([event], NOW - timedelta(minutes=6)) != ""
    assert no_earlier_than([event], NOW - timedelta(minutes=4)) == NOW
