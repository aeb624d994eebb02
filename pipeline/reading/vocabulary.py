"""The trade's words, from lists that an engineer edits: parts, acts, findings, units, places and cues."""

import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any, Self

from pipeline.reading.forms import singular, words_of
from pipeline.trade.entries import (
    Act,
    Chapter,
    Cue,
    Finding,
    HoldRule,
    Joint,
    Name,
    OrderRule,
    Outline,
    Part,
    PartSet,
    Rule,
    Short,
    Spelling,
    StationPoint,
    Taught,
    Verb,
    Words,
    Zone,
)
from pipeline.trade.faults import disagreements
from pipeline.trade.lists import read_lists, with_own_names
from pipeline.trade.rows import ENTRIES
from pipeline.values import Value

__all__ = [
    "Act",
    "Cue",
    "Finding",
    "Name",
    "Part",
    "Short",
    "Spelling",
    "StationPoint",
    "Verb",
    "Vocabulary",
    "Words",
    "load_vocabulary",
]


_FEW = 5  # parts that one noun may stand for though none akin to it was named
_NOT_READ_WITH: dict[str, Any] = {
    "order": True,
    "holds": True,
    "rules": True,
    "outline": True,
    "stations": {"__all__": {"strong"}},
}
"""Lists and columns that no reading depends on: with a change of these, nothing is read again."""


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
    spellings: tuple[Spelling, ...] = ()
    stations: tuple[StationPoint, ...] = ()
    outline: tuple[Outline, ...] = ()
    joints: tuple[Joint, ...] = ()
    sets: tuple[PartSet, ...] = ()
    taught: tuple[Taught, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    zones: tuple[Zone, ...] = ()
    order: tuple[OrderRule, ...] = ()
    holds: tuple[HoldRule, ...] = ()
    rules: tuple[Rule, ...] = ()

    def __copy__(self) -> Self:
        """Copy the lists and nothing that was worked out from them: a copy may be given others."""
        copied = super().__copy__()
        for name in copied.__dict__.keys() - type(self).model_fields.keys():
            del copied.__dict__[name]
        return copied

    def __hash__(self) -> int:
        """Return a hash that costs nothing the second time: what depends on all lists is kept by the vocabulary."""
        return hash(self.fingerprint)

    @cached_property
    def fingerprint(self) -> str:
        """SHA-256 of what is read with, in hexadecimal: the same whatever comments and order the files have."""
        held = self.model_dump(mode="json", exclude=_NOT_READ_WITH)
        if not self.taught:  # a book that was read before there was such a list is not read again for it
            del held["taught"]
        return _sha256(held)

    @cached_property
    def _all_but_parts(self) -> str:
        return _sha256(self.model_dump(mode="json", exclude={"parts": True, "taught": True, **_NOT_READ_WITH}))

    @cached_property
    def _beginnings(self) -> tuple[tuple[str, tuple[frozenset[str], ...]], ...]:
        """Each part's notation with its names, a name as how its words begin."""
        return tuple((p.notation, tuple(_beginnings(n) for n in (p.preferred, *p.alternatives))) for p in self.parts)

    @cached_property
    def _short_beginnings(self) -> tuple[tuple[frozenset[str], tuple[str, ...]], ...]:
        return tuple((_beginnings(short.name), short.may_be) for short in self.shorts)

    def named_by_last_word(self, word: str, said: Iterable[str]) -> tuple[str, ...]:
        """Return the parts that a noun may stand for as the last word of their names: "chain", the control chain.

        Args:
            word: in the singular.
            said: the notations of the parts that are spoken of: of many only those count that share another word
                with one of these.
        """
        parts = self._by_last_word.get(word, ())
        if len(parts) <= _FEW:
            return parts
        words = {one for notation in said for one in notation.split("-")} - {word}
        return tuple(part for part in parts if words & set(part.split("-")))

    @cached_property
    def _by_last_word(self) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, dict[str, None]] = {}
        for part in self.parts:
            for name in (part.preferred, *part.alternatives):
                if len(words := words_of(name)) > 1:
                    found.setdefault(singular(words[-1]), {})[part.notation] = None
        return {word: tuple(parts) for word, parts in found.items()}

    def seen_from(self, text: str) -> str:
        """Return a fingerprint of all that a reading of ``text`` can depend on: of the parts, those near its words.

        A part is near where all words of one of its names begin like words of the text (so that plurals count), or
        where the last of them may name it; so are what a short name in the text may stand for, parts whose notation
        goes on from a near one's ("wing-joint"), and all that these belong to. Another part can be added or changed
        without a new reading.
        """
        said = _beginnings(text)
        near = {notation for notation, names in self._beginnings if any(name <= said for name in names)}
        near |= {part for name, may_be in self._short_beginnings if name <= said for part in may_be}
        words = set(map(singular, re.findall(r"\w+", text)))
        near |= {part for word in words for part in self.named_by_last_word(word, near)}
        near |= {p.notation for p in self.parts if any(p.notation.startswith(f"{one}-") for one in near)}
        above = {part.broader for notation in near if (part := self.part(notation))}
        while above - near:
            near |= above
            above = {part.broader for notation in above if (part := self.part(notation))}
        parts = [part.model_dump(mode="json") for part in self.parts if part.notation in near]
        return _sha256([self._all_but_parts, parts])

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
        return self._names

    @cached_property
    def _names(self) -> tuple[Name, ...]:
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


def _sha256(content: object) -> str:
    text = json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _beginnings(text: str) -> frozenset[str]:
    """Return the first three letters of each word: as many as a noun's plural leaves alone."""
    return frozenset(word[:3] for word in re.findall(r"\w+", text.lower()))


def load_vocabulary(folders: Sequence[Path]) -> Vocabulary:
    """Read and check the lists of all folders; what they gave is kept, since one command may ask several times.

    Args:
        folders: folders with lists; a line of a later one takes the place of an earlier one with the same notation,
            and its names are other names of no part of an earlier one.

    Raises:
        WrongCommand: something in a list is wrong; the message says in which file and line, and what to do.
    """
    held = _held(folders)
    if held in _known:
        return _known[held]
    lists = read_lists(folders)
    rows = with_own_names(lists.rows, folders)
    for fault in (*lists.faults, *disagreements(rows)):
        raise fault
    entries: dict[str, Any] = {
        name: tuple(make(rows[name][key], rows) for key in sorted(rows[name])) for name, make in ENTRIES.items()
    }
    made = Vocabulary(**entries)
    if held and held == _held(folders):
        if len(_known) >= _MOST_KNOWN:
            _known.clear()
        _known[held] = made
    return made


_MOST_KNOWN = 4
_known: dict[str, Vocabulary] = {}
"""Vocabularies by what their lists held."""


def _held(folders: Sequence[Path]) -> str:
    """Return a fingerprint of the lists as they lie there, "" where one cannot be read."""
    digest = hashlib.sha256()
    try:
        for folder in folders:
            digest.update(b"folder" if folder.is_dir() else b"none")
            for file in sorted(folder.glob("*.csv")):
                digest.update(f"\n{file.name}\n".encode())
                digest.update(hashlib.sha256(file.read_bytes()).digest())
    except OSError:
        return ""
    return digest.hexdigest()
