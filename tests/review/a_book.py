"""A book to check: the invented weekend of ``tests/written_weekend.py``, with its settings and a history."""

from datetime import UTC, datetime
from pathlib import Path

from pipeline.book import Book
from pipeline.history.chain import append
from pipeline.history.past import Past
from pipeline.history.recording import made_since
from pipeline.history.versions import ReadEntry, WordsRead
from pipeline.records import Records, UtteranceRecord
from tests.written_weekend import write_weekend

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
_SETTINGS = """
[aircraft]
name = "Crew Trainer"
type_pack = "crew-trainer"

[time]
zone = "Europe/London"
book_starts = 2025-01-01

[[people]]
name = "Bea Linnet"
also = ["Bee"]

[[people]]
name = "Ted Marrack"
"""


def written_book(home: Path) -> Book:
    """Write the whole book into a folder, as a run leaves it before anybody has looked at it."""
    write_weekend(home)
    (home / "vocab").mkdir()
    book = Book(home)
    book.settings_file.write_text(_SETTINGS)
    begin_history(book)
    return book


def begin_history(book: Book) -> None:
    """Write what a run adds to the history, from the records that it wrote."""
    records = Records.model_validate_json((book.out / "records.json").read_bytes())
    said = {one.id: one for one in records.utterances}
    read = [
        ReadEntry(
            entry=entry.model_copy(
                update={"review": "unread", "version": "", "decided": (), "signed": (), "now_read": None}
            ),
            words=tuple(_words(said[one]) for one in entry.utterances),
        )
        for entry in records.entries
    ]
    append(book.history_file, made_since(Past(), records.media, read, "saidseen"), NOW)


def _words(one: UtteranceRecord) -> WordsRead:
    return WordsRead(id=one.id, start_s=one.start_s, end_s=one.end_s, heard=one.heard, read=one.read)
