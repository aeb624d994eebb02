"""Whether anything that a run depends on has changed since the last one ended: if nothing, there is nothing to do.

All of it is put into one fingerprint: every file as the walk sees it, settings and vocabulary, the program's own
files, the model, the history, and everything under ``out/`` as the last run left it. It is kept only of a run after
which another one would do nothing: without a fault that may pass, and with nothing that the calendar may change.
"""

import hashlib
import os
import platform
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path

from pydantic import AwareDatetime, Field

import pipeline
from pipeline.book import Book
from pipeline.digests import add_to, sha256_of
from pipeline.intake.walk import SetAsidePath
from pipeline.records import Records, SetAside
from pipeline.settings import Settings
from pipeline.shipped import shipped
from pipeline.store import Store
from pipeline.values import FileSeen, Value

_SCHEMA = "CREATE TABLE IF NOT EXISTS last_run (state TEXT NOT NULL, left TEXT NOT NULL)"
_SHIPPED = ("templates", "learnt")


class Left(Value):
    """What a run left: its numbers, how many results each stage has, what was set aside, and what is told of that.

    ``ended_at`` is when the run was: to a clock that has been set back, all is new. ``only_on`` is the day (ISO 8601,
    UTC) on which alone this holds, "" for any. ``to_say`` are lines that each run says until somebody does something.
    """

    media: int
    utterances: int
    entries: int
    facts: int
    photos_placed: int
    photos_not_placed: int
    set_aside: tuple[SetAside, ...] = ()
    told: tuple[SetAside, ...] = ()
    done: Mapping[str, int] = Field(default_factory=dict)
    ended_at: AwareDatetime
    only_on: str = ""
    to_say: tuple[str, ...] = ()


class Surroundings:
    """What a run depends on, looked at before it does anything."""

    def __init__(
        self, book: Book, settings: Settings, model: str = "", stages: Sequence[tuple[str, int]] = ()
    ) -> None:
        """Read settings, vocabulary and the program's files as they are now.

        Args:
            book: the book.
            settings: as they were read.
            model: the model that was asked for, the book's own if "".
            stages: name and version of each stage, where it is not the program's own list.
        """
        self._book = book
        self._seen = hashlib.sha256()
        for part in (
            pipeline.__version__,
            platform.python_version(),
            str(book.folder.absolute()),
            _hash(book.settings_file),
            _hash(book.edits_file),
            *(f"{name} {version}" for name, version in stages),
            *_of_model(model or settings.hearing.model),
            *_contents(book.vocabulary_folders(settings)),
            *_program(),
        ):
            add_to(self._seen, part)

    def add(self, places: Iterable[str], files: Iterable[FileSeen], aside: Iterable[SetAsidePath]) -> None:
        """Add the places in which media are looked for, and what was found there."""
        for place in places:
            add_to(self._seen, f"{place}\0{Path(place).exists()}")
        for file in files:
            add_to(self._seen, f"{file.path}\0{file.size}\0{file.modified_ns}")
        for one in aside:
            add_to(self._seen, f"{one.path}\0{one.why}")

    def state(self) -> str:
        """Return the fingerprint of all that, and of the history and ``out/`` as they are at this moment."""
        whole = self._seen.copy()
        for ending in (".jsonl", ".head", ".next"):
            add_to(whole, _hash(self._book.history_file.with_suffix(ending)))
        for line in _stats(self._book.out):
            add_to(whole, line)
        return whole.hexdigest()


def left_by(
    records: Records,
    set_aside: Iterable[SetAside],
    results: Mapping[str, int],
    ended_at: datetime,
    only_today: bool,
    to_say: Iterable[str] = (),
) -> Left:
    """Return what a run left.

    Args:
        records: as it wrote them.
        set_aside: what it set aside, with the paths that the files had.
        results: how many results each stage has.
        ended_at: when it was.
        only_today: the calendar may change what comes of it.
        to_say: what it says to whoever runs it, and a run that finds nothing new says again.
    """
    return Left(
        media=len(records.media),
        utterances=len(records.utterances),
        entries=len(records.entries),
        facts=sum(len(entry.facts) for entry in records.entries),
        photos_placed=sum(len(entry.photos) for entry in records.entries),
        photos_not_placed=len(records.unplaced_photos),
        set_aside=tuple(set_aside),
        told=records.set_aside,
        done=results,
        ended_at=ended_at,
        only_on=ended_at.date().isoformat() if only_today else "",
        to_say=tuple(to_say),
    )


def as_left(store: Store, state: str, now: datetime) -> Left | None:
    """Return what the last run left, if all is as it was then; else None."""
    db = store.connection
    if not db.execute("SELECT 1 FROM sqlite_master WHERE name='last_run'").fetchone():
        return None
    row = db.execute("SELECT left FROM last_run WHERE state=?", (state,)).fetchone()
    if row is None:
        return None
    left = Left.model_validate_json(row[0])
    holds = left.ended_at <= now and left.only_on in ("", now.date().isoformat())
    return left if holds else None


def forget(store: Store) -> None:
    """Forget the last run, before anything is changed."""
    store.connection.execute(_SCHEMA)
    store.connection.execute("DELETE FROM last_run")


def remember(store: Store, state: str, left: Left) -> None:
    """Keep the state in which a run ended, and what it left."""
    forget(store)
    store.connection.execute("INSERT INTO last_run VALUES (?,?)", (state, left.model_dump_json()))


def _hash(path: Path) -> str:
    try:
        return sha256_of(path)
    except OSError:
        return ""


def _contents(folders: Iterable[Path]) -> Iterator[str]:
    for folder in folders:
        for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
            yield f"{path} {_hash(path)}"


@cache
def _program() -> tuple[str, ...]:
    """Return the program's own files as they were when this process first asked: it goes on with what it loaded."""
    code = _stats(Path(pipeline.__file__).parent, "*.py")
    return (*code, *(line for name in _SHIPPED for line in _stats(shipped(name))))


def _of_model(name: str) -> Iterator[str]:
    yield name
    folder = Path(name).expanduser()
    if folder.is_dir():
        yield from _stats(folder)


def _stats(folder: Path, pattern: str = "*") -> list[str]:
    """Return a line for each file under a folder: its place, its length, and when it and its entry were changed."""
    ending = pattern.removeprefix("*")
    lines, waiting = [], [str(folder)]
    while waiting:
        here = waiting.pop()
        try:
            entries = list(os.scandir(here))
        except OSError:
            continue
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                waiting.append(entry.path)
            elif entry.name.endswith(ending):
                info = entry.stat(follow_symlinks=False)
                lines.append(f"{entry.path}\0{info.st_size}\0{info.st_mtime_ns}\0{info.st_ctime_ns}")
    return sorted(lines)
