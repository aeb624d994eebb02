"""Recordings heard by a real Dask scheduler and two real workers, also where workers die."""

import os
import signal
import subprocess
import sys
import time
import wave
from concurrent.futures import Future
from datetime import UTC, datetime
from pathlib import Path
from threading import Thread
from unittest.mock import Mock

import dask
import pytest
from distributed import Client

from pipeline.bench import Bench
from pipeline.book import new_book
from pipeline.cluster import connected
from pipeline.cluster_worker import makings
from pipeline.errors import ExitCode, ItemFault, RunFault, WrongCommand
from pipeline.intake.walk import hash_file
from pipeline.known import Task
from pipeline.runner import Choices, run
from pipeline.stages import hear_sound
from pipeline.values import FileSeen, Heard, Kind, Media, Probe
from tests.cluster.machines import ROOT, Machines, machines
from tests.cluster.made_bench import LETHAL_S, SLOW_S, MadeBench, NoModel, OtherModel
from tests.small_media import make_sound
from tests.test_runner import contents

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
SPOKEN = ROOT / "sample_media" / "media" / "recorder" / "HR2_0007.WAV"


@pytest.fixture(scope="module")
def two_workers(tmp_path_factory):
    with machines(tmp_path_factory.mktemp("machines"), 2) as started:
        yield started


@pytest.fixture
def cluster(two_workers: Machines) -> Machines:
    """Two workers, those that died replaced, and an empty diary."""
    two_workers.await_workers(2)
    two_workers.new_diary()
    return two_workers


@pytest.fixture
def book(tmp_path):
    return new_book(tmp_path / "book", NOW.date(), aircraft="Crew Trainer")


def bench_of(book, kind=MadeBench, model=""):
    settings = book.settings()
    return kind(settings, book.vocabulary(settings), model)


def task_of(path: Path, holds: Path | None = None, content_type: str = "audio/wav") -> Task:
    """A task to hear what lies at ``path``, or should lie there by its hash."""
    media = Media(
        id=hash_file(holds or path),
        files=(FileSeen(path=str(path), size=1, modified_ns=1),),
        probe=Probe(kind=Kind.RECORDING, content_type=content_type),
    )
    return Task(media.id, "key", lambda: pytest.fail("this is heard here"), path=str(path), hears=media)


def heard_by(cluster, book, tasks, bench=None):
    with connected(cluster.address, bench or bench_of(book), book.folder) as workers:
        done = [(task.path, result) for task, result in workers.results(tasks)]
    assert sorted(path for path, _ in done) == sorted(task.path for task in tasks), "each once"
    return dict(done)


def kill_who_hears(seconds: int, cluster: Machines) -> None:
    """Kill the first process that begins such a recording."""
    while not (processes := [process for length, process in cluster.begun() if length == seconds]):
        time.sleep(0.01)
    os.kill(processes[0], signal.SIGKILL)


def test_a_worker_killed_in_the_middle_costs_nothing_and_the_book_is_that_of_a_run_on_one_machine(
    cluster, book, tmp_path
):
    for number in range(6):
        seconds = SLOW_S if number == 1 else number / 10 + 1
        make_sound(tmp_path / "media" / f"20260214_10{number}000.wav", seconds=seconds)
    killer = Thread(target=kill_who_hears, args=(SLOW_S, cluster))
    killer.start()
    choices = Choices(cluster=cluster.address)
    outcome = run(book, [tmp_path / "media"], NOW, choices, bench=MadeBench)
    killer.join()
    assert outcome.made["hear"] == 6
    assert outcome.set_aside == []
    processes = [process for seconds, process in cluster.begun() if seconds == SLOW_S]
    assert len(set(processes)) == len(processes) == 2, "begun once more, elsewhere"
    assert len(cluster.begun()) == 7, "all others once"
    alone = new_book(tmp_path / "alone", NOW.date(), aircraft="Crew Trainer")
    run(alone, [tmp_path / "media"], NOW, bench=MadeBench)
    assert contents(book.out) == contents(alone.out)
    assert run(book, [], NOW, bench=MadeBench).made["hear"] == 0, "known by the same key"


