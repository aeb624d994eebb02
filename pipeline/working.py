"""The one loop: takes files in, does each stage's undone tasks, and keeps each result as it comes.

A fault of one item sets it aside; the run goes on.
"""

from __future__ import annotations

import os
import traceback
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from sys import intern
from typing import TYPE_CHECKING, Any, TypeVar

from pipeline.book import Book
from pipeline.errors import ItemFault, RunFault
from pipeline.executors import Does, InTurn, Processes, Threads
from pipeline.intake.seen import Walked
from pipeline.intake.walk import WHILE_READ, hash_file, is_as_seen
from pipeline.made_by import made_by
from pipeline.outcome import Choices, Outcome, Progress
from pipeline.records import SetAside
from pipeline.results import LOOK, WHOLE_BOOK, Results, digests_of, values_of
from pipeline.store import KeptDigest, Store, fingerprint, key_of
from pipeline.uncollected import uncollected
from pipeline.values import FileSeen, Kind, Media, Probe, Value

if TYPE_CHECKING:  # the engines take seconds to import, and a run with nothing new needs none of them
    from pipeline.bench import Bench
    from pipeline.known import Known, Stage, Task

V = TypeVar("V", bound=Value)

# So many words to read are worth the seconds that it takes to begin another process.
WORTH_A_PROCESS = 20_000
_CHANGED = "Its content has changed since it was taken in, so what it held then cannot be looked at again."
_AS_A_WHOLE = "as a whole"  # no stage is called so
_NOT_LOOKED_AT = Probe(kind=Kind.PHOTO, content_type="")


