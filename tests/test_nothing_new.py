"""A run after which nothing has changed does nothing at all, and every reason to work again is found."""

import os
import shutil
from datetime import UTC, datetime, timedelta

import pytest
from typer.testing import CliRunner

import pipeline
from pipeline.book import Book, new_book
from pipeline.command_line import app
from pipeline.errors import ExitCode, ItemFault, RunFault
from pipeline.history import chain
from pipeline.runner import Choices, run
from pipeline.store import Store
from tests.small_media import make_photo, make_sound
from tests.test_runner import ToldWhatToHear

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)


@pytest.fixture
def book(tmp_path):
    """A book of two photos and a file that is none, run once."""
    made = new_book(tmp_path / "book", NOW.date())
    for number in (1, 2):
        make_photo(tmp_path / "media" / f"IMG_{number}.jpg", TEN + timedelta(minutes=number), seed=number)
    (tmp_path / "media" / "empty.wav").write_bytes(b"")
    go(made, tmp_path / "media")
    return made


def go(book, *paths, now=NOW, bench=ToldWhatToHear, **choices):
    return run(book, paths, now, Choices(**choices), bench=bench)


def as_it_lies(folder):
    return {
        path: (path.stat().st_mtime_ns, path.stat().st_ino, path.read_bytes())
        for path in folder.rglob("*")
        if path.is_file() and not path.name.startswith("book.")
    }


def test_rerun_with_nothing_new_reads_no_result_loads_no_vocabulary_and_writes_no_file(book, monkeypatch):
    asked = []
    reading = ((Store, name) for name in ("made", "latest", "kept", "value", "values", "keep"))
    for owner, name in (*reading, (Book, "vocabulary")):
        monkeypatch.setattr(owner, name, lambda *more, name=name: asked.append(name))
    before = as_it_lies(book.folder)
    again = go(book)
    assert again.nothing_new and asked == []
    assert as_it_lies(book.folder) == before
    assert set(again.made.values()) == {0} and again.already["look"] == 2


def test_rerun_with_nothing_new_tells_what_the_run_before_told(book):
    first, again = go(book, again=True), go(book)
    assert again.nothing_new and not first.nothing_new
    assert again.exit_code is first.exit_code is ExitCode.SOME_SET_ASIDE
    assert again.left.told == first.left.told and len(again.left.told) == 1
    assert again.records == first.records


def test_command_says_the_same_when_there_is_nothing_new_but_tells_of_no_file_twice(tmp_path):
    make_photo(tmp_path / "media" / "IMG_1.jpg", TEN)
    (tmp_path / "media" / "empty.wav").write_bytes(b"")
    book = str(tmp_path / "book")
    assert CliRunner().invoke(app, ["new", book]).exit_code == 0
    said = [CliRunner().invoke(app, ["run", book, str(tmp_path / "media")]) for _ in range(2)]
    assert said[0].exit_code == said[1].exit_code == ExitCode.SOME_SET_ASIDE
    first, again = (one.output.splitlines() for one in said)
    ((new,), (old,)) = ([line for line in one if "et aside" in line] for one in (first, again))
    assert "empty.wav" in new and "1 file is set aside as before" in old
    assert [line for line in first if line != new] == [line for line in again if line != old]


def _another_photo(book):
    make_photo(book.folder.parent / "media" / "IMG_3.jpg", TEN, seed=3)


def _photo_gone(book):
    (book.folder.parent / "media" / "IMG_1.jpg").unlink()


def _photo_of_another_time(book):
    os.utime(book.folder.parent / "media" / "IMG_1.jpg", ns=(1, 1))


def _set_aside_file_mended(book):
    make_sound(book.folder.parent / "media" / "empty.wav")


def _page_deleted(book):
    (book.out / "logbook" / "2026-02-14.html").unlink()


def _page_edited_and_dated_back(book):
    page = book.out / "logbook" / "2026-02-14.html"
    info, text = page.stat(), page.read_bytes()
    page.write_bytes(text[:-2] + b"!\n")
    os.utime(page, ns=(info.st_atime_ns, info.st_mtime_ns))


def _setting_changed(book):
    book.settings_file.write_text(book.settings_file.read_text().replace("Europe/London", "Europe/Paris"))


def _wish_of_the_editor(book):
    book.edits_file.write_text('[[reports]]\nreport = "2026-02"\nopening = "A cold day."\n')


def _part_taught(book):
    (book.vocabulary_folder / "parts.csv").write_text("notation,preferred,kind\ngizmo-plate,gizmo plate,structure\n")


def _history_lost(book):
    book.history_file.unlink()


