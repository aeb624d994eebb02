"""The lists of the vocabulary as they lie in folders: read into rows that know their file and line."""

import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from pipeline.errors import WrongCommand
from pipeline.reading.forms import singular, words_of
from pipeline.reading.sheets import Row, read_sheet

LISTS: dict[str, tuple[str, ...]] = {
    "parts": (
        "notation", "preferred", "alternatives", "kind", "gloss", "broader", "zone", "chapter", "symmetrical", "set",
        "pins",
    ),
    "acts": ("notation", "preferred", "alternatives", "states", "on_fasteners", "gloss"),
    "findings": ("notation", "preferred", "nouns", "adjectives", "verbs", "good", "gloss"),
    "grades": ("notation", "words"),
    "counted": ("notation", "words", "fastener"),
    "storage": ("notation", "words", "act", "named"),
    "units": ("notation", "words", "factor"),
    "places": ("notation", "words", "names"),
    "sides": ("notation", "words"),
    "verbs": ("verb", "past", "participle"),
    "shorts": ("name", "may_be"),
    "cues": ("cue", "means"),
    "spellings": ("said", "means"),
    "stations": ("scheme", "at", "inches", "mm", "from", "strong", "note"),
    "outline": ("shape", "view", "kind", "part", "zone", "symmetry", "inches", "mm"),
    "joints": ("part", "joins", "fasteners", "count", "about", "services", "held_up"),
    "sets": ("part", "number", "of"),
    "order": ("rule", "act", "part", "before_act", "before_part", "why", "source"),
    "holds": ("hold", "name", "after", "kinds", "parts", "place", "why", "source"),
    "taught": ("heard", "means", "part"),
    "chapters": ("chapter", "title"),
    "zones": ("notation", "preferred", "major", "gloss"),
    "rules": (
        "notation", "kind", "acts", "items", "kinds", "findings", "words", "answers", "by", "text", "reason",
        "source",
    ),
}  # fmt: skip
_NOTATION = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_WITH_NOTATION = ("parts", "acts", "findings", "counted", "zones", "order", "holds", "rules", "outline")

_COMMON = "common list"  # told with the name of a part of which a book has taken every name
Rows = Mapping[str, Mapping[str, Row]]
"""For each list, its rows by key; a row of a later folder has taken the place of an earlier one with the same key."""


class Lists(NamedTuple):
    """What was read: the rows, and what is wrong with the files themselves."""

    rows: Rows
    faults: tuple[WrongCommand, ...]


def read_lists(folders: Sequence[Path]) -> Lists:
    """Read the lists of all folders.

    Args:
        folders: folders with lists; a line of a later one takes the place of an earlier one with the same key.

    Returns:
        Every row that can be read, and a fault for every file that cannot be read further and for every key that a
        file gives twice.

    Raises:
        WrongCommand: a folder is not there.
    """
    rows: dict[str, dict[str, Row]] = {name: {} for name in LISTS}
    faults: list[WrongCommand] = []
    for folder in folders:
        if not folder.is_dir():
            raise WrongCommand(
                f"{folder}: there is no such vocabulary folder; make it, or take it out of the settings"
            )
        for file in sorted(folder.glob("*.csv")):
            if file.stem not in LISTS:
                known = ", ".join(f"{name}.csv" for name in LISTS)
                faults.append(WrongCommand(f"{file}: is not a list that is known; the lists are {known}"))
                continue
            rows[file.stem].update(_read(file, faults))
    return Lists(rows, tuple(faults))


