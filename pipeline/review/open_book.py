"""A book that is open for checking: its records as they stand with every decision so far, and acts upon them."""

import threading
import time
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Literal, TypeVar

from pipeline.assemble import decided_anew
from pipeline.bench import Bench
from pipeline.book import Book
from pipeline.errors import BookInUse, WrongCommand
from pipeline.history import chain
from pipeline.history.acts import Change, Seen, amend_together, answer, decide, withdraw
from pipeline.history.events import Event
from pipeline.history.past import Past, past_of
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Records
from pipeline.search import index
from pipeline.settings import Answer, Settings
from pipeline.store import Store
from pipeline.writing.write import write_book

_PATIENCE_S = 3.0
_BETWEEN_S = 0.1
_Made = TypeVar("_Made")


class OpenBook:
    """One book under review. All acts go into its history; the records are put together from it again after each.

    Args:
        book: one that was run.
        now: reads the clock.

    Raises:
        WrongCommand: the book was not run yet, or by a program that kept no history.
    """

    def __init__(self, book: Book, now: Callable[[], datetime]) -> None:
        self.book = book
        self._now = now
        self._lock = threading.RLock()
        self._state: tuple[object, ...] = ()
        self.unwritten = 0
        self._read()
        if self._run.entries and not self.past.read:
            raise WrongCommand(f"{book.folder}: its history holds no entry. Run it: saidseen run {book.folder}")

    @property
    def settings(self) -> Settings:
        """The book's settings."""
        return self._settings

    @property
    def vocabulary(self) -> Vocabulary:
        """The book's vocabulary."""
        return self._vocabulary

    def records(self) -> Records:
        """Return the records as they stand now, also after another page or a run has changed the book."""
        with self._lock:
            if self._state != self._on_disk():
                self._read()
            return self._records

    def decide(self, seen: Seen, act: Literal["accept", "reject"], who: str, why: str = "") -> Event:
        """Accept or reject an entry as it was seen. Raises as ``acts.decide``."""
        return self._act(lambda: decide(self.book, seen, act, who, self._now(), why))

    def amend(self, changes: Sequence[tuple[Seen, Change]], who: str, why: str) -> tuple[Event, ...]:
        """Amend entries, all of them or none. Raises as ``acts.amend_together``."""
        return self._act(lambda: amend_together(self.book, changes, who, self._now(), why))

    def answer(self, answered: Answer, seen: int) -> Event:
        """Answer a caution. Raises as ``acts.answer``."""
        return self._act(lambda: answer(self.book, answered, seen, self._now()))

    def withdraw(self, on: str, number: int, who: str, why: str) -> Event:
        """Take a decision or an answer back. Raises as ``acts.withdraw``."""
        return self._act(lambda: withdraw(self.book, on, number, who, self._now(), why))

    def write_pages(self) -> int:
        """Write ``out/`` anew with all that was decided, and return how many files changed.

        Raises:
            BookInUse: another run has the book.
        """

        def write() -> int:
            with self.book.locked():
                chain.refuse_if_changed(self.book.history_file, chain.read(self.book.history_file))
                records = self.records()
                written = write_book(records, self._settings, self._vocabulary, self.book.out)
                if self.book.store_file.exists():
                    with Store(self.book.store_file) as store:
                        index(store, records, self._vocabulary)
            return len(written.written)

        number = _patiently(write)
        self.unwritten = 0  # nothing was decided meanwhile: the book's lock was held, and pages could still be read
        return number

    def _act(self, do: Callable[[], _Made]) -> _Made:
        with self._lock:
            made = _patiently(do)
            self.unwritten += 1
            return made

    def _on_disk(self) -> tuple[object, ...]:
        files = (self.book.history_file, self.book.out / "records.json", self.book.settings_file)
        return tuple((one.stat().st_mtime_ns, one.stat().st_size) if one.exists() else None for one in files)

    def _read(self) -> None:
        state = self._on_disk()
        try:
            self._run = Records.model_validate_json((self.book.out / "records.json").read_bytes())
        except FileNotFoundError as error:
            raise WrongCommand(
                f"{self.book.folder} has no records yet. Make them: saidseen run {self.book.folder} YOUR-MEDIA-FOLDER"
            ) from error
        self._settings = self.book.settings()
        self._vocabulary = self.book.vocabulary(self._settings)
        history = chain.read(self.book.history_file)
        chain.refuse_if_changed(self.book.history_file, history)
        self.past: Past = past_of(history.events)
        self._records = decided_anew(self._run, self.past, Bench(self._settings, self._vocabulary))
        self._state = state


def _patiently(do: Callable[[], _Made]) -> _Made:
    """Do something that needs the book's lock; another act holds it for a moment only."""
    until = time.monotonic() + _PATIENCE_S
    while True:
        try:
            return do()
        except BookInUse:
            if time.monotonic() > until:
                raise
            time.sleep(_BETWEEN_S)
