"""The book's SQLite file: which files were seen, and what each stage made of each item.

A result is kept under its stage and item with a key: a fingerprint of everything that it depends on. One whose key is
another is made again, so nothing stale survives, and what is there is never made twice. Each value lies there with
its digest, by which the keys of what is made from it are known without reading it. Every result is committed on its
own, so a run that is killed loses at most the item in hand.
"""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import NamedTuple, Self

from pydantic import BaseModel
from pydantic_core import to_json

from pipeline.digests import sha256_of_bytes, sha256_of_text
from pipeline.errors import RunFault
from pipeline.values import FileSeen

_FIRST_SCHEMA = """
CREATE TABLE IF NOT EXISTS files (
    path TEXT NOT NULL, media TEXT NOT NULL, size INTEGER NOT NULL, modified_ns INTEGER NOT NULL,
    current INTEGER NOT NULL, PRIMARY KEY (path, media)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS folders (path TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS made (
    stage TEXT NOT NULL, item TEXT NOT NULL, key TEXT NOT NULL, value TEXT, fault TEXT,
    PRIMARY KEY (stage, item)) WITHOUT ROWID;
"""

# The value stands last, because a long one is kept apart from its row, and what comes before it is read without it.
_WITH_DIGESTS = """
CREATE TABLE results (
    stage TEXT NOT NULL, item TEXT NOT NULL, key TEXT NOT NULL, digest TEXT, fault TEXT, value TEXT,
    PRIMARY KEY (stage, item)) WITHOUT ROWID;
INSERT INTO results SELECT stage, item, key, digest_of(value), fault, value FROM made ORDER BY stage, item;
DROP TABLE made;
ALTER TABLE results RENAME TO made;
"""

UPGRADES: tuple[str, ...] = (_FIRST_SCHEMA, _WITH_DIGESTS)
"""What brings a file of version n to version n + 1, at place n; a change of the tables adds one."""

SCHEMA_VERSION = len(UPGRADES)


def fingerprint(*parts: object) -> str:
    """Return a SHA-256 in hexadecimal over frozen values, texts, numbers, and lists or dictionaries of them."""
    return sha256_of_text(_AS_TEXT.encode(parts))


def key_of(*parts: str | int | Mapping[str, str]) -> str:
    """Return the same for texts, whole numbers, and texts by texts in order, a good deal sooner."""
    return sha256_of_bytes(to_json(parts))


def _copy_beside(db: sqlite3.Connection, path: Path) -> Path:
    """Copy a file as it is, with what its journal holds, to a name beside it that is not taken; return that."""
    name = f"{path.name}.before-{SCHEMA_VERSION}"
    taken = [path.with_name(name), *(path.with_name(f"{name}.{number}") for number in range(2, 1000))]
    copy = next(place for place in taken if not place.exists())
    beside = path.with_name(f"{copy.name}.part")
    beside.unlink(missing_ok=True)
    with closing(sqlite3.connect(beside)) as held:
        db.backup(held)
    beside.replace(copy)
    return copy


def _plain(part: object) -> object:
    if isinstance(part, BaseModel):
        return part.model_dump(mode="json")
    return str(part)


