"""What each look heard, kept beside what was said, so that settings can be compared without decoding again."""

import json
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from pipeline.values import Heard
from tests.hearing.conditions import RATE_HZ, Condition, spoilt
from tests.hearing.corpus import Spoken
from tests.hearing.listen import Listener


def dump(speech: Sequence[Spoken], listener: Listener, condition: Condition, out: Path) -> None:
    """Decode each file without and with the fixed hotwords, and write a line of JSON for it.

    Each line has "file", "voice", "condition", "said", "duration_s"; for the unbiased look "a", "a_segments" and
    "a_not_understood"; for the biased one the same with "b". A word is [start, end, text, probability], a segment
    [start, end, mean log probability, no speech, number of words], all times in seconds. Files that ``out`` already
    has are passed over, so that a dump can be broken off and taken up again.
    """
    done = {json.loads(line)["file"] for line in out.read_text("utf-8").splitlines()} if out.is_file() else set()

    def both(one: Spoken) -> str:
        samples = spoilt(one.samples(), condition, one.path.name)
        line = {"file": one.path.name, "voice": one.voice, "condition": condition.name, "said": one.said}
        looks = {"a": listener.one_look(samples), "b": listener.one_look(samples, listener.fixed_hotwords)}
        parts = [_look(name, heard) for name, heard in looks.items()]
        return json.dumps({**line, "duration_s": len(samples) / RATE_HZ, **parts[0], **parts[1]})

    with out.open("a", encoding="utf-8") as file, ThreadPoolExecutor(2) as pool:
        for line in pool.map(both, (one for one in speech if one.path.name not in done)):
            file.write(line + "\n")
            file.flush()


def _look(name: str, heard: Heard) -> dict[str, object]:
    words = [word for segment in heard.segments for word in segment.words]
    return {
        name: [[word.start_s, word.end_s, word.text, word.probability] for word in words],
        f"{name}_segments": [
            [one.start_s, one.end_s, one.mean_log_probability, one.no_speech, len(one.words)]
            for one in heard.segments
        ],
        f"{name}_not_understood": heard.not_understood,
    }
