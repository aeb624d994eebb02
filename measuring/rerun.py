"""How long a rerun takes, with nothing new and with one new photo: ``python -m measuring.rerun``.

    python -m measuring.rerun [--photos 10000] [--recordings 500] [--utterances 8] [--days 500] [--rounds 5]
        [--keep FOLDER]

The book is made up and run once; then the command itself is run again, in a process of its own each time, as a
person would: start, look, and end. Of the rounds the best and the middle one are told; of one new photo each step:
seconds of the processor, and the most memory. With ``--keep`` the book is made in a folder that is left there, and is
not made again where it is there already.
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from measuring.made_books import NOW, Quickened, Size, empty_book, lay_out, one_more_photo
from measuring.watch import Watch, machine
from pipeline.book import Book

_DAY = 20  # photos in a day


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--photos", type=int, default=10_000)
    parser.add_argument("--recordings", type=int, default=500)
    parser.add_argument("--utterances", type=int, default=8)
    parser.add_argument("--days", type=int)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    days = asked.days or -(-asked.photos // _DAY)
    size = Size(
        days, -(-asked.photos // days), -(-asked.recordings // days) if asked.recordings else 0, asked.utterances
    )
    print(f"{machine()}; {size.all_photos:,} photos, {days * size.recordings:,} recordings, {days:,} days")
    with tempfile.TemporaryDirectory() as folder:
        _measure(asked.keep or Path(folder), size, asked.rounds)
    return 0


def _measure(home: Path, size: Size, rounds: int) -> None:
    media, book = home / "media", Book(home / "book")
    if not media.exists():
        lay_out(media, size)
        empty_book(book.folder)
    _told("first run, or as it was", _run_here(book, media, size))
    _told("the same again, in this process", _run_here(book, media, size))
    took_s = [_run_command(book.folder) for _ in range(rounds)]
    print(f"{'the command, with nothing new':<36}{min(took_s):8.2f} s best, {statistics.median(took_s):.2f} s middle")
    for which, day in (("one new photo of the last day", size.days - 1), ("a late one of the first day", 0)):
        one_more_photo(media, day, second=60 + time.time_ns() % 3_000)
        watch = Watch()
        _told(which, _run_here(book, media, size, watch))
        for step, seconds in watch.worked_s.items():
            print(f"{'  ' + step:<36}{seconds:8.2f} s of the processor, {watch.peak_mb[step]:.0f} MB", flush=True)


def _run_here(book: Book, media: Path, size: Size, watch: Watch | None = None) -> float:
    from pipeline.runner import Choices, run

    Quickened.sentences = size.utterances
    watch = watch or Watch()
    began_s = time.perf_counter()
    run(book, [media], NOW, Choices(jobs=1), watch, bench=Quickened)
    watch.stop()
    return time.perf_counter() - began_s


def _run_command(book: Path) -> float:
    began_s = time.perf_counter()
    subprocess.run([sys.executable, "-m", "pipeline", "run", str(book), "--quiet"], check=True)
    return time.perf_counter() - began_s


def _told(what: str, seconds: float) -> None:
    print(f"{what:<36}{seconds:8.2f} s", flush=True)


if __name__ == "__main__":
    sys.exit(main())
