"""A part added to a book's own vocabulary, checked against everything that is known already."""

import csv
import io
import re
from collections.abc import Sequence, Set
from pathlib import Path
from typing import NamedTuple

from pipeline.errors import WrongCommand
from pipeline.reading.vocabulary import Vocabulary
from pipeline.trade.entries import Part, Words
from pipeline.trade.lists import LISTS, is_notation, read_lists, said_as
from pipeline.trade.rows import KINDS

_NO_NAMES = {
    "counted": "what fasteners or people are counted by",
    "storage": "what things are kept in",
    "sides": "a side",
    "units": "a unit of measure",
    "grades": "how bad something is",
}
"""Lists whose words are no names of parts, with what such a word is."""
_HEAD = "# This team's own parts, beyond the common ones. Columns as in the program's own vocab/base/parts.csv.\n"


class NewPart(NamedTuple):
    """What is said of a part to be added; what is left empty follows from the broader part.

    ``broader`` is any name of that part, or its notation.
    """

    name: str
    broader: str = ""
    alternatives: tuple[str, ...] = ()
    gloss: str = ""
    kind: str = ""
    zone: str = ""
    chapter: str = ""
    symmetrical: bool = False


def row_of(vocabulary: Vocabulary, new: NewPart) -> dict[str, str]:
    """Make the row of a new part for parts.csv.

    Args:
        vocabulary: everything that is known already.
        new: the part; its notation is made from its name.

    Returns:
        The cells by column.

    Raises:
        WrongCommand: a name cannot be the part's, because of what it stands for already; the broader part is in no
            list, or may be several; or something is missing.
    """
    return _row(vocabulary, new, own=frozenset())


def _row(vocabulary: Vocabulary, new: NewPart, own: Set[str]) -> dict[str, str]:
    """Make the row of a new part, with the notations of the book's own parts, whose names are not taken from them."""
    names = [_plain(name) for name in (new.name, *new.alternatives)]
    notation = re.sub(r"[^a-z0-9]+", "-", names[0].lower().replace("'", "")).strip("-")
    if not is_notation(notation):
        raise WrongCommand(f"'{new.name}' has no letters or figures to make a notation of. Give the part a name.")
    if vocabulary.part(notation):
        raise WrongCommand(f"There is a part '{notation}' already: \"{vocabulary.preferred(notation)}\".")
    above = _part_called(vocabulary, new.broader) if new.broader else None
    broader = above.notation if above else ""
    for name in names:
        _refuse_name_of_another(vocabulary, name, broader, own=None if name == names[0] else own)
        _refuse_word_of_another_list(vocabulary, name, may_be_short=name != names[0])
    kind = new.kind or (above.kind if above else "structure")
    if kind not in KINDS:
        raise WrongCommand(f"'{kind}' is not a kind of part. The kinds are {', '.join(sorted(KINDS))}.")
    chapter = new.chapter or (above.chapter if above else "")
    if chapter and chapter not in {one.chapter for one in vocabulary.chapters}:
        raise WrongCommand(f"'{chapter}' is not a system chapter. Give its two figures (27 is flight controls).")
    zone = new.zone or (above.zone if above else "any")
    if zone not in {"any", *(one.notation for one in vocabulary.zones)}:
        raise WrongCommand(
            f"'{zone}' is not a zone. The zones are {', '.join(z.notation for z in vocabulary.zones)}."
        )
    gloss = new.gloss or (f"A part of the {above.preferred}." if above else "")
    if not gloss:
        raise WrongCommand(
            f'Say what "{names[0]}" is, for supporters: --gloss "…"; or what it is a part of: --broader.'
        )
    cells = dict.fromkeys(LISTS["parts"], "")
    return cells | {
        "notation": notation,
        "preferred": names[0],
        "alternatives": "|".join(dict.fromkeys(names[1:])),
        "kind": kind,
        "gloss": gloss,
        "broader": broader,
        "zone": zone,
        "chapter": chapter,
        "symmetrical": "yes" if new.symmetrical else "no",
    }


def add_part(folder: Path, vocabulary: Vocabulary, new: NewPart) -> tuple[Path, int, str]:
    """Add a part to the list of parts in a folder; the list is made where there is none.

    Names that were other names of the part that it belongs to ("elevator cable" of the control cable) are taken over:
    that part gets a line of its own in the list, without them. Further names of the new part may be other names of
    any part of the program's own lists, or short ones: in this book they are the new part's from now on.

    Args:
        folder: the book's own vocabulary.
        vocabulary: everything that is known already, the folder's own lists included.
        new: the part.

    Returns:
        The file, the line of the new row, and the part's notation.

    Raises:
        WrongCommand: the part is refused, or the list has no column for what is said of it.
    """
    own = read_lists([folder]).rows["parts"].keys() if folder.is_dir() else frozenset[str]()
    row = _row(vocabulary, new, own)
    above = _without_names(vocabulary, row)
    file = folder / "parts.csv"
    text = file.read_text(encoding="utf-8-sig") if file.exists() else _HEAD + ",".join(LISTS["parts"]) + "\n"
    text += "" if text.endswith("\n") else "\n"
    head = next(
        next(csv.reader([line]))
        for line in text.splitlines()
        if line.strip(" ,") and not line.lstrip().startswith("#")
    )
    columns = [column.strip() for column in head]
    needed = {**row, **{column: cell for column, cell in above.items() if cell}}
    missing = [column for column, cell in needed.items() if cell and column not in columns]
    if missing:
        raise WrongCommand(f"{file}: has no column '{missing[0]}'; add it to its line of column names")
    if above:
        text = _without_line_of(text, above["notation"], columns)
    line = io.StringIO()
    rows = [one for one in (above, row) if one]
    csv.writer(line, lineterminator="\n").writerows([[one.get(column, "") for column in columns] for one in rows])
    folder.mkdir(parents=True, exist_ok=True)
    beside = file.with_name("parts.csv.new")
    beside.write_text(text + line.getvalue(), encoding="utf-8")
    beside.replace(file)
    return file, len((text + line.getvalue()).splitlines()), row["notation"]