@pytest.mark.parametrize("deaths_that_dask_allows", [3, 0])
def test_a_recording_that_kills_workers_is_set_aside_after_two_tries_and_the_rest_is_heard(
    cluster, book, tmp_path, deaths_that_dask_allows
):
    with Client(cluster.address, set_as_default=False) as client:
        client.run_on_scheduler(
            lambda dask_scheduler: setattr(dask_scheduler, "allowed_failures", deaths_that_dask_allows)
        )
    tasks = [task_of(make_sound(tmp_path / f"{number}.wav", seconds=1 + number / 10)) for number in range(5)]
    tasks.insert(2, task_of(make_sound(tmp_path / "lethal.wav", seconds=LETHAL_S)))
    done = heard_by(cluster, book, tasks)
    fault = done.pop(str(tmp_path / "lethal.wav"))
    assert isinstance(fault, ItemFault) and fault.passing
    assert "memory" in fault.why
    assert all(isinstance(result, Heard) for result in done.values())
    assert [seconds for seconds, _ in cluster.begun()].count(LETHAL_S) == 2


def test_recording_whose_answer_is_lost_with_a_worker_is_asked_for_again(cluster, book, tmp_path, monkeypatch):
    monkeypatch.setattr("pipeline.cluster.LOOKED_AFTER_EVERY_S", 0.2)
    task = task_of(make_sound(tmp_path / "note.wav", seconds=1))
    with connected(cluster.address, bench_of(book), book.folder) as workers:
        asked = iter([lambda *order, **where: Future(), workers._pool.submit])
        monkeypatch.setattr(workers, "_pool", Mock(submit=lambda *order, **where: next(asked)(*order, **where)))
        ((_, result),) = workers.results([task])
    assert isinstance(result, Heard)
    assert len(cluster.begun()) == 1


def test_recording_that_no_worker_finds_is_sent_in_pieces_and_deleted_there(cluster, book, tmp_path, monkeypatch):
    monkeypatch.setattr("pipeline.cluster.PIECE_BYTES", 10_000)
    monkeypatch.chdir(tmp_path)  # the workers are in another folder
    here = [make_sound(Path(f"{number}.wav"), seconds=1 + number / 10) for number in range(3)]
    Path(cluster.folder, "1.wav").write_bytes(b"another recording of the same name")
    done = heard_by(cluster, book, [task_of(path) for path in here])
    assert [done[str(path)].segments for path in here] == [
        hear_sound(path.absolute(), "audio/wav", bench_of(book)).segments for path in here
    ]
    hashes = {hash_file(path) for path in here}
    assert not [path for path in cluster.folder.rglob("*") if f"sha256:{path.name}" in hashes]


def test_content_with_another_hash_is_never_heard(cluster, book, tmp_path):
    first, second = make_sound(tmp_path / "1.wav", 1), make_sound(tmp_path / "2.wav", 2)
    (fault,) = heard_by(cluster, book, [task_of(first, holds=second)]).values()
    assert isinstance(fault, ItemFault) and fault.passing
    assert "not what was taken in" in fault.why
    assert cluster.begun() == []


def test_recording_that_is_gone_is_set_aside(cluster, book, tmp_path):
    sound = make_sound(tmp_path / "1.wav")
    task = task_of(sound)
    sound.unlink()
    (fault,) = heard_by(cluster, book, [task]).values()
    assert isinstance(fault, ItemFault)
    assert "cannot be read" in fault.why


def test_whoever_stops_asking_leaves_no_work_behind(cluster, book, tmp_path):
    tasks = [task_of(make_sound(tmp_path / f"{number}.wav", SLOW_S + number / 100)) for number in range(12)]
    with connected(cluster.address, bench_of(book), book.folder) as workers:
        for _, result in workers.results(tasks):
            assert isinstance(result, Heard)
            break
    heard_by(cluster, book, [task_of(make_sound(tmp_path / f"after{number}.wav", 1 + number)) for number in range(2)])
    assert len(cluster.begun()) < len(tasks)


