"""What each part of a run costs: ``python -m measuring.hearing_parts FOLDER``, with recordings in FOLDER.

One run in a fresh book, with one job, so that one thing is done at a time and the processor's time between two marks
is that of the part between them. Time of a part inside another is not counted twice. The process that unpacks the
sound works beside this one: its time is told apart.
"""

import argparse
import json
import resource
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)


class Parts:
    """The processor's time by part, in seconds. It is also the progress of a run: each step is a part."""

    def __init__(self) -> None:
        self.spent_s: dict[str, float] = {}
        self.times: dict[str, int] = {}
        self._open = ["Beginning (imports)"]
        self._at_s = 0.0

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Hear that a step of the run begins."""
        self._charge()
        self._open[:1] = [doing]

    def advance(self, amount: float) -> None:
        """Pay no heed."""

    def stop(self) -> None:
        """Stop counting."""
        self._charge()

    @contextmanager
    def part(self, name: str) -> Iterator[None]:
        """Count what is done inside for this part."""
        self._charge()
        self._open.append(name)
        try:
            yield
        finally:
            self._charge()
            self._open.pop()
            self.times[name] = self.times.get(name, 0) + 1

    def watch(self, owner: Any, attribute: str, name: str | Callable[..., str]) -> None:
        """Count every call of a function for a part, whose name may depend on the call."""
        inner = getattr(owner, attribute)

        def watched(*arguments: Any, **named: Any) -> Any:
            with self.part(name if isinstance(name, str) else name(*arguments, **named)):
                return inner(*arguments, **named)

        setattr(owner, attribute, watched)

    def _charge(self) -> None:
        now_s = time.process_time()
        self.spent_s[self._open[-1]] = self.spent_s.get(self._open[-1], 0.0) + now_s - self._at_s
        self._at_s = now_s


class _WatchedModel:
    """The engine's model, with its calls counted."""

    def __init__(self, model: Any, parts: Parts) -> None:
        self._model, self._parts = model, parts

    def __getattr__(self, name: str) -> Any:
        return getattr(self._model, name)

    def encode(self, *arguments: Any, **named: Any) -> Any:
        with self._parts.part("Encode"):
            return self._model.encode(*arguments, **named)

    def generate(self, encoded: Any, prompts: Any, **named: Any) -> Any:
        leans = len(prompts[0]) > _LONGEST_PLAIN_PROMPT
        with self._parts.part("Second look" if leans else "First look"):
            return self._model.generate(encoded, prompts, **named)

    def align(self, *arguments: Any, **named: Any) -> Any:
        with self._parts.part("Word times"):
            return self._model.align(*arguments, **named)


_LONGEST_PLAIN_PROMPT = 4


def watch_hearing(parts: Parts) -> None:
    """Count the parts of hearing in this process."""
    from pipeline.hearing import hear, recogniser
    from pipeline.hearing.device import Device
    from pipeline.hearing.leaning import Leaning

    loaded = recogniser.loaded_model

    def watched_model(folder: Path, device: Device, jobs: int) -> Any:
        with parts.part("Loading the model"):
            whisper = loaded(folder, device, jobs)
        whisper.model = _WatchedModel(whisper.model, parts)
        extractor = whisper.feature_extractor
        parts.watch(type(extractor), "__call__", "Features of the sound")
        parts.watch(whisper, "add_word_timestamps", "Word times")
        return whisper

    recogniser.loaded_model = watched_model
    parts.watch(hear, "find_voice", "Finding the voice")
    parts.watch(hear, "kept_of", "Merging the looks, and doubts")
    parts.watch(hear, "with_chances", "Merging the looks, and doubts")
    parts.watch(Leaning, "hotwords", "Choosing what to lean towards")


def parts_of(folder: Path, model: str) -> dict[str, Any]:
    """Run a fresh book over a folder's recordings with one job, and return seconds and calls by part."""
    parts = Parts()
    from pipeline.book import new_book
    from pipeline.intake import decoding
    from pipeline.runner import Choices, run

    watch_hearing(parts)
    with tempfile.TemporaryDirectory() as home:
        book = new_book(Path(home) / "book", date(2025, 1, 1), type_pack="crew-trainer")
        run(book, [folder], NOW, Choices(model=model, jobs=1), parts)
    parts.stop()
    decoding.DECODERS.end()  # only the time of processes that have ended is known
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent_s = {**parts.spent_s, "Unpacking the sound (other process)": children.ru_utime + children.ru_stime}
    return {"spent_s": spent_s, "times": parts.times}


def table(found: dict[str, Any]) -> str:
    """Return the parts as a table, the dearest first."""
    spent_s = found["spent_s"]
    whole_s = sum(spent_s.values())
    lines = ["| part | seconds | share | times |", "| --- | ---: | ---: | ---: |"]
    for name, seconds in sorted(spent_s.items(), key=lambda one: -one[1]):
        lines.append(f"| {name} | {seconds:.1f} | {seconds / whole_s:.1%} | {found['times'].get(name, '')} |")
    return "\n".join([*lines, f"| all | {whole_s:.1f} | 100 % | |"])


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--model", default="base")
    parser.add_argument("--json", action="store_true", help="print JSON in place of a table")
    asked = parser.parse_args()
    found = parts_of(asked.folder, asked.model)
    print(json.dumps(found) if asked.json else table(found))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
