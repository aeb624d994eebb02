"""The book that is checked: written once, copied for each test that changes it."""

import shutil
from datetime import timedelta

import pytest

from pipeline.book import Book, new_book
from pipeline.review.server import review_app
from pipeline.runner import Choices, run
from tests.review.a_book import NOW, written_book
from tests.review.forms import Browser
from tests.small_media import make_photo, make_sound
from tests.test_runner import TEN, ToldWhatToHear


@pytest.fixture(scope="session")
def _written(tmp_path_factory):
    return written_book(tmp_path_factory.mktemp("review"))


@pytest.fixture
def book(_written, tmp_path):
    return Book(shutil.copytree(_written.folder, tmp_path / "book"))


@pytest.fixture
def app(opened):
    """The server of the book that a test has ``opened``."""
    return review_app(opened, 8123, "secret")


@pytest.fixture
def browser(app):
    return Browser(app)


_SAID = (
    "The port grommit ladle's off, three bolts. There's heavy corrosion on the starboard aileron. "
    "We lifted it with care."
)
TOLD = type("Told", (ToldWhatToHear,), {"words": _SAID})
_PEOPLE = """
[[people]]
name = "Bea Linnet"
may_release = true
may_sign = ["checked the words"]

[[people]]
name = "Ted Marrack"
"""


@pytest.fixture(scope="session")
def _run(tmp_path_factory):
    """A book that was run on a recording and a photo, by a recogniser that says what it is told to."""
    home = tmp_path_factory.mktemp("run")
    book = new_book(home / "book", NOW.date(), aircraft="Crew Trainer")
    book.settings_file.write_text(book.settings_file.read_text() + _PEOPLE)
    make_sound(home / "media" / "20260214_101500.wav", seconds=12.0)
    make_photo(home / "media" / "IMG_1.jpg", TEN + timedelta(minutes=15, seconds=6))
    run(book, [home / "media"], NOW, Choices(), bench=TOLD)
    return book


@pytest.fixture
def run_anew(_run, tmp_path):
    """A copy of that book, which a test may change; its media lie beside it."""
    shutil.copytree(_run.folder.parent / "media", tmp_path / "media")
    return Book(shutil.copytree(_run.folder, tmp_path / "book"))
