"""How long a rerun takes, with nothing new and with one new photo: ``python -m measuring.rerun``.

    python -m measuring.rerun [--photos 10000] [--recordings 500] [--utterances 8] [--days 500] [--cameras 1]
        [--recorders 0] [--rounds 5] [--no-writing] [--keep FOLDER]

The book is made up and run once; then the command itself is run again, in a process of its own each time, as a
person would: start, look, and end. Of the rounds the best and the middle one are told; of one new photo each step, in
a process of its own too: seconds of the processor, and the most memory. With ``--no-writing`` each run ends where it
would begin to write, which takes hours for the first of a book of 100,000 photos; then only new photos are told of.
With ``--keep`` the book is made in a folder that is left there, and is not made again where it is there already.
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

from measuring.made_books import NOW, Quickened, Size, empty_book, lay_out, one_more_photo
from measuring.watch import StepReached, Watch, WatchUntil, machine, processor_s
from pipeline.book import Book
from pipeline.runner import Choices, run

_DAY = 20  # photos in a day
_WRITING = "Writing the book"


@dataclass(frozen=True)
class Ran:
    """A run: the processor's seconds of its whole process, and of each step with the most memory (MB)."""

    seconds: float
    steps: dict[str, tuple[float, float]]


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--photos", type=int, default=10_000)
    parser.add_argument("--recordings", type=int, default=500)
    parser.add_argument("--utterances", type=int, default=8)
    parser.add_argument("--days", type=int)
    parser.add_argument("--cameras", type=int, default=1)
    parser.add_argument("--recorders", type=int, default=0)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--no-writing", action="store_true")
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    days = asked.days or -(-asked.photos // _DAY)
    recordings = -(-asked.recordings // days) if asked.recordings else 0
    photos, recorders = -(-asked.photos // days), asked.recorders
    size = Size(days, photos, recordings, asked.utterances, asked.cameras, recorders)
    print(
        f"{machine()}; {size.all_photos:,} photos, {days * size.recordings:,} recordings, "
        f"{size.all_utterances:,} utterances, {days:,} days; cameras: {size.cameras}, recorders: {size.recorders}"
    )
    with tempfile.TemporaryDirectory() as folder:
        _measure(asked.keep or Path(folder), size, asked.rounds, writing=not asked.no_writing)
    return 0


def _measure(home: Path, size: Size, rounds: int, writing: bool) -> None:
    media, book = home / "media", home / "book"
    if not media.exists():
        lay_out(media, size)
        empty_book(book)
    _told("first run, or as it was", _run_apart(book, media, size, writing))
    if writing:
        took_s = [_run_command(book) for _ in range(rounds)]
        told = f"{min(took_s):8.2f} s best, {statistics.median(took_s):.2f} s middle, by the clock"
        print(f"{'the command, with nothing new':<36}{told}")
    for which, day in (("one new photo of the last day", size.days - 1), ("a late one of the first day", 0)):
        one_more_photo(media, day, second=60 + time.time_ns() % 3_000)
        _told(which, _run_apart(book, media, size, writing))


def _run_apart(book: Path, media: Path, size: Size, writing: bool) -> Ran:
    """Run a book in a process of its own, so that it holds nothing of a run before."""
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        return pool.submit(_run, book, media, size.utterances, writing).result()


def _run(book: Path, media: Path, utterances: int, writing: bool) -> Ran:
    Quickened.sentences = utterances
    watch = Watch() if writing else WatchUntil(_WRITING)
    with suppress(StepReached):
        run(Book(book), [media], NOW, Choices(jobs=1), watch, bench=Quickened)
    watch.stop()
    return Ran(processor_s(), {step: (seconds, watch.peak_mb[step]) for step, seconds in watch.worked_s.items()})


def _run_command(book: Path) -> float:
    began_s = time.perf_counter()
    subprocess.run([sys.executable, "-m", "pipeline", "run", str(book), "--quiet"], check=True)
    return time.perf_counter() - began_s


def _told(what: str, ran: Ran) -> None:
    most_mb = max(mb for _, mb in ran.steps.values())
    print(f"{what:<36}{ran.seconds:8.2f} s of the processor, {most_mb:.0f} MB")
    begun_s = ran.seconds - sum(seconds for seconds, _ in ran.steps.values())
    print(f"{'  Loading the program':<36}{begun_s:8.2f} s")
    for step, (seconds, mb) in ran.steps.items():
        print(f"{'  ' + step:<36}{seconds:8.2f} s, {mb:.0f} MB", flush=True)


if __name__ == "__main__":
    sys.exit(main())
