"""An open book: its records are what the next run would write, and it is open only where there is a history."""

from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history.acts import Change
from pipeline.history.seen import Seen
from pipeline.records import Records
from pipeline.review.open_book import OpenBook
from pipeline.review.server import review_app
from tests.review.a_book import NOW
from tests.test_command_line import command, run_book  # noqa: F401


def written(book):
    return Records.model_validate_json((book.out / "records.json").read_bytes())


def test_records_after_acts_are_those_of_the_next_run(run_book):  # noqa: F811
    book = Book(run_book[0])
    settings = book.settings_file
    settings.write_text(settings.read_text() + '\n[[people]]\nname = "Bea Linnet"\n')
    opened = OpenBook(book, lambda: datetime(2026, 3, 1, tzinfo=UTC))
    assert opened.records() == written(book)
    entry = opened.records().entries[0]
    (words,) = opened.amend(
        [(Seen.of(entry), Change(words={entry.utterances[0]: "Quite other words."}))], "Bea Linnet", "heard so"
    )
    entry = opened.records().entries[0]
    opened.amend([(Seen.of(entry), Change(photos=[]))], "Bea Linnet", "not this")
    after = opened.records()
    assert command("run", book.folder, "--quiet").exit_code == 0
    anew = written(book)
    loose = {one.media for one in anew.unplaced_photos}
    assert {one.media for one in after.unplaced_photos} == loose
    assert after.model_copy(update={"unplaced_photos": anew.unplaced_photos}) == anew
    assert opened.records() == anew
    opened.withdraw(entry.id, words.n, "Bea Linnet", "it was right")
    taken_back = opened.records()
    assert command("run", book.folder, "--quiet").exit_code == 0
    assert taken_back.entries == written(book).entries
    assert [one.read for one in taken_back.utterances] == [one.read for one in written(book).utterances]


def test_a_book_that_was_never_run_or_has_no_history_says_what_to_do(book, tmp_path):
    book.history_file.unlink()
    book.history_file.with_suffix(".head").unlink()
    with pytest.raises(WrongCommand, match="saidseen run"):
        OpenBook(book, lambda: NOW)
    command("new", tmp_path / "new")
    with pytest.raises(WrongCommand, match="no records yet"):
        OpenBook(Book(tmp_path / "new"), lambda: NOW)


def test_command_refuses_a_stranger_and_a_port_that_is_taken(book):
    done = command("review", book.folder, "--no-browser", "--who", "Nobody")
    assert done.exit_code == 2 and "Bea Linnet, Ted Marrack" in done.stderr
    from pipeline.review.review_command import listener

    with listener(0) as here:
        taken = command("review", book.folder, "--no-browser", "--port", here.getsockname()[1])
    assert taken.exit_code == 2 and "not to be had" in taken.stderr


def test_words_that_came_as_captions_have_no_player(run_book):  # noqa: F811
    opened = OpenBook(Book(run_book[0]), lambda: NOW)
    client = TestClient(review_app(opened, 8123, "secret", "Bea Linnet"), base_url="http://127.0.0.1:8123")
    client.get("/?token=secret")
    entry = opened.records().entries[0]
    text = client.get(f"/entry/{entry.id}").text
    assert "<audio" not in text and "without sound" in text
    assert client.get(f"/media/{entry.media.removeprefix('sha256:')}").status_code == 404
