"""The one runner: takes files in, does each stage's undone tasks, keeps each result as it comes, and writes the book.

A fault of one item sets it aside; the run goes on. Nothing here knows the command line: progress and the clock come
in as arguments.
"""

import os
import sqlite3
import traceback
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Protocol

from pipeline.assemble import assemble, read_entries
from pipeline.bench import Bench
from pipeline.book import Book, own_files
from pipeline.errors import ExitCode, ItemFault, RunFault
from pipeline.evidence.upgrading import bring_up_to_date
from pipeline.history import chain
from pipeline.history.past import Past, past_of
from pipeline.history.recording import made_since
from pipeline.intake.walk import SetAsidePath, hash_file, walk
from pipeline.records import Records, SetAside
from pipeline.search import index
from pipeline.stages import STAGES, Known, Stage, Task
from pipeline.store import Made, Store, fingerprint
from pipeline.values import FileSeen, Kind, Media, Probe, Value
from pipeline.writing.write import write_book

# So many words to read are worth the seconds that it takes to begin another process.
WORTH_A_PROCESS = 20_000
_CHANGED = "Its content has changed since it was taken in, so what it held then cannot be looked at again."
_NOT_LOOKED_AT = Probe(kind=Kind.PHOTO, content_type="")


class Progress(Protocol):
    """What a run tells of itself while it works."""

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Hear that a step begins, with so much to do."""

    def advance(self, amount: float) -> None:
        """Hear that so much of the step is done."""


class Silence:
    """Progress that nobody watches."""

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Say nothing."""

    def advance(self, amount: float) -> None:
        """Say nothing."""


@dataclass
class Outcome:
    """What a run did: tasks made and found done by stage, what was set aside, and faults of the program."""

    records: Records | None = None
    made: dict[str, int] = field(default_factory=dict)
    already: dict[str, int] = field(default_factory=dict)
    set_aside: list[SetAside] = field(default_factory=list)
    program_faults: int = 0
    written: int = 0
    copies_missing: tuple[tuple[str, str], ...] = ()
    upgraded: str = ""
    history_changed: str = ""

    @property
    def exit_code(self) -> ExitCode:
        """The exit code that this outcome ends in."""
        if self.program_faults:
            return ExitCode.PROGRAM_FAULT
        if self.history_changed:
            return ExitCode.CHECK_FAILED
        return ExitCode.SOME_SET_ASIDE if self.set_aside else ExitCode.DONE


@dataclass(frozen=True)
class Choices:
    """How to run: the model (the book's own if ""), recordings at a time, and whether to do everything again."""

    model: str = ""
    jobs: int = 2
    again: bool = False


