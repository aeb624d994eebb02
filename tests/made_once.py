"""A book that several tests begin with: run once, and put back where it was, as it was, for each of them."""

import shutil
from dataclasses import dataclass
from pathlib import Path

from tests.originals_guard import Guard


@dataclass(frozen=True)
class MadeOnce:
    """A folder in which ``media`` lie beside a book, and a copy of it that no test changes."""

    home: Path
    kept: Path

    @classmethod
    def of(cls, home: Path) -> "MadeOnce":
        """Keep a folder as it is now."""
        return cls(home, shutil.copytree(home, home.with_name(f"{home.name}-as-made")))

    def again(self, originals: Guard) -> Path:
        """Put everything back, file times and all, and have its media watched as if a run had just taken them in."""
        shutil.rmtree(self.home)
        shutil.copytree(self.kept, self.home)
        for path in (self.home / "media").rglob("*"):
            originals.protect(path)
        return self.home
