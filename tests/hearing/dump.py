"""What each look heard, kept beside what was said, so that settings can be compared without decoding again."""

import json
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from pipeline.values import HeardSegment
from tests.hearing.conditions import RATE_HZ, Condition, spoilt
from tests.hearing.corpus import Spoken
from tests.hearing.listen import Listener


def dump(speech: Sequence[Spoken], listener: Listener, condition: Condition, out: Path) -> None:
    """Take both looks at each file, and write a line of JSON for it.

    Each line has "file", "voice", "condition", "said", "duration_s"; for the look that leans nowhere "a" and
    "a_segments"; for the one that leans towards names the same with "b". A word is [start, end, text, probability], a
    segment [start, end, mean log probability, no speech, number of words], all times in seconds. Files that ``out``
    already has are passed over, so that a dump can be broken off and taken up again.
    """
    done = {json.loads(line)["file"] for line in out.read_text("utf-8").splitlines()} if out.is_file() else set()

    def taken(one: Spoken) -> str:
        samples = spoilt(one.samples(), condition, one.path.name)
        line = {"file": one.path.name, "voice": one.voice, "condition": condition.name, "said": one.said}
        first, second = listener.looks(samples)
        both = {**_look("a", first), **_look("b", second)}
        return json.dumps({**line, "duration_s": len(samples) / RATE_HZ, **both})

    with out.open("a", encoding="utf-8") as file, ThreadPoolExecutor(2) as pool:
        for line in pool.map(taken, (one for one in speech if one.path.name not in done)):
            file.write(line + "\n")
            file.flush()


def _look(name: str, segments: Sequence[HeardSegment]) -> dict[str, object]:
    return {
        name: [[one.start_s, one.end_s, one.text, one.probability] for segment in segments for one in segment.words],
        f"{name}_segments": [
            [one.start_s, one.end_s, one.mean_log_probability, one.no_speech, len(one.words)] for one in segments
        ],
    }