def _database_lost(book):
    for path in book.folder.glob("book.db*"):
        path.unlink()


def _folder_of_media_away(book):
    (book.folder.parent / "media").rename(book.folder.parent / "elsewhere")


CHANGES = (
    _another_photo,
    _photo_gone,
    _photo_of_another_time,
    _set_aside_file_mended,
    _page_deleted,
    _page_edited_and_dated_back,
    _setting_changed,
    _wish_of_the_editor,
    _part_taught,
    _history_lost,
    _database_lost,
    _folder_of_media_away,
)


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__.strip("_"))
def test_whatever_changes_is_a_reason_to_work_again(book, change):
    assert go(book).nothing_new
    change(book)
    assert not go(book, *([book.folder.parent / "media"] if change is _database_lost else [])).nothing_new


def test_page_that_was_deleted_or_edited_is_written_again(book):
    page = book.out / "logbook" / "2026-02-14.html"
    text = page.read_bytes()
    for change in (_page_deleted, _page_edited_and_dated_back):
        change(book)
        go(book)
        assert page.read_bytes() == text
        assert go(book).nothing_new


def test_another_model_another_program_and_force_again_are_reasons_to_work_again(book, monkeypatch):
    assert not go(book, model="tiny.en").nothing_new
    go(book)
    assert go(book).nothing_new
    assert not go(book, again=True).nothing_new
    monkeypatch.setattr(pipeline, "__version__", "999")
    assert not go(book).nothing_new


def test_history_that_somebody_changed_is_told_each_time(book):
    book.history_file.write_bytes(book.history_file.read_bytes().replace(b"IMG_1", b"IMG_9"))
    for _ in range(2):
        outcome = go(book)
        assert not outcome.nothing_new
        assert outcome.exit_code is ExitCode.CHECK_FAILED


def test_what_a_person_adds_to_the_history_is_worked_in(book):
    chain.append(book.history_file, [chain.Act("Alex Example", "withdraw", "e-1", None, {"withdrawn": 1})], NOW)
    assert not go(book).nothing_new
    assert go(book).nothing_new


def test_fault_that_may_pass_is_a_reason_to_work_again_and_one_that_stays_is_not(book, tmp_path):
    class Unwilling(ToldWhatToHear):
        passing = True

        def hear(self, samples):
            raise ItemFault("It cannot be heard.", passing=self.passing)

    sound = make_sound(tmp_path / "media" / "20260214_101500.wav")
    for Unwilling.passing, nothing_new in ((True, False), (False, True)):
        go(book, sound, bench=Unwilling)
        again = go(book, bench=Unwilling)
        assert again.nothing_new is nothing_new
        assert sound.name in str(again.left.told)


def test_run_that_was_stopped_is_not_taken_for_the_one_before_it(book, tmp_path):
    class Stopped(ToldWhatToHear):
        def hear(self, samples):
            raise RunFault("planted")

    sound = make_sound(tmp_path / "media" / "20260214_101500.wav")
    with pytest.raises(RunFault, match="planted"):
        go(book, bench=Stopped)
    sound.unlink()
    assert not go(book).nothing_new


def test_photo_of_a_day_to_come_is_looked_at_again_on_another_day_until_it_is_believed(book, tmp_path):
    make_photo(tmp_path / "media" / "IMG_9.jpg", NOW + timedelta(days=3), seed=9)
    go(book)
    assert go(book).nothing_new
    later = NOW + timedelta(days=1)
    assert not go(book, now=later).nothing_new
    assert _flagged_as_future(go(book, now=later))
    assert not _flagged_as_future(go(book, now=NOW + timedelta(days=4)))
    assert go(book, now=NOW + timedelta(days=4)).nothing_new
    assert go(book, now=NOW + timedelta(days=5)).nothing_new


def test_clock_that_was_set_back_is_a_reason_to_work_again(book):
    assert go(book, now=NOW + timedelta(minutes=1)).nothing_new
    assert not go(book, now=NOW - timedelta(minutes=1)).nothing_new


def _flagged_as_future(outcome):
    return any("in the future" in flag for one in outcome.records.media for flag in one.flags)


def test_book_that_was_moved_with_its_media_is_written_for_where_it_is_now(book, tmp_path):
    shutil.copytree(tmp_path / "book", tmp_path / "far" / "away" / "book")
    moved = Book(tmp_path / "far" / "away" / "book")
    outcome = go(moved)
    assert not outcome.nothing_new
    assert {one.path for one in outcome.records.media} == {"../../../media/IMG_1.jpg", "../../../media/IMG_2.jpg"}
