"""What is made to measure long sound, and how it is told whether a run lost any of it."""

from itertools import islice
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from measuring import long_media
from measuring.long_media import accounted_for, speech, tones, write_long
from pipeline.intake.decoding import look


def records(said: Any = (), missed: Any = (), length_s: float = 60.0, placed: bool = True) -> Any:
    utterances = [SimpleNamespace(id=f"u-{at}", start_s=start, end_s=end) for at, (start, end) in enumerate(said)]
    return SimpleNamespace(
        media=[SimpleNamespace(duration_s=length_s), SimpleNamespace(duration_s=None)],
        utterances=utterances,
        not_understood=[SimpleNamespace(start_s=start, end_s=end) for start, end in missed],
        entries=[SimpleNamespace(utterances=[one.id for one in utterances] if placed else [])],
        unplaced_speech=[],
        set_aside=[],
    )


SPOKEN = [(1.0, 5.0), (10.0, 20.0)]


def test_speech_that_is_in_words_or_told_of_is_accounted_for() -> None:
    found = accounted_for(records([(0.9, 5.1), (10.0, 16.0)], [(16.0, 20.0)]), 60.0, SPOKEN)
    assert found == {
        "length_off_s": 0.0,
        "voice_s": 14.0,
        "in_words_s": 10.0,
        "not_understood_s": 4.0,
        "stretches": 2,
        "longest_gap_s": 0.0,
        "homeless": 0,
        "set_aside": 0,
    }


def test_a_lost_end_shows_as_a_gap_and_as_missing_length() -> None:
    found = accounted_for(records([(1.0, 5.0), (10.0, 12.5)], length_s=13.0), 60.0, SPOKEN)
    assert (found["longest_gap_s"], found["length_off_s"]) == (7.5, 47.0)


def test_an_utterance_that_is_placed_nowhere_and_not_told_of_shows() -> None:
    assert accounted_for(records([(1.0, 5.0), (10.0, 20.0)], placed=False), 60.0, SPOKEN)["homeless"] == 2


@pytest.mark.parametrize(("name", "film"), [("a.flac", False), ("a.mkv", True)])
def test_a_long_recording_or_film_is_as_long_as_its_sound(tmp_path: Path, name: str, film: bool) -> None:
    length_s = write_long(tmp_path / name, islice(tones(1), 5), film)
    found = look(tmp_path / name)
    assert length_s == 5.0
    assert found.duration_s == pytest.approx(5.0, abs=0.2)
    assert (found.width_px is not None) is film


def test_where_somebody_speaks_is_noted_as_the_speech_is_laid_down(monkeypatch: pytest.MonkeyPatch) -> None:
    said, pause = np.ones(32_000, np.float32), np.zeros(16_000, np.float32)
    monkeypatch.setattr(long_media, "long_speech", lambda minutes: iter([(said, pause), (said, pause)]))
    monkeypatch.setattr(long_media, "find_voice", lambda samples: SimpleNamespace(stretches=((0.25, 1.75),)))
    spoken: list[tuple[float, float]] = []
    assert sum(map(len, speech(1, spoken))) == 96_000
    assert spoken == [(0.25, 1.75), (3.25, 4.75)]
