"""Two commands on one book at once: the second says so, does nothing, and ends in 5."""

import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from measuring.small_story import Warm
from pipeline.book import Book, new_book
from pipeline.command_line import app
from pipeline.errors import ExitCode
from pipeline.runner import run
from tests.faults.test_disk import PEOPLE
from tests.small_media import make_captions, make_photo
from tests.test_runner import NOW, ROOT, TEN, contents


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    home = tmp_path_factory.mktemp("two")
    made = new_book(home / "book", NOW.date(), aircraft="Crew Trainer")
    with made.settings_file.open("a", encoding="utf-8") as settings:
        settings.write(PEOPLE)
    make_captions(home / "media" / "note.vtt", TEN)
    make_photo(home / "media" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    run(made, [home / "media"], NOW, bench=Warm().bench)
    return made


def commands(book: Book) -> dict[str, list[str]]:
    return {
        "run": ["run", str(book.folder)],
        "seal": ["seal", str(book.folder), str(book.folder.parent / "bags")],
        "report": ["report", str(book.folder)],
        "logbook": ["logbook", str(book.folder)],
        "labels": ["labels", str(book.folder), "3"],
        "vocab add": ["vocab", "add", str(book.folder), "gizmo plate", "--gloss", "A plate."],
        "decide": ["decide", str(book.folder), "ENTRY", "--accept", "--who", "Alex Example"],
        "amend": [
            "amend",
            str(book.folder),
            "ENTRY",
            "--no-photos",
            "--who",
            "Alex Example",
            "--why",
            "None is of it.",
        ],
    }


def state(book: Book) -> dict[str, str]:
    """Return the bytes of the book, but for the database: whoever looks at its version leaves an empty journal."""
    return {place: digest for place, digest in contents(book.folder).items() if not place.startswith("book.db")}


@pytest.mark.parametrize("command", commands(Book(Path())))
def test_command_on_a_book_that_is_in_use_does_nothing_and_ends_in_5(command, book):
    entry = next(one.id for one in run(book, [], NOW, bench=Warm().bench).records.entries if one.photos)
    args = [entry if arg == "ENTRY" else arg for arg in commands(book)[command]]
    before = state(book)
    with book.locked():
        ended = CliRunner().invoke(app, args)
    assert ended.exit_code == ExitCode.BOOK_IN_USE
    assert f"{book.folder}: another run has this book. Wait until it has ended." in ended.stderr
    assert state(book) == before
    assert not (book.folder.parent / "bags").exists()


def test_book_is_free_again_when_the_process_that_had_it_was_killed(book):
    holder = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "import sys; from pathlib import Path; from pipeline.book import Book\n"
            "with Book(Path(sys.argv[1])).locked(): print('held', flush=True); sys.stdin.read()",
            str(book.folder),
        ],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    assert holder.stdout.readline() == b"held\n"
    assert CliRunner().invoke(app, ["run", str(book.folder)]).exit_code == ExitCode.BOOK_IN_USE
    holder.kill()
    holder.wait()
    assert CliRunner().invoke(app, ["labels", str(book.folder), "1"]).exit_code == ExitCode.DONE
