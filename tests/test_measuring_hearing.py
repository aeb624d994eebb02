"""The benchmark of hearing: what it makes, and how it reckons. What it measures is no matter for a test."""

import hashlib
from pathlib import Path

import numpy as np
import pytest

from measuring import hearing_parts, speech
from measuring.hearing import Cost, _compared, _ratios
from measuring.hearing_parts import Parts, table


def test_a_ratio_is_the_middle_of_the_rounds_and_each_round_stands_for_itself() -> None:
    rounds = [
        {"alone": Cost(10, 20, 100), "run": Cost(12, 30, 200)},
        {"alone": Cost(100, 20, 100), "run": Cost(110, 20, 200)},  # the machine was busy with other things
        {"alone": Cost(10, 20, 100), "run": Cost(16, 26, 200)},
    ]
    assert _ratios(rounds)["run"] == Cost(1.2, 1.3, 2.0)
    assert _ratios(rounds)["alone"] == Cost(1.0, 1.0, 1.0)
    assert "| run | 16 | 26 | 6.2 times quicker | 200 | 1.20 | 1.30 |" in _compared(rounds, 99.0)


def test_time_of_a_part_inside_another_is_not_counted_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = iter([1.0, 3.0, 4.0, 9.0, 10.0])
    monkeypatch.setattr(hearing_parts.time, "process_time", lambda: next(clock))
    parts = Parts()
    parts.begin("Hearing", 1, "s")
    with parts.part("Encode"), parts.part("Inside"):
        pass
    assert parts.spent_s == {"Beginning (imports)": 1.0, "Hearing": 2.0, "Encode": 2.0, "Inside": 5.0}
    assert parts.times == {"Inside": 1, "Encode": 1}
    assert "| Inside | 5.0 | 50.0% | 1 |" in table({"spent_s": parts.spent_s, "times": parts.times})


def test_made_speech_is_as_long_as_asked_for_the_same_each_time_and_never_twice_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    noise = np.random.default_rng(1)
    pieces = [noise.uniform(-1, 1, 16_000 * length).astype(np.float32) for length in (1, 2, 4)]
    monkeypatch.setattr(speech, "_pieces", lambda: pieces)
    for name in ("once", "again"):
        assert 600 <= speech.made_speech(tmp_path / name, 10) <= 780
    once, again = (
        {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in (tmp_path / name).iterdir()}
        for name in ("once", "again")
    )
    assert once == again
    assert len(set(once.values())) == len(once) > 5
