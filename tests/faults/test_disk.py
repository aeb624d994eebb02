"""Disks that are full, read-only or away: one clear line, nothing lost, and the next run goes on from there."""

import errno
import io
import resource
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from measuring.fault_points import Points, opened
from measuring.small_story import Warm
from pipeline.book import Book, new_book
from pipeline.errors import ExitCode, RunFault
from pipeline.evidence.check import check
from pipeline.history import acts, chain
from pipeline.runner import run
from pipeline.store import Store
from pipeline.writing import viewing_copies
from tests.faults.bound_process import saidseen
from tests.small_media import make_captions, make_photo, sound_file
from tests.test_runner import NOW, TEN, contents

PEOPLE = '\n[[people]]\nname = "Alex Example"\nrole = "strip leader"\nconsent = true\n'
ONE_LINE = (
    r"^\S.*book.*: it cannot be written to \(.*\)\. Free some room on the disk, or let yourself write to the folder"
)


@pytest.fixture(scope="module")
def warm() -> Warm:
    return Warm()


def made(folder: Path) -> Book:
    book = new_book(folder, NOW.date(), aircraft="Crew Trainer")
    with book.settings_file.open("a", encoding="utf-8") as settings:
        settings.write(PEOPLE)
    return book


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return made(tmp_path / "book")


