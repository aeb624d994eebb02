"""A book of an older program brought up to date: its database, with a copy kept, told and noted in the history."""

import sqlite3
from contextlib import closing
from datetime import datetime

import pipeline
from pipeline.book import Book
from pipeline.history.chain import HistoryChanged, append
from pipeline.history.events import Act
from pipeline.store import SCHEMA_VERSION, Store


def is_older(book: Book) -> bool:
    """Tell whether a book's database is of an older program; False where there is none, or it cannot be read."""
    if not book.store_file.is_file():
        return False
    try:
        with closing(sqlite3.connect(f"{book.store_file.absolute().as_uri()}?mode=ro", uri=True)) as db:
            (version,) = db.execute("PRAGMA user_version").fetchone()
            (tables,) = db.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    except sqlite3.DatabaseError:
        return False
    return bool(tables) and version < SCHEMA_VERSION


def bring_up_to_date(book: Book, now: datetime) -> str:
    """Upgrade a book's database if it is of an older program, and return what to tell of it, "" where it is not.

    ``book.toml`` needs nothing: a setting that it does not have is as it was before there was such a setting. The
    caller holds the book's lock.

    Raises:
        RunFault: the database cannot be upgraded; it is then as it was.
    """
    if not is_older(book):
        return ""
    with Store(book.store_file) as store:
        done = store.upgraded
    if done is None:
        return ""
    program = f"saidseen {pipeline.__version__}"
    try:
        append(book.history_file, [Act(program, "upgrade", book.store_file.name, done.before, done.after)], now)
    except HistoryChanged as fault:
        return f"{book.store_file} was brought up to date; as it was before, it is {done.copy}. {fault}"
    return f"{book.store_file} was of an older saidseen and was brought up to date; as it was, it is {done.copy}."
