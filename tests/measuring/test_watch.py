"""A watch on a run times its steps, and can end it where one would begin."""

import subprocess
import sys
from subprocess import PIPE

import numpy as np
import pytest

from measuring.watch import Children, StepReached, Watch, WatchUntil


def test_watch_holds_every_step_that_began():
    watch = Watch()
    for step in ("Looking", "Adding up", "Looking"):
        watch.begin(step, 0, "")
    watch.stop()
    assert list(watch.worked_s) == list(watch.peak_mb) == ["Looking", "Adding up"]


def test_watch_until_a_step_ends_the_run_there_and_holds_what_came_before():
    watch = WatchUntil("Writing")
    watch.begin("Looking", 0, "")
    with pytest.raises(StepReached):
        watch.begin("Writing", 0, "")
    watch.stop()
    assert list(watch.worked_s) == ["Looking"]


def test_the_most_memory_of_a_child_is_its_own() -> None:
    here = np.ones(60 << 20, np.uint8)  # a child is a copy of this process first, and must not count as such
    children = Children()
    work = "import sys; print('there', flush=True); sys.stdin.readline()"
    with subprocess.Popen([sys.executable, "-S", "-c", work], stdin=PIPE, stdout=PIPE) as child:
        assert child.stdout is not None
        child.stdout.readline()
        children.start()
        children.stop()
        child.communicate(b"\n")
    (most_mb,) = [most_mb for command, most_mb in children.peak_mb.items() if "there" in command]
    assert here.any()
    assert 0 < most_mb < 60
