"""Files read in chunks: their hashes, and copies that are hashed while they are made. No file is held whole."""

import hashlib
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pipeline.runner import Progress

_CHUNK_BYTES = 1 << 20
_MB = 1_000_000
ALGORITHMS = ("sha256", "sha512")
"""What our bags use. Source: RFC 8493, section 2.4: SHA-512 should be there, SHA-256 is known to all."""


class Meter:
    """Tells a run's progress how many bytes have been read; silent without one."""

    def __init__(self, progress: "Progress | None" = None) -> None:
        self._progress = progress

    def begin(self, doing: str, size: int) -> None:
        """Begin a step with so many bytes to read."""
        if self._progress is not None:
            self._progress.begin(doing, size / _MB, "MB")

    def read(self, size: int) -> None:
        """Tell that so many bytes were read."""
        if self._progress is not None:
            self._progress.advance(size / _MB)


SILENT = Meter()


def hash_bytes(content: bytes, algorithm: str = "sha256") -> str:
    """Return a hash in hexadecimal."""
    return hashlib.new(algorithm, content, usedforsecurity=False).hexdigest()


def hash_path(path: Path, algorithms: Sequence[str] = ("sha256",), meter: Meter = SILENT) -> dict[str, str]:
    """Return a file's hashes in hexadecimal by algorithm, reading it once; raises OSError."""
    sums = {name: hashlib.new(name, usedforsecurity=False) for name in algorithms}
    for chunk in _chunks(path, meter):
        for one in sums.values():
            one.update(chunk)
    return {name: one.hexdigest() for name, one in sums.items()}


def copy_hashed(source: Path, target: Path, meter: Meter = SILENT) -> tuple[dict[str, str], int]:
    """Copy a file with its time, and return the hashes and the size of what was copied; raises OSError.

    The source is opened for reading only. The copy is on the disk when this returns.
    """
    sums = {name: hashlib.new(name) for name in ALGORITHMS}
    size = 0
    with target.open("xb") as copy:
        for chunk in _chunks(source, meter):
            copy.write(chunk)
            size += len(chunk)
            for one in sums.values():
                one.update(chunk)
        copy.flush()
        os.fsync(copy.fileno())
    seen = source.stat()
    os.utime(target, ns=(seen.st_mtime_ns, seen.st_mtime_ns))  # a file's time may be all that dates it
    return {name: one.hexdigest() for name, one in sums.items()}, size


def write_synced(path: Path, content: bytes) -> None:
    """Write a new file; it is on the disk when this returns. Raises OSError, also where there is such a file."""
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Bring a folder's list of files to the disk, where the system knows how."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _chunks(path: Path, meter: Meter) -> Iterator[bytes]:
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            meter.read(len(chunk))
            yield chunk
