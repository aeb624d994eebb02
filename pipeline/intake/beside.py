"""Files that are written beside and then moved into place."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def beside(to: Path) -> Iterator[Path]:
    """Give the name of a file to write, which is moved to ``to`` at the end, or removed if that goes wrong."""
    part = to.with_name(f".{to.name}.part")  # not a private temporary file: the copy is for all who read the book
    part.unlink(missing_ok=True)  # what a run that was killed left: its decoder may still have it open
    try:
        yield part
        part.replace(to)
    finally:
        part.unlink(missing_ok=True)
