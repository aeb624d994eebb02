"""A small book's whole life, killed again and again; in the end it must equal the book that was never killed.

    .venv/bin/python -m measuring.kills 200            200 kills at random moments over the whole life
    .venv/bin/python -m measuring.kills --points       a kill at each moment at which something is about to change
    .venv/bin/python -m measuring.kills --points --part 3/16
                                                       every 16th of them, from the third on: for one core of 16
    .venv/bin/python -m measuring.kills 8 --points 3   what the tests do: few of both

Everything that a kill may leave is compared: each file's bytes (pages, history, vocabulary, labels, bags), each row
of the database, the names in every folder, and the originals. The exit code is 1 if anything differs.
"""

import argparse
import json
import os
import random
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from functools import partial
from hashlib import sha256
from pathlib import Path
from unittest.mock import patch

from measuring.fault_points import Points, watch
from measuring.small_story import STEPS, UNDER_WAY, Home, Warm, go_on, lay_out_media, records_of
from pipeline.writing.write import write_book
from pipeline.writing.written_files import Written

_LONGEST_S = 300.0
_DATABASE = ("book.db", "book.db-wal", "book.db-shm")
_NOT_COMPARED = frozenset({*_DATABASE, "book.lock", UNDER_WAY, f"{UNDER_WAY}.new"})


def start(work: Callable[[], None]) -> int:
    """Do some work in a copy of this process that leads a group of its own; return its number."""
    pid = os.fork()
    if pid:
        return pid
    os.setsid()
    try:
        work()
    except BaseException:
        traceback.print_exc()
        os._exit(1)
    os._exit(0)


def ended(pid: int, busy_s: float = _LONGEST_S) -> int | None:
    """Wait until a process ends or has worked so long; return how it ended (as ``subprocess`` counts), else None.

    What counts is the processor's time, so that other programs on the machine do not change what is measured (Linux).
    """
    clock = (
        ~pid << 3
    ) | 2  # Source: the macro CPUCLOCK_SCHED of Linux, as clock_getcpuclockid(3) makes it; from memory
    while True:
        found, status = os.waitpid(pid, os.WNOHANG)
        if found:
            return os.waitstatus_to_exitcode(status)
        if time.clock_gettime(clock) >= busy_s:
            return None
        time.sleep(0.0005)


def do(work: Callable[[], None]) -> None:
    """Do some work in a copy of this process; stop everything if it fails or never ends."""
    pid = start(work)
    code = ended(pid)
    if code is None:
        os.killpg(pid, signal.SIGKILL)
    if code != 0:
        sys.exit(f"A process that nobody killed ended in {code}.")


def state_of(home: Home) -> dict[str, str]:
    """Return everything that is compared: files by their hash, folders, and rows of the database by their table."""
    found = {}
    for path in sorted(home.folder.rglob("*")):
        if path.name not in _NOT_COMPARED:
            place = str(path.relative_to(home.folder))
            found[place] = "a folder" if path.is_dir() else sha256(path.read_bytes()).hexdigest()
    return found | dict(_rows(home))


def _rows(home: Home) -> Iterator[tuple[str, str]]:
    if not home.book.store_file.exists():
        return
    with closing(sqlite3.connect(home.book.store_file)) as db:
        (sound,) = db.execute("PRAGMA integrity_check").fetchone()
        yield "database: sound", str(sound)
        for (table,) in db.execute("SELECT name FROM sqlite_schema WHERE type='table'").fetchall():
            if table == "last_run":  # its other column is made of places and file times
                for (left,) in db.execute("SELECT left FROM last_run").fetchall():
                    for key in sorted(json.loads(left)):
                        yield f"database: last_run, {key}", repr(json.loads(left)[key])
                continue
            for row in sorted(map(repr, db.execute(f'SELECT * FROM "{table}"'))):
                yield f"database: {table} {row[:80]}", sha256(row.encode()).hexdigest()


def differences(found: dict[str, str], expected: dict[str, str]) -> list[str]:
    """Return what is different, as lines."""
    return [
        f"{place}: {'left over' if place not in expected else 'missing' if place not in found else 'different'}"
        for place in sorted({*found, *expected})
        if found.get(place) != expected.get(place)
    ]


