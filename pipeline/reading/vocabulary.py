"""The trade's words, from lists that an engineer edits: parts, acts, findings, units, places and cues."""

import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from pydantic import Field

from pipeline.errors import WrongCommand
from pipeline.reading.forms import word_set
from pipeline.reading.sheets import Row, read_sheet
from pipeline.values import Value

# Source: FAA JASC/ATA-100 system chapters, from memory.
CHAPTERS = word_set(
    "5 6 7 8 9 10 11 12 14 18 20 21 22 23 24 25 26 27 28 29 30 31 32 33 34 35 36 37 38 45 49 51 52 53 54 55 56 57 "
    "61 62 63 64 65 67 71 72 73 74 75 76 77 78 79 80 81 82 83 85"
)
KINDS = word_set(
    "structure control-surface controls undercarriage hydraulic pneumatic fuel powerplant electrical instruments "
    "radio "
    "armament furnishing oxygen safety support-equipment fastener material detail"
)
ZONES = word_set("nose front centre rear tail wing nacelle gear any")
CUE_MEANINGS = word_set(
    "if may perhaps nearly meant-to planned needs plan-time explained history not not-any nobody unable still yet "
    "same "
    "same-as so done-to"
)
_NOTATION = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_STOWAGE = ("rack", "shelf", "box", "bag", "pallet", "stand", "room")
_SCHEMES = ("frame", "station", "rib", "stringer", "spar", "bay", "longeron")


class Part(Value):
    """A part, fastener, material or piece of lifting gear. ``broader`` is a notation or ""."""

    notation: str
    preferred: str
    alternatives: tuple[str, ...] = ()
    kind: str
    gloss: str = ""
    broader: str = ""
    zone: str = "any"
    chapter: str = ""
    symmetrical: bool = False
    per_aircraft: int | None = None


class Act(Value):
    """Something that is done to parts. ``sayings`` are as in acts.csv."""

    notation: str
    preferred: str
    sayings: tuple[str, ...]
    states: tuple[str, ...] = ()
    on_fasteners: str = ""
    gloss: str = ""


class Finding(Value):
    """A condition that is seen. ``good`` is True where the part is as it should be."""

    notation: str
    preferred: str
    nouns: tuple[str, ...] = ()
    adjectives: tuple[str, ...] = ()
    verbs: tuple[str, ...] = ()
    good: bool = False
    gloss: str = ""


class Words(Value):
    """A notation with the words that stand for it (grades, sides, counted things, units, storage, schemes of place).

    ``extra`` holds the list's other columns by name.
    """

    notation: str
    words: tuple[str, ...]
    extra: dict[str, str] = Field(default_factory=dict)


class Verb(Value):
    """An irregular verb: its base form with its past forms and its past participles."""

    verb: str
    past: tuple[str, ...]
    participle: tuple[str, ...]


class Short(Value):
    """A short name that several parts share; "-" first means that nothing is read unless the talk settles it."""

    name: str
    may_be: tuple[str, ...]


class Cue(Value):
    """Words with what they mean for the status of what is said with them."""

    cue: str
    means: str


class StationPoint(Value):
    """Where a frame, rib or station of the type is, in inches from the datum."""

    scheme: str
    at: str
    inches: float
    note: str = ""


class Name(NamedTuple):
    """A name that people say, with what it stands for."""

    text: str
    notation: str
    list: str


