"""A run compares with the history only entries of recordings that changed since it was last brought up to date."""

import pytest

from pipeline.history.chain import append, extend, head_file, read
from pipeline.history.events import Act
from pipeline.history.noted import note_at, noted_at
from pipeline.history.past import past_of
from pipeline.history.recording import made_since
from pipeline.store import Store
from tests.history.made_entries import NOON, chained, made_entry

ENTERED = {"sha256:a": "one", "sha256:b": "two"}


@pytest.fixture
def store(tmp_path):
    with Store(tmp_path / "book.db") as opened:
        yield opened


@pytest.fixture
def path(tmp_path):
    append(tmp_path / "history.jsonl", [Act("saidseen", "took-in", "sha256:a", None, {"path": "a.wav"})], NOON)
    return tmp_path / "history.jsonl"


def test_recordings_are_noted_whose_entries_are_what_they_were(store, path):
    note_at(store, read(path).head, ENTERED)
    assert noted_at(store, read(path), ENTERED) == {"sha256:a", "sha256:b"}
    assert noted_at(store, read(path), ENTERED | {"sha256:b": "three", "sha256:c": "new"}) == {"sha256:a"}


def test_nothing_is_noted_of_a_history_that_went_on_or_was_changed(store, path):
    before = read(path)
    note_at(store, before.head, ENTERED)
    head = extend(path, [Act("Alex Example", "answer", "rule-1")], NOON, before)
    assert noted_at(store, read(path), ENTERED) == frozenset()
    note_at(store, head, ENTERED)
    assert noted_at(store, read(path), ENTERED) == ENTERED.keys()
    head_file(path).unlink()
    assert noted_at(store, read(path), ENTERED) == frozenset()


def test_nothing_is_noted_by_another_program(store, path, monkeypatch):
    note_at(store, read(path).head, ENTERED)
    monkeypatch.setattr("pipeline.history.noted.made_by", lambda: "another")
    assert noted_at(store, read(path), ENTERED) == frozenset()


def test_entries_of_noted_recordings_are_not_compared_and_are_not_gone():
    one, other = made_entry("e-1"), made_entry("e-1", item="fin")
    past = past_of(chained(*made_since(past_of(()), [], [one], "saidseen")))
    assert list(made_since(past, [], [], "saidseen", there={"e-1"})) == []
    assert [act.act for act in made_since(past, [], [other], "saidseen", there={"e-1"})] == ["read"]
