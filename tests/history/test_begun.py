"""What was begun to be added to the history has happened, all of it, whenever whoever added it was stopped."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from pipeline.history.chain import append, head_file, next_file, read
from pipeline.history.events import Act

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
FIRST = [Act("Alex Example", "answer", "rule-1"), Act("Alex Example", "answer", "rule-2")]
THEN = [Act("Sam Quiet", "answer", "rule-3"), Act("Sam Quiet", "answer", "rule-4")]


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    path = tmp_path / "whole" / "history.jsonl"
    path.parent.mkdir()
    append(path, FIRST, NOW)
    append(path, THEN, NOW)
    return path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    append(tmp_path / "history.jsonl", FIRST, NOW)
    return tmp_path / "history.jsonl"


def begin(path: Path, whole: Path, copied_bytes: int) -> None:
    """Leave what somebody leaves who is killed after he has copied so much of it to the history."""
    held = path.read_bytes()
    added = whole.read_bytes().removeprefix(held)
    next_file(path).write_bytes(f"{len(held)}\n".encode() + added)
    path.write_bytes(held + added[:copied_bytes])


@pytest.mark.parametrize("copied_bytes", [0, 1, 200, 400, 10_000])
def test_what_was_begun_is_read_at_once_and_copied_by_whoever_adds_next(path, whole, copied_bytes):
    begin(path, whole, copied_bytes)
    assert read(path) == read(whole)
    assert append(path, [], NOW) == ()
    assert (path.read_bytes(), head_file(path).read_bytes()) == (whole.read_bytes(), head_file(whole).read_bytes())
    assert not next_file(path).exists()


@pytest.mark.parametrize("copied_bytes", [None, 0, 200, 10_000])
def test_the_first_that_was_ever_begun_is_read_and_copied_too(tmp_path, whole, copied_bytes):
    path, content = tmp_path / "history.jsonl", whole.read_bytes()
    next_file(path).write_bytes(b"0\n" + content)
    if copied_bytes is not None:
        path.write_bytes(content[:copied_bytes])
    assert read(path) == read(whole) and not read(path).breaks
    append(path, [], NOW)
    assert (path.read_bytes(), head_file(path).read_bytes()) == (content, head_file(whole).read_bytes())
    assert not next_file(path).exists()


def test_adding_to_what_was_begun_goes_on_from_its_end(path, whole):
    begin(path, whole, 100)
    (made,) = append(path, [Act("Alex Example", "answer", "rule-5")], NOW)
    assert made.n == 5
    assert [event.on for event in read(path).events] == [f"rule-{number}" for number in range(1, 6)]
    assert read(path).breaks == ()


def test_head_that_was_not_written_yet_is_written_by_whoever_comes_next(path, whole):
    path.write_bytes(whole.read_bytes())
    append(path, [], NOW)
    assert head_file(path).read_bytes() == head_file(whole).read_bytes()


@pytest.mark.parametrize(
    "left",
    [b"", b"12", b"x\n{}\n", b"99999999\n{}\n", b"9" * 5000 + b"\n{}\n", b"0\nsomething else\n", b"5\nunfinished"],
)
def test_what_does_not_go_on_from_the_history_is_left_out_and_cleared(path, left):
    before = read(path)
    next_file(path).write_bytes(left)
    assert read(path) == before
    append(path, [], NOW)
    assert read(path) == before and not next_file(path).exists()
