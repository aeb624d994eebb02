"""How time and memory grow with the book: ``python -m measuring.growth [DAYS…]``, plotted into ``docs/``.

    python -m measuring.growth [DAYS…] [--remember] [--to FOLDER]

Makes books of more and more days of work, each in a process of its own, and takes the time and the peak of memory of
each step of the first run. The exponent of a step is the slope of its line on two logarithmic scales: 1 is in
proportion to the work. With ``--remember`` no text is read or repaired twice, because the made-up notes come back
again and again; all else is done as always.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from measuring.made_books import NOW, Quickened, Scripted, Size, empty_book, lay_out
from measuring.plots import Line, drawn, exponent
from measuring.watch import Watch, machine
from pipeline.runner import Choices, run

DAYS = (1, 10, 100, 1000)
PHOTOS, UTTERANCES = 6, 8
WHOLE = "everything"
_LEAST_S = 0.05
"""A step that took less than this at the largest book is not told: its exponent would be noise."""


def main() -> int:
    """Measure, print, and draw."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("days", type=int, nargs="*", default=DAYS)
    parser.add_argument("--remember", action="store_true")
    parser.add_argument("--one", action="store_true", help=argparse.SUPPRESS)
    parser.add_argument("--to", type=Path, default=Path(__file__).parent.parent / "docs")
    asked = parser.parse_args()
    if asked.one:
        print(json.dumps(_measured(asked.days[0], asked.remember)))
        return 0
    print(f"{machine()}. A day is {PHOTOS} photos and one recording of {UTTERANCES} utterances.")
    found = {days: _in_a_process(days, asked.remember) for days in asked.days}
    _tell(found, "took_s", "seconds by the clock")
    worked = _tell(found, "worked_s", "seconds of processor time")
    _draw(asked.to / "growth-time.svg", "Processor time of a book's first run", "s", worked)
    _draw(asked.to / "growth-memory.svg", "Peak memory of a book's first run", "MB", _tell(found, "peak_mb", "MB"))
    return 0


def _tell(found: dict[int, dict[str, dict[str, float]]], what: str, unit: str) -> list[Line]:
    """Print one table, and return its lines."""
    lines = _lines({days: one[what] for days, one in found.items()}, 0.0 if unit == "MB" else _LEAST_S)
    print(f"\n{unit:<28}" + "".join(f"{days:>9,}" for days in found) + "  exponent  of the last two")
    for line in lines:
        slopes = f"{exponent(line.points):10.2f}{exponent(line.points[-2:]):17.2f}"
        print(f"{line.name:<28}" + "".join(f"{y:9.2f}" for _, y in line.points) + slopes)
    return lines


def _draw(file: Path, title: str, unit: str, lines: list[Line]) -> None:
    notes = {line.name: f"  {exponent(line.points):.2f}" for line in lines}
    file.write_text(drawn(title, "days of work", unit, lines, notes), encoding="utf-8")


def _lines(found: dict[int, dict[str, float]], least: float) -> list[Line]:
    largest = found[max(found)]
    return [
        Line(name, [(days, max(one.get(name, 0.0), 1e-4)) for days, one in sorted(found.items())], name == WHOLE)
        for name in largest
        if largest[name] >= least
    ]


def _in_a_process(days: int, remember: bool) -> dict[str, dict[str, float]]:
    arguments = [sys.executable, "-m", "measuring.growth", str(days), "--one", *(["--remember"] if remember else [])]
    done = subprocess.run(arguments, check=True, capture_output=True, text=True)
    found: dict[str, dict[str, float]] = json.loads(done.stdout)
    print(f"{days:,} days: {found['took_s'][WHOLE]:.1f} s, {found['peak_mb'][WHOLE]:.0f} MB", flush=True)
    return found


def _measured(days: int, remember: bool) -> dict[str, Any]:
    """Make a book of so many days, run it, and return seconds and MB by step."""
    with tempfile.TemporaryDirectory() as folder:
        media = lay_out(Path(folder) / "media", Size(days, PHOTOS, 1, UTTERANCES))
        watch = Watch()
        bench = Quickened if remember else Scripted
        choices = Choices(jobs=1 if remember else os.cpu_count() or 1)
        outcome = run(empty_book(Path(folder) / "book"), [media], NOW, choices, watch, bench=bench)
        watch.stop()
    if outcome.set_aside or len(outcome.records.media) != days * (PHOTOS + 1):
        raise SystemExit(f"The made-up book of {days} days was not taken in whole: {outcome.set_aside[:3]}")
    return {
        "took_s": {**watch.took_s, WHOLE: sum(watch.took_s.values())},
        "worked_s": {**watch.worked_s, WHOLE: sum(watch.worked_s.values())},
        "peak_mb": {**watch.peak_mb, WHOLE: max(watch.peak_mb.values())},
    }


if __name__ == "__main__":
    sys.exit(main())
