"""A book of an older program is brought up to date, with a copy kept, and told."""

import sqlite3
from contextlib import closing

import pytest
from typer.testing import CliRunner

from pipeline import store
from pipeline.book import new_book, own_files
from pipeline.command_line import app
from pipeline.digests import sha256_of_text
from pipeline.errors import RunFault
from pipeline.evidence import upgrading
from pipeline.evidence.upgrading import bring_up_to_date, is_older
from pipeline.history.chain import read
from pipeline.store import Store
from tests.evidence.small_book import NOW

# A file of version 0, written by hand: it has no list of the folders that runs were given.
OLDEST = """
CREATE TABLE files (
    path TEXT NOT NULL, media TEXT NOT NULL, size INTEGER NOT NULL, modified_ns INTEGER NOT NULL,
    current INTEGER NOT NULL, PRIMARY KEY (path, media)) WITHOUT ROWID;
CREATE TABLE made (
    stage TEXT NOT NULL, item TEXT NOT NULL, key TEXT NOT NULL, value TEXT, fault TEXT,
    PRIMARY KEY (stage, item)) WITHOUT ROWID;
INSERT INTO files VALUES ('/media/a.jpg', 'sha256:1', 10, 5, 1);
INSERT INTO made VALUES ('hear', 'sha256:1', 'k', '{}', NULL);
INSERT INTO made VALUES ('hear', 'sha256:2', 'k', NULL, 'Deaf.');
"""


@pytest.fixture
def book(tmp_path):
    made = new_book(tmp_path / "book", NOW.date())
    with closing(sqlite3.connect(made.store_file)) as db:
        db.executescript(OLDEST)
    return made


@pytest.fixture
def newer(monkeypatch):
    """A program whose tables have one more column."""
    steps = (*store.UPGRADES, "ALTER TABLE files ADD COLUMN seen_on TEXT NOT NULL DEFAULT '';")
    monkeypatch.setattr(store, "UPGRADES", steps)
    for module in (store, upgrading):
        monkeypatch.setattr(module, "SCHEMA_VERSION", len(steps))


def version_and_files(path):
    with closing(sqlite3.connect(path)) as db:
        return db.execute("PRAGMA user_version").fetchone()[0], db.execute("SELECT * FROM files").fetchall()


def test_an_older_file_is_upgraded_keeps_what_it_held_and_is_kept_as_it_was(book):
    assert is_older(book)
    told = bring_up_to_date(book, NOW)
    copy = book.folder / "book.db.before-2"
    assert str(copy) in told
    assert version_and_files(copy) == (0, [("/media/a.jpg", "sha256:1", 10, 5, 1)])
    with Store(book.store_file) as opened:
        assert opened.upgraded is None
        assert opened.folders() == ()
        assert opened.made("hear", "sha256:1", "k").value == "{}"
        assert opened.kept("hear") == {
            "sha256:1": ("k", sha256_of_text("{}"), None),
            "sha256:2": ("k", None, "Deaf."),
        }
    assert not is_older(book)
    assert bring_up_to_date(book, NOW) == ""
    (event,) = read(book.history_file).events
    assert (event.act, event.on, event.before, event.after) == ("upgrade", "book.db", 0, 2)


def test_every_step_between_the_versions_is_taken(book, newer):
    bring_up_to_date(book, NOW)
    assert version_and_files(book.store_file) == (3, [("/media/a.jpg", "sha256:1", 10, 5, 1, "")])


def test_a_file_of_the_version_before_takes_one_step(tmp_path, monkeypatch):
    path = tmp_path / "book.db"
    with Store(path) as opened:
        opened.remember_folders(["/media"])
        assert opened.upgraded is None
    monkeypatch.setattr(store, "UPGRADES", (*store.UPGRADES, "CREATE TABLE more (x);"))
    monkeypatch.setattr(store, "SCHEMA_VERSION", 3)
    with Store(path) as opened:
        assert (opened.upgraded.before, opened.upgraded.after) == (2, 3)
        assert opened.folders() == ("/media",)
    assert (tmp_path / "book.db.before-3").is_file()


def test_an_upgrade_that_fails_leaves_the_file_as_it_was(book, monkeypatch):
    monkeypatch.setattr(store, "UPGRADES", (*store.UPGRADES, "CREATE TABLE more (x); ALTER TABLE none ADD y;"))
    before = version_and_files(book.store_file)
    with pytest.raises(RunFault, match=r"book\.db cannot be used"):
        Store(book.store_file)
    assert version_and_files(book.store_file) == before
    with closing(sqlite3.connect(book.store_file)) as db:
        assert not db.execute("SELECT 1 FROM sqlite_schema WHERE name = 'more'").fetchall()


def test_a_copy_that_is_there_is_not_written_over(book):
    (book.folder / "book.db.before-2").write_bytes(b"mine")
    bring_up_to_date(book, NOW)
    assert (book.folder / "book.db.before-2").read_bytes() == b"mine"
    assert version_and_files(book.folder / "book.db.before-2.2")[0] == 0


def test_a_file_that_is_only_read_is_not_upgraded(book):
    before = book.store_file.read_bytes()
    with pytest.raises(RunFault, match="older saidseen"):
        Store(book.store_file, read_only=True)
    assert book.store_file.read_bytes() == before


def test_the_copy_is_the_books_own_and_no_media(book):
    copy = book.folder / "book.db.before-2"
    assert own_files([copy, book.folder / "IMG_1.jpg"]) == {copy}


def test_the_command_tells_of_it_once(book):
    first, second = (CliRunner().invoke(app, ["find", str(book.folder), "rudder"]) for _ in range(2))
    assert "was of an older saidseen and was brought up to date" in first.stderr
    assert "older saidseen" not in second.stderr


def test_settings_with_fewer_keys_than_there_are_today_are_read(book):
    book.settings_file.write_text('[time]\nzone = "Europe/London"\nbook_starts = 2025-01-01\n')
    settings = book.settings()
    assert settings.people == ()
    assert settings.aircraft.name == "Our aircraft"
