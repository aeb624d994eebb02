"""What a run finds otherwise than before is said by the next one, where it was killed before it came to say it."""

import os
import shutil
import signal
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import NoReturn
from unittest.mock import patch

import pytest

from measuring.kills import ended, start
from measuring.small_story import NOW, STEPS, Home, Warm, lay_out_media
from pipeline.outcome import Outcome
from pipeline.runner import run
from pipeline.writing.written_files import Written

TEN_MINUTES_SLOW = '\n[devices."Tarnbeck Two"]\nclock_offset_s = -600\n'
DURING = ("chain.extend", "with_releases", "index")


def _killed(*given: object) -> NoReturn:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError


def _run(home: Home, warm: Warm) -> Outcome:
    with patch("pipeline.writing.write.bring_logbooks", return_value=Written()):  # its threads can't be copied
        return run(home.book, [home.media / "first"], NOW + timedelta(days=1), bench=warm.bench)


def _run_and_die(home: Home, warm: Warm, where: str) -> None:
    with patch(f"pipeline.runner.{where}", _killed):
        _run(home, warm)


def _lines(outcome: Outcome) -> tuple[str, ...]:
    assert outcome.left is not None
    return outcome.redated, outcome.replaced, outcome.rewritten, *outcome.left.to_say


@pytest.fixture(scope="module")
def run_once(tmp_path_factory: pytest.TempPathFactory) -> tuple[Home, Warm]:
    """A book that was run; since then its camera was found to have been slow, and its aircraft has another name."""
    folder = tmp_path_factory.mktemp("unsaid")
    lay_out_media(folder / "media")
    home, before, since = Home(folder / "whole"), Warm(), Warm()
    STEPS["make"](home, before)
    _run(home, before)
    written = home.book.settings_file
    named = written.read_text(encoding="utf-8").replace("Crew Trainer", "Old Crew Trainer")
    written.write_text(named + TEN_MINUTES_SLOW, encoding="utf-8")
    settings = home.book.settings()
    since.bench(settings, home.book.vocabulary(settings))
    return home, since


def _copy(home: Home, name: str) -> Home:
    return Home(Path(shutil.copytree(home.folder, home.folder.parent / name)))


def test_run_after_one_that_was_killed_says_what_is_dated_placed_and_told_otherwise(run_once):
    first, warm = run_once
    expected = _lines(_run(_copy(first, "not killed"), warm))
    assert expected[0].startswith("Dated anew: 1 photo")
    assert expected[1].startswith("Placed anew: 1 photo")
    assert expected[2].startswith("These reports in out/supporters read otherwise than before: 2026-02.")
    for where in DURING:
        home = _copy(first, f"killed at {where}")
        assert ended(start(partial(_run_and_die, home, warm, where))) == -signal.SIGKILL
        told = [
            line.replace(str(home.folder), str(first.folder.parent / "not killed"))
            for line in _lines(_run(home, warm))
        ]
        assert told == list(expected), where


def test_what_was_said_is_not_said_again_by_a_run_with_something_new(run_once):
    first, warm = run_once
    home = _copy(first, "said")
    _run(home, warm)
    edits = home.book.edits_file
    edits.write_text(edits.read_text(encoding="utf-8") + "\n# nothing that a report is made from\n", encoding="utf-8")
    again = _run(home, warm)
    assert not again.nothing_new
    nothing_new = _run(home, warm)
    assert nothing_new.nothing_new
    assert not any(line.startswith("These reports") for line in _lines(nothing_new))
    assert not any(line.startswith(("Dated anew", "Placed anew", "These reports")) for line in _lines(again))
