"""A book that is open for checking: its records as they stand with every decision so far, and acts upon them."""

import threading
import time
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Literal, TypeVar

from pipeline.assemble import decided_anew
from pipeline.bench import Bench
from pipeline.book import Book
from pipeline.digests import sha256_of_bytes
from pipeline.errors import BookInUse, RunFault, WrongCommand
from pipeline.history import chain
from pipeline.history.acts import Change, amend_together, answer, decide, decide_together, sign, withdraw
from pipeline.history.cutting import join, split
from pipeline.history.events import Event
from pipeline.history.past import Past, past_of
from pipeline.history.releases import Thing, with_releases
from pipeline.history.releasing import keep_in, release
from pipeline.history.seen import Seen
from pipeline.known import RecordingRead
from pipeline.mistyped import first_run, to_type
from pipeline.read_again import ReadAgain, read_again
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import EntryRecord, Records, records_in
from pipeline.search import index
from pipeline.settings import Answer, Settings
from pipeline.store import Store
from pipeline.teaching import Changes, changes_of, teach
from pipeline.trade.lessons import Lesson
from pipeline.values import HeardWord
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
        self._spoken: dict[str, dict[str, tuple[HeardWord, ...]]] = {}
        self.unwritten = 0
        self.writing = ""
        self._to_say: tuple[str, ...] = ()
        self._writer: threading.Thread | None = None
        self._read()
        if self._run.entries and not self.past.read:
            run = f"saidseen run {to_type(book.folder)}"
            raise WrongCommand(f"{book.folder}: its history holds no entry. Run it: {run}")

    @property
    def settings(self) -> Settings:
        """The book's settings."""
        return self._settings

    @property
    def vocabulary(self) -> Vocabulary:
        """The book's vocabulary."""
        return self._vocabulary

    @property
    def state(self) -> str:
        """Tells one state of the book from another, without telling anything else of it."""
        return sha256_of_bytes(repr(self._on_disk()).encode("utf-8", "backslashreplace"))

    def records(self) -> Records:
        """Return the records as they stand now, also after another page or a run has changed the book."""
        with self._lock:
            if self._state != self._on_disk():
                self._read()
            return self._records

    def decide(self, seen: Seen, act: Literal["accept", "reject"], who: str, why: str = "") -> Event:
        """Accept or reject an entry as it was seen. Raises as ``acts.decide``."""
        return self._act(lambda: decide(self.book, seen, act, who, self._now(), why))

    def reject_together(self, seen: Sequence[Seen], who: str, why: str) -> tuple[Event, ...]:
        """Reject entries, all of them or none. Raises as ``acts.decide_together``."""
        return self._act(lambda: decide_together(self.book, seen, "reject", who, self._now(), why))

    def amend(self, changes: Sequence[tuple[Seen, Change]], who: str, why: str) -> tuple[Event, ...]:
        """Amend entries, all of them or none. Raises as ``acts.amend_together``."""
        return self._act(lambda: amend_together(self.book, changes, who, self._now(), why))

    def read_again(self, entry: EntryRecord) -> ReadAgain:
        """Return what the program reads in an entry's words as they stand. Raises as ``read_again.read_again``."""
        return read_again(self.book, entry, {})

    def answer(self, answered: Answer, seen: int) -> Event:
        """Answer a caution. Raises as ``acts.answer``."""
        return self._act(lambda: answer(self.book, answered, seen, self._now()))

    def withdraw(self, on: str, number: int, who: str, why: str) -> Event:
        """Take a decision or an answer back. Raises as ``acts.withdraw``."""
        return self._act(lambda: withdraw(self.book, on, number, who, self._now(), why))

    def split(self, seen: Seen, utterance: str, who: str, why: str) -> Event:
        """Split an entry. Raises as ``cutting.split``."""
        return self._act(lambda: split(self.book, seen, utterance, who, self._now(), why))

    def join(self, seen: Seen, other: Seen, who: str, why: str) -> Event:
        """Join two neighbours. Raises as ``cutting.join``."""
        return self._act(lambda: join(self.book, seen, other, who, self._now(), why))

    def sign(self, seen: Seen, who: str, reason: str) -> Event:
        """Put a person's typed name to an entry. Raises as ``acts.sign``."""
        return self._act(lambda: sign(self.book, [seen], who, reason, self._now())[0])

    def say_of(self, thing: Thing, seen: int, who: str, why: str, *, out: bool) -> Event:
        """Let something out to supporters, or keep it in. Raises as ``releasing.release``."""
        act = release if out else keep_in
        return self._act(lambda: act(self.book, thing, seen, who, self._now(), why))

    def changes_of(self, lesson: Lesson) -> Changes:
        """Return what a lesson would change in the book. Raises as ``teaching.changes_of``."""
        return changes_of(self.book, self.records(), lesson)

    def teach(self, lesson: Lesson, who: str, why: str) -> Event:
        """Teach the book a word. Raises as ``teaching.teach``."""
        return self._act(lambda: teach(self.book, lesson, who, self._now(), why))

    def spoken(self, media: str) -> dict[str, tuple[HeardWord, ...]]:
        """Return the words of each utterance of a recording with their seconds; none where nothing keeps them."""
        with self._lock:
            if media not in self._spoken:
                self._spoken[media] = self._words_of(media)
            return self._spoken[media]

    def _words_of(self, media: str) -> dict[str, tuple[HeardWord, ...]]:
        if not self.book.store_file.exists():
            return {}
        with Store(self.book.store_file, read_only=True) as store:
            made = store.latest("read", media)
        if made is None or made.value is None:
            return {}
        return {one.id: one.words for one in RecordingRead.model_validate_json(made.value).utterances}

    def write_pages(self) -> int:
        """Write ``out/`` anew with all that was decided, and return how many files changed.

        What is being written is told in ``writing`` meanwhile, and how it ended after that.

        Raises:
            BookInUse: another run has the book.
        """

        def write() -> int:
            with self.book.locked():
                chain.refuse_if_changed(self.book.history_file, chain.read(self.book.history_file))
                records = self.records()
                settings = with_releases(self._settings, self.past.acts)
                written = write_book(records, settings, self._vocabulary, self.book.out, progress=self._tell)
                self._to_say = written.told
                if self.book.store_file.exists():
                    with Store(self.book.store_file) as store:
                        index(store, records, self._vocabulary)
            return len(written.written)

        number = _patiently(write)
        self.unwritten = 0  # nothing was decided meanwhile: the book's lock was held, and pages could still be read
        return number

    def begin_writing(self) -> None:
        """Write the pages while others are shown; ``is_writing`` and ``writing`` tell how that goes."""
        with self._lock:
            if self._writer is None or not self._writer.is_alive():
                self.writing = "It begins."
                self._writer = threading.Thread(target=self._write, daemon=True)
                self._writer.start()

    def is_writing(self, patience_s: float = 0.0) -> bool:
        """Tell whether pages are being written, after waiting so long for the end."""
        if self._writer is None:
            return False
        self._writer.join(patience_s)
        return self._writer.is_alive()

    def _write(self) -> None:
        try:
            number = self.write_pages()
            changed = f"The pages are written: {number} {'file' if number == 1 else 'files'} changed."
            self.writing = " ".join((changed, *self._to_say))
        except (RunFault, OSError) as fault:
            self.writing = f"The pages were not written. {fault}"

    def _tell(self, place: str) -> None:
        self.writing = f"Making {place}"

    def _act(self, do: Callable[[], _Made]) -> _Made:
        with self._lock:
            made = _patiently(do)
            self.unwritten += 1
            return made

    def _on_disk(self) -> tuple[object, ...]:
        files = (
            self.book.history_file,
            self.book.out / "records.json",
            self.book.settings_file,
            self.book.edits_file,
            *sorted(self.book.vocabulary_folder.glob("*.csv")),
        )
        return tuple(
            (one.name, one.stat().st_mtime_ns, one.stat().st_size) if one.exists() else None for one in files
        )

    def _read(self) -> None:
        state = self._on_disk()
        try:
            self._run = records_in(self.book.out)
        except FileNotFoundError as error:
            raise WrongCommand(
                f"{self.book.folder} has no records yet. First: {first_run(self.book.folder)}"
            ) from error
        self._settings = self.book.settings()
        self._vocabulary = self.book.vocabulary(self._settings)
        history = chain.read(self.book.history_file)
        chain.refuse_if_changed(self.book.history_file, history)
        self.past: Past = past_of(history.events)
        self._records = decided_anew(self._run, self.past, Bench(self._settings, self._vocabulary))
        self._spoken = {}
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
