"""How much sound one processor core hears in a second, with which model, in how much memory.

    .venv/bin/python -m measuring.per_core [--model NAME]... [FILE]...

Hears FILEs (the sample recordings, if none is given) with one thread, in a process of its own for each model, and
prints a row for each. Time is the processor's, of that process and of those that unpack the sound for it, so that
other programs on the machine count less; what it takes to begin is measured apart. The speech of the sample
recordings is dense: talk with long breaks goes through faster.
"""

import argparse
import json
import resource
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from time import process_time
from typing import TYPE_CHECKING

import numpy as np

from measuring.watch import machine, peak_mb

if TYPE_CHECKING:
    from pipeline.bench import Bench
    from pipeline.values import Heard

SAMPLES = Path(__file__).parent.parent / "sample_media" / "media"
RECORDINGS = frozenset({".wav", ".mp3", ".opus", ".m4a", ".mp4", ".mov"})


@dataclass(frozen=True)
class Alone:
    """What one process did: sound heard, the processor's time to read it, memory, and the size of what came out."""

    sound_s: float = 0.0
    words: int = 0
    reading_s: float = 0.0
    peak_mb: float = 0.0
    result_bytes: int = 0
    file_bytes: int = 0


def hear_alone(model: str, files: list[Path]) -> Alone:
    """Hear files one after the other in this process, and read what was said; without files only make all ready."""
    # Imported here: the process that only starts others must not weigh on what they measure.
    from pipeline.bench import Bench
    from pipeline.book import vocabulary_folders
    from pipeline.hearing.captioned import from_captions
    from pipeline.intake.captions import Cue
    from pipeline.intake.decoding import look
    from pipeline.reading.vocabulary import load_vocabulary
    from pipeline.settings import Settings, TimeSettings
    from pipeline.stages import hear_sound

    settings = Settings(time=TimeSettings(book_starts=date(2025, 10, 1)))
    bench = Bench(settings, load_vocabulary(vocabulary_folders("")), model)
    bench.hear(np.full(16_000, 1e-4, dtype=np.float32))
    _read(bench, [("nothing", from_captions([Cue(start_s=0.0, end_s=3.0, text="The fin is off.")]))])
    heard = [(file.name, hear_sound(file, look(file).content_type, bench)) for file in files]
    memory_mb = peak_mb()
    began_s = process_time()
    _read(bench, heard)
    return Alone(
        sound_s=sum(one.duration_s for _, one in heard),
        words=sum(len(segment.words) for _, one in heard for segment in one.segments),
        reading_s=process_time() - began_s,
        peak_mb=memory_mb,
        result_bytes=sum(len(one.model_dump_json()) for _, one in heard),
        file_bytes=sum(file.stat().st_size for file in files),
    )


def _read(bench: "Bench", heard: Sequence[tuple[str, "Heard"]]) -> None:
    from pipeline.hearing.corrected import read_utterance
    from pipeline.hearing.utterances import cut
    from pipeline.matching.passages import tell

    for name, one in heard:
        utterances = cut(one, name)
        readings = [read_utterance(utterance, bench.repairer) for utterance in utterances]
        tell(name, utterances, readings, bench.reader.read_note)


def measured(model: str, files: Sequence[Path]) -> tuple[Alone, float]:
    """Hear files in a process of its own; return what it did, and the processor's time for it, in seconds."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "measuring.per_core", "--model", model, "--alone", *map(str, files)]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Alone(**json.loads(done.stdout)), spent_s


def main() -> None:
    """Measure, and print a table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--model", action="append", help="may be given again; base and tiny.en if it is not given")
    parser.add_argument("--alone", action="store_true", help="hear in this process, and print JSON")
    parser.add_argument("files", metavar="FILE", nargs="*", type=Path)
    asked = parser.parse_args()
    models = asked.model or ["base", "tiny.en"]
    if asked.alone:
        print(json.dumps(asdict(hear_alone(models[0], asked.files))))
        return
    files = asked.files or sorted(path for path in SAMPLES.rglob("*") if path.suffix.lower() in RECORDINGS)
    print(machine())
    print("| model | sound | heard in a core's second | to begin | most memory | result | to read it |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for model in models:
        _, begin_s = measured(model, [])
        done, spent_s = measured(model, files)
        rate = done.sound_s / (spent_s - begin_s - done.reading_s)
        hours = done.sound_s / 3600
        print(
            f"| {model} | {done.sound_s:.0f} s, {done.words} words | {rate:.1f} s | {begin_s:.0f} s "
            f"| {done.peak_mb:.0f} MB | {done.result_bytes / 1e6 / hours:.1f} MB an hour "
            f"| {done.reading_s / hours:.0f} s an hour |"
        )


if __name__ == "__main__":
    main()
