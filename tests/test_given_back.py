"""Memory that is let go of goes back to the system."""

import sys
from pathlib import Path

import pytest

from pipeline.given_back import give_back


def _held_mb() -> float:
    """Return the memory of this process that is in use (Linux)."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096 / 2**20


@pytest.mark.skipif(sys.platform != "linux", reason="nothing is given back elsewhere")
def test_what_was_let_go_of_is_given_back_though_something_lies_above_it() -> None:
    held = [bytes(2_000) for _ in range(50_000)]
    above = held.pop()
    before = _held_mb()
    held.clear()
    give_back()
    assert before - _held_mb() > 60
    assert above
