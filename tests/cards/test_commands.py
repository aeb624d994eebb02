"""The commands for cards and labels, as a person types them."""

import json
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path
from urllib.request import urlopen

import pytest
from typer.testing import CliRunner

from pipeline.command_line import app

ROOT = Path(__file__).parent.parent.parent


def command(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def book(tmp_path):
    assert command("new", tmp_path / "book").exit_code == 0
    return tmp_path / "book"


def test_labels_prints_where_they_lie_and_how_to_print_them(book):
    result = command("labels", book, 8)
    assert result.exit_code == 0
    assert Path(result.stdout.strip()) == book / "out" / "labels" / "P-0001-to-P-0008.pdf"
    assert Path(result.stdout.strip()).read_bytes().startswith(b"%PDF-")
    assert result.stderr == "Labels up to P-0008. Print them at full size, not fitted to the page.\n"
    assert json.loads((book / "labels.json").read_text()) == {"highest": {"P": 8}}


def test_labels_go_on_with_the_letters_that_all_labels_of_the_book_have(book):
    assert command("labels", book, 2, "--prefix", "D", "--from", 101).exit_code == 0
    assert "D-0101-to" not in command("labels", book, 2).stdout
    assert json.loads((book / "labels.json").read_text()) == {"highest": {"D": 104}}
    assert command("labels", book, 1, "--prefix", "B").exit_code == 0
    assert Path(command("labels", book, 1).stdout.strip()).name == "P-0001.pdf"


def test_labels_takes_first_number_prefix_paper_and_file(book, tmp_path):
    sheet = tmp_path / "bags.pdf"
    result = command("labels", book, 1, "--from", 41, "--prefix", "B", "--paper", "letter", "--to", sheet)
    assert (result.exit_code, result.stdout.strip()) == (0, str(sheet))
    assert "B-0041" in result.stderr


@pytest.mark.parametrize(
    "words",
    [("labels", "BOOK", 2, "--to"), ("logbook", "BOOK", "--to-file"), ("trace", "BOOK", "e-1", "--page")],
    ids=lambda words: words[0],
)
def test_no_command_writes_over_a_photo(book, tmp_path, words):
    photo = tmp_path / "IMG_1.jpg"
    photo.write_bytes(b"a photo")
    result = command(*(book if word == "BOOK" else word for word in words), photo)
    assert result.exit_code == 2 and "IMG_1.jpg' does not end in ." in result.stderr
    assert photo.read_bytes() == b"a photo"


def test_labels_that_were_made_before_are_told(book):
    command("labels", book, 3)
    assert "made before" in command("labels", book, 1, "--from", 2).stderr


@pytest.mark.parametrize("words", [("0",), ("1001",), ("many",), ("1", "--from", "0"), ("1", "--paper", "a5")])
def test_labels_that_cannot_be_are_a_wrong_command(book, words):
    assert command("labels", book, *words).exit_code == 2
    assert not (book / "labels.json").exists()


def test_labels_of_a_folder_that_is_no_book_is_a_wrong_command(tmp_path):
    result = command("labels", tmp_path, 1)
    assert result.exit_code == 2
    assert "saidseen new" in result.stderr


def test_clock_shows_the_card_at_the_address_that_it_prints_until_it_is_stopped():
    process = subprocess.Popen(
        [sys.executable, "-m", "pipeline", "clock", "--no-browser", "--zone", "Asia/Kolkata"],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=partial(signal.signal, signal.SIGINT, signal.SIG_DFL),  # whatever the tests themselves ignore
    )
    try:
        address = process.stdout.readline().strip()
        assert address.startswith("http://127.0.0.1:")
        with urlopen(address, timeout=30) as answer:
            page = answer.read().decode()
        assert "QR code: CLOCK 20" in page and "+05:30" in page
        process.send_signal(signal.SIGINT)
        rest, messages = process.communicate(timeout=30)
    finally:
        process.kill()
        process.wait()
    assert (process.returncode, rest, messages) == (0, "", "The clock card is closed.\n")


def test_clock_opens_the_browser_unless_told_not_to(monkeypatch):
    opened = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    monkeypatch.setattr("pipeline.cards.clock_page.ClockServer.serve_forever", lambda server: None)
    result = command("clock")
    assert (result.exit_code, opened) == (0, [result.stdout.strip()])
    assert command("clock", "--no-browser").exit_code == 0
    assert len(opened) == 1


def test_clock_in_a_zone_that_is_none_is_a_wrong_command():
    result = command("clock", "--zone", "Mars/Base", "--no-browser")
    assert result.exit_code == 2
    assert "'Mars/Base' is not a time zone name" in result.stderr


def test_prefix_may_be_typed_as_it_stands_on_a_label(book, tmp_path):
    result = command("labels", book, 1, "--from", 41, "--prefix", "m-", "--to", tmp_path / "bags.pdf")
    assert result.exit_code == 0, result.stderr
    assert "M-0041" in result.stderr
