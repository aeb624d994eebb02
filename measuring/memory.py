"""The most memory that each kind of large input takes: ``python -m measuring.memory``.

    python -m measuring.memory [--hours 0.25 1 4] [--kinds recording film] [--hear]
                               [--days 0] [--photos 100] [--utterances 200]

Recordings and films of so many hours are made up (a voice-like tone that comes and goes) and taken by a recogniser
that hears nothing, each in a process of its own, so that decoding and cutting alone are measured. With ``--hear``
they are made of speech (``measuring.speech``), a whole run takes each into a book with the real recogniser, and it is
looked whether all the voice in it stands in the records; the exit code is 1 where some does not. A photo of 48
million pixels is looked at and made smaller. With ``--days``, a book of so many days with so many photos and
utterances each is run. Peaks are of the process, and of the largest that it began for unpacking and for other work.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from measuring.long_media import Stretch, accounted_for, speech, tones, write_long
from measuring.made_books import NOW, Quickened, Size, empty_book, lay_out
from measuring.watch import Children, Watch, machine, peak_mb
from pipeline.intake.decoding import look, resized_jpeg
from pipeline.stages import hear_sound
from pipeline.values import Heard

_RATE_HZ = 16_000
_LONGEST_GAP_S = 2.0
"""A second without a word is told of, and a word is at most 0.3 s off at either end: ``pipeline/hearing/gaps.py``."""
_ENDINGS = {"recording": "flac", "film": "mkv"}
_WIDE, _HIGH = 8000, 6000


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--hours", type=float, nargs="*", default=[0.25, 1, 4])
    parser.add_argument("--kinds", nargs="*", choices=_ENDINGS, default=[*_ENDINGS])
    parser.add_argument("--hear", action="store_true")
    parser.add_argument("--days", type=int, default=0)
    parser.add_argument("--photos", type=int, default=100)
    parser.add_argument("--utterances", type=int, default=200)
    parser.add_argument("--one", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        print(json.dumps(_one(asked)))
        return 0
    print(machine())
    whole = True
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for hours in asked.hours:
            for kind in asked.kinds:
                path = folder / "media" / f"20260214_101500.{_ENDINGS[kind]}"
                path.parent.mkdir(exist_ok=True)
                what = f"a {kind} of {hours:g} h"
                if asked.hear:
                    whole &= _heard_whole(what, path, hours, kind == "film")
                else:
                    write_long(path, tones(round(hours * 60)), kind == "film")
                    _told(what, "hear", path)
                path.unlink()
        photo = folder / "large.jpg"
        pixels = np.random.default_rng(1).integers(0, 256, (_HIGH // 40, _WIDE // 40, 3), dtype=np.uint8)
        Image.fromarray(pixels).resize((_WIDE, _HIGH)).save(photo, quality=90)
        _told(f"a photo of {_WIDE * _HIGH // 1_000_000} million pixels", "picture", photo)
    if asked.days:
        size = ["--days", str(asked.days), "--photos", str(asked.photos), "--utterances", str(asked.utterances)]
        _told(
            f"a book of {asked.days} days, each {asked.photos} photos, {asked.utterances} utterances",
            "book",
            "",
            *size,
        )
    return 0 if whole else 1


def _heard_whole(what: str, path: Path, hours: float, film: bool) -> bool:
    """Hear speech in a whole run; tell whether all of it stands in the records."""
    spoken: list[Stretch] = []
    length_s = write_long(path, speech(hours * 60, spoken), film)
    laid_down = path.parent.parent / "spoken.json"
    laid_down.write_text(json.dumps({"length_s": length_s, "spoken": spoken}), encoding="utf-8")
    found = _told(what, "run", path)["accounted_for"]
    for name, figure in found.items():
        print(f"  {name:<42}{figure:>7.1f}", flush=True)
    near = found["length_off_s"] < 1 and found["longest_gap_s"] < _LONGEST_GAP_S
    return near and not found["homeless"] and not found["set_aside"]


def _told(what: str, do: str, path: Path | str, *more: str) -> dict[str, Any]:
    arguments = [sys.executable, "-m", "measuring.memory", "--one", f"{do}:{path}", *more]
    done = subprocess.run(arguments, check=True, capture_output=True, text=True)
    found: dict[str, Any] = json.loads(done.stdout)
    others = f", in others {found['others_mb']:.0f} MB" if found["others_mb"] else ""
    print(f"{what:<44}{found['peak_mb']:>7.0f} MB, in the process that unpacks {found['child_mb']:.0f} MB{others}")
    for step, peak in found.get("steps", {}).items():
        print(f"  {step:<42}{peak:>7.0f} MB {found['worked_s'][step]:>7.0f} s of the processor")
    sys.stdout.flush()
    return found


def _one(asked: argparse.Namespace) -> dict[str, Any]:
    children = Children()
    children.start()
    found = {"peak_mb": 0.0} | _ONE[asked.one.split(":")[0]](asked)
    children.stop()
    peak, unpacks = children.peak_mb.items(), "pipeline.intake.decoder"
    return found | {
        "peak_mb": max(found["peak_mb"], peak_mb()),
        "child_mb": max((most_mb for command, most_mb in peak if unpacks in command), default=0.0),
        "others_mb": max((most_mb for command, most_mb in peak if unpacks not in command), default=0.0),
    }


class _HearsNothing:
    """A bench, as far as hearing goes, that hears nothing."""

    def hear(self, samples: Any) -> Heard:
        return Heard(by="recogniser", duration_s=len(samples) / _RATE_HZ, segments=())


def _hear(asked: argparse.Namespace) -> dict[str, Any]:
    path = Path(asked.one.partition(":")[2])
    bench: Any = _HearsNothing()
    heard = hear_sound(path, look(path).content_type, bench)
    return {"heard_s": heard.duration_s}


def _run(asked: argparse.Namespace) -> dict[str, Any]:
    from pipeline.runner import Choices, run

    path = Path(asked.one.partition(":")[2])
    laid_down = json.loads((path.parent.parent / "spoken.json").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        watch = Watch()
        choices = Choices(jobs=os.cpu_count() or 1)
        outcome = run(empty_book(Path(folder) / "book"), [path.parent], NOW, choices, watch)
        watch.stop()
    found = accounted_for(outcome.records, laid_down["length_s"], laid_down["spoken"])
    return _of_steps(watch) | {"accounted_for": found}


def _picture(asked: argparse.Namespace) -> dict[str, Any]:
    path = Path(asked.one.partition(":")[2])
    look(path)
    resized_jpeg(path, 1280)
    return {}


def _book(asked: argparse.Namespace) -> dict[str, Any]:
    from pipeline.runner import Choices, run

    each = 20
    Quickened.sentences = each
    with tempfile.TemporaryDirectory() as folder:
        size = Size(asked.days, asked.photos, max(1, asked.utterances // each), each)
        media = lay_out(Path(folder) / "media", size)
        watch = Watch()
        run(empty_book(Path(folder) / "book"), [media], NOW, Choices(jobs=1), watch, bench=Quickened)
        watch.stop()
    return _of_steps(watch)


def _of_steps(watch: Watch) -> dict[str, Any]:
    return {"steps": watch.peak_mb, "worked_s": watch.worked_s, "peak_mb": max(watch.peak_mb.values())}


_ONE = {"hear": _hear, "run": _run, "picture": _picture, "book": _book}


if __name__ == "__main__":
    sys.exit(main())