@pytest.fixture
def media(tmp_path: Path) -> Path:
    make_captions(tmp_path / "media" / "note.vtt", TEN)
    make_photo(tmp_path / "media" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    sound_file(tmp_path / "media", "note.amr").rename(tmp_path / "media" / "20260214_111500.amr")
    return tmp_path / "media"


class NoRoomFor(Points):
    """A disk that is full whenever a file of this name is written."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name, self.met = name, 0

    def reach(self, what: str) -> bool:
        if self.name in what:
            self.met += 1
            raise OSError(errno.ENOSPC, "No space left on device", self.name)
        return False


@contextmanager
def no_room_for(name: str) -> Iterator[NoRoomFor]:
    full = NoRoomFor(name)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(io, "open", partial(opened, full, io.open))
        yield full


@contextmanager
def files_no_larger_than(size_bytes: int) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size_bytes, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def one_line(fault: BaseException) -> bool:
    return "\n" not in str(fault)


# In the order in which a run writes them: what was written before it stopped is not written again by the next.
WRITES = (
    "history.next",
    "history.jsonl",
    "history.head",
    ".written.json",
    ".jpg",
    "index.html",
    "records.json",
    "parts-off.csv",
    "timeline.svg",
    "report.html",
    "logbook.pdf",
)


def test_run_on_a_full_disk_says_so_and_the_next_one_goes_on_from_there(book, media, warm, tmp_path):
    for name in WRITES:
        with no_room_for(name) as full, pytest.raises(RunFault, match=ONE_LINE) as fault:
            run(book, [media], NOW, bench=warm.bench)
        assert full.met and one_line(fault.value), name
    assert run(book, [media], NOW, bench=warm.bench).exit_code is ExitCode.DONE
    whole = made(tmp_path / "whole")
    run(whole, [media], NOW, bench=warm.bench)
    assert contents(book.out) == contents(whole.out)
    assert book.history_file.read_bytes() == whole.history_file.read_bytes()
    assert not check(book.folder).differences
    assert not [path for path in book.folder.rglob("*") if path.name.endswith(".part")]


def test_full_disk_under_the_database_and_under_a_listening_copy_is_told_alike(book, media, warm, monkeypatch):
    with files_no_larger_than(40_000), pytest.raises(RunFault, match=ONE_LINE) as fault:
        run(book, [media], NOW, bench=warm.bench)
    assert one_line(fault.value)

    def no_room(to: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left on device", str(to))

    with monkeypatch.context() as patch, pytest.raises(RunFault, match=ONE_LINE):
        patch.setattr(viewing_copies.Makers, "listening", lambda makers, recording, home, to: no_room(to))
        run(book, [media], NOW, bench=warm.bench)
    assert run(book, [media], NOW, bench=warm.bench).exit_code is ExitCode.DONE
    assert not check(book.folder).differences


@pytest.mark.parametrize("name", ["history.next", "history.jsonl", "history.head"])
def test_act_on_a_full_disk_is_not_done_at_all(name, book, media, warm):
    run(book, [media], NOW, bench=warm.bench)
    entry = next(entry for entry in run(book, [], NOW, bench=warm.bench).records.entries if entry.facts)
    before = contents(book.folder)
    with no_room_for(name) as full, pytest.raises(RunFault, match="what was noted before is kept") as fault:
        acts.decide(book, acts.Seen.of(entry), "accept", "Alex Example", NOW)
    assert full.met and one_line(fault.value)
    assert contents(book.folder) == before
    acts.decide(book, acts.Seen.of(entry), "accept", "Alex Example", NOW)
    assert [event.act for event in chain.read(book.history_file).events][-1] == "accept"
    assert not chain.read(book.history_file).breaks


def test_book_and_file_that_may_not_be_opened_are_told_in_a_line_each(book, media):
    (media / "20260214_111500.amr").unlink()  # of which nothing is asked here: it would be heard
    (media / "IMG_1.jpg").chmod(0o000)
    told = saidseen("run", book.folder, media)
    assert told.returncode == ExitCode.SOME_SET_ASIDE
    assert "IMG_1.jpg: It cannot be read (permission denied). Check that you may open it" in told.stderr
    (media / "IMG_1.jpg").chmod(0o644)
    before = contents(book.folder)
    for path in (book.folder, *book.folder.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)
    try:
        told = saidseen("run", book.folder, "--quiet")
        assert told.returncode == ExitCode.PROGRAM_FAULT
        assert told.stderr.startswith(f"{book.folder}: it cannot be written to (") and told.stderr.count("\n") == 1
        told = saidseen("check", book.folder)
        assert told.returncode == ExitCode.DONE, told.stderr
        assert contents(book.folder) == before
    finally:
        for path in (book.folder, *book.folder.rglob("*")):
            path.chmod(0o755 if path.is_dir() else 0o644)
    assert saidseen("run", book.folder, "--quiet").returncode == ExitCode.DONE


def test_media_folder_that_vanishes_in_the_middle_of_a_run_is_taken_in_when_it_is_back(
    book, media, warm, tmp_path, originals
):
    def away(settings: Any, vocabulary: Any, *choices: Any) -> Any:
        with originals.let():
            media.rename(tmp_path / "away")
        return warm.bench(settings, vocabulary)

    outcome = run(book, [media], NOW, bench=away)
    assert outcome.program_faults == 0
    assert {Path(one.path).name for one in outcome.set_aside} == {"note.vtt", "IMG_1.jpg", "20260214_111500.amr"}
    assert all(one.why for one in outcome.set_aside)
    (tmp_path / "away").rename(media)
    outcome = run(book, [], NOW, bench=warm.bench)
    assert outcome.exit_code is ExitCode.DONE and len(outcome.records.media) == 3


def test_database_on_a_drive_that_cannot_share_memory_keeps_a_plain_journal(tmp_path, monkeypatch):
    class OnAShare(sqlite3.Connection):
        def execute(self, statement: str, values: Any = ()) -> sqlite3.Cursor:
            refused = statement == "PRAGMA journal_mode=WAL"
            return super().execute("PRAGMA journal_mode=DELETE" if refused else statement, values)

    monkeypatch.setattr(sqlite3, "connect", partial(sqlite3.connect, factory=OnAShare))
    with Store(tmp_path / "book.db") as store:
        store.keep("hear", "x", "k", "1")
        assert store.connection.execute("PRAGMA synchronous").fetchone() == (2,)  # FULL: no commit is lost
    with Store(tmp_path / "book.db") as store:
        assert store.made("hear", "x", "k").value == "1"
    assert not (tmp_path / "book.db-wal").exists()


def test_drive_without_locks_is_refused_with_what_to_do(book, media, warm, monkeypatch):
    def no_locks(lock: object, *how: object, **more: object) -> None:
        raise NotImplementedError("FileSystem does not appear to support flock")

    monkeypatch.setattr("filelock.FileLock.acquire", no_locks)
    with pytest.raises(RunFault, match="cannot keep two runs apart; some network shares cannot"):
        run(book, [media], NOW, bench=warm.bench)