class _Run:
    def __init__(self, book: Book, store: Store, bench: Bench, choices: Choices, progress: Progress) -> None:
        self.book, self.store, self.bench, self.again, self.progress = book, store, bench, choices.again, progress
        self.outcome = Outcome()

    def set_aside(self, path: str, why: str) -> None:
        self.outcome.set_aside.append(SetAside(path=path, why=why))

    def set_aside_item(self, known: Known, task: Task, why: str) -> None:
        """Set every file aside that holds the task's item and is there; if none is, those whose folder is away."""
        media = known.files.get(task.item)
        paths = [file.path for file in media.files] if media else [task.path]
        there = [path for path in paths if Path(path).exists()]
        for path in there or [path for path in paths if not Path(path).parent.exists()]:
            self.set_aside(path, why)

    def program_fault(self, path: str, fault: BaseException) -> None:
        self.outcome.program_faults += 1
        self.set_aside(
            path, f"The program failed on it ({type(fault).__name__}); details are in {self.book.log_file}."
        )
        with self.book.log_file.open("a", encoding="utf-8") as log:
            log.write(f"{path}\n{''.join(traceback.format_exception(fault))}\n")

    # Taking in -------------------------------------------------------------------------------------------------

    def take_in(self, paths: Sequence[Path]) -> dict[str, Media]:
        """Walk the given paths and those of earlier runs; return every piece of media by id."""
        found: list[FileSeen] = []
        given = {str(path.absolute()) for path in paths}
        earlier = [path for path in self.store.folders() if Path(path).exists()]
        places = [Path(path) for path in sorted({*given, *earlier})]
        for one in walk(places):
            if isinstance(one, SetAsidePath):
                self.set_aside(one.path, one.why)
            else:
                found.append(one)
        own = own_files(Path(file.path) for file in found)
        found = [file for file in found if Path(file.path) not in own]
        self.store.remember_folders(sorted(given))
        new = [file for file in found if self.again or self.store.media_of(file) is None]
        self.progress.begin("Taking in files", len(new), "files")
        for file in new:
            self._hash(file)
            self.progress.advance(1)
        return self._media({file.path for file in found})

    def _hash(self, file: FileSeen) -> None:
        try:
            self.store.keep_file(file, hash_file(Path(file.path)))
        except ItemFault as fault:
            self.set_aside(file.path, fault.why)
        except Exception as fault:
            self.program_fault(file.path, fault)

    def _media(self, there: Container[str]) -> dict[str, Media]:
        """Return every piece of media; of its files, those that are there now come first."""
        current: dict[str, list[FileSeen]] = {}
        former: dict[str, list[FileSeen]] = {}
        for media, file, is_current in self.store.files():
            (current if is_current else former).setdefault(media, []).append(file)
        return {
            media: Media(
                id=media,
                files=tuple(
                    sorted(current.get(media) or former[media], key=lambda file: (file.path not in there, file.path))
                ),
                probe=_NOT_LOOKED_AT,
                held=media in current,
            )
            for media in sorted({*current, *former})
        }

    # History ---------------------------------------------------------------------------------------------------

    def add_to_history(self, past: Past, records: Records, known: Known) -> None:
        """Add what was made to the history; one that was changed by something else is left as it is, and told."""
        acts = made_since(past, records.media, read_entries(known), records.book.program)
        try:
            chain.append(self.book.history_file, acts, known.now)
        except chain.HistoryChanged as fault:
            self.outcome.history_changed = str(fault)

    # Stages ----------------------------------------------------------------------------------------------------

    def do(self, stage: Stage, known: Known) -> Known:
        """Do what the stage has not done yet, and return what is known then."""
        values: dict[str, Any] = {}
        undone: list[Task] = []
        for task in stage.tasks(known, self.bench):
            made = self._made(stage, task, known)
            if made is None:
                undone.append(task)
            elif made.value is None:
                self.set_aside_item(known, task, str(made.fault))
            else:
                values[task.item] = stage.gives.model_validate_json(made.value)
        self.outcome.already[stage.name] = len(values)
        self.progress.begin(stage.doing, sum(task.size for task in undone), stage.unit)
        for task, result in self._results(stage, undone):
            value = self._settle(stage, task, result, known)
            if value is not None:
                values[task.item] = value
            self.progress.advance(task.size)
        self.outcome.made[stage.name] = len(undone)
        return known.with_made(stage.name, dict(sorted(values.items())))

    def _made(self, stage: Stage, task: Task, known: Known) -> Made | None:
        media = known.files.get(task.item)
        if media is not None and not media.held:
            return self.store.latest(stage.name, task.item) or Made("", None, _CHANGED)
        return None if self.again else self.store.made(stage.name, task.item, _key(stage, task))

    def _results(self, stage: Stage, tasks: Sequence[Task]) -> Iterator[tuple[Task, Value | BaseException]]:
        many = stage.processes and sum(task.size for task in tasks) >= WORTH_A_PROCESS
        if not (stage.threads or many) or len(tasks) < 2 or self.bench.jobs < 2:
            yield from ((task, _attempt(task)) for task in tasks)
            return
        pool = self._processes() if many else ThreadPoolExecutor(self.bench.jobs)
        try:
            yield from _as_done(pool, tasks, self.bench.jobs)
        finally:  # whoever stops the run does not wait for an hour of sound to end
            pool.shutdown(wait=False, cancel_futures=True)

    def _processes(self) -> Executor:
        set_up, arguments = self.bench.in_another_process()
        # Begun afresh: the engines' threads in this process would not survive being copied.
        return ProcessPoolExecutor(self.bench.jobs, get_context("spawn"), set_up, arguments)

    def _settle(self, stage: Stage, task: Task, result: Value | BaseException, known: Known) -> Value | None:
        if isinstance(result, Value):
            self.store.keep(stage.name, task.item, _key(stage, task), result.model_dump_json())
            return result
        if isinstance(result, ItemFault):
            self.set_aside_item(known, task, result.why)
            if not result.passing and os.access(task.path, os.R_OK):  # a file on a stick that is away may come back
                self.store.keep(stage.name, task.item, _key(stage, task), None, result.why)
        elif isinstance(result, Exception) and not isinstance(result, RunFault):
            self.program_fault(task.path or str(self.book.folder), result)
        else:
            raise result
        return None


