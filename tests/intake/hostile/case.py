"""What one hostile file is."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Case:
    """One file (or link, or pipe) of the corpus: its family, its name, and its content or what makes it.

    What makes it gets the path to make, and may make other things beside it.
    """

    family: str
    name: str
    content: bytes | Callable[[Path], object]

    def make(self, folder: Path) -> Path:
        """Make it in a folder of its family."""
        path = folder / self.family / self.name
        path.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(self.content, bytes):
            path.write_bytes(self.content)
        else:
            self.content(path)
        return path
