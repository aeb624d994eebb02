"""A book: one folder that holds the settings, the database and what is written from them."""

import json
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

from filelock import BaseFileLock, FileLock, Timeout
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from pipeline.errors import BookInUse, RunFault, WrongCommand, reason_of
from pipeline.mistyped import to_type
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.settings import Settings, read_settings
from pipeline.shipped import shipped

_YEARS_BACK = 2
_OWN = frozenset(
    [
        "book.toml",
        "book.db",
        "book.db-wal",
        "book.db-shm",
        "book.lock",
        "edits.toml",
        "history.jsonl",
        "history.head",
        "history.next",
        "labels.json",
        "run.log",
        "out",
        "vocab",
    ]
)
"""What lies in a book's folder and is no media; anything else there may be."""

_PART = ".book.toml.part"
_EDITS_PART = ".edits.toml.part"
_LEFT_BY_NEW = frozenset({"vocab", "edits.toml", _PART, _EDITS_PART})
"""What a making that was stopped may leave: the next one goes on from there."""


@dataclass(frozen=True)
class Book:
    """The paths of a book."""

    folder: Path

    @property
    def settings_file(self) -> Path:
        """The settings, which people edit."""
        return self.folder / "book.toml"

    @property
    def edits_file(self) -> Path:
        """What the editor wants of the supporters' reports."""
        return self.folder / "edits.toml"

    @property
    def store_file(self) -> Path:
        """The database."""
        return self.folder / "book.db"

    @property
    def vocabulary_folder(self) -> Path:
        """The book's own additions to the vocabulary."""
        return self.folder / "vocab"

    @property
    def out(self) -> Path:
        """What is written from the database and the originals."""
        return self.folder / "out"

    @property
    def labels_file(self) -> Path:
        """The highest numbers on labels: not in the database, which may be lost and made anew from the originals."""
        return self.folder / "labels.json"

    @property
    def history_file(self) -> Path:
        """What was made, decided and signed: not in the database, which may be lost; what people did may not."""
        return self.folder / "history.jsonl"

    @property
    def log_file(self) -> Path:
        """Tracebacks of the program's own faults."""
        return self.folder / "run.log"

    def settings(self) -> Settings:
        """Read the settings; raises WrongCommand."""
        return read_settings(self.settings_file, self.edits_file)

    def offer_edits(self) -> None:
        """Lay a file for the editor's wishes beside the settings, all of it examples, where there is none."""
        if not self.edits_file.exists():
            beside = self.folder / _EDITS_PART
            beside.write_bytes((shipped("templates") / "edits.toml").read_bytes())
            beside.replace(self.edits_file)

    def vocabulary(self, settings: Settings) -> Vocabulary:
        """Load the common vocabulary, the aircraft type's pack, and the book's own additions; raises WrongCommand."""
        return load_vocabulary(self.vocabulary_folders(settings))

    def vocabulary_folders(self, settings: Settings) -> list[Path]:
        """Return the folders that the book's vocabulary is read from, in order; raises WrongCommand.

        Its own is one of them where it is there: copiers and archives leave an empty folder out.
        """
        own = [self.vocabulary_folder] if self.vocabulary_folder.is_dir() else []
        return [*vocabulary_folders(settings.aircraft.type_pack), *own]

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Hold the book for one run or act, and turn a disk that cannot be written to into one line that says so.

        The system frees it when the process ends, however it ends.

        Raises:
            BookInUse: another run has it.
            RunFault: it cannot be held, or what was done inside met a full or read-only disk.
        """
        with self._room():
            lock = self._lock()
            try:
                yield
            finally:
                lock.release()

    def _lock(self) -> BaseFileLock:
        lock = FileLock(self.folder / "book.lock", timeout=0)
        try:
            lock.acquire()
        except Timeout as error:
            raise BookInUse(f"{self.folder}: another run has this book. Wait until it has ended.") from error
        except NotImplementedError as error:
            raise RunFault(
                f"{self.folder}: this drive cannot keep two runs apart; some network shares cannot. Put the book on "
                "a drive of this machine, and copies of it on the share."
            ) from error
        return lock

    @contextmanager
    def _room(self) -> Iterator[None]:
        try:
            yield
        except BrokenPipeError:  # whoever reads what is printed has gone: nothing is wrong with the disk
            raise
        except (OSError, sqlite3.OperationalError) as error:
            why = reason_of(error) if isinstance(error, OSError) else error
            raise RunFault(
                f"{self.folder}: it cannot be written to ({why}). Free some room on the disk, or let yourself "
                "write to the folder, and do it again: what was done so far is kept."
            ) from error


def _is_own(name: str) -> bool:
    return name in _OWN or name.startswith("book.db.before-")


def own_files(paths: Iterable[Path]) -> frozenset[Path]:
    """Return those of the paths that are a book's own files, of this book or any other, and so never media."""
    above = cache(books_above)
    return frozenset(
        path for path in paths if any(_is_own(path.relative_to(book).parts[0]) for book in above(path.parent))
    )


