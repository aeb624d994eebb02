"""Scores facts against marked notes.

    python -m tests.reading.score_facts MARKED.jsonl [READ.jsonl | --rules --joined]

Without READ.jsonl the notes are read now: with ``--rules`` by the rules alone, with ``--joined`` six in one talk.
A fact is right when status, act or finding (with absent), item and side all agree; each other key is scored on
the facts that are right.
"""

import json
import sys
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

Fact = Mapping[str, Any]
JOINED = 6  # notes in one talk, with --joined
SLOTS = ("place", "count", "measure", "grade", "stowage", "tag")


@dataclass
class Tally:
    """Right, read and marked, and what follows from them."""

    right: int = 0
    read: int = 0
    marked: int = 0

    @property
    def precision(self) -> float:
        return self.right / self.read if self.read else 1.0

    @property
    def recall(self) -> float:
        return self.right / self.marked if self.marked else 1.0

    @property
    def f1(self) -> float:
        both = self.precision + self.recall
        return 2 * self.precision * self.recall / both if both else 0.0


@dataclass
class Score:
    """The figures over all notes."""

    keys: Tally = field(default_factory=Tally)
    status: Tally = field(default_factory=Tally)
    slots: dict[str, Tally] = field(default_factory=lambda: {slot: Tally() for slot in SLOTS})
    on_empty: int = 0
    empty_notes: int = 0


def key_of(fact: Fact, with_status: bool = True) -> tuple[Any, ...]:
    """Return what must agree for a fact to be right."""
    rest = (fact.get("act"), fact.get("finding"), bool(fact.get("absent")), fact.get("item"), fact.get("side"))
    return (fact["status"], *rest) if with_status else rest


def slot_of(fact: Fact, slot: str) -> Any:
    """Return a slot's value in a form that can be compared."""
    if slot == "count":
        return None if fact.get("count") is None else (fact["count"], fact.get("of"), bool(fact.get("about")))
    value = fact.get(slot)
    if slot == "measure" and value:
        return sorted((round(float(one["value"]), 4), one["unit"]) for one in value)
    if slot == "place" and value:
        return sorted((one["scheme"], one["at"].lower()) for one in value)
    if slot == "stowage" and value:
        return sorted((key, str(name).lower()) for key, name in value.items())
    return value or None


def _pairs(marked: Sequence[Fact], read: Sequence[Fact], with_status: bool) -> list[tuple[Fact, Fact]]:
    left = list(read)
    pairs = []
    for fact in marked:
        same = [other for other in left if key_of(other, with_status) == key_of(fact, with_status)]
        if same:
            best = max(same, key=lambda other: sum(slot_of(other, slot) == slot_of(fact, slot) for slot in SLOTS))
            left.remove(best)
            pairs.append((fact, best))
    return pairs


def score(notes: Iterable[tuple[Sequence[Fact], Sequence[Fact]]]) -> Score:
    """Return the figures for pairs of marked and read facts, a pair for each note."""
    total = Score()
    for marked, read in notes:
        pairs = _pairs(marked, read, with_status=True)
        total.keys.right += len(pairs)
        total.keys.read += len(read)
        total.keys.marked += len(marked)
        loose = _pairs(marked, read, with_status=False)
        total.status.marked += len(loose)
        total.status.read += len(loose)
        total.status.right += sum(fact["status"] == other["status"] for fact, other in loose)
        for slot, tally in total.slots.items():
            for fact, other in pairs:
                expected, found = slot_of(fact, slot), slot_of(other, slot)
                tally.marked += expected is not None
                tally.read += found is not None
                tally.right += expected is not None and expected == found
        if not marked:
            total.empty_notes += 1
            total.on_empty += len(read)
    return total


def confusions(notes: Iterable[tuple[Sequence[Fact], Sequence[Fact]]]) -> Counter[str]:
    """Count the facts that were missed or made up, by status and act or finding."""
    counted: Counter[str] = Counter()
    for marked, read in notes:
        pairs = _pairs(marked, read, with_status=True)
        hit_marked, hit_read = [id(a) for a, _ in pairs], [id(b) for _, b in pairs]
        counted.update(
            f"missed {f['status']} {f.get('act') or f.get('finding')}" for f in marked if id(f) not in hit_marked
        )
        counted.update(
            f"made up {f['status']} {f.get('act') or f.get('finding')}" for f in read if id(f) not in hit_read
        )
    return counted