def _without_names(vocabulary: Vocabulary, row: dict[str, str]) -> dict[str, str]:
    """Return the row of the part that a new one belongs to without the names that are taken over; {} for none."""
    above = vocabulary.part(row["broader"])
    taken = {said_as(name) for name in (row["preferred"], *row["alternatives"].split("|")) if name}
    if above is None or not taken & {said_as(name) for name in above.alternatives}:
        return {}
    return dict.fromkeys(LISTS["parts"], "") | {
        "notation": above.notation,
        "preferred": above.preferred,
        "alternatives": "|".join(name for name in above.alternatives if said_as(name) not in taken),
        "kind": above.kind,
        "gloss": above.gloss,
        "broader": above.broader,
        "zone": above.zone,
        "chapter": above.chapter,
        "symmetrical": "yes" if above.symmetrical else "no",
        "set": str(above.per_aircraft or ""),
    }


def _without_line_of(text: str, notation: str, columns: list[str]) -> str:
    """Return a list without the line of a part: another takes its place."""
    at = columns.index("notation")
    kept = []
    for line in text.splitlines(keepends=True):
        cells = next(csv.reader([line]), []) if not line.lstrip().startswith("#") else []
        if len(cells) <= at or cells[at].strip() != notation:
            kept.append(line)
    return "".join(kept)


def _plain(name: str) -> str:
    plain = " ".join(name.split())
    if not plain or any(mark in plain for mark in '|"#<>~'):
        raise WrongCommand(f"'{name}' cannot be a name: write it in words, without | \" # < > ~.")
    return plain


def _part_called(vocabulary: Vocabulary, name: str) -> Part:
    """Return the one part that has a notation or a name.

    Raises:
        WrongCommand: there is none, or the name is a short one that several parts share.
    """
    said = said_as(name)
    shared = next((short.may_be for short in vocabulary.shorts if said_as(short.name) == said), ())
    may_be = [part for part in shared if part != "-"]
    if len(may_be) > 1 and vocabulary.part(name) is None:
        raise WrongCommand(f"'{name}' may be {', '.join(may_be)}: say which of them with --broader.")
    called = vocabulary.part(name) or _owners(vocabulary).get(said) or vocabulary.part("".join(may_be))
    if called is None:
        raise WrongCommand(
            f"There is no part '{name}' that it could belong to. "
            "Give any name of it, or leave --broader out if it belongs to none."
        )
    return called


def _owners(vocabulary: Vocabulary) -> dict[tuple[str, ...], Part]:
    return {said_as(name): part for part in vocabulary.parts for name in (part.preferred, *part.alternatives)}


def _refuse_name_of_another(vocabulary: Vocabulary, name: str, broader: str, own: Set[str] | None) -> None:
    """Refuse a name that belongs to another part.

    Args:
        vocabulary: everything that is known already.
        name: a name of the new part.
        broader: the notation of the part that it belongs to, whose other names it may take over; or "".
        own: the book's own parts: another name of any other part may be taken over too. None for what the part is
            called in the first place.
    """
    said = said_as(name)
    owner = _owners(vocabulary).get(said)
    if owner is not None:
        other_name = said != said_as(owner.preferred)
        outranked = own is not None and owner.notation not in own
        if not (other_name and (owner.notation == broader or outranked)):
            raise WrongCommand(
                f"The name \"{name}\" belongs to the part '{owner.notation}' ({owner.preferred}) already. "
                f"Choose another name, use that part, or add what is narrower with --broader {owner.notation}."
            )
    taught = [one for one in vocabulary.taught if one.part and said_as(one.means) == said]
    if taught:
        raise WrongCommand(
            f"\"{name}\" was taught as a name of '{taught[0].part}', in taught.csv. Take that line out first."
        )


def _refuse_word_of_another_list(vocabulary: Vocabulary, name: str, may_be_short: bool) -> None:
    """Refuse a word that means something else than a part; a short name may be one of a part's other names."""
    said = said_as(name)
    for short in vocabulary.shorts:
        if said_as(short.name) == said and not may_be_short:
            raise WrongCommand(
                f'"{name}" is a short name for {", ".join(p for p in short.may_be if p != "-")}. '
                f"Give the part a longer name; the short one may be another name of it (--also)."
            )
    for kind, is_what in _NO_NAMES.items():
        words: Sequence[Words] = getattr(vocabulary, kind)
        if any(said_as(word) == said for one in words for word in one.words):
            raise WrongCommand(f'"{name}" is {is_what}. Choose another name.')
