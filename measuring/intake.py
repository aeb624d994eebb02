"""How quickly files are taken in, beside what the hash and the Exif reader can do alone.

    python -m measuring.intake [--mb 512] [--photos 5000] [--rounds 5]

Each round measures both sides of a pair one right after the other, in processor time, so that a machine that is busy
with other things tells the same; of each side the best round counts. Files are read from the system's cache, so that
the disk is no limit: where it is slower than the hash, it is the limit. Steps of a whole run are told by the clock.
"""

import argparse
import hashlib
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import exifread

from measuring.made_books import NOW, Scripted, Size, empty_book, lay_out
from measuring.watch import Watch, machine
from pipeline.intake.exif import read_exif
from pipeline.intake.walk import hash_file, walk
from pipeline.runner import Choices, run

_EACH_MB = {"films": 64, "photos": 2}


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--mb", type=int, default=512)
    parser.add_argument("--photos", type=int, default=5000)
    parser.add_argument("--rounds", type=int, default=5)
    asked = parser.parse_args()
    print(machine())
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for kind, each_mb in _EACH_MB.items():
            _hashing(folder / kind, asked.mb, each_mb, asked.rounds)
        photos = lay_out(folder / "media", Size(days=1, photos=asked.photos, recordings=0))
        _reading_exif(sorted(photos.rglob("*.jpg")), asked.rounds)
        _whole(folder, photos, asked.photos)
    return 0


def _hashing(folder: Path, megabytes: int, each_mb: int, rounds: int) -> None:
    folder.mkdir()
    block = bytes(range(256)) * 4096
    paths = [folder / f"{number}.bin" for number in range(max(1, megabytes // each_mb))]
    for path in paths:
        path.write_bytes(block * each_mb)
    total = len(paths) * each_mb

    def alone() -> None:
        for _ in range(total):
            hashlib.sha256(block)

    def whole() -> None:
        for path in paths:
            hash_file(path)

    bare_s, ours_s = _paired(alone, whole, rounds)
    _told("SHA-256 of memory alone", total / bare_s, "MB/s")
    _told(f"files of {each_mb} MB read and hashed", total / ours_s, "MB/s", bare_s / ours_s)
    shutil.rmtree(folder)


def _reading_exif(paths: list[Path], rounds: int) -> None:
    def alone() -> None:
        for path in paths:
            with path.open("rb") as file:
                exifread.process_file(file, details=False, extract_thumbnail=False)

    def ours() -> None:
        for path in paths:
            read_exif(path)

    bare_s, ours_s = _paired(alone, ours, rounds)
    _told("exifread alone, without details", len(paths) / bare_s, "files/s")
    _told("Exif as it is read here", len(paths) / ours_s, "files/s", bare_s / ours_s)


def _whole(folder: Path, photos: Path, count: int) -> None:
    """Walk, and take a book's photos in, each step by its name."""
    began_s = time.perf_counter()
    found = sum(1 for _ in walk([photos]))
    _told("files found by the walk", found / (time.perf_counter() - began_s), "files/s")
    watch = Watch()
    run(empty_book(folder / "book"), [photos], NOW, Choices(), watch, bench=Scripted)
    watch.stop()
    for step in ("Taking in files", "Looking at each file", "Reading codes in photos"):
        _told(step, count / watch.took_s[step], "files/s")


def _paired(one: Callable[[], None], other: Callable[[], None], rounds: int) -> tuple[float, float]:
    """Return the best seconds of processor time of each, measured in turn."""
    best = [float("inf"), float("inf")]
    for _ in range(rounds):
        for at, work in enumerate((one, other)):
            began_s = time.process_time()
            work()
            best[at] = min(best[at], time.process_time() - began_s)
    return best[0], best[1]


def _told(what: str, rate: float, unit: str, share: float | None = None) -> None:
    print(f"{what:<36}{rate:>10,.0f} {unit}" + ("" if share is None else f"   {share:.0%} of that alone"))


if __name__ == "__main__":
    sys.exit(main())