def books_above(folder: Path) -> tuple[Path, ...]:
    """Return the books in which a folder lies, or which it is."""
    return tuple(above for above in (folder, *folder.parents) if (above / "book.toml").is_file())


def vocabulary_folders(type_pack: str, asked_by: str = "aircraft.type_pack =") -> list[Path]:
    """Return the folders of the vocabulary that come with the program: the common base, and one type's pack.

    Raises:
        WrongCommand: there is no such pack; ``asked_by`` is the setting or the option that asks for it.
    """
    folders = [shipped("vocab") / "base"]
    if type_pack:
        pack = shipped("vocab") / type_pack
        if not pack.is_dir() or pack == folders[0]:
            known = sorted(path.name for path in shipped("vocab").iterdir() if path.is_dir() and path.name != "base")
            raise WrongCommand(
                f'{asked_by} "{type_pack}": there is no such pack. Known: {", ".join(known)}; or use "".'
            )
        folders.append(pack)
    return folders


def shipped_vocabulary() -> list[Path]:
    """Return all folders of the vocabulary that come with the program: the common base, and every type's pack."""
    packs = (path for path in shipped("vocab").iterdir() if path.is_dir() and path.name != "base")
    return [shipped("vocab") / "base", *sorted(packs)]


def new_book(
    folder: Path, today: date, *, aircraft: str = "Our aircraft", zone: str = "Europe/London", type_pack: str = ""
) -> Book:
    """Make an empty book.

    Raises:
        WrongCommand: there is a book already, the folder holds other things, or it cannot be written.
    """
    book = Book(folder)
    if book.settings_file.exists():
        raise WrongCommand(f"{folder} is a book already. To go on with it: saidseen run {to_type(folder)}")
    if folder.is_file():
        raise WrongCommand(f"{folder} is a file, and a book is a folder. Name a folder that does not exist yet.")
    if folder.exists() and any(one.name not in _LEFT_BY_NEW for one in folder.iterdir()):
        raise WrongCommand(f"{folder} is not an empty folder. Name a folder that does not exist yet.")
    environment = Environment(
        loader=FileSystemLoader(shipped("templates")), undefined=StrictUndefined, autoescape=False
    )
    environment.filters["toml"] = lambda text: json.dumps(text, ensure_ascii=False)
    text = environment.get_template("book.toml").render(
        aircraft=aircraft,
        zone=zone,
        type_pack=type_pack,
        title=f"{aircraft}: progress report",
        book_starts=date(today.year - _YEARS_BACK, 1, 1).isoformat(),
    )
    try:
        book.vocabulary_folder.mkdir(parents=True, exist_ok=True)
        book.offer_edits()
        beside = folder / _PART
        beside.write_text(text + "\n", encoding="utf-8")
        beside.replace(book.settings_file)  # last, and whole: what a killed command leaves is no book yet
    except OSError as error:
        raise WrongCommand(
            f"{folder} cannot be made ({error.strerror}). Choose a folder that you may write to."
        ) from error
    return book
