"""Everything that is wrong with a vocabulary, each with file and line: what ``saidseen vocab check`` tells."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from pipeline.errors import WrongCommand
from pipeline.trade.faults import disagreements
from pipeline.trade.lists import Rows, names_of_part, read_lists, said_as, with_own_names
from pipeline.trade.rows import ENTRIES
from pipeline.trade.sound_alikes import sound_alikes

_EXPLAINED = ("parts", "acts", "findings")


class Checked(NamedTuple):
    """What a check found: ``faults`` must be mended, ``warnings`` should be known. Each begins with file and line."""

    faults: tuple[str, ...]
    warnings: tuple[str, ...]


def check_vocabulary(folders: Sequence[Path]) -> Checked:
    """Check the lists of all folders, and go on after a fault.

    Args:
        folders: folders with lists; a line of a later one takes the place of an earlier one with the same notation.

    Returns:
        Faults: what cannot be read, rows that are wrong in themselves, names claimed twice, loops, notations that no
        list has, empty glosses. Warnings: names that a later folder's parts take from others; names of different
        parts that sound alike.

    Raises:
        WrongCommand: a folder is not there.
    """
    lists = read_lists(folders)
    rows = with_own_names(lists.rows, folders)
    faults = [str(fault) for fault in (*lists.faults, *_wrong_rows(rows), *disagreements(rows))]
    faults += [str(fault) for fault in _not_explained(rows)]
    return Checked(tuple(dict.fromkeys(faults)), (*_taken_over(lists.rows, rows), *_sounding_alike(rows)))


def _wrong_rows(rows: Rows) -> Iterator[WrongCommand]:
    for name, make in ENTRIES.items():
        for row in rows[name].values():
            try:
                make(row, rows)
            except WrongCommand as fault:
                yield fault


def _not_explained(rows: Rows) -> Iterator[WrongCommand]:
    for name in _EXPLAINED:
        for row in rows[name].values():
            if not row.cells["gloss"]:
                yield row.wrong("the column 'gloss' is empty; say in one plain sentence what it is, for supporters")


def _taken_over(before: Rows, after: Rows) -> Iterator[str]:
    """Yield the names that parts of a later folder have taken from those that had them before."""
    owners = {said_as(name): row for row in after["parts"].values() for name in names_of_part(row)}
    taken = [
        (name, f"of '{notation}' ({row.file.name}, line {row.line})")
        for notation, row in before["parts"].items()
        for name in names_of_part(row)
        if name not in names_of_part(after["parts"][notation])
    ]
    taken += [
        (name, f"a short name ({row.file.name}, line {row.line})")
        for name, row in before["shorts"].items()
        if name not in after["shorts"]
    ]
    for name, once in taken:
        own = owners[said_as(name)]
        yield f"{own.file}, line {own.line}: '{name}' is a name of '{own.cells['notation']}' now, and no more {once}"


def _sounding_alike(rows: Rows) -> Iterator[str]:
    parts = rows["parts"]
    names = [(name, notation) for notation, row in parts.items() for name in names_of_part(row)]
    for pair in sound_alikes(names):
        row, other = parts[pair.part], parts[pair.other_part]
        yield (
            f"{row.file}, line {row.line}: '{pair.name}' sounds like '{pair.other}' of '{pair.other_part}' "
            f"({other.file.name}, line {other.line}): {pair.alike:.2f} of 1"
        )