def table(total: Score) -> str:
    """Return the figures as lines of text."""
    rows = [("facts", total.keys), *total.slots.items()]
    lines = [f"{'':10} {'precision':>9} {'recall':>7} {'F1':>6} {'right':>6} {'read':>5} {'marked':>6}"]
    lines += [
        f"{name:10} {t.precision:9.3f} {t.recall:7.3f} {t.f1:6.3f} {t.right:6} {t.read:5} {t.marked:6}"
        for name, t in rows
    ]
    lines.append(f"status right on {total.status.precision:.3f} of {total.status.marked} facts matched without it")
    lines.append(f"{total.on_empty} facts read on {total.empty_notes} notes that have none")
    return "\n".join(lines)


def checks(notes: Iterable[tuple[Sequence[Fact], Sequence[Fact]]]) -> str:
    """Tell how many facts are marked to be checked, and how many of the wrong ones are."""
    facts = wrong = to_check = wrong_to_check = 0
    for marked, read in notes:
        right = {id(fact) for _, fact in _pairs(marked, read, with_status=True)}
        for fact in read:
            check = bool(fact.get("check"))
            facts, to_check = facts + 1, to_check + check
            wrong, wrong_to_check = (
                wrong + (id(fact) not in right),
                wrong_to_check + (check and id(fact) not in right),
            )
    return f"{to_check} of {facts} facts are marked to be checked, {wrong_to_check} of the {wrong} wrong ones"


def read_notes(
    marked_file: Path, read_file: Path | None = None, by_rules: bool = False, join: bool = False
) -> list[tuple[list[Fact], list[Fact]]]:
    """Return marked and read facts of each note, or of talk joined from several; without ``read_file``, read now."""
    marked = [json.loads(line) for line in marked_file.read_text(encoding="utf-8").splitlines() if line.strip()]
    if read_file is not None:
        rows = [json.loads(line) for line in read_file.read_text(encoding="utf-8").splitlines() if line.strip()]
        by_id = {row["id"]: row["facts"] for row in rows}
        return [(note["facts"], by_id.get(note["id"], [])) for note in marked]
    from pipeline.reading.note_reader import NoteReader
    from pipeline.reading.reader import Reader
    from pipeline.reading.vocabulary import load_vocabulary
    from pipeline.shipped import shipped

    marked = joined(marked) if join else marked
    vocabulary = load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"])
    reader = Reader(vocabulary) if by_rules else NoteReader(vocabulary)
    read = reader.read_many(note["text"] for note in marked)
    facts = [[{**fact.as_marked(), "check": fact.doubts} for fact in one.facts] for one in read]
    return [(note["facts"], found) for note, found in zip(marked, facts, strict=True)]


def joined(notes: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the notes put one after the other, ``JOINED`` together."""
    together = [notes[at : at + JOINED] for at in range(0, len(notes), JOINED)]
    ended = [[one["text"] if one["text"][-1:] in ".?!" else one["text"] + "." for one in some] for some in together]
    return [
        {"text": " ".join(texts), "facts": [fact for one in some for fact in one["facts"]]}
        for texts, some in zip(ended, together, strict=True)
    ]


def main(arguments: Sequence[str]) -> int:
    """Print the figures."""
    files = [Path(argument) for argument in arguments if not argument.startswith("--")]
    if not 1 <= len(files) <= 2 or not set(arguments) - set(map(str, files)) <= {"--rules", "--joined"}:
        print(
            "usage: python -m tests.reading.score_facts MARKED.jsonl [READ.jsonl | --rules --joined]", file=sys.stderr
        )
        return 2
    notes = read_notes(*files, by_rules="--rules" in arguments, join="--joined" in arguments)
    print(table(score(notes)))
    print(checks(notes))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
