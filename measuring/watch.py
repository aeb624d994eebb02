"""A watch on a run: how long each step took, and the most memory that it took."""

import os
import platform
import resource
import time
from contextlib import suppress
from datetime import date
from pathlib import Path
from threading import Event, Thread

_CLEAR = Path("/proc/self/clear_refs")


class Watch:
    """Progress that is timed. Call ``stop`` at the end.

    Then ``took_s``, ``worked_s`` and ``peak_mb`` hold each step, in order: seconds by the clock, seconds of processor
    time of this process and those that it began, and the most memory of this process.
    """

    def __init__(self) -> None:
        self.took_s: dict[str, float] = {}
        self.worked_s: dict[str, float] = {}
        self._worked_before_s = 0.0
        self.peak_mb: dict[str, float] = {}
        self._doing, self._began_s = "", 0.0

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Stop the watch for the step before, and start it for this one."""
        now_s, worked_s = time.perf_counter(), processor_s()
        if self._doing:
            so_far_s = self.worked_s.get(self._doing, 0.0)
            self.worked_s[self._doing] = so_far_s + max(0.0, worked_s - self._worked_before_s)
            self.took_s[self._doing] = self.took_s.get(self._doing, 0.0) + now_s - self._began_s
            self.peak_mb[self._doing] = max(peak_mb(), self.peak_mb.get(self._doing, 0.0))
        forget_peak()
        self._doing, self._began_s, self._worked_before_s = doing, now_s, worked_s

    def stop(self) -> None:
        """Stop the watch for the last step."""
        self.begin("", 0, "")

    def advance(self, amount: float) -> None:
        """Pay no heed."""


class StepReached(Exception):  # noqa: N818 - nothing went wrong
    """A run has come to the step at which it was to end."""


class WatchUntil(Watch):
    """The same, which ends the run by raising ``StepReached`` where a step would begin."""

    def __init__(self, step: str) -> None:
        super().__init__()
        self._step = step

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Stop the watch for the step before; then start it for this one, or end the run."""
        super().begin("" if doing == self._step else doing, total, unit)
        if doing == self._step:
            raise StepReached(doing)


class Children(Thread):
    """Looks five times a second how much memory each process that this one began has held at most (Linux).

    ``peak_mb`` has the most of each command. What the system itself counts of ended children will not do: it takes
    a child for as large as the process that began it.
    """

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.peak_mb: dict[str, float] = {}
        self._over = Event()

    def run(self) -> None:
        """Look until told to stop."""
        while not self._over.wait(0.2):
            self._look()

    def stop(self) -> None:
        """Look once more, and no more."""
        self._over.set()
        self.join()
        self._look()

    def _look(self) -> None:
        for child in _begun():
            command = _command(child)
            if command and command != _command("self"):  # one only just begun is still a copy of this process
                self.peak_mb[command] = max(peak_mb(child), self.peak_mb.get(command, 0.0))


def _command(process: str) -> str:
    with suppress(OSError):
        return Path(f"/proc/{process}/cmdline").read_bytes().replace(b"\0", b" ").decode("utf-8", "replace")
    return ""


def processor_s() -> float:
    """Return the processor time of this process, and of those that it began, ended or not (source: proc(5))."""
    ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + ended.ru_utime + ended.ru_stime + sum(map(_worked_s, _begun()))


def _begun() -> list[str]:
    found: list[str] = []
    for path in Path(f"/proc/{os.getpid()}/task").glob("*/children"):
        with suppress(OSError):
            found += path.read_text(encoding="ascii").split()
    return found


def _worked_s(process: str) -> float:
    with suppress(OSError, IndexError, ValueError):
        fields = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
        return sum(map(int, fields[11:15])) / os.sysconf("SC_CLK_TCK")
    return 0.0


def peak_mb(process: str = "self") -> float:
    """Return the most memory that a process has held since it began or ``forget_peak`` was called there, in MB."""
    with suppress(OSError, StopIteration, ValueError):
        lines = Path(f"/proc/{process}/status").read_text(encoding="utf-8").splitlines()
        return int(next(line for line in lines if line.startswith("VmHWM:")).split()[1]) / 1024
    if process != "self":
        return 0.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def forget_peak() -> None:
    """Begin the count of ``peak_mb`` anew, where the system can (Linux; source: proc(5), clear_refs)."""
    with suppress(OSError):
        _CLEAR.write_text("5", encoding="ascii")


def machine() -> str:
    """Return on what and when the figures were made: cores, memory, Python, day."""
    memory = "memory not known"
    with suppress(ValueError, OSError, AttributeError):
        memory = f"{os.sysconf('SC_PAGE_SIZE') * os.sysconf('SC_PHYS_PAGES') / 1e9:.0f} GB of memory"
    return f"{os.cpu_count()} cores, {memory}, Python {platform.python_version()}, {date.today():%Y-%m-%d}"  # noqa: DTZ011
