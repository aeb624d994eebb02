"""The most memory that each kind of large input takes: ``python -m measuring.memory``.

    python -m measuring.memory [--hours 0.25 1 4] [--hear] [--days 0] [--photos 100] [--utterances 200]

Recordings and films of so many hours are made up (a voice-like tone that comes and goes) and heard, each in a process
of its own: with ``--hear`` by the real recogniser, else by one that hears nothing, so that decoding and cutting alone
are measured. A photo of 48 million pixels is looked at and made smaller. With ``--days``, a book of so many days with
so many photos and utterances each is run. Peaks are of the process and of the largest one that it began.
"""

import argparse
import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
from PIL import Image

from measuring.made_books import NOW, Quickened, Size, empty_book, lay_out
from measuring.watch import Watch, machine, peak_mb
from pipeline.intake.decoding import look, resized_jpeg
from pipeline.stages import hear_sound
from pipeline.values import Heard

_RATE_HZ = 16_000
_MINUTE_S = 60
_WIDE, _HIGH = 8000, 6000


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--hours", type=float, nargs="*", default=[0.25, 1, 4])
    parser.add_argument("--hear", action="store_true")
    parser.add_argument("--days", type=int, default=0)
    parser.add_argument("--photos", type=int, default=100)
    parser.add_argument("--utterances", type=int, default=200)
    parser.add_argument("--one", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        print(json.dumps(_ONE[asked.one.split(":")[0]](asked)))
        return 0
    print(machine())
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for hours in asked.hours:
            for kind, ending in (("recording", "flac"), ("film", "mkv")):
                path = _made_sound(folder / f"long.{ending}", round(hours * 60), film=kind == "film")
                _told(f"a {kind} of {hours:g} h", "hear", path, *(["--hear"] if asked.hear else []))
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
    return 0


def _told(what: str, do: str, path: Path | str, *more: str) -> None:
    arguments = [sys.executable, "-m", "measuring.memory", "--one", f"{do}:{path}", *more]
    done = subprocess.run(arguments, check=True, capture_output=True, text=True)
    found = json.loads(done.stdout)
    print(
        f"{what:<44}{found['peak_mb']:>7.0f} MB, in the process that unpacks {found['child_mb']:.0f} MB", flush=True
    )
    for step, peak in found.get("steps", {}).items():
        print(f"  {step:<42}{peak:>7.0f} MB")


def _peaks(**more: Any) -> dict[str, Any]:
    from pipeline.intake.decoding import _DECODERS

    _DECODERS.end()  # what a child took is known once it has ended
    child_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return {"peak_mb": peak_mb(), "child_mb": child_mb, **more}


class _HearsNothing:
    """A bench, as far as hearing goes, that hears nothing."""

    def hear(self, samples: Any) -> Heard:
        return Heard(by="recogniser", duration_s=len(samples) / _RATE_HZ, segments=())


def _hear(asked: argparse.Namespace) -> dict[str, Any]:
    path = Path(asked.one.partition(":")[2])
    with tempfile.TemporaryDirectory() as folder:
        book = empty_book(Path(folder) / "book")
        settings = book.settings()
        from pipeline.bench import Bench

        bench: Any = Bench(settings, book.vocabulary(settings), jobs=2) if asked.hear else _HearsNothing()
        heard = hear_sound(path, look(path).content_type, bench)
    return _peaks(heard_s=heard.duration_s)


def _picture(asked: argparse.Namespace) -> dict[str, Any]:
    path = Path(asked.one.partition(":")[2])
    look(path)
    resized_jpeg(path, 1280)
    return _peaks()


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
    return _peaks() | {"steps": watch.peak_mb, "peak_mb": max(watch.peak_mb.values())}


_ONE = {"hear": _hear, "picture": _picture, "book": _book}


def _made_sound(path: Path, minutes: int, film: bool) -> Path:
    """Write a recording, or a film of one picture a second, minute by minute."""
    with av.open(str(path), "w") as out:
        pictures = None
        if film:
            pictures = out.add_stream("mpeg4", rate=1)
            pictures.width, pictures.height, pictures.pix_fmt = 96, 64, "yuv420p"
        sound = out.add_stream("flac", rate=_RATE_HZ, layout="mono")
        for minute in range(minutes):
            for at_s in range(_MINUTE_S):
                if pictures is None:
                    break
                frame = av.VideoFrame.from_ndarray(np.full((64, 96, 3), at_s * 4, np.uint8), format="rgb24")
                frame.pts, frame.time_base = minute * _MINUTE_S + at_s, Fraction(1, 1)
                out.mux(pictures.encode(frame))
            for start, block in _minute(minute):
                part = av.AudioFrame.from_ndarray(block.reshape(1, -1), format="s16", layout="mono")
                part.sample_rate, part.pts, part.time_base = _RATE_HZ, start, Fraction(1, _RATE_HZ)
                out.mux(sound.encode(part))
        for stream in (pictures, sound):
            if stream is not None:
                out.mux(stream.encode(None))
    return path


def _minute(minute: int) -> Iterator[tuple[int, np.ndarray[Any, Any]]]:
    """Yield (first sample, samples) of each second of a minute: a tone that comes and goes, with some noise."""
    noise = np.random.default_rng(minute)
    for second in range(_MINUTE_S):
        at_s = np.arange(_RATE_HZ) / _RATE_HZ
        tone = (second % 8 < 5) * 0.3 * np.sin(2 * np.pi * (110 + second) * at_s) * (1 + np.sin(2 * np.pi * 4 * at_s))
        block = 32767 * np.clip(tone + 0.01 * noise.standard_normal(_RATE_HZ), -1, 1)
        yield (minute * _MINUTE_S + second) * _RATE_HZ, block.astype(np.int16)


if __name__ == "__main__":
    sys.exit(main())
