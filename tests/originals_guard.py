"""Watches over originals while the program has a book: no test may pass in which one is written to, moved or changed.

Files become originals when a run takes them in. From then on, whenever a book is held, the interpreter's own
audit events tell of every file that is opened for writing, removed or renamed; and when the book is let go, each
original must be what it was, its times included.
"""

import hashlib
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

_CHANGES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_TOUCHING = frozenset(
    {"os.remove", "os.rename", "os.truncate", "os.chmod", "os.chown", "os.utime", "os.rmdir", "shutil.move"}
)


@dataclass
class Guard:
    """The originals of one test, and what was done to them while the program had a book."""

    originals: dict[str, tuple[int, int, str]] = field(default_factory=dict)
    known: set[Path] = field(default_factory=set)
    violations: list[str] = field(default_factory=list)
    held: int = 0

    def protect(self, path: Path) -> None:
        """Watch over a file from now on."""
        self.known.add(path)
        if self.held:
            self.originals[str(path)] = _state(path)

    @contextmanager
    def holding(self) -> Iterator[None]:
        """The program has a book; afterwards every original must be what it was."""
        self.held += 1
        self.originals |= {str(path): _state(path) for path in self.known if path.is_file()}
        try:
            yield
        finally:
            self.held -= 1
            for path, state in self.originals.items():
                if not Path(path).exists():
                    self.violations.append(f"{path} is gone")
                elif _state(Path(path)) != state:
                    self.violations.append(f"{path} has changed")
            self.originals.clear()

    @contextmanager
    def let(self) -> Iterator[None]:
        """Let the test itself change originals while the program has a book, as somebody else might."""
        watched, self.originals = self.originals, {}
        try:
            yield
        finally:
            self.originals = {path: _state(Path(path)) for path in watched if Path(path).exists()}

    def hear(self, event: str, args: tuple[Any, ...]) -> None:
        """Refuse what would change an original, and note it."""
        if not self.held or not self.originals:
            return
        writes = event == "open" and isinstance(args[2], int) and args[2] & _CHANGES
        if not writes and event not in _TOUCHING:
            return
        for one in args[:2]:
            if isinstance(one, str | bytes | os.PathLike) and self._is_of_original(os.fsdecode(one)):
                self.violations.append(f"{event} {os.fsdecode(one)}")
                raise AssertionError(f"an original was to be changed: {event} {os.fsdecode(one)}")

    def _is_of_original(self, path: str) -> bool:
        whole = str(Path(path).absolute())
        return whole in self.originals or any(original.startswith(f"{whole}/") for original in self.originals)


_watching: list[Guard] = []


def _hook(event: str, args: tuple[Any, ...]) -> None:
    if _watching and (event == "open" or event in _TOUCHING):
        _watching[-1].hear(event, args)


sys.addaudithook(_hook)  # one for the whole session: it cannot be removed, only left without a guard


@contextmanager
def guarding() -> Iterator[Guard]:
    """Watch over the originals of one test."""
    guard = Guard()
    _watching.append(guard)
    try:
        yield guard
    finally:
        _watching.remove(guard)


def _state(path: Path) -> tuple[int, int, str]:
    try:
        info = path.stat()
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        return (0, 0, str(error))
    return (info.st_mtime_ns, info.st_ctime_ns, digest)
