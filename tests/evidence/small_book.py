"""A small book for tests of sealing: a few bytes for each original, and records that name them. Nothing is heard."""

import hashlib
import os
from datetime import UTC, datetime
from pathlib import Path

from pipeline.book import Book, new_book
from pipeline.history.chain import append
from pipeline.history.events import Act
from pipeline.records import BookRecord, MediaRecord, Records
from pipeline.store import Store
from pipeline.values import FileSeen
from pipeline.writing.records_file import records_json
from pipeline.writing.written_files import place_files

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)
MEDIA = {"camera/IMG_1.jpg": b"a photo", "phone/Voice 031.m4a": b"some sound", "phone/note.vtt": b"WEBVTT\n"}
PEOPLE = """
[[people]]
name = "Alex Example"
role = "strip leader"
consent = true

[[people]]
name = "Sam Quiet"
role = "airframe fitter"
consent = false
"""


def small_book(home: Path, media: dict[str, bytes] | None = None) -> Book:
    """Make a book in ``home``/winter whose originals lie in ``home``/media, as a run would have left them."""
    book = new_book(home / "winter", NOW.date(), aircraft="Crew Trainer")
    with book.settings_file.open("a") as settings:
        settings.write(PEOPLE)
    given = MEDIA if media is None else media
    for place, content in given.items():
        (home / "media" / place).parent.mkdir(parents=True, exist_ok=True)
        (home / "media" / place).write_bytes(content)
        os.utime(home / "media" / place, (1_771_000_000, 1_771_000_000))
    take_in(book, home / "media")
    for place in list(given)[:1]:
        one, after = media_id(home / "media" / place), {"path": f"../media/{place}"}
        append(book.history_file, [Act("saidseen 0.1.0", "took-in", one, None, after)], NOW)
    append(book.history_file, [Act("Alex Example", "answer", "rule-1")], NOW)
    return book


def take_in(book: Book, media: Path) -> None:
    """Note every file of a folder in the book's database, and write ``out/`` anew."""
    with Store(book.store_file) as store:
        store.remember_folders([str(media)])
        for path in sorted(media.rglob("*")):
            if path.is_file():
                seen = FileSeen(path=str(path), size=path.stat().st_size, modified_ns=path.stat().st_mtime_ns)
                store.keep_file(seen, media_id(path))
        files = [(media_id, file.path) for media_id, file, current in store.files() if current]
    paths: dict[str, list[str]] = {}
    for one, path in files:
        paths.setdefault(one, []).append(path)
    kept = records(book, paths)
    pages = {
        "records.json": records_json(kept),
        "logbook/index.html": f"<p>{len(paths)} originals".encode(),
        "captions/note-1.vtt": b"WEBVTT\n\n00:00.000 --> 00:01.000\nThe rudder's off.\n",
    }
    place_files(book.out, "book", pages)
    place_files(book.out, "supporters/2026-02", {"supporters/2026-02/report.html": b"<p>News"})


def records(book: Book, paths: dict[str, list[str]]) -> Records:
    """Return records that hold nothing but the media."""
    media = tuple(
        MediaRecord(
            id=one,
            path=os.path.relpath(found[0], book.folder).encode("utf-8", "backslashreplace").decode(),
            kind="photo",
            content_type="image/jpeg",
            taken_at=TEN,
            time_source="gps",
            time_error_s=1.0,
            shown_at=TEN,
            moved_s=0.0,
            device="Ollerfen CX 210",
        )
        for one, found in sorted(paths.items())
    )
    whose = BookRecord(
        title="News", aircraft="Crew Trainer", zone="Europe/London", program="saidseen 0.1.0", model="base sha256:0",
        vocabulary="0" * 64,
    )  # fmt: skip
    return Records(book=whose, media=media)


def media_id(path: Path) -> str:
    """Return the id of a file's content."""
    return f"sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}"


def contents(folder: Path) -> dict[str, bytes]:
    """Return the bytes of every file under a folder."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
