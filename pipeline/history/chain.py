"""The history's file: one event a line, each holding the hash of the line before; it is only ever written on.

Beside ``history.jsonl`` lies ``history.head``: the number and the hash of the last line that was wholly written, so
that a change of the last line, or its loss, shows as well. Whoever copies the one copies the other.

What is to be added is first put down whole in ``history.next``: from then on it has happened, all of it. Whoever is
killed while he copies it to the end of the history leaves that to the next one; until then it is read with it.
"""

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime
from itertools import chain as chain_of
from pathlib import Path

from pipeline.digests import sha256_of, sha256_of_bytes
from pipeline.errors import ExitCode, RunFault
from pipeline.history.events import BEFORE_THE_FIRST, Act, Event, event_of, line_of

MENDED = "mended"
"""The act of the event that tells that a line was found unfinished, and what became of it."""

_SHOWN = 60  # letters
_DIGITS = 18
_BLOCK = 2**20  # bytes that are written at once


class HistoryChanged(RunFault):
    """The history is not as it was written: nothing may be added to it until that is settled."""

    exit_code = ExitCode.CHECK_FAILED


@dataclass(frozen=True)
class Break:
    """One place where the history is not what was written.

    ``torn`` tells the end of a run that was stopped while it wrote, which the next one mends, from a change.
    """

    where: str
    what: str
    expected: str
    found: str
    torn: bool = False


@dataclass(frozen=True)
class Chain:
    """A history as it was read: its events, the hash of its last line, bytes after it, and where it is broken.

    ``number`` says how many events there are; ``events`` is empty where each was given to somebody else. ``files`` is
    the hash of the files that it was read from.
    """

    events: tuple[Event, ...]
    number: int
    head: str
    torn: bytes
    breaks: tuple[Break, ...]
    files: str = field(compare=False)

    @property
    def changed(self) -> tuple[Break, ...]:
        """The breaks that no stopped run explains."""
        return tuple(one for one in self.breaks if not one.torn)


def head_file(path: Path) -> Path:
    """Return the file that holds the number and hash of the history's last line."""
    return path.with_suffix(".head")


def next_file(path: Path) -> Path:
    """Return the file that holds what is being added: where in the history it begins, a newline, and the lines."""
    return path.with_suffix(".next")


def read(path: Path, take: Callable[[Event, int], None] | None = None) -> Chain:
    """Read a history; of one that does not exist, nothing. Lines that are no events are left out, and told.

    Args:
        path: the history's file.
        take: is given each event with where its line begins (``line_at``), in their order; then none is held here.
    """
    files = _files(path)
    whole, torn = _halves(path)
    lines = whole.split(b"\n")[:-1]
    events: list[Event] = []
    number = 0

    def each() -> Iterator[tuple[bytes, Event | None]]:
        nonlocal number
        start = 0
        for line in lines:
            event = _event(line)
            if event is not None:
                number += 1
                take(event, start) if take else events.append(event)
            yield line, event
            start += len(line) + 1

    found = [*_broken_lines(each()), *_broken_head(path, lines)]
    if torn:
        found.append(_unfinished(len(lines) + 1, torn))
    return Chain(
        tuple(events),
        number,
        sha256_of_bytes(lines[-1]) if lines else BEFORE_THE_FIRST,
        torn,
        tuple(found),
        files,
    )


def line_at(path: Path, start: int) -> bytes:
    """Return the line of a history that begins at a place that ``read`` gave, without its newline."""
    begun = _begun(path)
    if begun is not None and start >= begun[0]:
        return begun[1][start - begun[0] :].split(b"\n", 1)[0]
    with path.open("rb") as file:
        file.seek(start)
        return file.readline().removesuffix(b"\n")


def breaks(path: Path) -> Iterator[Break]:
    """Yield every place where the history is not what was written; nothing for a book that has none yet."""
    yield from read(path).breaks


def append(path: Path, acts: Sequence[Act], now: datetime) -> tuple[Event, ...]:
    """Add events at the end, and return them; as ``extend``."""
    made: list[Event] = []
    extend(path, acts, now, take=made.append)
    return tuple(made)