def test_real_model_hears_the_same_on_a_worker_as_here(cluster, book, tmp_path):
    spoken = tmp_path / "spoken.wav"
    with wave.open(str(SPOKEN)) as whole, wave.open(str(spoken), "wb") as part:
        part.setparams(whole.getparams())
        part.writeframes(whole.readframes(6 * whole.getframerate()))
    bench = bench_of(book, Bench, "tiny.en")
    (there,) = heard_by(cluster, book, [task_of(spoken)], bench).values()
    assert there.segments
    assert there == hear_sound(spoken, "audio/wav", bench)


def refusal(cluster, book, bench=None) -> str:
    with pytest.raises(WrongCommand) as caught, connected(cluster.address, bench or bench_of(book), book.folder):
        pytest.fail("it is not refused")
    assert "\n" not in str(caught.value)
    return str(caught.value)


@pytest.mark.parametrize("part", list(makings()))
def test_worker_with_another_version_is_refused_before_work_begins(cluster, book, monkeypatch, part):
    monkeypatch.setattr("pipeline.cluster.makings", lambda: {**makings(), part: "99"})
    told = refusal(cluster, book)
    assert part in told and "99 here" in told and "tcp://127.0.0.1:" in told


def test_worker_with_another_model_or_without_one_is_refused(cluster, book):
    assert "another speech model" in refusal(cluster, book, bench_of(book, OtherModel))
    assert "speech model is missing" in refusal(cluster, book, bench_of(book, NoModel))


def test_worker_without_the_program_is_refused(cluster, book):
    added = cluster.add_workers(1, installed=False)
    try:
        assert f"saidseen is not installed at {added[0]}" in refusal(cluster, book)
    finally:
        cluster.retire(added)


def test_scheduler_that_dies_ends_the_run_in_one_line(tmp_path, book):
    (tmp_path / "machines").mkdir()
    tasks = [task_of(make_sound(tmp_path / f"{number}.wav", SLOW_S + number / 100)) for number in range(4)]
    with (
        dask.config.set({"distributed.comm.timeouts.connect": "1s"}),  # how long Dask looks for it; else 30 s
        machines(tmp_path / "machines", 1) as mortal,
        connected(mortal.address, bench_of(book), book.folder) as workers,
    ):
        done = workers.results(tasks)
        assert isinstance(next(done)[1], Heard)
        mortal.kill_scheduler()
        faults = [result for _, result in done if not isinstance(result, Heard)]
    assert faults
    assert all(isinstance(fault, RunFault) and "does not answer any more" in str(fault) for fault in faults)


def test_scheduler_without_workers_is_refused(tmp_path, book):
    (tmp_path / "alone").mkdir()
    with machines(tmp_path / "alone", 0) as alone:
        assert "has no workers" in refusal(alone, book)


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nonsense", "ftp://127.0.0.1:9"])
def test_address_where_nobody_answers_is_one_line_and_nothing_is_done(book, monkeypatch, tmp_path, address):
    monkeypatch.setattr("pipeline.cluster.REACHED_WITHIN_S", 1)
    with pytest.raises(WrongCommand, match=f"No Dask scheduler answers at {address}") as caught:
        run(book, [make_sound(tmp_path / "1.wav")], NOW, Choices(cluster=address), bench=MadeBench)
    assert "\n" not in str(caught.value)
    assert not book.out.exists()


def test_machine_without_dask_is_told_how_to_install_it(book):
    code = "import sys; sys.modules['distributed'] = None; from pipeline.command_line import main; main()"
    command = [sys.executable, "-c", code, "run", str(book.folder), "--cluster", "tcp://127.0.0.1:9"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == ExitCode.WRONG_COMMAND
    (line,) = done.stderr.splitlines()
    assert "pip install" in line
