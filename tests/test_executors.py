"""Tasks done in turn, in threads and in other processes, also where a process dies."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from pipeline.errors import ItemFault, RunFault
from pipeline.executors import InTurn, Processes, Threads, worked_with

ROOT = Path(__file__).parent.parent


@dataclass(frozen=True)
class Work:
    name: str
    make: Callable[[], Any]


def doubled(number):
    return number * worked_with()


def double(number):
    return number * 2


def impossible():
    raise ZeroDivisionError("planted")


def ends_its_process(tries: Path):
    """Dies as if the machine had killed it, and leaves a line for each try."""
    with tries.open("a", encoding="utf-8") as file:
        file.write(f"{os.getpid()}\n")
    os.kill(os.getpid(), signal.SIGKILL)


def ends_its_process_once(tries: Path):
    if tries.exists():
        return "done at the second try"
    return ends_its_process(tries)


def never_set_up():
    os.kill(os.getpid(), signal.SIGKILL)


def asked_to_stop():
    os.kill(os.getpid(), signal.SIGINT)
    return "goes on"


def results(executor, works):
    done = [(work.name, result) for work, result in executor.results(works)]
    assert sorted(name for name, _ in done) == sorted(work.name for work in works), "each once"
    return dict(done)


@pytest.mark.parametrize("executor", [InTurn(), Threads(2)])
def test_each_task_comes_once_with_what_it_gave_or_raised(executor):
    works = [Work(str(number), partial(double, number)) for number in range(9)]
    done = results(executor, [*works, Work("bad", impossible)])
    assert [done[str(number)] for number in range(9)] == [number * 2 for number in range(9)]
    assert isinstance(done["bad"], ZeroDivisionError)


def test_other_processes_work_with_what_they_were_set_up_with_and_tell_where_a_fault_was():
    works = [Work(str(number), partial(doubled, number)) for number in range(5)]
    done = results(Processes(2, (int, ("2",))), [*works, Work("bad", impossible)])
    assert [done[str(number)] for number in range(5)] == [0, 2, 4, 6, 8]
    assert isinstance(done["bad"], ZeroDivisionError)
    assert any("in impossible" in note for note in done["bad"].__notes__)


def test_task_that_kills_its_process_twice_is_set_aside_and_the_rest_is_done(tmp_path):
    works = [Work(str(number), partial(doubled, number)) for number in range(8)]
    works.insert(3, Work("guilty", partial(ends_its_process, tmp_path / "tries")))
    done = results(Processes(2, (int, ("2",))), works)
    fault = done.pop("guilty")
    assert isinstance(fault, ItemFault)
    assert "memory" in fault.why
    assert done == {str(number): number * 2 for number in range(8)}
    assert len((tmp_path / "tries").read_text().split()) == 2


def test_task_whose_process_died_once_is_done_at_the_second_try(tmp_path):
    works = [Work(str(number), partial(doubled, number)) for number in range(3)]
    works.append(Work("unlucky", partial(ends_its_process_once, tmp_path / "tries")))
    assert results(Processes(2, (int, ("2",))), works)["unlucky"] == "done at the second try"


def test_machine_that_lets_no_process_begin_is_the_runs_fault_and_no_recordings():
    with pytest.raises(RunFault, match="No other process"):
        results(Processes(2, (never_set_up, ())), [Work("1", partial(double, 1)), Work("2", partial(double, 2))])


def says_who_it_is_and_works_on(told: Path):
    """Leaves a file with its number, then works for far longer than the test takes."""
    (told / str(os.getpid())).touch()
    while True:
        time.sleep(0.1)


def runs(process: int) -> bool:
    """Tell whether a process goes on: one that ended and that nobody asked after counts as ended."""
    try:
        return Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def until(so: Callable[[], Any]) -> Any:
    """Return what is so once it is; the test fails where it never is."""
    for _ in range(600):
        if so():
            return so()
        time.sleep(0.1)
    raise AssertionError("it never came to be")


def test_other_processes_end_when_the_one_that_began_them_is_killed(tmp_path):
    begins = (
        "import sys; from functools import partial; from pathlib import Path\n"
        "from pipeline.executors import Processes\n"
        "from tests.test_executors import Work, says_who_it_is_and_works_on\n"
        "if __name__ == '__main__':\n"
        "    make = partial(says_who_it_is_and_works_on, Path(sys.argv[1]))\n"
        "    list(Processes(2, (int, ('2',))).results([Work('1', make), Work('2', make)]))\n"
    )
    (tmp_path / "begins.py").write_text(begins, encoding="utf-8")
    (tmp_path / "told").mkdir()
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    parent = subprocess.Popen([sys.executable, tmp_path / "begins.py", tmp_path / "told"], cwd=ROOT, env=environment)
    workers: list[int] = []
    try:
        until(lambda: len(list((tmp_path / "told").iterdir())) == 2)
        workers += [int(file.name) for file in (tmp_path / "told").iterdir()]
        assert all(map(runs, workers))
        parent.kill()
        until(lambda: not any(map(runs, workers)))
    finally:
        for process in (parent.pid, *filter(runs, workers)):
            os.kill(process, signal.SIGKILL)
        parent.wait()


def test_process_leaves_it_to_the_one_that_began_it_to_stop_it():
    works = [Work("1", asked_to_stop), Work("2", partial(doubled, 2))]
    assert results(Processes(1, (int, ("2",))), works) == {"1": "goes on", "2": 4}
