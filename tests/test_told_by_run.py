"""What a run says to whoever runs it: what is not where it was, what held nothing, what an editor's wish came to."""

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pipeline.book import Book
from pipeline.command_line import app
from pipeline.commands.told_of_run import what_to_see_to
from pipeline.outcome import Outcome
from pipeline.unchanged import Left
from tests.made_once import MadeOnce
from tests.small_media import make_captions, make_photo

TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)


def command(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture(scope="module")
def _run_once(tmp_path_factory):
    home = tmp_path_factory.mktemp("told")
    make_captions(home / "media" / "note.vtt", TEN)
    make_photo(home / "media" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    make_photo(home / "media" / "IMG_2.jpg", TEN + timedelta(seconds=9), seed=2)
    assert command("new", home / "winter").exit_code == 0
    assert command("run", home / "winter", home / "media").exit_code == 0
    return MadeOnce.of(home)


@pytest.fixture
def book(_run_once, originals):
    return _run_once.again(originals) / "winter"


def test_an_original_that_was_moved_away_is_told_on_each_run_until_it_is_back(book):
    photo = book.parent / "media" / "IMG_1.jpg"
    photo.rename(book.parent / "IMG_1.jpg")
    said = [command("run", book) for _ in range(2)]
    for one in said:
        assert one.exit_code == 0
        (line,) = [each for each in one.stderr.splitlines() if "not where it was" in each]
        assert line.startswith(f"An original is not where it was: {photo}. What was made of it stands.")
        assert line.endswith(f"saidseen run {book} FOLDER")
    assert command("run", book, "--quiet").stderr == ""
    (book.parent / "IMG_1.jpg").rename(photo)
    assert "not where" not in command("run", book).stderr


def test_an_original_that_is_given_where_it_lies_now_is_not_missed(book):
    (book.parent / "media").rename(book.parent / "elsewhere")
    assert "3 originals are not where they were: " in command("run", book).stderr
    assert "not where" not in command("run", book, book.parent / "elsewhere").stderr
    assert "not where" not in command("run", book).stderr


def test_a_file_that_could_not_be_used_is_not_missed_when_it_is_gone(book):
    parts = book.parent / "media" / "parts.txt"
    parts.write_text("rudder, elevator\n")
    assert f"Set aside: {parts}" in command("run", book).stderr
    parts.unlink()
    assert "not where" not in command("run", book).stderr


def test_a_folder_that_holds_nothing_is_told_also_when_all_else_is_as_it_was(book):
    empty = book.parent / "empty"
    (empty / "deeper").mkdir(parents=True)
    for _ in range(2):
        result = command("run", book, empty)
        assert result.exit_code == 0
        assert f"There is nothing to take in in {empty}: no photo, no sound, no film." in result.stderr
    assert "nothing to take in" not in command("run", book, book.parent / "media").stderr


def test_a_book_that_is_new_and_one_from_before_hold_a_file_of_examples_for_the_editor(book):
    edits = Book(book).edits_file
    examples = edits.read_text()
    edits.unlink()
    assert command("run", book).exit_code == 0
    assert edits.read_text() == examples
    lines = [one.removeprefix("# ") for one in examples.splitlines()]
    begin = next(at for at, one in enumerate(lines) if one == "[[pictures]]")
    wishes = [one for one in lines[begin:] if one == "" or one.lstrip()[0] in '[]"' or " = " in one]
    edits.write_text("\n".join(wishes))
    found = Book(book).settings().edits
    assert [one.photo for one in found.pictures] == ["IMG_0012.jpg", "IMG_0031.jpg", "IMG_0044.jpg"]
    assert found.reports[0].lead == "IMG_0012.jpg" and len(found.reports[0].leave_out) == 1


def test_a_wish_of_the_editor_makes_the_report_anew_and_what_fits_nothing_is_told_on_each_run(book):
    edits = Book(book).edits_file
    edits.write_text('[[reports]]\nreport = "2026-02"\nopening = "A cold day."\nlead = "IMG_9.jpg"\n')
    said = [command("run", book) for _ in range(2)]
    assert "A cold day." in (book / "out" / "supporters" / "2026-02" / "report.html").read_text()
    assert all("edits.toml: the book has no photo IMG_9.jpg. Did you mean IMG_" in one.stderr for one in said)
    edits.write_text("")
    assert "edits.toml" not in command("run", book).stderr
    assert "A cold day." not in (book / "out" / "supporters" / "2026-02" / "report.html").read_text()


def test_the_editors_file_is_no_media_though_the_book_lies_among_them(tmp_path):
    make_photo(tmp_path / "IMG_1.jpg", TEN)
    assert command("new", tmp_path / "book").exit_code == 0
    result = command("run", tmp_path / "book", tmp_path)
    assert result.exit_code == 0 and "edits.toml" not in result.stderr


def test_a_report_changed_by_hand_is_kept_and_told(book):
    report = book / "out" / "supporters" / "2026-02" / "report.md"
    report.write_text("mine")
    assert f"{report} was changed by hand: it is kept as report-edited.md" in command("run", book).stderr
    assert report.with_name("report-edited.md").read_text() == "mine"


def test_a_whole_month_has_one_report_and_one_from_before_goes(book):
    supporters = Path(book / "out" / "supporters")
    asked = command("report", book, "--from", "2026-02-01", "--to", "2026-02-28")
    assert Path(asked.stdout.strip()) == supporters / "2026-02" / "report.html"
    assert Path(command("report", book).stdout.strip()) == supporters / "2026-02" / "report.html"
    assert [one.name for one in supporters.iterdir()] == ["2026-02"]
    assert command("report", book, "--from", "2026-02-14", "--to", "2026-02-14").exit_code == 0
    assert sorted(one.name for one in supporters.iterdir()) == ["2026-02", "2026-02-14"]
    listed = Book(book).out / ".written.json"
    listed.write_text(listed.read_text().replace("supporters/2026-02-14", "supporters/2026-02-01-to-2026-02-28"))
    shutil.move(supporters / "2026-02-14", supporters / "2026-02-01-to-2026-02-28")
    result = command("run", book)
    assert [one.name for one in supporters.iterdir()] == ["2026-02"]
    assert "supporters/2026-02-01-to-2026-02-28 was taken away: the report of these days is" in result.stderr


def test_report_check_names_the_photo_of_each_picture_and_the_file_to_write_wishes_into(book):
    later = TEN + timedelta(hours=1)
    said = "WEBVTT\n\nNOTE taken {taken}\n\n00:01.000 --> 00:06.000\nHere you can see the fin. The fin's off now.\n"
    make_captions(book.parent / "media" / "fin.vtt", later, said)
    make_photo(book.parent / "media" / "IMG_3.jpg", later + timedelta(seconds=2), seed=3)
    assert command("run", book).exit_code == 0
    result = command("report-check", book)
    rows = [one.split("\t") for one in result.stdout.splitlines()]
    at = rows.index(["picture in the report", "its photo", "caption"])
    assert [one[1] for one in rows[at + 1 :]] == ["IMG_3.jpg"]
    assert f'write into {Book(book).edits_file} what you want of report = "2026-02"' in result.stderr


def test_a_run_names_what_is_newly_set_aside_and_counts_what_was_before(book):
    media = book.parent / "media"
    for name in ("empty.jpg", "empty.mp3"):
        (media / name).write_bytes(b"")
    first = command("run", book)
    assert first.exit_code == 3
    (named,) = [line for line in first.stderr.splitlines() if line.startswith("Set aside: ")]
    assert f"{media / 'empty.jpg'}, {media / 'empty.mp3'}: It is empty" in named  # one reason is told once
    assert "as before" not in first.stderr
    again = command("run", book)
    assert again.exit_code == 3 and "Set aside: " not in again.stderr
    assert f"2 files are set aside as before: {book / 'out' / 'set-aside.csv'}" in again.stderr
    (media / "notes.txt").write_text("Four screws.\n")
    (named,) = [line for line in command("run", book).stderr.splitlines() if line.startswith("Set aside: ")]
    assert f"{media / 'notes.txt'}: It is plain text" in named
    assert "3 files are set aside as before" in command("run", book).stderr


def test_of_many_files_that_are_set_aside_for_one_reason_ten_are_named(book):
    for number in range(12):
        (book.parent / "media" / f"IMG_{number:02}.AAE").write_text("<plist/>")
    told = command("run", book).stderr
    (named,) = [line for line in told.splitlines() if line.startswith("Set aside: ")]
    assert "IMG_09.AAE and 2 more: It is marked-up text" in named and "IMG_10.AAE" not in named
    assert f"All that is set aside is listed in {book / 'out' / 'set-aside.csv'}" in told


def test_a_photo_that_was_changed_where_it_lies_is_told_of_once_with_what_to_do(book, monkeypatch):
    assert "changed since" not in command("run", book).stderr
    monkeypatch.chdir(book.parent)
    make_photo(book.parent / "media" / "IMG_1.jpg", TEN + timedelta(seconds=6), seed=9)
    told = command("run", "winter").stderr
    assert "1 file has changed since it was taken in: media/IMG_1.jpg. What it was stays in the book beside" in told
    assert "in saidseen review winter. Copy what it was from the card or a sealed bag" in told
    assert "changed since" not in command("run", "winter").stderr


def test_a_file_is_named_as_it_is_from_the_folder_in_which_the_command_was_typed(book, monkeypatch):
    (book.parent / "media" / "empty.jpg").write_bytes(b"")
    monkeypatch.chdir(book.parent)
    assert "Set aside: media/empty.jpg: It is empty" in command("run", "winter").stderr


def test_a_run_ends_with_where_to_start_and_the_newest_report(book):
    *_, start, newest = command("run", book).stderr.splitlines()
    assert start == f"Start here: {book / 'out' / 'logbook' / 'index.html'}"
    assert newest.endswith(str(book / "out" / "supporters" / "2026-02" / "report.html"))
    assert command("report", book, "--year", "2026").exit_code == 0
    assert command("run", book).stderr.splitlines()[-1] == newest


def test_a_page_to_print_that_cannot_be_made_is_told_otherwise_than_an_original_that_was_not_copied(tmp_path):
    book = Book(tmp_path / "winter")
    faults = (("logbook/logbook.pdf", "It cannot be set."), ("../media/a.wav", "It is gone."))
    left = Left(media=1, utterances=0, entries=0, facts=0, photos_placed=0, photos_not_placed=0, ended_at=TEN)
    assert list(what_to_see_to(book, Outcome(book.out, copies_missing=faults), left, frozenset())) == [
        f"Could not be made: {book.out / 'logbook/logbook.pdf'}: It cannot be set.",
        f"Could not be copied for the pages: {tmp_path / 'media/a.wav'}: It is gone.",
    ]
