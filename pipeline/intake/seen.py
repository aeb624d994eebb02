"""What there is to take in: every file in the places that a run looks in, but for what books keep for themselves."""

import os
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pipeline.book import books_above, own_files
from pipeline.intake.walk import SetAsidePath, walk
from pipeline.values import FileSeen


@dataclass(frozen=True)
class Walked:
    """What the walk found: paths given now, all places looked in, files, and what cannot be taken in."""

    given: tuple[str, ...]
    places: tuple[str, ...]
    files: tuple[FileSeen, ...]
    aside: tuple[SetAsidePath, ...]

    @property
    def nothing_in(self) -> tuple[str, ...]:
        """Those of the paths given now in which there is no file at all to take in."""
        there = (place for place in self.given if Path(place).exists())  # one may have gone since
        return tuple(place for place in there if next(walk([Path(place)]), None) is None)


def look_around(paths: Sequence[Path], earlier: Collection[str]) -> Walked:
    """Walk the given paths, and those of earlier runs that are there.

    Raises:
        WrongCommand: one of the given paths does not exist.
    """
    given = tuple(dict.fromkeys(str(path.absolute()) for path in paths))  # the first that is missing is told first
    found = list(walk([Path(place) for place in (*given, *filter(os.path.exists, earlier))]))
    files = [one for one in found if isinstance(one, FileSeen)]
    in_book = cache(lambda folder: bool(books_above(Path(folder))))
    in_books = (Path(one.path) for one in files if in_book(os.path.dirname(one.path)))  # noqa: PTH120 - quicker
    own = {str(path) for path in own_files(in_books)}
    return Walked(
        tuple(sorted(given)),
        tuple(sorted({*given, *earlier})),
        tuple(file for file in files if file.path not in own),
        tuple(one for one in found if isinstance(one, SetAsidePath)),
    )
