"""A book that was killed where something is about to change equals one that was not; each kill is a real SIGKILL.

``measuring/kills.py`` does the same at every such moment and at random ones.
"""

import subprocess
import sys

import pytest

from tests.test_runner import ROOT

ACTS = ("make", "accept", "sign")


@pytest.mark.parametrize(
    "how",
    [
        ["1", "--points", "0", *(word for act in ACTS for word in ("--step", act))],
        ["--points", "1", "--step", "run"],
    ],
    ids=["at some moment of its whole life and at every change of an act", "at a change of each kind in a run"],
)
def test_book_that_was_killed_and_gone_on_with_equals_one_that_was_not(how):
    done = subprocess.run([sys.executable, "-m", "measuring.kills", *how], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 differ from the book that was never killed." in done.stdout
