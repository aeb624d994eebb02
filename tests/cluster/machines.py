"""A real Dask scheduler and real workers, each a process of this machine on its loopback address."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from distributed import Client

from tests.cluster.made_bench import DIARY

ROOT = Path(__file__).parent.parent.parent


class Machines:
    """A scheduler and the workers that were started for it; they work in ``folder``, and keep a diary."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._diary = folder / "diary"
        self._processes: list[subprocess.Popen[bytes]] = []
        file = folder / "scheduler.json"
        self._start("scheduler", "--port", "0", "--scheduler-file", str(file))
        self.address = _address_in(file)

    def add_workers(self, count: int, installed: bool = True) -> list[str]:
        """Start so many workers, and return their addresses when the scheduler has them."""
        before = self.workers()
        for _ in range(count):
            scratch = self.folder / f"scratch{len(self._processes)}"
            options = ("--nworkers", "1", "--nthreads", "1", "--local-directory", str(scratch))
            self._start("worker", self.address, *options, installed=installed)
        return [one for one in self.await_workers(len(before) + count) if one not in before]

    def await_workers(self, count: int) -> list[str]:
        """Wait until there are so many workers, and return their addresses."""
        with Client(self.address, set_as_default=False) as client:
            if count:
                client.wait_for_workers(count, timeout=60)
            return list(client.nthreads())

    def workers(self) -> list[str]:
        """Return the addresses of the workers that there are."""
        return self.await_workers(0)

    def retire(self, workers: list[str]) -> None:
        """Send workers away."""
        with Client(self.address, set_as_default=False) as client:
            client.retire_workers(workers)

    def begun(self) -> list[tuple[int, int]]:
        """List the recordings that were begun: seconds, and the process that heard it."""
        lines = self._diary.read_text(encoding="utf-8").splitlines() if self._diary.exists() else []
        return [(int(seconds), int(process)) for seconds, process in map(str.split, lines)]

    def new_diary(self) -> None:
        """Begin a new diary."""
        self._diary.unlink(missing_ok=True)

    def kill_scheduler(self) -> None:
        """Kill the scheduler."""
        self._processes[0].kill()

    def end(self) -> None:
        """End all that was started, the scheduler last: workers that cannot say goodbye to it wait."""
        scheduler, *workers = self._processes
        for processes in (workers, [scheduler]):
            for process in processes:
                process.terminate()
            for process in processes:
                process.wait()

    def _start(self, what: str, *options: str, installed: bool = True) -> None:
        command = [sys.executable, "-m", "dask", what, "--host", "127.0.0.1", "--no-dashboard", *options]
        path = {"PYTHONPATH": str(ROOT)} if installed else {}
        environment = {**os.environ, DIARY: str(self._diary), **path}
        with (self.folder / f"log{len(self._processes)}").open("wb") as log:
            self._processes.append(
                subprocess.Popen(command, cwd=self.folder, env=environment, stdout=log, stderr=subprocess.STDOUT)
            )


def _address_in(file: Path) -> str:
    """Return the address that a scheduler writes to a file, once it has written all of it."""
    while True:
        with suppress(FileNotFoundError, json.JSONDecodeError):
            return str(json.loads(file.read_text())["address"])
        time.sleep(0.05)


@contextmanager
def machines(folder: Path, workers: int) -> Iterator[Machines]:
    """Start a scheduler with so many workers, and end them all."""
    started = Machines(folder)
    try:
        started.add_workers(workers)
        yield started
    finally:
        started.end()
