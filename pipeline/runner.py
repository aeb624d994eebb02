"""The one runner: takes files in, does each stage's undone tasks, keeps each result as it comes, and writes the book.

A fault of one item sets it aside; the run goes on. Nothing here knows the command line: progress and the clock come
in as arguments.
"""

from __future__ import annotations

import os
import traceback
from collections.abc import Callable, Container, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from pipeline.book import Book
from pipeline.errors import ExitCode, ItemFault, RunFault, WrongCommand
from pipeline.evidence.upgrading import bring_up_to_date
from pipeline.executors import Does, InTurn, Processes, Threads
from pipeline.hearing.device import Device
from pipeline.history import chain
from pipeline.history.clock import no_earlier_than, set_back
from pipeline.history.past import Past, past_of
from pipeline.history.recording import made_since
from pipeline.history.releases import with_releases
from pipeline.intake.seen import Seen, look_around
from pipeline.intake.walk import WHILE_READ, hash_file, is_as_seen
from pipeline.records import Records, SetAside
from pipeline.search import index
from pipeline.settings import Settings
from pipeline.store import Made, Store, fingerprint
from pipeline.unchanged import Left, Surroundings, as_left, forget, left_by, remember
from pipeline.values import FileSeen, Kind, Media, Probe, Value

if TYPE_CHECKING:  # the engines take seconds to import, and a run with nothing new needs none of them
    from pipeline.bench import Bench
    from pipeline.stages import Known, Stage, Task

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
    """What a run did: tasks made and found done by stage, what was set aside, and faults of the program.

    ``left`` are its numbers. ``nothing_new`` is True where all was as the last run left it.
    """

    out: Path
    left: Left | None = None
    nothing_new: bool = False
    made: dict[str, int] = field(default_factory=dict)
    already: dict[str, int] = field(default_factory=dict)
    set_aside: list[SetAside] = field(default_factory=list)
    program_faults: int = 0
    written: int = 0
    copies_missing: tuple[tuple[str, str], ...] = ()
    upgraded: str = ""
    history_changed: str = ""
    clock_back: str = ""

    @cached_property
    def records(self) -> Records:
        """The book's records: as this run made them, or as they lie in ``out/`` where it made nothing."""
        return Records.model_validate_json((self.out / "records.json").read_bytes())

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
    """How to run: the model (the book's own if ""), recordings at a time, and whether to do everything again.

    ``cluster`` is the address of a Dask scheduler whose workers do the hearing; "" for this machine. ``device`` is
    what it is done on.
    """

    model: str = ""
    jobs: int = 2
    again: bool = False
    cluster: str = ""
    device: Device = Device.AUTO


class _Run:
    def __init__(self, book: Book, store: Store, bench: Bench, choices: Choices, progress: Progress) -> None:
        self.book, self.store, self.bench, self.choices, self.progress = book, store, bench, choices, progress
        self.again = choices.again
        self.outcome = Outcome(book.out)
        self.may_pass = False
        self.cluster: Does[Task] | None = None

    @property
    def settled(self) -> bool:
        """Whether another run would find no more than this one: no fault was met that may be gone next time."""
        faults = self.may_pass or self.outcome.program_faults or self.outcome.copies_missing
        return not (faults or self.outcome.history_changed or self.outcome.clock_back)

    def set_aside(self, path: str, why: str) -> None:
        self.outcome.set_aside.append(SetAside(path=path, why=why))

    def set_aside_item(self, known: Known, task: Task, why: str) -> None:
        """Set every file aside that holds the task's item and is there; if none is, those whose folder is away."""
        media = known.files.get(task.item)
        paths = [file.path for file in media.files] if media else [task.path]
        there = [path for path in paths if Path(path).exists()]
        self.may_pass |= not there
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

    def take_in(self, seen: Seen) -> dict[str, Media]:
        """Take in what the walk found; return every piece of media by id."""
        for one in seen.aside:
            self.set_aside(one.path, one.why)
        self.store.remember_folders(seen.given)
        known = self.store.current()
        new = [file for file in seen.files if self.again or known.get(file.path) != (file.size, file.modified_ns)]
        self.progress.begin("Taking in files", len(new), "files")
        for file in new:
            self._hash(file)
            self.progress.advance(1)
        return self._media({file.path for file in seen.files})

    def _hash(self, file: FileSeen) -> None:
        try:
            media = hash_file(Path(file.path))
            if not is_as_seen(file):
                raise ItemFault(WHILE_READ, passing=True)
            self.store.keep_file(file, media)
        except ItemFault as fault:
            self.may_pass = True
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

    def add_to_history(self, past: Past, records: Records, known: Known, now: datetime) -> None:
        """Add what was made to the history; one that was changed by something else is left as it is, and told."""
        from pipeline.assemble import read_entries

        acts = made_since(past, records.media, read_entries(known), records.book.program)
        try:
            chain.append(self.book.history_file, acts, now)
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
        for task, result in self._executor(stage, undone).results(undone):
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
        # What was made of an original that is lost, or away on a stick, stands: it cannot be made again.
        there = all(Path(media.path).exists() for media in task.reads)
        return None if self.again and there else self.store.made(stage.name, task.item, _key(stage, task))

    def _executor(self, stage: Stage, tasks: Sequence[Task]) -> Does[Task]:
        jobs = self.bench.jobs
        if self.cluster and any(task.hears for task in tasks):
            return self.cluster
        if len(tasks) < 2 or jobs < 2:
            return InTurn()
        if stage.processes and sum(task.size for task in tasks) >= WORTH_A_PROCESS:
            return Processes(jobs, self.bench.in_another_process())
        return Threads(jobs) if stage.threads else InTurn()

    def _settle(self, stage: Stage, task: Task, result: Value | BaseException, known: Known) -> Value | None:
        if not isinstance(result, RunFault) and not all(is_as_seen(media.files[0]) for media in task.reads):
            result = ItemFault(WHILE_READ, passing=True)
        if isinstance(result, Value):
            self.store.keep(stage.name, task.item, _key(stage, task), result.model_dump_json())
            return result
        if isinstance(result, ItemFault):
            self.set_aside_item(known, task, result.why)
            if not result.passing and os.access(task.path, os.R_OK):  # a file on a stick that is away may come back
                self.store.keep(stage.name, task.item, _key(stage, task), None, result.why)
            else:
                self.may_pass = True
        elif isinstance(result, Exception) and not isinstance(result, RunFault):
            self.program_fault(task.path or str(self.book.folder), result)
        else:
            raise result
        return None