def extend(
    path: Path,
    acts: Iterable[Act],
    now: datetime,
    before: Chain | None = None,
    take: Callable[[Event], None] = lambda event: None,
) -> str:
    """Add events at the end, and return the hash of the last line; the caller holds the book's lock.

    Acts may come one by one: however many they are, few are held at a time. A last line that a stopped run left
    unfinished is mended first: it is kept if all but its newline is there, else its bytes go into an event that says
    so.

    Args:
        path: the history's file, made if it is not there.
        acts: what happened, in order.
        now: the present instant.
        before: the history as the caller has read it; where it is not so any more, it is read again.
        take: is given each event that is added, in their order.

    Raises:
        HistoryChanged: the history was changed since it was written; nothing is added.
        RunFault: it cannot be written; what was noted before is kept.
    """
    chain = before if before is not None and before.files == _files(path) else read(path)
    refuse_if_changed(path, chain)
    _finish(path, chain)
    kept = _finished(chain)
    acts = iter(acts)
    first = _mended(chain, kept is not None) if chain.torn else next(acts, None)
    if first is None:
        return chain.head
    number, head = chain.number, chain.head

    def lines() -> Iterator[bytes]:
        nonlocal number, head
        if kept:
            number, head = kept.n, sha256_of_bytes(chain.torn)
            yield chain.torn + b"\n"
        for act in chain_of([first], acts):
            event = Event(n=number + 1, at=now.replace(microsecond=0), previous=head, **act._asdict())
            line = line_of(event)
            number, head = event.n, sha256_of_bytes(line)
            take(event)
            yield line + b"\n"

    start = path.stat().st_size - len(chain.torn) if path.exists() else 0
    with _or_nothing(path, start, chain.torn):
        _replace(next_file(path), chain_of([f"{start}\n".encode("ascii")], lines()))
        _write_at(path, start, _lines_in(next_file(path)))
        _replace(head_file(path), [_head(number, head)])
        next_file(path).unlink()
    return head


def _finish(path: Path, chain: Chain) -> None:
    """Do what is left of an adding that was stopped: it has happened, and only its copying was not done."""
    begun, head = _begun(path), _head(chain.number, chain.head)
    try:
        if begun is not None:
            _write_at(path, begun[0], [begun[1]])
        if chain.number and not chain.torn and _held(head_file(path)) != head:
            _replace(head_file(path), [head])
        next_file(path).unlink(missing_ok=True)
    except OSError as error:
        raise _unwritable(path, error) from error


@contextmanager
def _or_nothing(path: Path, start: int, before: bytes) -> Iterator[None]:
    """Where something cannot be added, leave the history as it was; ``before`` is what stood at ``start``."""
    try:
        yield
    except OSError as error:
        with suppress(OSError):
            next_file(path).unlink(missing_ok=True)
            if path.exists():
                _write_at(path, start, [before])
        raise _unwritable(path, error) from error


def _unwritable(path: Path, error: OSError) -> RunFault:
    return RunFault(
        f"{path}: it cannot be written to ({error}). Free some room on the disk, or let yourself write to the "
        "folder, and do it again: what was noted before is kept."
    )


def refuse_if_changed(path: Path, chain: Chain) -> None:
    """Raise HistoryChanged if a history was changed since it was written."""
    if chain.changed:
        first = chain.changed[0]
        raise HistoryChanged(
            f"{path}, {first.where}: {first.what} (expected {first.expected}; found {first.found}). Nothing is added "
            f"to it. Put {path.name} and {head_file(path).name} back from a copy of the book that is sound."
        )


def _halves(path: Path) -> tuple[bytes, bytes]:
    """Return the whole lines of the history, and what stands after the last newline."""
    content = _held(path)
    begun = _begun(path)
    if begun is not None:
        content = content[: begun[0]] + begun[1]
    end = content.rfind(b"\n") + 1
    return content[:end], content[end:]


def _files(path: Path) -> str:
    return sha256_of_bytes("".join(map(_hash_of_file, (path, head_file(path), next_file(path)))).encode("ascii"))


def _hash_of_file(path: Path) -> str:
    try:
        return sha256_of(path)
    except FileNotFoundError:
        return sha256_of_bytes(b"")