_AS_TEXT = json.JSONEncoder(default=_plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


@dataclass(frozen=True)
class Made:
    """What a stage made of an item: its value as JSON text, or the fault that set the item aside."""

    key: str
    value: str | None
    fault: str | None


class KeptDigest(NamedTuple):
    """The same without the value: only its digest, None where the item was set aside."""

    key: str
    digest: str | None
    fault: str | None


@dataclass(frozen=True)
class Upgraded:
    """What was done to an older file: the versions of its tables, and where the file as it was is kept."""

    before: int
    after: int
    copy: Path


class Store:
    """The open book. Use it as a context manager, and from one thread."""

    def __init__(self, path: Path, *, read_only: bool = False) -> None:
        """Open the file, making it if it is not there; one of an older program is upgraded, and a copy of it kept.

        Args:
            read_only: change nothing, and do not make it; an older file is refused.

        Raises:
            RunFault: it cannot be opened, is not a book's file, or is of a newer program.
        """
        self.path = path
        self.upgraded: Upgraded | None = None
        try:
            if read_only:
                self._db = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None)
            else:
                self._db = sqlite3.connect(path, isolation_level=None)
                (journal,) = self._db.execute("PRAGMA journal_mode=WAL").fetchone()
                # A drive that cannot share memory between programs, as most network shares, keeps the plain journal.
                self._db.execute(f"PRAGMA synchronous={'NORMAL' if journal == 'wal' else 'FULL'}")
            self._db.execute("PRAGMA busy_timeout=10000")
            (version,) = self._db.execute("PRAGMA user_version").fetchone()
            if version > SCHEMA_VERSION:
                raise RunFault(f"{path} was written by a newer saidseen. Install that version to go on with it.")
            if version < SCHEMA_VERSION:
                if read_only:
                    raise RunFault(
                        f"{path} was written by an older saidseen. Run the book once to bring it up to date."
                    )
                self._upgrade(version)
        except sqlite3.DatabaseError as error:
            raise RunFault(
                f"{path} cannot be used ({error}). If the disk is full or read-only, mend that; "
                "if the file is damaged, move it away and run again: it is made anew from the originals."
            ) from error

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._db.close()

    def _upgrade(self, version: int) -> None:
        """Bring the tables up to date, all or nothing; a file that held something is copied first."""
        holds = self._db.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
        copy = _copy_beside(self._db, self.path) if holds else None
        steps = "".join(UPGRADES[version:])
        self._db.create_function("digest_of", 1, lambda value: None if value is None else sha256_of_text(value))
        try:
            self._db.executescript(f"BEGIN IMMEDIATE;{steps}PRAGMA user_version={SCHEMA_VERSION};COMMIT;")
        except sqlite3.DatabaseError:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")
            raise
        if copy is not None:
            self.upgraded = Upgraded(version, SCHEMA_VERSION, copy)

    @property
    def connection(self) -> sqlite3.Connection:
        """The SQLite connection, for the search index, which has its own tables."""
        return self._db

    @contextmanager
    def at_once(self) -> Iterator[None]:
        """Keep all that is changed meanwhile, or none of it where it is cut short."""
        with self._db:
            self._db.execute("BEGIN")
            yield

    # Files -----------------------------------------------------------------------------------------------------

    def remember_folders(self, paths: Iterable[str]) -> None:
        """Keep the files and folders given to a run, so that the next one looks there again."""
        self._db.executemany("INSERT OR IGNORE INTO folders VALUES (?)", [(path,) for path in paths])

    def folders(self) -> tuple[str, ...]:
        """Return every file and folder that any run was given, sorted."""
        return tuple(row[0] for row in self._db.execute("SELECT path FROM folders ORDER BY path"))

    def current(self) -> dict[str, tuple[int, int]]:
        """Return size and time of every file as it was when it was last read, by path."""
        rows = self._db.execute("SELECT path, size, modified_ns FROM files WHERE current=1")
        return {path: (size, modified_ns) for path, size, modified_ns in rows}

    def keep_file(self, file: FileSeen, media: str) -> None:
        """Keep that the file holds this media; what the path held before stays known, but as not current."""
        with self.at_once():
            self._db.execute("UPDATE files SET current=0 WHERE path=?", (file.path,))
            self._db.execute(
                "INSERT OR REPLACE INTO files VALUES (?,?,?,?,1)", (file.path, media, file.size, file.modified_ns)
            )

    def files(self) -> Iterator[tuple[str, FileSeen, bool]]:
        """Yield (media id, file, whether the path still holds it), sorted by media and path."""
        rows = self._db.execute("SELECT media, path, size, modified_ns, current FROM files ORDER BY media, path")
        for media, path, size, modified_ns, current in rows:
            yield media, FileSeen(path=path, size=size, modified_ns=modified_ns), bool(current)

    # Results ---------------------------------------------------------------------------------------------------

    def made(self, stage: str, item: str, key: str) -> Made | None:
        """Return what the stage made of the item under this key, or None."""
        row = self._db.execute(
            "SELECT key, value, fault FROM made WHERE stage=? AND item=? AND key=?", (stage, item, key)
        ).fetchone()
        return None if row is None else Made(*row)

    def latest(self, stage: str, item: str) -> Made | None:
        """Return what the stage last made of the item, under whatever key, or None."""
        row = self._db.execute(
            "SELECT key, value, fault FROM made WHERE stage=? AND item=?", (stage, item)
        ).fetchone()
        return None if row is None else Made(*row)

    def kept(self, stage: str) -> dict[str, KeptDigest]:
        """Return what is kept of all that a stage made, by item, without reading a value."""
        rows = self._db.execute("SELECT item, key, digest, fault FROM made WHERE stage=?", (stage,))
        return {item: KeptDigest(*more) for item, *more in rows}

    def digests(self, stage: str) -> dict[str, str]:
        """Return the digest of each value that a stage made, by item, in order."""
        asked = "SELECT item, digest FROM made WHERE stage=? AND digest NOT NULL ORDER BY item"
        return dict(self._db.execute(asked, (stage,)).fetchall())

    def value(self, stage: str, item: str) -> str:
        """Return a value as JSON text; raises LookupError where there is none."""
        made = self.latest(stage, item)
        if made is None or made.value is None:
            raise LookupError(stage, item)
        return made.value

    def values(self, stage: str) -> Iterator[tuple[str, str]]:
        """Yield all values of a stage as JSON text with their items, sorted by item."""
        asked = "SELECT item, value FROM made WHERE stage=? AND value NOT NULL ORDER BY item"
        yield from self._db.execute(asked, (stage,))

    def keep(self, stage: str, item: str, key: str, value: str | None, fault: str | None = None) -> str | None:
        """Keep a result, in place of what the stage made of the item before; return its value's digest."""
        digest = None if value is None else sha256_of_text(value)
        self._db.execute(
            "INSERT OR REPLACE INTO made (stage, item, key, digest, fault, value) VALUES (?,?,?,?,?,?)",
            (stage, item, key, digest, fault, value),
        )
        return digest