class Measuring:
    """A place for books, the engines that all of them use, and what was found."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.rng = folder, random.Random(seed)
        self.faults: list[str] = []
        lay_out_media(folder / "media")
        self.originals = self._originals()
        self.warm = Warm()
        scratch = Home(folder / "scratch")
        for step in ("make", "teach"):
            STEPS[step](scratch, self.warm)
            settings = scratch.book.settings()
            self.warm.bench(settings, scratch.book.vocabulary(settings))

    def make_ready(self, whole: Home) -> None:
        """Load what the writing of pages loads once, so that a copy of this process has it at hand.

        All but what sets PDF: its threads would not survive being copied.
        """
        settings = whole.book.settings()
        with patch("pipeline.writing.write.bring_logbooks", return_value=Written()):
            write_book(records_of(whole), settings, whole.book.vocabulary(settings), self.folder / "scratch" / "out")

    def home(self, name: str) -> Home:
        """Return a place where no book is yet."""
        shutil.rmtree(self.folder / name, ignore_errors=True)
        return Home(self.folder / name)

    def compare(self, home: Home, expected: dict[str, str], when: str) -> None:
        """Note what differs from the book that was never killed."""
        found = differences(state_of(home), expected)
        if self._originals() != self.originals:
            found.append("the originals have changed")
        if found:
            shown = "\n    ".join(found[:12])
            self.faults.append(when)
            print(f"FAULT, killed {when}: {len(found)} differences\n    {shown}", flush=True)

    def _originals(self) -> dict[str, tuple[int, str]]:
        files = sorted(path for path in (self.folder / "media").rglob("*") if path.is_file())
        return {str(path): (path.stat().st_mtime_ns, sha256(path.read_bytes()).hexdigest()) for path in files}


def kill_at_random(measuring: Measuring, kills: int) -> None:
    """Kill at random moments until there were so many kills; each life is gone on with and killed until it ends.

    The time from each start to the kill is uniform between nothing and half a whole life, so that kills come
    everywhere in a life, and several in each.
    """
    whole = measuring.home("whole")
    do(partial(go_on, whole, measuring.warm))
    measuring.make_ready(whole)
    whole = measuring.home("whole")
    worked = measuring.folder / "worked"
    do(partial(_time_whole, measuring, whole, worked))
    length_s, expected = float(worked.read_text(encoding="ascii")), state_of(whole)
    print(f"A life that nobody kills keeps its process busy for {length_s:.1f} s.", flush=True)
    done, books, steps = 0, 0, Counter[str]()
    while done < kills:
        home, moments, books = measuring.home("killed"), list[str](), books + 1
        while True:
            moment = measuring.rng.uniform(0, length_s / 2) if done < kills else _LONGEST_S
            pid = start(partial(go_on, home, measuring.warm))
            code = ended(pid, moment)
            if code == 0:
                break
            if code is not None:
                measuring.faults.append(f"{moments}: not resumed, it ended in {code}")
                break
            # the whole group, as a power cut does, or the process alone, as the system does when memory is short
            (os.killpg if done % 2 else os.kill)(pid, signal.SIGKILL)
            ended(pid)
            done += 1
            moments.append(f"{moment:.2f} s after a start, in '{_under_way(home)}'")
            steps[_under_way(home)] += 1
        measuring.compare(home, expected, "; ".join(moments))
        print(f"{done} kills, {books} lives, {len(measuring.faults)} differ", flush=True)
    print("During: " + ", ".join(f"{step} {steps[step]}" for step in STEPS if steps[step]), flush=True)


def _time_whole(measuring: Measuring, whole: Home, to: Path) -> None:
    go_on(whole, measuring.warm)
    to.write_text(str(time.process_time()), encoding="ascii")


def _under_way(home: Home) -> str:
    done = home.folder / UNDER_WAY
    return [*STEPS, "the end"][int(done.read_text(encoding="ascii")) if done.exists() else 0]


def kill_at_points(measuring: Measuring, most: int, only: Sequence[str], part: slice) -> None:
    """Kill at each moment at which something is about to change; with ``most``, so many of each kind in each step.

    Of these moments it takes that ``part``.
    """
    before = measuring.home("before")
    before.folder.mkdir()
    steps = list(STEPS.items())
    last = max((at for at, (name, _) in enumerate(steps) if name in only), default=len(steps) - 1)
    for name, step in steps[: last + 1]:
        after = measuring.home("after")
        shutil.copytree(before.folder, after.folder)
        told = measuring.folder / "points"
        do(partial(_tell_points, measuring, step, after, told))
        reached, expected = told.read_text(encoding="utf-8").splitlines(), state_of(after)
        chosen = _chosen(reached, most)[part] if name in only or not only else []
        if chosen and name == "run":  # the first step after which there are records to write
            measuring.make_ready(after)
        for number in chosen:
            home = measuring.home("killed")
            shutil.copytree(before.folder, home.folder)
            pid = start(partial(_die_at, measuring, step, home, number))
            when = f"in '{name}', at {number} of {len(reached)}: {reached[number - 1]}"
            if (code := ended(pid)) != -signal.SIGKILL:
                measuring.faults.append(f"{when}: not killed, it ended in {code}")
                print(measuring.faults[-1], flush=True)
            code = ended(start(partial(step, home, measuring.warm)))
            if code != 0:
                measuring.faults.append(f"{when}: not resumed, it ended in {code}")
                print(measuring.faults[-1], flush=True)
            measuring.compare(home, expected, when)
        kinds = Counter(text.split()[0] for text in reached)
        what = ", ".join(f"{kind} {count}" for kind, count in sorted(kinds.items()))
        print(f"{name}: {len(reached)} moments ({what}), killed at {len(chosen)}", flush=True)
        shutil.rmtree(before.folder)
        after.folder.rename(before.folder)


def _tell_points(measuring: Measuring, step: Callable[[Home, Warm], None], home: Home, to: Path) -> None:
    points = Points()
    watch(points)
    step(home, measuring.warm)
    reached = "".join(f"{one}\n" for one in points.reached)
    to.write_text(reached, encoding="utf-8")


def _die_at(measuring: Measuring, step: Callable[[Home, Warm], None], home: Home, at: int) -> None:
    watch(Points(at))
    step(home, measuring.warm)


def _chosen(reached: Sequence[str], most: int) -> list[int]:
    """Return the numbers of the moments to die at: all, or the first, the last and some between of each kind."""
    if not most:
        return list(range(1, len(reached) + 1))
    kinds: dict[str, list[int]] = {}
    for number, what in enumerate(reached, start=1):
        kinds.setdefault(what.split()[0], []).append(number)
    return sorted(
        {
            of_kind[round(share * (len(of_kind) - 1) / max(1, most - 1))]
            for of_kind in kinds.values()
            for share in range(most)
        }
    )


def _part(text: str) -> slice:
    """Return which of all moments "3/16" are."""
    which, of = map(int, text.split("/"))
    if not 1 <= which <= of:
        raise ValueError(text)
    return slice(which - 1, None, of)


def main() -> None:
    """Kill as asked, print what was found, and end in 1 if a killed book differed."""
    asked = argparse.ArgumentParser(description="Kill a small book's life again and again, and compare.")
    asked.add_argument("kills", type=int, nargs="?", default=0, help="how many kills at random moments")
    asked.add_argument("--points", type=int, nargs="?", const=0, metavar="MOST", help="kill where something changes")
    asked.add_argument("--step", action="append", choices=list(STEPS), help="at the points of this step alone")
    asked.add_argument("--part", type=_part, default=slice(None), metavar="K/N", help="at every N-th point alone")
    asked.add_argument("--seed", type=int, default=1, help="of the random moments")
    given = asked.parse_args()
    with tempfile.TemporaryDirectory(prefix="saidseen-kills-") as folder:
        measuring = Measuring(Path(folder), given.seed)
        print(f"Seed {given.seed}.", flush=True)
        if given.kills:
            kill_at_random(measuring, given.kills)
        if given.points is not None:
            kill_at_points(measuring, given.points, given.step or (), given.part)
        print(f"{len(measuring.faults)} differ from the book that was never killed.")
        sys.exit(1 if measuring.faults else 0)


if __name__ == "__main__":
    main()