def _held(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return b""


def _begun(path: Path) -> tuple[int, bytes] | None:
    """Return where something was begun to be added and what, if the history goes on to it; else None."""
    start, newline, content = _held(next_file(path)).partition(b"\n")
    if not (newline and start.isdigit() and len(start) < _DIGITS and content.endswith(b"\n")):
        return None
    held = _held(path)
    fits = int(start) <= len(held) and content.startswith(held[int(start) :])
    return (int(start), content) if fits else None


def _event(line: bytes) -> Event | None:
    try:
        return event_of(line)
    except (ValueError, RecursionError):
        return None


def _broken_lines(lines: Iterable[tuple[bytes, Event | None]]) -> Iterator[Break]:
    number, previous, sound = 0, BEFORE_THE_FIRST, True
    for at, (line, event) in enumerate(lines, start=1):
        if event is None:
            yield Break(f"line {at}", "this line is no event", "one event as JSON", _shown(line))
        else:
            if event.n != number + 1 and sound:
                yield Break(f"line {at}", "lines are missing, added or moved here", str(number + 1), str(event.n))
            if event.previous != previous and sound:
                what = "this line was changed, or is not the one that the next was written after"
                yield Break(f"line {at - 1}" if at > 1 else "line 1", what, event.previous, previous)
            number = event.n
        previous, sound = sha256_of_bytes(line), event is not None


def _broken_head(path: Path, lines: Sequence[bytes]) -> Iterator[Break]:
    file = head_file(path)
    try:
        text = file.read_text(encoding="ascii", errors="replace")
    except FileNotFoundError:
        begun = _begun(path)
        if lines and (begun is None or begun[0]):  # a history that is being begun has none yet
            yield Break(file.name, "this file is missing", f"{len(lines)} {sha256_of_bytes(lines[-1])}", "nothing")
        return
    number, _, held = text.partition(" ")
    if text != f"{number} {held.strip()}\n" or not (number.isascii() and number.isdigit()) or number == "0":
        yield Break(file.name, "this file is not as it was written", "a number and a hash", _shown(text.encode()))
    elif int(number) > len(lines):
        where = f"line {len(lines) + 1}"
        yield Break(where, "lines are missing at the end", f"{number} lines", f"{len(lines)} lines")
    elif sha256_of_bytes(lines[int(number) - 1]) != held.strip():
        what = "this line is not the one that was written last"
        yield Break(f"line {number}", what, held.strip(), sha256_of_bytes(lines[int(number) - 1]))


def _unfinished(at: int, torn: bytes) -> Break:
    what = "this line is unfinished: a run was stopped while it wrote; the next run mends it"
    return Break(f"line {at}", what, "a whole line", _shown(torn), torn=True)


def _finished(chain: Chain) -> Event | None:
    """Return the event of an unfinished last line that lacks nothing but its newline."""
    event = _event(chain.torn) if chain.torn else None
    fits = event is not None and (event.n, event.previous) == (chain.number + 1, chain.head)
    return event if fits and event is not None and line_of(event) == chain.torn else None


def _mended(chain: Chain, kept: bool) -> Act:
    what = chain.torn.decode("utf-8", "backslashreplace")
    why = "the event was whole, and is kept" if kept else "the event was not whole, and is left out: these bytes"
    return Act("saidseen", MENDED, f"line {chain.number + 1}", None if kept else what, None, why)


def _shown(content: bytes) -> str:
    text = content[:_SHOWN].decode("utf-8", "backslashreplace")
    return f"“{text}{'…' if len(content) > _SHOWN else ''}”"


def _write_at(path: Path, start: int, pieces: Iterable[bytes]) -> None:
    with path.open("r+b" if path.exists() else "xb") as file:
        file.seek(start)
        for block in _blocks(pieces):
            file.write(block)
        file.truncate()
        file.flush()
        os.fsync(file.fileno())


def _head(number: int, last: str) -> bytes:
    return f"{number} {last}\n".encode("ascii")


def _blocks(pieces: Iterable[bytes]) -> Iterator[bytes]:
    """Yield pieces together, as many as make a block."""
    block = bytearray()
    for piece in pieces:
        block += piece
        if len(block) >= _BLOCK:
            yield bytes(block)
            block.clear()
    if block:
        yield bytes(block)


def _lines_in(file: Path) -> Iterator[bytes]:
    """Yield the lines of what is being added, as ``next_file`` holds them."""
    with file.open("rb") as held:
        next(held)
        yield from held


def _replace(file: Path, pieces: Iterable[bytes]) -> None:
    """Write a file beside and move it into place; it is on the disk when this returns."""
    beside = file.with_name(f".{file.name}.part")
    try:
        with beside.open("wb") as part:
            for block in _blocks(pieces):
                part.write(block)
            part.flush()
            os.fsync(part.fileno())
        beside.replace(file)
    finally:
        beside.unlink(missing_ok=True)
    with suppress(OSError):  # a folder cannot be opened like this on every system
        folder = os.open(file.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
