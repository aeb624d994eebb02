"""Originals are only ever read; and the guard that watches over that in every test is watched itself."""

import os
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from pipeline.book import Book, new_book
from pipeline.runner import run
from tests.small_media import make_captions, make_photo, sound_file
from tests.test_runner import NOW, TEN, ToldWhatToHear


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return new_book(tmp_path / "book", NOW.date(), aircraft="Crew Trainer")


@pytest.fixture
def media(tmp_path: Path) -> Path:
    make_captions(tmp_path / "media" / "note.vtt", TEN)
    make_photo(tmp_path / "media" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    sound_file(tmp_path / "media", "note.amr").rename(tmp_path / "media" / "20260214_101500.amr")
    for path in (tmp_path / "media").iterdir():
        path.chmod(0o444)
    return tmp_path / "media"


def _changes(path: Path) -> dict[str, Callable[[], object]]:
    return {
        "open": lambda: path.open("r+b").close(),
        "os.remove": path.unlink,
        "os.rename": lambda: path.rename(path.with_name("other.jpg")),
        "os.utime": lambda: os.utime(path, (0, 0)),
        "os.chmod": lambda: path.chmod(0o600),
        "os.truncate": lambda: os.truncate(path, 0),
    }


@pytest.mark.parametrize("how", _changes(Path()))
def test_guard_refuses_every_way_to_change_an_original(how, book, media, originals):
    original = media / "IMG_1.jpg"
    before = original.read_bytes()
    originals.protect(original)
    with book.locked(), pytest.raises(AssertionError, match="an original was to be changed"):
        _changes(original)[how]()
    assert original.read_bytes() == before
    assert originals.violations == [f"{how} {original}"]
    originals.violations.clear()
    _changes(original)[how]()  # the book is let go: what the test itself does is its own affair
    assert not originals.violations


def test_guard_sees_a_change_that_the_interpreter_is_not_told_of(book, media, originals):
    class Careless(ToldWhatToHear):
        def hear(self, samples):
            os.system(f"chmod u+w '{media}/IMG_1.jpg'; echo x >> '{media}/IMG_1.jpg'")
            return super().hear(samples)

    run(book, [media], NOW, bench=Careless)
    assert originals.violations == [f"{media / 'IMG_1.jpg'} has changed"]
    originals.violations.clear()


def test_originals_that_may_only_be_read_are_enough_for_a_run(book, media, originals):
    before = {path: (path.stat(), path.read_bytes()) for path in media.iterdir()}
    outcome = run(book, [media], NOW, bench=ToldWhatToHear)
    assert len(outcome.records.media) == 3 and not outcome.set_aside
    assert {path.name for path in originals.known} == {"note.vtt", "IMG_1.jpg", "20260214_101500.amr"}
    for path, (info, content) in before.items():
        now = path.stat()
        assert (now.st_mtime_ns, now.st_ctime_ns, now.st_mode) == (info.st_mtime_ns, info.st_ctime_ns, info.st_mode)
        assert path.read_bytes() == content
