"""Runs the whole corpus of broken and hostile files through a book: ``python -m measuring.hostile``.

The sound is really decoded; what it says is left out, so that no model is needed. ``--every 10`` takes every tenth
file. The exit code is 1 where a file made the program fail, hang, or fill the memory, or is not accounted for.
"""

import argparse
import csv
import hashlib
import os
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from multiprocessing import get_context
from pathlib import Path
from threading import Event, Thread
from typing import Any, ClassVar

from measuring.watch import machine
from pipeline.bench import Bench
from pipeline.book import new_book
from pipeline.hearing.captioned import from_captions
from pipeline.intake import decoding
from pipeline.intake.captions import Cue
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import NoteRead
from pipeline.records import Records
from pipeline.runner import Choices, Outcome, run
from pipeline.values import Heard, ModelFolder
from tests.intake.hostile.corpus import make_corpus

LONGEST_S = 10.0
MOST_MB = 1000.0
_NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
_FAULT = "The program failed on it"


class ReadsOnce(NoteReader):
    """A fact reader that remembers what it read: nearly every recording of the corpus says the same."""

    _read: ClassVar[dict[str, NoteRead]] = {}

    def read_note(self, text: str, pauses: Sequence[int] = ()) -> NoteRead:
        """Return everything that is read in one note."""
        if text not in self._read:
            self._read[text] = super().read_note(text, pauses)
        return self._read[text]


class SilentBench(Bench):
    """A bench whose recogniser takes all the sound and hears one sentence in it."""

    model = ModelFolder(path=Path("none"), name="none", sha256="0" * 64)

    @cached_property
    def reader(self) -> NoteReader:
        """The fact reader, with a memory."""
        return ReadsOnce(self.vocabulary)

    def hear(self, samples: Any) -> Heard:
        """Go through the sound, whole or in blocks, and return one sentence."""
        length = sum(len(block) for block in ([samples] if hasattr(samples, "dtype") else samples))
        said = [Cue(start_s=0.0, end_s=length / 16_000, text="Here you can see the hinge.")] if length else []
        return from_captions(said).model_copy(update={"by": "recogniser"})


class TimedDecoders(decoding.Decoders):
    """Decoders that note how long each question about each file took, and the longest wait for the next piece of it.

    An hour of sound is much work and no hang: what counts there is how long nothing came.
    """

    def __init__(self) -> None:
        super().__init__()
        self.took_s: dict[str, float] = {}
        self.waited_s: dict[str, float] = {}

    def answers(self, do: str, path: Path, **how: Any) -> Iterator[tuple[bytes, bytes]]:
        """Yield what the decoders yield; the time in which the answer is used does not count."""
        waits_s, began_s = [0.0], time.perf_counter()
        try:
            for frame in super().answers(do, path, **how):
                waits_s.append(time.perf_counter() - began_s)
                yield frame
                began_s = time.perf_counter()
        finally:
            waits_s.append(time.perf_counter() - began_s)
            self.took_s[f"{do}: {path}"] = sum(waits_s)
            self.waited_s[f"{do}: {path}"] = max(waits_s)


class MemoryWatch(Thread):
    """Looks every 20 ms at how much memory this process and its children hold, and in which step (Linux)."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.here_mb: dict[str, float] = {}
        self.child_mb = self.all_mb = 0.0
        self._step = "Beginning"
        self._over = Event()

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Hear that a step begins; the last one goes on until everything is written."""
        self._step = doing

    def advance(self, amount: float) -> None:
        """Pay no heed."""

    def run(self) -> None:
        """Look until told to stop."""
        while not self._over.wait(0.02):
            here, children = _memory_mb("self"), [_memory_mb(child) for child in _children()]
            self.here_mb[self._step] = max(self.here_mb.get(self._step, 0.0), here)
            self.child_mb = max([self.child_mb, *children])
            self.all_mb = max(self.all_mb, here + sum(children))

    def stop(self) -> None:
        """Look no more."""
        self._over.set()
        self.join()


def _memory_mb(process: str) -> float:
    with suppress(OSError, IndexError, ValueError):
        pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 1e6
    return 0.0


def _children() -> list[str]:
    """Return the numbers of the children; one that was only just begun is a copy of this process, and is none yet."""
    found: list[str] = []
    with suppress(OSError):
        for task in Path("/proc/self/task").iterdir():
            found += (task / "children").read_text().split()
    return [child for child in found if _command(child) != _command("self")]


def _command(process: str) -> bytes:
    with suppress(OSError):
        return Path(f"/proc/{process}/cmdline").read_bytes()
    return b""


@dataclass
class Result:
    """What came of the corpus, and what is against the rules."""

    made: dict[str, int]
    taken: Counter[str] = field(default_factory=Counter)
    aside: Counter[str] = field(default_factory=Counter)
    reasons: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)


def accounts(folder: Path, made: dict[str, int], records: Records, aside: Sequence[Any]) -> Result:
    """Tell of every path in the corpus whether it is in the records or set aside, and whether for a fault of ours."""
    result = Result(made)
    media = {one.id for one in records.media}
    why = {one.path: one.why for one in aside}
    for path in _each_path(folder):
        family = path.relative_to(folder).parts[0]
        shown = os.fsencode(path).decode("utf-8", "replace")
        if shown in why:
            result.aside[family] += 1
            result.reasons[why[shown]] += 1
            if _FAULT in why[shown]:
                result.faults.append(f"{shown!r}: {why[shown]}")
        elif path.is_file() and _hash(path) in media:
            result.taken[family] += 1
        elif not (path.is_symlink() and path.is_dir()):  # what such a link leads to is found under its own name
            result.faults.append(f"{shown!r}: neither in the records nor set aside")
    return result


