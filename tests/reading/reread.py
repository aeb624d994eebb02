"""How long it takes to read everything again after a change of the vocabulary. A command for a developer, not a test.

    python -m tests.reading.reread [UTTERANCES] [--jobs N] [--all]

Makes a book in a temporary folder whose recordings say the marked notes over and over, reads it, adds a part, and
times the reading that this makes necessary: the repair of misheard words, and the facts of the recordings in which
the part may have been spoken of. With ``--all``, a word of degree is added instead, and everything is read again.
"""

import argparse
import json
import os
import tempfile
import time
from datetime import UTC, datetime, timedelta
from itertools import cycle, islice
from pathlib import Path
from typing import Any

from pipeline.bench import Bench
from pipeline.book import new_book
from pipeline.hearing.captioned import from_captions
from pipeline.intake.captions import Cue
from pipeline.runner import Choices, run
from pipeline.values import Heard, ModelFolder
from tests.small_media import make_sound

NOTES = Path(__file__).parent / "notes.jsonl"
EACH = 100  # utterances in one recording
A_DAY = 5  # recordings
BEGAN = datetime(2025, 3, 1, 9, tzinfo=UTC)
PART = ("parts.csv", "notation,preferred,kind\ngizmo-plate,gizmo plate,structure\n")
GRADE = ("grades.csv", "notation,words\nheavy,atrocious|heavy\n")
NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)


class SaysTheNotes(Bench):
    """A bench whose recogniser hears the marked notes, one utterance a second, in every recording."""

    model = ModelFolder(path=Path("none"), name="none", sha256="0" * 64)

    def hear(self, samples: Any) -> Heard:
        """Hear ``EACH`` notes; which ones depends on how long the recording is."""
        texts = [json.loads(line)["text"] for line in NOTES.read_text(encoding="utf-8").splitlines()]
        said = islice(cycle(texts), len(samples) % len(texts), len(samples) % len(texts) + EACH)
        cues = [Cue(start_s=float(10 * at), end_s=10 * at + 6.0, text=text) for at, text in enumerate(said)]
        return from_captions(cues).model_copy(update={"by": "recogniser"})


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("utterances", type=int, nargs="?", default=50_000)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--all", action="store_true")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        book = new_book(Path(folder) / "book", NOW.date())
        media = Path(folder) / "media"
        recordings = asked.utterances // EACH
        for number in range(recordings):
            began = BEGAN + timedelta(days=number // A_DAY, hours=number % A_DAY)
            make_sound(media / f"{began:%Y%m%d_%H%M%S}.wav", seconds=1 + number / 16_000)
        choices = Choices(jobs=asked.jobs)
        run(book, [media], NOW, choices, bench=SaysTheNotes)
        added = GRADE if asked.all else PART
        (book.vocabulary_folder / added[0]).write_text(added[1], encoding="utf-8")
        watch = Stopwatch()
        outcome = run(book, [], NOW + timedelta(days=1), choices, watch, bench=SaysTheNotes)
        utterances = len(outcome.records.utterances) if outcome.records else 0
        assert outcome.made["hear"] == 0 and outcome.made["read"] == recordings
    for doing, seconds in watch.took_s.items():
        print(f"{doing}: {seconds:.1f} s")
    print(f"{utterances} utterances of {EACH * recordings} notes, {asked.jobs} processes")
    print(f"facts read again in {outcome.made['tell']} of {recordings} recordings")


class Stopwatch:
    """Progress that is timed: how long each step took, in seconds."""

    def __init__(self) -> None:
        self.took_s: dict[str, float] = {}
        self._doing, self._began_s = "", 0.0

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Stop the watch for the step before, and start it for this one."""
        now_s = time.monotonic()
        if self._doing:
            self.took_s[self._doing] = now_s - self._began_s
        self._doing, self._began_s = doing, now_s

    def advance(self, amount: float) -> None:
        """Pay no heed."""


if __name__ == "__main__":
    main()
