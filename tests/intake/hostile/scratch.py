"""Where parsers find what they are given as a file: in memory, where the system has such a place."""

import os
import tempfile
from functools import cache
from pathlib import Path


@cache
def scratch() -> Path:
    """Return a folder of this process's own."""
    memory = Path("/dev/shm")
    return Path(tempfile.mkdtemp(dir=memory if memory.is_dir() else None))


def file_of(name: str, raw: bytes) -> Path:
    """Write a file of these bytes, over the one before of the same name."""
    path = scratch() / f"{os.getpid()}-{name}"
    path.write_bytes(raw)
    return path


def text_of(raw: bytes) -> str:
    """Return bytes as text, whatever they are."""
    return raw.decode("utf-8", "replace")