def _key(stage: Stage, task: Task) -> str:
    return fingerprint(stage.name, stage.version, task.key)


def _attempt(task: Task) -> Value | BaseException:
    try:
        return task.make()
    except Exception as fault:
        return fault


def _as_done(pool: Executor, tasks: Iterable[Task], at_once: int) -> Iterator[tuple[Task, Value | BaseException]]:
    """Yield results as they come, with no more tasks in hand than are being worked on."""
    waiting = iter(tasks)
    in_hand: dict[Future[Value | BaseException], Task] = {}
    while True:
        for task in waiting:
            in_hand[pool.submit(_attempt, task)] = task
            if len(in_hand) > at_once:
                break
        if not in_hand:
            return
        finished, _ = wait(in_hand, return_when=FIRST_COMPLETED)
        for future in finished:
            yield in_hand.pop(future), future.result()


@contextmanager
def _room(book: Book) -> Iterator[None]:
    """Turn a full or read-only disk into one line that says so."""
    try:
        yield
    except (OSError, sqlite3.OperationalError) as error:
        raise RunFault(
            f"{book.folder}: it cannot be written to ({error}). Free some room on the disk, or let yourself write "
            "to the folder, and run again: what was done so far is kept."
        ) from error


@contextmanager
def _opened(book: Book, now: datetime) -> Iterator[tuple[Store, str]]:
    """Open the book's database, brought up to date, with what to tell of that."""
    upgraded = bring_up_to_date(book, now)
    with Store(book.store_file) as store:
        yield store, upgraded


def run(
    book: Book,
    paths: Sequence[Path],
    now: datetime,
    choices: Choices = Choices(),
    progress: Progress | None = None,
    stages: Sequence[Stage] = STAGES,
    bench: Callable[..., Bench] = Bench,
) -> Outcome:
    """Take in what is new, do what is not yet done, and write ``out/``.

    Args:
        book: an existing one.
        paths: files and folders to take in, besides those of earlier runs.
        now: the present instant; a date after it is not believed.
        choices: see ``Choices``.
        progress: told how the work goes.
        stages: the job; another list in tests.
        bench: makes the engines; another one in tests.

    Raises:
        BookInUse: another run has the book.
        WrongCommand: a path does not exist, or a setting or a vocabulary file is wrong.
        RunFault: the run cannot go on: no model, disk full.
    """
    settings = book.settings()
    with book.locked(), _room(book), _opened(book, now) as (store, upgraded):
        vocabulary = book.vocabulary(settings)
        work = _Run(
            book, store, bench(settings, vocabulary, choices.model, choices.jobs), choices, progress or Silence()
        )
        work.outcome.upgraded = upgraded
        known = Known(files=work.take_in(paths), now=now)
        for stage in stages:
            known = work.do(stage, known)
        work.outcome.set_aside.sort(key=lambda aside: (aside.path, aside.why))
        past = past_of(chain.read(book.history_file).events)
        records = assemble(known, work.bench, work.outcome.set_aside, book.folder.absolute(), past.acts)
        work.add_to_history(past, records, known)
        work.outcome.records = records
        written = write_book(records, settings, vocabulary, book.out)
        work.outcome.written = len(written.written)
        work.outcome.copies_missing = written.faults
        index(store, records, vocabulary)
        return work.outcome
