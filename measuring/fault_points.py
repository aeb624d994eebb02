"""Makes this process kill itself at the n-th moment at which it is about to change something on the disk.

It dies as by ``kill -9``: nothing is cleaned up. The program itself knows nothing of this.
"""

import io
import os
import signal
import sqlite3
import sys
from collections.abc import Iterable, Iterator
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import Any, Literal

_CHANGES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_EVENTS = frozenset({"os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.truncate", "shutil.rmtree"})
_QUERIES = ("SELECT", "PRAGMA")


class Points:
    """The moments of one process at which it is about to change something, in order, as text.

    Args:
        die_at: at which one it dies, counted from 1; 0 for none.
    """

    def __init__(self, die_at: int = 0) -> None:
        self.reached: list[str] = []
        self._die_at = die_at

    def reach(self, what: str) -> bool:
        """Note a moment; tell whether this is the one."""
        self.reached.append(what)
        return len(self.reached) == self._die_at

    def pass_or_die(self, what: str) -> None:
        """Note a moment, and die if this is the one."""
        if self.reach(what):
            die()


def die() -> None:
    """End this process as ``kill -9`` does."""
    os.kill(os.getpid(), signal.SIGKILL)


def watch(points: Points) -> None:
    """From now on, let every change on the disk go through ``points``; it cannot be undone in this process.

    What is seen: a file opened for writing, each write (half of it is on the disk when the process dies), a file or
    folder renamed, removed or made, and each statement that changes a database, the commit included.
    """

    def hook(event: str, args: tuple[Any, ...]) -> None:
        if (event == "open" and isinstance(args[2], int) and args[2] & _CHANGES) or event in _EVENTS:
            points.pass_or_die(f"{event} {_name(args[0])}")

    sys.addaudithook(hook)
    io.open = partial(opened, points, io.open)
    sqlite3.connect = partial(sqlite3.connect, factory=_watched_connection(points))  # type: ignore[assignment]


def _name(path: object) -> str:
    return Path(os.fsdecode(path)).name if isinstance(path, str | bytes | os.PathLike) else str(path)


def opened(
    points: Points,
    really: Any,
    file: Any,
    mode: str = "r",
    buffering: int = -1,
    encoding: str | None = None,
    errors: str | None = None,
    newline: str | None = None,
    closefd: bool = True,
    opener: Any = None,
) -> Any:
    """Open a file as ``io.open`` does, each write to which goes through ``points``."""
    if not set(mode) & set("wxa+"):
        return really(file, mode, buffering, encoding, errors, newline, closefd, opener)

    class Raw(io.FileIO):
        def write(self, content: Any, /) -> int:
            if points.reach(f"write {_name(self.name)}"):
                super().write(bytes(content)[: len(bytes(content)) // 2])
                die()
            return super().write(content)

    raw = Raw(file, mode.replace("b", "").replace("t", ""), closefd, opener)
    buffered = io.BufferedRandom(raw) if "+" in mode else io.BufferedWriter(raw)
    return buffered if "b" in mode else io.TextIOWrapper(buffered, encoding, errors, newline)


def _watched_connection(points: Points) -> type[sqlite3.Connection]:
    def pass_or_die(statement: str) -> None:
        if not statement.lstrip().upper().startswith(_QUERIES):
            points.pass_or_die(f"SQL {' '.join(statement.split())[:40]}")

    def each(statement: str, rows: Iterable[Any]) -> Iterator[Any]:
        for row in rows:
            pass_or_die(statement)
            yield row

    class Watched(sqlite3.Connection):
        def execute(self, sql: str, parameters: Any = (), /) -> sqlite3.Cursor:
            pass_or_die(sql)
            return super().execute(sql, parameters)

        def executemany(self, sql: str, parameters: Iterable[Any], /) -> sqlite3.Cursor:
            return super().executemany(sql, each(sql, parameters))

        def executescript(self, sql_script: str, /) -> sqlite3.Cursor:
            pass_or_die(sql_script)
            return super().executescript(sql_script)

        def __exit__(
            self,
            kind: type[BaseException] | None,
            fault: BaseException | None,
            trace: TracebackType | None,
            /,
        ) -> Literal[False]:
            pass_or_die("COMMIT")
            return super().__exit__(kind, fault, trace)

    return Watched
