"""What hearing costs: a whole run against the recogniser's library alone, in pairs.

    python -m measuring.hearing [--minutes 60] [--rounds 3] [--cores 2] [--model base] [--batch 8]
                                [--sides SIDE…] [--no-parts] [--json FILE]

Each side is a process of its own, its start and the loading of the model counted, on the same recordings and cores;
the sides take turns (A B A B …), and what is told is the middle of the rounds' ratios. Beside the time by the clock
stands the processor's time of the process and all that it began, which other programs on the machine disturb less.

- alone: faster-whisper's BatchedInferencePipeline with word times, its own voice finder, its own settings, one
  recording after the other; a model of int8 numbers, with as many threads as there are cores.
- alone-without-times: the same without word times.
- alone-in-threads: the same with word times, as many recordings at once as there are cores, one thread each.
- one-look: ``saidseen run`` into a fresh book, but that nothing is listened to a second time.
- run: ``saidseen run`` into a fresh book.
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from measuring.hearing_parts import NOW, table
from measuring.watch import machine

ALONE = "alone"
SIDES = (ALONE, "alone-without-times", "alone-in-threads", "one-look", "run")


@dataclass(frozen=True)
class Cost:
    """What one process cost: seconds by the clock, the processor's seconds, and the most memory of one process."""

    wall_s: float
    work_s: float
    peak_mb: float


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--cores", type=int, default=min(2, os.cpu_count() or 1))
    parser.add_argument("--model", default="base")
    parser.add_argument("--batch", type=int, default=8, help="of the library alone; 8 is its own default")
    parser.add_argument(
        "--sides", nargs="+", choices=SIDES, default=(ALONE, "alone-without-times", "one-look", "run")
    )
    parser.add_argument("--no-parts", action="store_true", help="leave out what each part of a run costs")
    parser.add_argument("--json", type=Path, metavar="FILE")
    parser.add_argument("--side", choices=SIDES, help=argparse.SUPPRESS)
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.side:
        _do_side(asked)
        return 0
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[: asked.cores])
    with tempfile.TemporaryDirectory() as home:
        found = _measured(asked, Path(home))
    if asked.json:
        asked.json.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    return 0


def _measured(asked: argparse.Namespace, home: Path) -> dict[str, Any]:
    made = [sys.executable, "-c", _MAKE_SPEECH, str(home / "speech"), str(asked.minutes)]
    sound_s = float(subprocess.run(made, check=True, stdout=subprocess.PIPE, text=True).stdout)
    files = len(list((home / "speech").iterdir()))
    print(f"{machine()}; {asked.cores} used. {sound_s / 60:.1f} min of speech in {files} recordings; {asked.model}.")
    rounds = []
    for number in range(asked.rounds):
        costs = {side: _cost(_command(side, asked, home, number)) for side in asked.sides}
        told = ", ".join(f"{side} {one.wall_s:.0f} s" for side, one in costs.items())
        print(f"round {number + 1}: {told}", file=sys.stderr, flush=True)
        rounds.append(costs)
    print(_compared(rounds, sound_s))
    found = {
        "machine": machine(),
        "cores": asked.cores,
        "model": asked.model,
        "batch": asked.batch,
        "sound_s": sound_s,
        "recordings": files,
        "rounds": [{side: asdict(one) for side, one in costs.items()} for costs in rounds],
        "ratios": {side: asdict(ratio) for side, ratio in _ratios(rounds).items()},
    }
    if not asked.no_parts:
        command = [sys.executable, "-m", "measuring.hearing_parts", str(home / "speech"), "--model", asked.model]
        done = subprocess.run([*command, "--json"], check=True, stdout=subprocess.PIPE, text=True)
        found["parts"] = json.loads(done.stdout)
        print("\nWhat each part of a run costs, in seconds of one core:\n")
        print(table(found["parts"]))
    return found


_MAKE_SPEECH = """import sys, pathlib
from measuring.speech import made_speech
print(made_speech(pathlib.Path(sys.argv[1]), float(sys.argv[2])))"""


# Sides ------------------------------------------------------------------------------------------------------


