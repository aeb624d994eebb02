"""A watch on a run times its steps, and can end it where one would begin."""

import pytest

from measuring.watch import StepReached, Watch, WatchUntil


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