def _key(stage: Stage, task: Task) -> str:
    return fingerprint(stage.name, stage.version, task.key)


@contextmanager
def _opened(book: Book, now: datetime) -> Iterator[tuple[Store, str]]:
    """Open the book's database, brought up to date, with what to tell of that."""
    upgraded = bring_up_to_date(book, now)
    with Store(book.store_file) as store:
        yield store, upgraded


def _cluster(address: str, bench: Bench, book: Book) -> AbstractContextManager[Does[Task] | None]:
    if not address:
        return nullcontext()
    try:
        from pipeline.cluster import connected
    except ModuleNotFoundError as error:
        raise WrongCommand(
            '--cluster needs Dask, which is not installed. Install it: python -m pip install "distributed>=2025"'
        ) from error
    return connected(address, bench, book.folder)


def run(
    book: Book,
    paths: Sequence[Path],
    now: datetime,
    choices: Choices = Choices(),
    progress: Progress | None = None,
    stages: Sequence[Stage] | None = None,
    bench: Callable[..., Bench] | None = None,
) -> Outcome:
    """Take in what is new, do what is not yet done, and write ``out/``; nothing at all where nothing has changed.

    Args:
        book: an existing one.
        paths: files and folders to take in, besides those of earlier runs.
        now: the present instant; a date after it is not believed.
        choices: see ``Choices``.
        progress: told how the work goes.
        stages: the job, where it is another list than the program's: in tests.
        bench: makes the engines, where they are others: in tests.

    Raises:
        BookInUse: another run has the book.
        WrongCommand: a path does not exist, a setting or a vocabulary file is wrong, or the cluster is not fit.
        RunFault: the run cannot go on: no model, disk full.
    """
    settings = book.settings()
    with book.locked(), _opened(book, now) as (store, upgraded):
        seen = look_around(paths, store.folders())
        around = Surroundings(book, settings, choices.model, [(one.name, one.version) for one in stages or ()])
        around.add(seen.places, seen.files, seen.aside)
        left = None if choices.again else as_left(store, around.state(), now)
        if left is not None:
            return _as_before(book, left)
        forget(store)
        work = _worker(book, store, settings, choices, progress or Silence(), bench)
        work.outcome.upgraded = upgraded
        _work(work, seen, now, stages)
        if work.settled and work.outcome.left:
            remember(store, around.state(), work.outcome.left)
        return work.outcome


def _worker(
    book: Book,
    store: Store,
    settings: Settings,
    choices: Choices,
    progress: Progress,
    bench: Callable[..., Bench] | None,
) -> _Run:
    from pipeline.bench import Bench

    vocabulary = book.vocabulary(settings)
    made = (bench or Bench)(settings, vocabulary, choices.model, choices.jobs, choices.device)
    return _Run(book, store, made, choices, progress)


def _work(work: _Run, seen: Seen, now: datetime, stages: Sequence[Stage] | None) -> None:
    """Do the stages, put the records together, and write them."""
    from pipeline.assemble import assemble
    from pipeline.stages import STAGES, Known, looks_ahead
    from pipeline.writing.write import write_book

    book, bench, outcome = work.book, work.bench, work.outcome
    events = chain.read(book.history_file).events
    outcome.clock_back = set_back(events, now)
    if not events and now.astimezone(bench.settings.zone).date() < bench.settings.time.book_starts:
        raise WrongCommand(
            f"The clock of this machine says {now:%Y-%m-%d}, which is before the book starts "
            f"({bench.settings.time.book_starts}, in {book.settings_file}). Set the clock right, or that date."
        )
    with _cluster(work.choices.cluster, bench, book) as work.cluster:
        known = Known(files=work.take_in(seen), now=no_earlier_than(events, now))
        for stage in stages or STAGES:
            known = work.do(stage, known)
    outcome.set_aside.sort(key=lambda aside: (aside.path, aside.why))
    work.progress.begin("Adding up", 0, "")
    past = past_of(events)
    records = assemble(known, bench, outcome.set_aside, book.folder.absolute(), past.acts)
    work.add_to_history(past, records, known, now)
    outcome.records = records
    work.progress.begin("Writing the book", 0, "")
    settings = with_releases(bench.settings, past.acts)
    written = write_book(records, settings, bench.vocabulary, book.out)
    outcome.written = len(written.written)
    outcome.copies_missing = written.faults
    index(work.store, records, bench.vocabulary)
    ahead = looks_ahead(known.media(), settings.time.book_starts, known.now)
    results = {stage: len(values) for stage, values in known.made.items()}
    outcome.left = left_by(records, outcome.set_aside, results, now, only_today=ahead)


def _as_before(book: Book, left: Left) -> Outcome:
    """Return the outcome of a run that found nothing to do."""
    return Outcome(
        book.out,
        left,
        nothing_new=True,
        made=dict.fromkeys(left.done, 0),
        already=dict(left.done),
        set_aside=list(left.set_aside),
    )