def _command(side: str, asked: argparse.Namespace, home: Path, number: int) -> list[str]:
    """Return the command of a side; what it needs is laid out, which is not timed."""
    speech, book = home / "speech", home / f"{side}-{number}"
    if side == "run":
        program = [sys.executable, "-m", "pipeline"]
        new = [*program, "new", str(book), "--type-pack", "crew-trainer"]
        subprocess.run(new, check=True, stdout=subprocess.DEVNULL)
        choices = ["--model", asked.model, "--jobs", str(asked.cores), "--device", "cpu", "--quiet"]
        return [*program, "run", str(book), str(speech), *choices]
    settings = ["--cores", str(asked.cores), "--model", asked.model, "--batch", str(asked.batch)]
    return [sys.executable, "-m", "measuring.hearing", "--side", side, "--folder", str(speech), *settings]


def _cost(command: list[str]) -> Cost:
    """Run a command to its end, and return what it cost."""
    start_s = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    wall_s = time.perf_counter() - start_s
    if code := os.waitstatus_to_exitcode(status):
        raise SystemExit(f"{' '.join(command)} ended with {code}")
    return Cost(wall_s, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def _do_side(asked: argparse.Namespace) -> None:
    files = sorted(asked.folder.iterdir())
    if asked.side == "one-look":
        _one_look(asked)
    elif asked.side == "alone-in-threads":
        transcribe = _library(asked, threads=1, at_once=asked.cores, times=True)
        with ThreadPoolExecutor(asked.cores) as pool:
            print(sum(pool.map(transcribe, files)))
    else:
        transcribe = _library(asked, threads=asked.cores, at_once=1, times=asked.side == ALONE)
        print(sum(map(transcribe, files)))


def _library(asked: argparse.Namespace, threads: int, at_once: int, times: bool) -> Callable[[Path], int]:
    """Return what transcribes a file by the library alone, and gives the number of words."""
    from faster_whisper import BatchedInferencePipeline, WhisperModel

    from pipeline.hearing.models import find_model

    folder = str(find_model(asked.model).path)
    whisper = WhisperModel(folder, device="cpu", compute_type="int8", cpu_threads=threads, num_workers=at_once)

    def transcribe(file: Path) -> int:
        pipeline = BatchedInferencePipeline(whisper)
        found, _ = pipeline.transcribe(str(file), language="en", batch_size=asked.batch, word_timestamps=times)
        return sum(len(segment.text.split()) for segment in found)

    return transcribe


def _one_look(asked: argparse.Namespace) -> None:
    """Run a fresh book with a bench that leans towards no name, and so has no reason for a second look."""
    from datetime import date

    from pipeline.bench import Bench
    from pipeline.book import new_book
    from pipeline.hearing.leaning import Leaning
    from pipeline.runner import Choices, run

    class LooksOnce(Bench):
        @cached_property
        def _leaning(self) -> Leaning:
            return Leaning(())

    with tempfile.TemporaryDirectory() as home:
        book = new_book(Path(home) / "book", date(2025, 1, 1), type_pack="crew-trainer")
        run(book, [asked.folder], NOW, Choices(model=asked.model, jobs=asked.cores), bench=LooksOnce)


# Figures ----------------------------------------------------------------------------------------------------


def _ratios(rounds: list[dict[str, Cost]]) -> dict[str, Cost]:
    """Return the middle of each side's ratios to the library alone in the same round."""
    first = next(iter(rounds[0]))
    return {
        side: Cost(*(_middle(_of(one[side], what) / _of(one[first], what) for one in rounds) for what in _WHAT))
        for side in rounds[0]
    }


_WHAT = ("wall_s", "work_s", "peak_mb")


def _of(cost: Cost, what: str) -> float:
    return float(getattr(cost, what))


def _middle(values: Iterable[float]) -> float:
    return statistics.median(values)


def _compared(rounds: list[dict[str, Cost]], sound_s: float) -> str:
    ratios = _ratios(rounds)
    to = next(iter(ratios))
    lines = [
        f"\n| | clock, s | processor, s | than real time | most memory, MB | clock / {to} | processor / {to} |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for side, ratio in ratios.items():
        wall_s, work_s, peak_mb = (_middle(_of(one[side], what) for one in rounds) for what in _WHAT)
        lines.append(
            f"| {side} | {wall_s:.0f} | {work_s:.0f} | {sound_s / wall_s:.1f} times quicker | {peak_mb:.0f} "
            f"| {ratio.wall_s:.2f} | {ratio.work_s:.2f} |"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    raise SystemExit(main())
