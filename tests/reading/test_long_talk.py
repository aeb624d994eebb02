"""Long talk costs in proportion to its length."""

import json
import sys

import pytest

from pipeline.reading.reader import Reader
from tests.test_runner import ROOT


@pytest.fixture(scope="module")
def notes():
    lines = (ROOT / "tests" / "reading" / "notes.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line)["text"] for line in lines]


def calls_to_read(reader, notes):
    """Return how many Python calls reading some notes as one talk takes: its work, whatever the machine does."""
    pauses, length = [], 0
    for text in notes[:-1]:
        length += len(text) + 1
        pauses.append(length)
    calls = 0

    def count(frame, event, what):
        nonlocal calls
        calls += event == "call"

    sys.setprofile(count)
    try:
        facts = reader.read(" ".join(notes), pauses)
    finally:
        sys.setprofile(None)
    assert len(facts) > len(notes) / 2
    return calls


def test_twice_the_talk_is_twice_the_work_for_the_rules(vocabulary, notes):
    reader = Reader(vocabulary)
    reader.read("The rudder is off.")
    once = calls_to_read(reader, notes[:30])
    twice = calls_to_read(reader, notes[:30] * 2)
    assert twice < 2.3 * once