def with_own_names(rows: Rows, folders: Sequence[Path]) -> Rows:
    """Return the rows; a name of a part of a later folder is no name of a part of an earlier one any more.

    Nor is it a short name for others; a part that is left without its first name is called by the next one. So a
    team's own "jet pipe" stays what it is when the program's lists learn that name for another part, and a
    helicopter's "damper" is that of its rotor.
    """
    rank = {folder: number for number, folder in enumerate(folders)}
    named: dict[tuple[str, ...], int] = {}
    notations: dict[tuple[str, ...], set[str]] = {}
    for row in rows["parts"].values():
        for name in names_of_part(row):
            named[said_as(name)] = max(rank[row.file.parent], named.get(said_as(name), 0))
            notations.setdefault(said_as(name), set()).add(row.cells["notation"])

    def own(row: Row) -> Row:
        names = names_of_part(row)
        kept = [name for name in names if named[said_as(name)] == rank[row.file.parent]]
        if len(kept) == len(names):
            return row
        called = row.cells["preferred"]
        if called.lower() not in kept:
            called = kept[0] if kept else f"{called} ({_COMMON})"
        others = "|".join(name for name in kept if name != called.lower())
        return row._replace(cells=row.cells | {"preferred": called, "alternatives": others})

    def still_short(row: Row) -> bool:
        said = said_as(row.cells["name"])
        outranked = named.get(said, -1) > rank[row.file.parent]
        return not outranked or bool(notations[said] & set(split(row.cells["may_be"])))

    return {
        **rows,
        "parts": {notation: own(row) for notation, row in rows["parts"].items()},
        "shorts": {name: row for name, row in rows["shorts"].items() if still_short(row)},
    }


def said_as(name: str) -> tuple[str, ...]:
    """Return the words of a name as the reader looks them up: in small letters, each in the singular."""
    return tuple(singular(word) for word in words_of(name))


def _read(file: Path, faults: list[WrongCommand]) -> dict[str, Row]:
    here: dict[str, Row] = {}
    try:
        for row in read_sheet(file, LISTS[file.stem]):
            key = _key(file.stem, row)
            if key in here:
                faults.append(row.wrong(f"'{key}' is already on line {here[key].line}; delete one of the two"))
            elif file.stem in _WITH_NOTATION and not is_notation(key):
                faults.append(
                    row.wrong(f"the notation '{key}' may have small letters, figures and single hyphens only")
                )
            else:
                here[key] = row
    except WrongCommand as fault:
        faults.append(fault)
    return here


def _key(name: str, row: Row) -> str:
    if name == "stations":
        return f"{row.cells['scheme']} {row.cells['at']}"
    return row.cells[LISTS[name][0]]


def is_notation(text: str) -> bool:
    """Tell whether a text may be a notation: small letters and figures, with single hyphens between."""
    return bool(_NOTATION.fullmatch(text))


def split(cell: str) -> tuple[str, ...]:
    """Return what a cell lists with "|" between, in small letters and with single spaces, each once."""
    return tuple(dict.fromkeys(text for text in (" ".join(part.split()).lower() for part in cell.split("|")) if text))


def names_of_part(row: Row) -> tuple[str, ...]:
    """Return all names in a row of parts.csv, the preferred one first."""
    return tuple(dict.fromkeys((row.cells["preferred"].lower(), *split(row.cells["alternatives"]))))


def one_of(row: Row, column: str, allowed: Iterable[str], may_be_empty: bool = False) -> str:
    """Return a cell that must be one of a few words.

    Raises:
        WrongCommand: it is not.
    """
    value = row.cells[column]
    if value in allowed or (may_be_empty and not value):
        return value
    raise row.wrong(f"'{value}' in the column '{column}' is not one of {', '.join(sorted(allowed))}")


def needed(row: Row, column: str) -> str:
    """Return a cell that must not be empty.

    Raises:
        WrongCommand: it is empty.
    """
    if not row.cells[column]:
        raise row.wrong(f"the column '{column}' is empty; fill it in")
    return row.cells[column]


def yes(row: Row, column: str) -> bool:
    """Return whether a cell says "yes".

    Raises:
        WrongCommand: it says neither "yes" nor "no", and is not empty.
    """
    return one_of(row, column, ("yes", "no"), may_be_empty=True) == "yes"


def whole_number(row: Row, column: str) -> int | None:
    """Return the whole number in a cell, None where the cell is empty.

    Raises:
        WrongCommand: it is no whole number above nought.
    """
    cell = row.cells[column]
    if cell and not (cell.isdecimal() and int(cell)):
        raise row.wrong(f"'{cell}' in the column '{column}' is not a whole number above nought")
    return int(cell) if cell else None