def _each_path(folder: Path) -> Iterator[Path]:
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        path = Path(entry.path)
        if entry.is_dir(follow_symlinks=False):
            yield from _each_path(path)
        elif not entry.name.startswith("."):
            yield path


def _hash(path: Path) -> str:
    with path.open("rb") as file:
        return f"sha256:{hashlib.file_digest(file, 'sha256').hexdigest()}"


def run_corpus(scratch: Path, every: int = 1, jobs: int = 2) -> tuple[Outcome, Result, TimedDecoders, MemoryWatch]:
    """Make the corpus, run a book on it, and account for every file; the scratch folder is left as it is then."""
    folder = scratch / "media"
    with ProcessPoolExecutor(1, get_context("spawn")) as aside:  # what the making needs is no memory of the run's
        made = aside.submit(make_corpus, folder, every).result()
    book = new_book(scratch / "book", _NOW.date(), aircraft="Crew Trainer")
    timed, watch, ours = TimedDecoders(), MemoryWatch(), decoding.DECODERS
    decoding.DECODERS = timed
    watch.start()
    try:
        outcome = run(book, [folder], _NOW, Choices(jobs=jobs), watch, bench=SilentBench)
    finally:
        watch.stop()
        decoding.DECODERS = ours
        timed.end()
    result = accounts(folder, made, outcome.records, outcome.set_aside)
    result.faults += _unreadable(book.out, outcome)
    return outcome, result, timed, watch


def _unreadable(out: Path, outcome: Outcome) -> Iterator[str]:
    """Tell which written text is no UTF-8, and whether the list of what was set aside lists it."""
    for path in sorted(out.rglob("*")):
        if path.suffix in (".html", ".json", ".csv", ".vtt", ".svg", ".md"):
            try:
                path.read_bytes().decode("utf-8")
            except UnicodeDecodeError as error:
                yield f"{path.relative_to(out)}: {error}"
    with (out / "set-aside.csv").open(newline="", encoding="utf-8-sig") as file:
        listed = sum(1 for _ in csv.DictReader(file))
    if listed != len(outcome.set_aside):
        yield f"set-aside.csv lists {listed} of {len(outcome.set_aside)}"


def too_much(timed: TimedDecoders, watch: MemoryWatch) -> Iterator[str]:
    """Tell which file took too long, and whether a process held too much memory."""
    for what, waited_s in timed.waited_s.items():
        if waited_s > LONGEST_S:
            yield f"{what!r}: nothing came for {waited_s:.1f} s"
    *by_step, _ = watch.here_mb.items()  # how much the writing holds is a matter of how much there is to write
    for who, most_mb in (*by_step, ("a decoder", watch.child_mb)):
        if most_mb > MOST_MB:
            yield f"{who}: held {most_mb:.0f} MB"


def _tell(outcome: Outcome, result: Result, timed: TimedDecoders, watch: MemoryWatch, took_s: float) -> None:
    print(f"{'family':14} {'made':>6} {'taken':>6} {'aside':>6}")
    for family, made in result.made.items():
        print(f"{family:14} {made:6} {result.taken[family]:6} {result.aside[family]:6}")
    print(f"{'all':14} {sum(result.made.values()):6} {result.taken.total():6} {result.aside.total():6}")
    print("\nThe reasons:")
    for why, count in result.reasons.most_common():
        print(f"{count:6}  {why}")
    print("\nThe longest:")
    for what, file_s in sorted(timed.took_s.items(), key=lambda one: -one[1])[:12]:
        print(f"{file_s:6.1f} s, at most {timed.waited_s[what]:.1f} s without a sign  {what!r}")
    print(f"\nexit code {int(outcome.exit_code)}; {took_s:.0f} s in all; {machine()}")
    print(
        f"most memory: a decoder {watch.child_mb:.0f} MB, all processes {watch.all_mb:.0f} MB; this process, by step:"
    )
    for step, most_mb in watch.here_mb.items():
        print(f"{most_mb:6.0f} MB  {step}")
    for fault in (*result.faults, *too_much(timed, watch)):
        print(f"FAULT  {fault}")


def main() -> int:
    """Run it and tell; the exit code is 1 where a fault was found."""
    parser = argparse.ArgumentParser(prog="python -m measuring.hostile", description=__doc__)
    parser.add_argument("--every", type=int, default=1, help="take every so many of each family (1: all)")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--keep", type=Path, help="make it in this folder and leave it there")
    how = parser.parse_args()
    scratch = how.keep or Path(tempfile.mkdtemp())
    began_s = time.perf_counter()
    try:
        outcome, result, timed, watch = run_corpus(scratch, how.every, how.jobs)
        _tell(outcome, result, timed, watch, time.perf_counter() - began_s)
    finally:
        if how.keep is None:
            shutil.rmtree(scratch, ignore_errors=True)
    return 1 if result.faults or any(too_much(timed, watch)) else 0


if __name__ == "__main__":
    sys.exit(main())
