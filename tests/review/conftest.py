"""The book that is checked: written once, copied for each test that changes it."""

import shutil

import pytest

from pipeline.book import Book
from tests.review.a_book import written_book


@pytest.fixture(scope="session")
def _written(tmp_path_factory):
    return written_book(tmp_path_factory.mktemp("review"))


@pytest.fixture
def book(_written, tmp_path):
    return Book(shutil.copytree(_written.folder, tmp_path / "book"))
