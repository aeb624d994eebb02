"""The history's file: one event a line, each holding the hash of the line before; it is only ever written on.

Beside ``history.jsonl`` lies ``history.head``: the number and the hash of the last line that was wholly written, so
that a change of the last line, or its loss, shows as well. Whoever copies the one copies the other.
"""

import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pipeline.errors import ExitCode, RunFault
from pipeline.history.events import BEFORE_THE_FIRST, Act, Event, event_of, hash_of, line_of

MENDED = "mended"
"""The act of the event that tells that a line was found unfinished, and what became of it."""

_SHOWN = 60  # letters


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
    """A history as it was read: its events, the hash of its last line, bytes after it, and where it is broken."""

    events: tuple[Event, ...]
    head: str
    torn: bytes
    breaks: tuple[Break, ...]

    @property
    def changed(self) -> tuple[Break, ...]:
        """The breaks that no stopped run explains."""
        return tuple(one for one in self.breaks if not one.torn)


def head_file(path: Path) -> Path:
    """Return the file that holds the number and hash of the history's last line."""
    return path.with_suffix(".head")


def read(path: Path) -> Chain:
    """Read a history; of one that does not exist, nothing. Lines that are no events are left out, and told."""
    whole, torn = _halves(path)
    lines = whole.split(b"\n")[:-1]
    events = [_event(line) for line in lines]
    found = [*_broken_lines(lines, events), *_broken_head(path, lines)]
    if torn:
        found.append(_unfinished(len(lines) + 1, torn))
    return Chain(
        tuple(event for event in events if event is not None),
        hash_of(lines[-1]) if lines else BEFORE_THE_FIRST,
        torn,
        tuple(found),
    )


def breaks(path: Path) -> Iterator[Break]:
    """Yield every place where the history is not what was written; nothing for a book that has none yet."""
    yield from read(path).breaks


def append(path: Path, acts: Sequence[Act], now: datetime) -> tuple[Event, ...]:
    """Add events at the end, and return them; the caller holds the book's lock.

    A last line that a stopped run left unfinished is mended first: it is kept if all but its newline is there, else
    its bytes go into an event that says so.

    Args:
        path: the history's file, made if it is not there.
        acts: what happened, in order.
        now: the present instant.

    Raises:
        HistoryChanged: the history was changed since it was written; nothing is added.
        RunFault: it cannot be written; what was noted before is kept.
    """
    chain = read(path)
    refuse_if_changed(path, chain)
    kept = _finished(chain)
    if chain.torn:
        acts = [_mended(chain, kept is not None), *acts]
    if not acts:
        return ()
    start = len(_halves(path)[0])
    written = [line_of(kept)] if kept else []
    last = hash_of(written[0]) if written else chain.head
    number = len(chain.events) + len(written)
    made = []
    for act in acts:
        number += 1
        event = Event(n=number, at=now.replace(microsecond=0), previous=last, **act._asdict())
        line = line_of(event)
        last = hash_of(line)
        written.append(line)
        made.append(event)
    try:
        _write_at(path, start, b"".join(line + b"\n" for line in written))
        _write_head(path, number, last)
    except OSError as error:
        raise RunFault(
            f"{path}: it cannot be written to ({error}). Free some room on the disk, or let yourself write to the "
            "folder, and do it again: what was noted before is kept."
        ) from error
    return tuple(made)


def refuse_if_changed(path: Path, chain: Chain) -> None:
    """Raise HistoryChanged if a history was changed since it was written."""
    if chain.changed:
        first = chain.changed[0]
        raise HistoryChanged(
            f"{path}, {first.where}: {first.what} (expected {first.expected}; found {first.found}). Nothing is added "
            f"to it. Put {path.name} and {head_file(path).name} back from a copy of the book that is sound."
        )


def _halves(path: Path) -> tuple[bytes, bytes]:
    """Return the whole lines of the file, and what stands after the last newline."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return b"", b""
    end = content.rfind(b"\n") + 1
    return content[:end], content[end:]


def _event(line: bytes) -> Event | None:
    try:
        return event_of(line)
    except (ValueError, RecursionError):
        return None


def _broken_lines(lines: Sequence[bytes], events: Sequence[Event | None]) -> Iterator[Break]:
    number, previous, sound = 0, BEFORE_THE_FIRST, True
    for at, (line, event) in enumerate(zip(lines, events, strict=True), start=1):
        if event is None:
            yield Break(f"line {at}", "this line is no event", "one event as JSON", _shown(line))
        else:
            if event.n != number + 1 and sound:
                yield Break(f"line {at}", "lines are missing, added or moved here", str(number + 1), str(event.n))
            if event.previous != previous and sound:
                what = "this line was changed, or is not the one that the next was written after"
                yield Break(f"line {at - 1}" if at > 1 else "line 1", what, event.previous, previous)
            number = event.n
        previous, sound = hash_of(line), event is not None


def _broken_head(path: Path, lines: Sequence[bytes]) -> Iterator[Break]:
    file = head_file(path)
    try:
        text = file.read_text(encoding="ascii", errors="replace")
    except FileNotFoundError:
        if lines:
            yield Break(file.name, "this file is missing", f"{len(lines)} {hash_of(lines[-1])}", "nothing")
        return
    number, _, held = text.partition(" ")
    if text != f"{number} {held.strip()}\n" or not (number.isascii() and number.isdigit()) or number == "0":
        yield Break(file.name, "this file is not as it was written", "a number and a hash", _shown(text.encode()))
    elif int(number) > len(lines):
        where = f"line {len(lines) + 1}"
        yield Break(where, "lines are missing at the end", f"{number} lines", f"{len(lines)} lines")
    elif hash_of(lines[int(number) - 1]) != held.strip():
        what = "this line is not the one that was written last"
        yield Break(f"line {number}", what, held.strip(), hash_of(lines[int(number) - 1]))


def _unfinished(at: int, torn: bytes) -> Break:
    what = "this line is unfinished: a run was stopped while it wrote; the next run mends it"
    return Break(f"line {at}", what, "a whole line", _shown(torn), torn=True)


def _finished(chain: Chain) -> Event | None:
    """Return the event of an unfinished last line that lacks nothing but its newline."""
    event = _event(chain.torn) if chain.torn else None
    fits = event is not None and (event.n, event.previous) == (len(chain.events) + 1, chain.head)
    return event if fits and event is not None and line_of(event) == chain.torn else None


def _mended(chain: Chain, kept: bool) -> Act:
    what = chain.torn.decode("utf-8", "backslashreplace")
    why = "the event was whole, and is kept" if kept else "the event was not whole, and is left out: these bytes"
    return Act("saidseen", MENDED, f"line {len(chain.events) + 1}", None if kept else what, None, why)


def _shown(content: bytes) -> str:
    text = content[:_SHOWN].decode("utf-8", "backslashreplace")
    return f"“{text}{'…' if len(content) > _SHOWN else ''}”"


def _write_at(path: Path, start: int, content: bytes) -> None:
    with path.open("r+b" if path.exists() else "xb") as file:
        file.seek(start)
        file.write(content)
        file.truncate()
        file.flush()
        os.fsync(file.fileno())


def _write_head(path: Path, number: int, last: str) -> None:
    file = head_file(path)
    beside = file.with_name(f".{file.name}.part")
    with beside.open("wb") as head:
        head.write(f"{number} {last}\n".encode("ascii"))
        head.flush()
        os.fsync(head.fileno())
    beside.replace(file)
    with suppress(OSError):  # a folder cannot be opened like this on every system
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
