"""The broadcast extension of a wave file: who made it and when.

Source: EBU Tech 3285 v2 (``bext`` chunk), EBU Tech 3306 and ITU-R BS.2088 (RF64 and BW64: ``ds64``).
"""

import re
import struct
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import BinaryIO

from pipeline.intake.container_tags import device_name
from pipeline.values import TimeClue, TimeSource, Value

_MOST_CHUNKS = 10_000
_BEXT_FIXED_BYTES = 348  # up to and with Version; what follows is not needed
_DAY_S = 86_400.0
_SIZE_ELSEWHERE = 0xFFFFFFFF
_DATE = re.compile(r"(\d{4})[-_:. /](\d{2})[-_:. /](\d{2})")
_CLOCK = re.compile(r"(\d{2})[-_:. ](\d{2})[-_:. ](\d{2})")


class BextFound(Value):
    """What ``bext`` says. ``sample_rate_hz`` and ``length_s`` come from the other chunks, None where they lie."""

    originator: str = ""
    clues: tuple[TimeClue, ...] = ()
    sample_rate_hz: int | None = None
    length_s: float | None = None
    remarks: tuple[str, ...] = ()


class _Chunks(Value):
    bext: bytes | None = None
    sample_rate_hz: int | None = None
    bytes_per_s: int | None = None
    data_bytes: int | None = None


def read_bext(path: Path) -> BextFound | None:
    """Read the ``bext`` chunk of a RIFF, RF64 or BW64 wave file; None where it has none.

    Sizes that lie are cut to what the file holds. Nothing is raised for bad content.

    Raises:
        OSError: the file cannot be read.
    """
    with path.open("rb") as file:
        chunks = _read_chunks(file)
    if chunks.bext is None:
        return None
    length_s = chunks.data_bytes / chunks.bytes_per_s if chunks.data_bytes and chunks.bytes_per_s else None
    return parse_bext(chunks.bext, chunks.sample_rate_hz, length_s)


def wave_is_cut_short(path: Path) -> bool:
    """Say whether a wave file claims more sound than it holds. Recorders that lost their power leave no claim at all.

    Raises:
        OSError: the file cannot be read.
    """
    with path.open("rb") as file:
        held = file.seek(0, 2)
        for name, claimed, at in _each_chunk(file):
            if name == b"data":
                return claimed != _SIZE_ELSEWHERE and at + claimed > held
    return False


def parse_bext(block: bytes, sample_rate_hz: int | None, length_s: float | None) -> BextFound:
    """Read a ``bext`` chunk's content.

    ``TimeReference`` is the first sample's place since midnight, to the sample; ``OriginationTime`` is the recorder's
    calendar clock, to the second. Where the two agree within 2 s, ``TimeReference`` is used for its fineness. Where
    the clock is later by the recording's own length, the recorder stamped it on stopping: ``TimeReference`` is used.
    Where they disagree in any other way ``OriginationTime`` is used: ``TimeReference`` may be a free-running or
    hand-set time code, and 0 means that the recorder does not fill it in.

    Args:
        block: the chunk's content; shorter than the standard's is read as far as it goes.
        sample_rate_hz: of the sound; without it ``TimeReference`` means nothing.
        length_s: how long the sound lasts, None where unknown.
    """
    remarks: list[str] = []
    if len(block) < _BEXT_FIXED_BYTES:
        remarks.append("Its broadcast chunk is cut short.")
        block = block.ljust(_BEXT_FIXED_BYTES, b"\x00")
    originator = device_name("", _text(block[256:288]))
    origination = _origination(_text(block[320:330]), _text(block[330:338]))
    low, high = struct.unpack_from("<II", block, 338)
    found = BextFound(originator=originator, sample_rate_hz=sample_rate_hz, length_s=length_s)
    if origination is None:
        if any(block[320:338].strip(b"\x00 ")):
            remarks.append("The date in its broadcast chunk cannot be read.")
        return found.model_copy(update={"remarks": tuple(remarks)})
    samples = low | high << 32
    reference_s = samples / sample_rate_hz if sample_rate_hz and samples else None
    wall, error_s, remark = _choose(origination, reference_s, length_s)
    if remark:
        remarks.append(remark)
    clue = TimeClue(source=TimeSource.BWF, wall=wall, error_s=error_s)
    return found.model_copy(update={"clues": (clue,), "remarks": tuple(remarks)})


def _choose(origination: datetime, reference_s: float | None, length_s: float | None) -> tuple[str, float, str]:
    """Return (wall time, how coarse it is in seconds, a remark or "")."""
    clock = _wall(origination), 1.0, ""
    if reference_s is None:
        return clock
    if reference_s >= _DAY_S:
        return *clock[:2], "Its time reference lies beyond a day; the time that its recorder's clock gave is used."
    midnight = origination.replace(hour=0, minute=0, second=0)
    # The nearer way round: a recording may start before midnight and be stamped after it.
    ahead_s = (reference_s - (origination - midnight).total_seconds() + _DAY_S / 2) % _DAY_S - _DAY_S / 2
    stamped_on_stopping = length_s is not None and abs(ahead_s + length_s) <= 2.0
    if abs(ahead_s) > 2.0 and not stamped_on_stopping:
        return *clock[:2], (
            f"Its time reference and its recorder's clock are {abs(ahead_s):.0f} s apart; the clock is used."
        )
    try:
        return _wall(origination + timedelta(seconds=round(ahead_s, 6))), 0.1, ""
    except OverflowError:
        return clock


def _wall(at: datetime) -> str:
    return at.isoformat(timespec="milliseconds" if at.microsecond else "seconds")


def _origination(date: str, clock: str) -> datetime | None:
    date_match, clock_match = _DATE.fullmatch(date), _CLOCK.fullmatch(clock)
    if date_match is None or clock_match is None:
        return None
    try:
        return datetime.fromisoformat(f"{'-'.join(date_match.groups())}T{':'.join(clock_match.groups())}")
    except ValueError:
        return None


def _text(raw: bytes) -> str:
    return raw.split(b"\x00", 1)[0].decode("latin-1").strip()


def _read_chunks(file: BinaryIO) -> _Chunks:
    found = _Chunks()
    held = file.seek(0, 2)
    for name, claimed, at in _each_chunk(file):
        size = max(0, min(claimed, held - at))
        file.seek(at)
        if name == b"fmt " and size >= 16:
            rate, bytes_per_s = struct.unpack_from("<II", file.read(16), 4)
            found = found.model_copy(update={"sample_rate_hz": rate or None, "bytes_per_s": bytes_per_s or None})
        elif name == b"bext" and found.bext is None:
            found = found.model_copy(update={"bext": file.read(min(size, _BEXT_FIXED_BYTES))})
        elif name == b"data":
            found = found.model_copy(update={"data_bytes": size})
    return found


def _each_chunk(file: BinaryIO) -> Iterator[tuple[bytes, int, int]]:
    """Yield (name, the size that it claims, where its content starts) of each chunk."""
    held = file.seek(0, 2)
    file.seek(0)
    if file.read(4) not in (b"RIFF", b"RF64", b"BW64"):
        return
    at = 12
    data_size = None
    for _ in range(_MOST_CHUNKS):
        file.seek(at)
        head = file.read(8)
        if len(head) < 8:
            return
        name, size = head[:4], int.from_bytes(head[4:], "little")
        if name == b"ds64":
            data_size = int.from_bytes(file.read(16)[8:16], "little")
        elif name == b"data" and size == _SIZE_ELSEWHERE and data_size is not None:
            size = data_size
        yield name, size, at + 8
        at += 8 + size + size % 2
        if at > held:
            return
