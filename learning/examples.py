"""Notes made ready, as arrays: what the model is given and what it should find."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from tokenizers import Tokenizer

LONGEST = 220  # word pieces
NEAR, BESIDE = 8, 5  # word pieces within which a fact of the rules counts as the same, or as close by


@dataclass(frozen=True)
class Sizes:
    """The names that the model tells apart, as the notes made ready give them."""

    acts: Sequence[str]
    findings: Sequence[str]
    kinds: Sequence[str]
    features: int
    statuses: Sequence[str]
    sides: Sequence[str]
    slots: Sequence[str]

    @cached_property
    def tellings(self) -> list[str]:
        """Acts, then findings."""
        return [*self.acts, *self.findings]

    @cached_property
    def number(self) -> Mapping[str, int]:
        """The number of each telling."""
        return {told: number for number, told in enumerate(self.tellings)}

    @property
    def hints(self) -> int:
        """Figures given with each word piece: what it may tell, what the rules read in it, whether they did."""
        return 2 * len(self.tellings) + 1


@dataclass
class Example:
    """One version of a note. Spans are of word pieces, (first, one after the last)."""

    sizes: Sizes
    version: Mapping[str, Any]
    ids: list[int]
    spans: list[tuple[int, int]]
    kinds: Any = None
    hints: Any = None
    mentions: list[tuple[tuple[int, int], str, Sequence[int]]] = field(default_factory=list)
    fillers: list[tuple[tuple[int, int], str, Any, tuple[int, int, int, int]]] = field(default_factory=list)
    rules: list[tuple[int, int, str, Mapping[str, Any]]] = field(default_factory=list)
    told: dict[tuple[int, int], list[Mapping[str, Any]]] = field(default_factory=dict)

    @cached_property
    def items(self) -> list[str]:
        """The parts that may be meant, each once."""
        return list(dict.fromkeys(item for _, item, _ in self.mentions))

    @cached_property
    def side_words(self) -> list[int]:
        """The word pieces that name a side."""
        named = {1 + self.sizes.kinds.index(side) for side in self.sizes.sides[1:]}
        return [at for at, kind in enumerate(self.kinds) if kind in named]

    def nearest(self, at: int, told: str, item: str | None = None) -> tuple[int, Mapping[str, Any]] | None:
        """Return the fact of the rules nearest to a word piece that tells the same, and how far off it stands."""
        best = None
        for first, last, own, fact in self.rules:
            if own == told and item in (None, fact.get("item")):
                away = 0 if first <= at <= last else min(abs(first - at), abs(last - at))
                if best is None or away < best[0]:
                    best = (away, fact)
        return best

    def opinion(self, rows: Sequence[tuple[int, int]]) -> tuple[Any, Any]:
        """Return what the rules say of each telling (rows by 6) and of each item of it (rows by items by 3)."""
        of_row, of_item = np.zeros((len(rows), 6), np.float32), np.zeros((len(rows), len(self.items), 3), np.float32)
        for row, (at, number) in enumerate(rows if self.rules else ()):
            told = self.sizes.tellings[number]
            read = self.nearest(at, told)
            if read is None or read[0] >= NEAR:
                of_row[row, 0] = 1
            elif number < len(self.sizes.acts):
                of_row[row, 1 + self.sizes.statuses.index(read[1]["status"])] = 1
            else:
                of_row[row, 5] = 1 if read[1].get("absent") else -1
            for column, item in enumerate(self.items):
                read = self.nearest(at, told, item)
                of_item[row, column] = (0, 0, 1) if read is None else (1, read[0] < BESIDE, 0)
        return of_row, of_item

    def pair_opinion(self, rows: Sequence[tuple[int, int]], pairs: Sequence[tuple[int, int]]) -> tuple[Any, Any]:
        """Return what the rules say of the side (pairs by 5) and fillers (pairs by fillers by 3) of (row, item)."""
        of_side = np.zeros((len(pairs), 5), np.float32)
        of_filler = np.zeros((len(pairs), len(self.fillers), 3), np.float32)
        for pair, (row, item) in enumerate(pairs if self.rules else ()):
            at, number = rows[row]
            read = self.nearest(at, self.sizes.tellings[number], self.items[item])
            if read is None:
                of_side[pair, 0] = 1
                continue
            of_side[pair, 1 + self.sizes.sides.index(read[1].get("side") or "")] = 1
            for column, (_, slot, value, _) in enumerate(self.fillers):
                filled = slot_values(read[1], slot)
                of_filler[pair, column, 0 if value in filled else 1 if filled else 2] = 1
        return of_side, of_filler


@dataclass
class Goal:
    """What should be found in a note: rows are tellings, pairs are (row, item)."""

    rows: list[tuple[int, int]]
    statuses: list[tuple[int, int]]
    absents: list[tuple[int, float]]
    pairs: list[tuple[int, int]]
    sides: list[int]
    filled: list[tuple[int, int]]
    opinion: tuple[Any, Any]
    pair_opinion: tuple[Any, Any]

    @classmethod
    def of(cls, note: Example) -> "Goal":
        """Return the goal of a note."""
        sizes, rows = note.sizes, list(note.told)
        statuses, absents, sides, filled = [], [], [], []
        pairs: list[tuple[int, int]] = []
        for row, key in enumerate(rows):
            facts = note.told[key]
            if key[1] < len(sizes.acts):
                statuses.append((row, sizes.statuses.index(facts[0]["status"])))
            else:
                absents.append((row, float(bool(facts[0].get("absent")))))
            for fact in facts:
                pair = (row, note.items.index(fact["item"])) if fact.get("item") in note.items else None
                if pair is None or pair in pairs:
                    continue
                pairs.append(pair)
                sides.append(sizes.sides.index(fact.get("side", "")))
                for column, (_, slot, value, _) in enumerate(note.fillers):
                    if value in slot_values(fact, slot):
                        filled.append((len(pairs) - 1, column))
        opinion, pair_opinion = note.opinion(rows), note.pair_opinion(rows, pairs)
        return cls(rows, statuses, absents, pairs, sides, filled, opinion, pair_opinion)


def slot_values(fact: Mapping[str, Any], slot: str) -> list[Any]:
    """Return what fills a slot of a marked fact, in a form that compares."""
    if slot == "place":
        return [(place["scheme"], place["at"].lower()) for place in fact.get("place", [])]
    if slot == "measure":
        return [(round(float(one["value"]), 4), one["unit"]) for one in fact.get("measure", [])]
    if slot == "count":
        return [(fact["count"], fact["of"])] if "count" in fact and "of" in fact else []
    if slot == "stowage":
        return [(key, str(name).lower()) for key, name in fact.get("stowage", {}).items()]
    return [fact[slot]] if slot in fact else []


def filled_with(slot: str, value: Any) -> Any:
    """Return the value of a filler as it was made ready, in the form in which ``slot_values`` has it."""
    if slot == "place":
        return (value[0], value[1].lower())
    if slot == "measure":
        return (round(float(value[0]), 4), value[1])
    if slot == "count":
        return (value[0], value[1])
    return (value[0], str(value[1]).lower()) if slot == "stowage" else value


def example(sizes: Sizes, tokenizer: Tokenizer, version: Mapping[str, Any], with_rules: bool) -> Example:
    """Return one version of a note as an example.

    Args:
        sizes: names that the model tells apart.
        tokenizer: of the base model, without padding and truncation.
        version: of a note, as it was made ready.
        with_rules: whether the model is given what the rules read in it.
    """
    encoded = tokenizer.encode(version["text"])
    spans = encoded.offsets[:LONGEST]
    note = Example(sizes, version, encoded.ids[:LONGEST], spans)

    def pieces(start: int, end: int) -> tuple[int, int] | None:
        within = [at for at, (a, b) in enumerate(spans) if a < b and a < end and b > start]
        return (within[0], within[-1] + 1) if within else None

    _put_words(note)
    for fact in version["rules"] if with_rules else ():
        told, span = fact.get("act") or fact.get("finding"), pieces(*fact["words"])
        if span and told in sizes.number:
            note.rules.append((span[0], span[1] - 1, told, fact))
            note.hints[span[0] : span[1], len(sizes.tellings) + sizes.number[told]] = 1
    if with_rules:
        note.hints[:, -1] = 1
    for start, end, item, features in version["mentions"]:
        if span := pieces(start, end):
            note.mentions.append((span, item, features))
    for start, end, slot, value, own, said, implied in version["fillers"]:
        if span := pieces(start, end):
            about = int(slot == "count" and bool(value[2]))
            note.fillers.append((span, slot, filled_with(slot, value), (int(own), int(said), about, int(implied))))
    for fact, at in zip(version["facts"], version["told"], strict=True):
        if at and (span := pieces(*at)):
            note.told.setdefault((span[0], sizes.number[fact.get("act") or fact["finding"]]), []).append(fact)
    return note


def _put_words(note: Example) -> None:
    """Give each word piece the kind of its word, and what the vocabulary has for it."""
    sizes = note.sizes
    note.kinds = np.zeros(len(note.ids), np.int64)
    note.hints = np.zeros((len(note.ids), sizes.hints), np.float32)
    words = iter(note.version["words"])
    word = next(words, None)
    for at, (start, end) in enumerate(note.spans):
        while word is not None and end > start and word[1] <= start:
            word = next(words, None)
        if word is not None and end > start and word[0] < end:
            note.kinds[at] = 1 + sizes.kinds.index(word[2])
            note.hints[at, [sizes.number[told] for told in word[3] if told in sizes.number]] = 1


def read_ready(path: Path) -> tuple[Sizes, list[tuple[str, str, list[Mapping[str, Any]]]]]:
    """Return the sizes, and each note's id, file and versions, of notes made ready."""
    ready = json.loads(path.read_text(encoding="utf-8"))
    notes = ready.pop("notes")
    return Sizes(**ready), [(note["id"], note["file"], note["versions"]) for note in notes]