_LISTS: dict[str, tuple[str, ...]] = {
    "parts": (
        "notation", "preferred", "alternatives", "kind", "gloss", "broader", "zone", "chapter", "symmetrical", "set",
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
    "stations": ("scheme", "at", "inches", "note"),
}  # fmt: skip


class Vocabulary(Value):
    """All lists together, checked. Each is sorted by its notation, so that equal content is equal."""

    parts: tuple[Part, ...] = ()
    acts: tuple[Act, ...] = ()
    findings: tuple[Finding, ...] = ()
    grades: tuple[Words, ...] = ()
    counted: tuple[Words, ...] = ()
    storage: tuple[Words, ...] = ()
    units: tuple[Words, ...] = ()
    places: tuple[Words, ...] = ()
    sides: tuple[Words, ...] = ()
    verbs: tuple[Verb, ...] = ()
    shorts: tuple[Short, ...] = ()
    cues: tuple[Cue, ...] = ()
    stations: tuple[StationPoint, ...] = Field(default=())

    @cached_property
    def fingerprint(self) -> str:
        """SHA-256 of the content in hexadecimal: the same whatever comments and order the files have."""
        text = json.dumps(self.model_dump(mode="json"), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        return hashlib.sha256(text.encode()).hexdigest()

    @cached_property
    def _part_by_notation(self) -> Mapping[str, Part]:
        return {part.notation: part for part in self.parts}

    @cached_property
    def _words_by_notation(self) -> Mapping[str, tuple[str, str]]:
        found = {words.notation: (words.words[0], "") for words in (*self.counted, *self.grades)}
        found |= {act.notation: (act.preferred, act.gloss) for act in self.acts}
        found |= {finding.notation: (finding.preferred, finding.gloss) for finding in self.findings}
        found |= {part.notation: (part.preferred, part.gloss) for part in self.parts}
        return found

    def part(self, notation: str) -> Part | None:
        """Return the part, or None where the notation is not a part's."""
        return self._part_by_notation.get(notation)

    def preferred(self, notation: str) -> str:
        """Return what the logbook calls it; a notation that is in no list comes back with its hyphens as spaces."""
        return self._words_by_notation.get(notation, (notation.replace("-", " "), ""))[0]

    def gloss(self, notation: str) -> str:
        """Return the plain English for supporters, or "" where there is none."""
        return self._words_by_notation.get(notation, ("", ""))[1]

    def is_a(self, narrow: str, broad: str) -> bool:
        """Tell whether a part is another or, step by step, belongs to it."""
        seen = narrow
        while seen:
            if seen == broad:
                return True
            part = self.part(seen)
            seen = part.broader if part else ""
        return False

    def names(self) -> tuple[Name, ...]:
        """Return every name that people say for a part, an act, a finding or a thing counted, sorted."""
        names = {Name(text, p.notation, "parts") for p in self.parts for text in (p.preferred, *p.alternatives)}
        names |= {Name(short.name, part, "parts") for short in self.shorts for part in short.may_be if part != "-"}
        names |= {Name(text, w.notation, "counted") for w in self.counted for text in w.words}
        for act in self.acts:
            for saying in act.sayings:
                names.add(
                    Name(
                        " ".join(w for w in saying.split() if w[0] not in "~<" and w[-1] != ">"), act.notation, "acts"
                    )
                )
        for finding in self.findings:
            for text in (*finding.nouns, *finding.adjectives, *finding.verbs):
                names.add(Name(text.replace("~ ", ""), finding.notation, "findings"))
        return tuple(sorted(names))


def load_vocabulary(folders: Sequence[Path]) -> Vocabulary:
    """Read and check the lists of all folders.

    Args:
        folders: folders with lists; a line of a later one takes the place of an earlier one with the same notation.

    Raises:
        WrongCommand: something in a list is wrong; the message says in which file and line, and what to do.
    """
    rows: dict[str, dict[str, Row]] = {name: {} for name in _LISTS}
    for folder in folders:
        if not folder.is_dir():
            raise WrongCommand(
                f"{folder}: there is no such vocabulary folder; make it, or take it out of the settings"
            )
        for file in sorted(folder.glob("*.csv")):
            if file.stem not in _LISTS:
                known = ", ".join(f"{name}.csv" for name in _LISTS)
                raise WrongCommand(f"{file}: is not a list that is known; the lists are {known}")
            here: dict[str, Row] = {}
            for row in read_sheet(file, _LISTS[file.stem]):
                key = _key(file.stem, row)
                if key in here:
                    raise row.wrong(f"'{key}' is already on line {here[key].line}; delete one of the two")
                here[key] = row
            rows[file.stem].update(here)
    _check_names(rows)
    _check_broader(rows["parts"])
    return Vocabulary(
        parts=tuple(_part(row) for row in _sorted(rows["parts"])),
        acts=tuple(_act(row, rows["acts"]) for row in _sorted(rows["acts"])),
        findings=tuple(_finding(row) for row in _sorted(rows["findings"])),
        grades=tuple(_words(row, ("light", "moderate", "heavy")) for row in _sorted(rows["grades"])),
        counted=tuple(_words(row) for row in _sorted(rows["counted"])),
        storage=tuple(_words(row, _STOWAGE) for row in _sorted(rows["storage"])),
        units=tuple(_words(row) for row in _sorted(rows["units"])),
        places=tuple(_words(row, _SCHEMES) for row in _sorted(rows["places"])),
        sides=tuple(_words(row, ("port", "starboard", "both")) for row in _sorted(rows["sides"])),
        verbs=tuple(_verb(row) for row in _sorted(rows["verbs"])),
        shorts=tuple(_short(row, rows["parts"]) for row in _sorted(rows["shorts"])),
        cues=tuple(_cue(row) for row in _sorted(rows["cues"])),
        stations=tuple(_station(row) for row in _sorted(rows["stations"])),
    )


def _key(name: str, row: Row) -> str:
    if name == "stations":
        return f"{row.cells['scheme']} {row.cells['at']}"
    key = row.cells[_LISTS[name][0]]
    if name in ("parts", "acts", "findings", "counted") and not _NOTATION.fullmatch(key):
        raise row.wrong(f"the notation '{key}' may have small letters, figures and single hyphens only")
    return key


def _sorted(rows: Mapping[str, Row]) -> list[Row]:
    return [rows[key] for key in sorted(rows)]


def _split(cell: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for text in (" ".join(part.split()).lower() for part in cell.split("|")) if text))


def _one_of(row: Row, column: str, allowed: Iterable[str], may_be_empty: bool = False) -> str:
    value = row.cells[column]
    if value in allowed or (may_be_empty and not value):
        return value
    raise row.wrong(f"'{value}' in the column '{column}' is not one of {', '.join(sorted(allowed))}")


def _needed(row: Row, column: str) -> str:
    if not row.cells[column]:
        raise row.wrong(f"the column '{column}' is empty; fill it in")
    return row.cells[column]


def _yes(row: Row, column: str) -> bool:
    return _one_of(row, column, ("yes", "no"), may_be_empty=True) == "yes"


def _part(row: Row) -> Part:
    cells = row.cells
    chapter = cells["chapter"]
    if chapter and chapter.lstrip("0") not in CHAPTERS:
        raise row.wrong(
            f"'{chapter}' is not a system chapter; give its two figures (27 is flight controls) or nothing"
        )
    if cells["set"] and not (cells["set"].isdigit() and int(cells["set"])):
        raise row.wrong(f"'{cells['set']}' in the column 'set' is not a whole number above nought")
    return Part(
        notation=cells["notation"],
        preferred=_needed(row, "preferred"),
        alternatives=_split(cells["alternatives"]),
        kind=_one_of(row, "kind", KINDS),
        gloss=cells["gloss"],
        broader=cells["broader"],
        zone=_one_of(row, "zone", ZONES, may_be_empty=True) or "any",
        chapter=chapter,
        symmetrical=_yes(row, "symmetrical"),
        per_aircraft=int(cells["set"]) if cells["set"] else None,
    )


def _act(row: Row, acts: Mapping[str, Row]) -> Act:
    return Act(
        notation=row.cells["notation"],
        preferred=_needed(row, "preferred"),
        sayings=_split(_needed(row, "alternatives")),
        states=_split(row.cells["states"]),
        on_fasteners=_one_of(row, "on_fasteners", acts, may_be_empty=True),
        gloss=row.cells["gloss"],
    )


def _finding(row: Row) -> Finding:
    nouns, adjectives, verbs = (_split(row.cells[c]) for c in ("nouns", "adjectives", "verbs"))
    if not (nouns or adjectives or verbs):
        raise row.wrong("has no words; fill in 'nouns', 'adjectives' or 'verbs'")
    return Finding(
        notation=row.cells["notation"],
        preferred=_needed(row, "preferred"),
        nouns=nouns,
        adjectives=adjectives,
        verbs=verbs,
        good=_yes(row, "good"),
        gloss=row.cells["gloss"],
    )


def _words(row: Row, allowed: Iterable[str] = ()) -> Words:
    if allowed:
        _one_of(row, "notation", allowed)
    extra = {k: v for k, v in row.cells.items() if k not in ("notation", "words")}
    return Words(notation=row.cells["notation"], words=_split(_needed(row, "words")), extra=extra)


def _verb(row: Row) -> Verb:
    past, participle = _split(_needed(row, "past")), _split(_needed(row, "participle"))
    return Verb(verb=row.cells["verb"], past=past, participle=participle)


def _short(row: Row, parts: Mapping[str, Row]) -> Short:
    may_be = _split(_needed(row, "may_be"))
    for notation in may_be:
        if notation != "-" and notation not in parts:
            raise row.wrong(f"'{notation}' is in no parts.csv; add it there or take it out here")
    return Short(name=row.cells["name"].lower(), may_be=may_be)


def _cue(row: Row) -> Cue:
    return Cue(cue=row.cells["cue"].lower(), means=_one_of(row, "means", CUE_MEANINGS))


def _station(row: Row) -> StationPoint:
    try:
        inches = float(row.cells["inches"])
    except ValueError:
        raise row.wrong(f"'{row.cells['inches']}' in the column 'inches' is not a number") from None
    return StationPoint(
        scheme=_one_of(row, "scheme", _SCHEMES), at=row.cells["at"], inches=inches, note=row.cells["note"]
    )


def _check_names(rows: Mapping[str, Mapping[str, Row]]) -> None:
    """Raise where one name is claimed by two parts; a short name may stand with those that it may be."""
    shorts = {row.cells["name"].lower(): _split(row.cells["may_be"]) for row in rows["shorts"].values()}
    owners: dict[str, Row] = {}
    for row in rows["parts"].values():
        for name in dict.fromkeys((row.cells["preferred"].lower(), *_split(row.cells["alternatives"]))):
            other = owners.setdefault(name, row)
            if other is not row:
                raise row.wrong(
                    f"the name '{name}' of '{row.cells['notation']}' already belongs to '{other.cells['notation']}' "
                    f"({other.file.name}, line {other.line}); take it out of one, or list it in shorts.csv"
                )
            if name in shorts and row.cells["notation"] not in shorts[name]:
                raise row.wrong(
                    f"the name '{name}' is in shorts.csv for other parts; add '{row.cells['notation']}' there"
                )
    for part in _LISTS:
        if part not in ("acts", "counted", "units", "storage", "sides", "grades"):
            continue
        column = "alternatives" if part == "acts" else "words"
        claimed: dict[str, Row] = {}
        for row in rows[part].values():
            for name in _split(row.cells[column]):
                other = claimed.setdefault(name, row)
                if other is not row:
                    raise row.wrong(
                        f"'{name}' already stands for '{other.cells['notation']}' "
                        f"({other.file.name}, line {other.line}); take it out of one"
                    )


def _check_broader(parts: Mapping[str, Row]) -> None:
    for notation, row in parts.items():
        seen = [notation]
        while above := parts[seen[-1]].cells["broader"]:
            if above not in parts:
                raise parts[seen[-1]].wrong(
                    f"the broader part '{above}' is in no parts.csv; add it or leave it empty"
                )
            if above in seen:
                raise row.wrong(f"the broader parts go round in a loop: {' > '.join([*seen, above])}; break it")
            seen.append(above)