class Work:
    """What a run does before it adds up: take files in, then one stage after the other.

    ``may_pass`` says that a fault was met that may be gone next time. ``cluster`` hears, where there is one.
    """

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
        """Note that a file cannot be used."""
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
        """Set a file aside on which the program failed, and log where."""
        self.outcome.program_faults += 1
        self.set_aside(
            path, f"The program failed on it ({type(fault).__name__}); details are in {self.book.log_file}."
        )
        self._log(path, fault)

    def _fault_of_run(self, stage: Stage, fault: Exception) -> RunFault:
        """Log where the program failed on what the whole book needs, and return what ends the run."""
        self._log(str(self.book.folder), fault)
        doing = stage.doing[:1].lower() + stage.doing[1:]
        return RunFault(
            f"The program failed while {doing} ({type(fault).__name__}); without that the book cannot be made. It is "
            f"no fault of your files, and what was done so far is kept. Details are in {self.book.log_file}."
        )

    def _log(self, path: str, fault: BaseException) -> None:
        with self.book.log_file.open("a", encoding="utf-8") as log:
            log.write(f"{path}\n{''.join(traceback.format_exception(fault))}\n")

    # Taking in -------------------------------------------------------------------------------------------------

    @uncollected()
    def take_in(self, seen: Walked) -> dict[str, Media]:
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
        media = self._media({file.path: file for file in seen.files})
        there = {file.path for file in seen.files}
        other = {file.path for file in new if known.get(file.path) not in (None, (file.size, file.modified_ns))}
        self.outcome.away = self._missed(one for one in media.values() if one.path not in there)
        self.outcome.changed = self._missed(one for one in media.values() if not one.held and one.path in other)
        return media

    def _missed(self, media: Iterable[Media]) -> tuple[str, ...]:
        """Return the paths of these pieces of media, but for those that were of no use."""
        return tuple(one.path for one in media if not self._of_no_use(one.id))

    def _of_no_use(self, item: str) -> bool:
        """Tell whether a piece of media was looked at and set aside, so that nobody misses it."""
        looked_at = self.store.latest(LOOK, item)
        return looked_at is not None and looked_at.value is None

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

    def _media(self, there: Mapping[str, FileSeen]) -> dict[str, Media]:
        """Return every piece of media; of its files, those that are there now come first."""
        current: dict[str, list[FileSeen]] = {}
        former: dict[str, list[FileSeen]] = {}
        for media, kept, is_current in self.store.files():
            file = there[kept.path] if there.get(kept.path) == kept else kept  # what is alike is held once
            (current if is_current else former).setdefault(media, []).append(file)
        return {
            media: Media(
                id=intern(media),
                files=tuple(
                    sorted(current.get(media) or former[media], key=lambda file: (file.path not in there, file.path))
                ),
                probe=_NOT_LOOKED_AT,
                held=media in current,
            )
            for media in sorted({*current, *former})
        }

    # Stages ----------------------------------------------------------------------------------------------------

    def do(self, stage: Stage, known: Known) -> Known:
        """Do what the stage has not done yet, and return what is known then."""
        made_from = self._made_from(stage, known)
        standing = self._as_a_whole(stage, made_from)
        if standing is not None:
            self.progress.begin(stage.doing, 0, stage.unit)
            self.outcome.already[stage.name], self.outcome.made[stage.name] = len(standing), 0
            return known.with_made(stage.name, standing)
        undone, digests, aside = self._sorted_out(stage, known)
        self.outcome.already[stage.name] = len(digests)
        sizes = {task.item: task.size_of(*values_of(known.made, task.given)) for task in undone}
        self.progress.begin(stage.doing, sum(sizes.values()), stage.unit)
        bound = (replace(task, make=partial(task.make, *values_of(known.made, task.given))) for task in undone)
        for task, result in self._executor(stage, undone, sum(sizes.values())).results(bound):
            digest = self._settle(stage, task, result, known)
            if digest is not None:
                digests[task.item] = digest
            else:
                aside = True
            self.progress.advance(sizes[task.item])
        self.outcome.made[stage.name] = len(undone)
        with uncollected():
            results = Results(self.store, stage.name, stage.gives, digests)
            if made_from and not aside:
                self.store.keep(_AS_A_WHOLE, stage.name, made_from, results.digest)
            return known.with_made(stage.name, results)

    def _made_from(self, stage: Stage, known: Known) -> str:
        """Return the fingerprint of all that the stage's tasks are made from, "" where that is not told."""
        if stage.made_from is None:
            return ""
        return fingerprint(stage.name, stage.version, *stage.made_from(known, self.bench))

    def _as_a_whole(self, stage: Stage, made_from: str) -> Results[Any] | None:
        """Return what the stage made, if its tasks are what they were, and so are all results that are kept of them.

        The results are looked at by their digests: a run of other tasks may have been killed since.
        """
        noted = self.store.made(_AS_A_WHOLE, stage.name, made_from) if made_from and not self.again else None
        if noted is None:
            return None
        results = Results(self.store, stage.name, stage.gives, self.store.digests(stage.name))
        return results if results.digest == noted.value else None

    @uncollected()
    def _sorted_out(self, stage: Stage, known: Known) -> tuple[list[Task], dict[str, str], bool]:
        """Return the stage's tasks that are not done yet, and of the others each item with its result's digest.

        The last says whether the item of any was set aside.
        """
        kept = self.store.kept(stage.name)
        digests: dict[str, str] = {}
        undone: list[Task] = []
        aside = False
        for task in stage.tasks(known, self.bench):
            made = self._stands(stage, task, kept.get(task.item), known)
            if made is None:
                undone.append(task)
            elif made.digest is None:
                self.set_aside_item(known, task, str(made.fault))
                aside = True
            else:
                digests[task.item] = made.digest
        return undone, digests, aside

    def _stands(self, stage: Stage, task: Task, kept: KeptDigest | None, known: Known) -> KeptDigest | None:
        """Return what is kept of a task if it stands: it is of the same key, or cannot be made again."""
        media = known.files.get(task.item)
        if task.reads and media is not None and not media.held:
            return kept or KeptDigest("", None, _CHANGED)
        # What was made of an original that is lost, or away on a stick, stands: it cannot be made again.
        if self.again and all(Path(one.path).exists() for one in task.reads):
            return None
        return kept if kept is not None and kept.key == _key(stage, task, known) else None

    def once(self, name: str, gives: type[V], item: str, made_from: str, make: Callable[[], V]) -> V:
        """Return what this program made before, if that was from the same; else make it, and keep it.

        Args:
            name: under which it is kept, as no stage is called.
            gives: what it is.
            item: of what it is made.
            made_from: the fingerprint of all that it is made from.
            make: makes it.
        """
        key = key_of(made_by(), made_from)
        made = None if self.again else self.store.made(name, item, key)
        value = made.value if made is not None else None
        if value is None:
            value = make().model_dump_json()
            self.store.keep(name, item, key, value)
        return gives.model_validate_json(value)

    def _executor(self, stage: Stage, tasks: Sequence[Task], size: float) -> Does[Task]:
        jobs = self.bench.jobs
        if self.cluster and any(task.hears for task in tasks):
            return self.cluster
        if len(tasks) < 2 or jobs < 2:
            return InTurn()
        if stage.processes and size >= WORTH_A_PROCESS:
            return Processes(jobs, self.bench.in_another_process())
        return Threads(jobs) if stage.threads else InTurn()

    def _settle(self, stage: Stage, task: Task, result: Value | BaseException, known: Known) -> str | None:
        """Keep what came of a task, and return its digest; None where the item is set aside.

        Raises:
            RunFault: the run cannot go on, also because the program failed on what the whole book needs.
        """
        if not isinstance(result, RunFault) and not all(is_as_seen(media.files[0]) for media in task.reads):
            result = ItemFault(WHILE_READ, passing=True)
        if isinstance(result, Value):
            return self.store.keep(stage.name, task.item, _key(stage, task, known), result.model_dump_json())
        if isinstance(result, ItemFault):
            self.set_aside_item(known, task, result.why)
            if not result.passing and os.access(task.path, os.R_OK):  # a file on a stick that is away may come back
                self.store.keep(stage.name, task.item, _key(stage, task, known), None, result.why)
            else:
                self.may_pass = True
        elif isinstance(result, Exception) and not isinstance(result, RunFault):
            if task.item == WHOLE_BOOK:
                raise self._fault_of_run(stage, result) from result
            self.program_fault(task.path or str(self.book.folder), result)
        else:
            raise result
        return None


def _key(stage: Stage, task: Task, known: Known) -> str:
    """Return a fingerprint of all that a task's result depends on."""
    return key_of(stage.name, stage.version, task.key, *digests_of(known.made, task.given))
