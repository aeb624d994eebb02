"""Makes marked notes ready for fitting: ``python -m learning.ready READY.json NOTES.jsonl... [--joined WORDS]``.

With ``--joined``, notes of one file are put one after the other into talk of up to so many words, as recordings have
it. Above 150 words they are shuffled first, and four talks in ten are taken, so that they do not outweigh the rest.

Each note is taken four ways: as it stands, without marks and capitals (as some recognisers write), and both once more
with port and starboard changed about. What the rules read in it goes along, except for notes that the rules were
tuned on, where they do better than they will on others.
"""

import argparse
import json
import random
import re
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from pipeline.book import shipped_vocabulary
from pipeline.reading.fact import Measure, Place
from pipeline.reading.learnt.prepared import FEATURES, KINDS, SIDES, SLOTS, STATUSES, Prepared, prepare
from pipeline.reading.pieces import Piece
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import load_vocabulary

TUNED = {"dev", "notes", "notes_of_others"}  # files of notes that the rules were tuned on

SHUFFLED_FROM, SHARE = 150, 0.4

_OTHER = {"port": "starboard", "starboard": "port", "left": "right", "right": "left"}
_MARKS = frozenset(',.;:?!"()')


class Marked(NamedTuple):
    """A marked note: its facts, and the characters at which each is told (None where that is not known)."""

    id: str
    text: str
    facts: tuple[dict[str, Any], ...]
    told: tuple[tuple[int, int] | None, ...]


class Version(NamedTuple):
    """A note's text in one of its four ways; ``moved[c]`` is where the character ``c`` of the first way went."""

    text: str
    moved: tuple[int, ...]
    sides_changed: bool


def versions(text: str, pieces: Sequence[Piece]) -> Iterator[Version]:
    """Yield the text as it stands, bare, and where a side is named in it, both with the sides changed about."""
    yield Version(text, tuple(range(len(text) + 1)), False)
    bare, moved = _bare(text)
    yield Version(bare, moved, False)
    turned, to = _turned(text, pieces)
    if turned != text:
        yield Version(turned, to, True)
        bare, moved = _bare(turned)
        yield Version(bare, tuple(moved[at] for at in to), True)


def _bare(text: str) -> tuple[str, tuple[int, ...]]:
    """Return the text in small letters and without marks, but for those inside numbers."""
    out, moved = "", []
    for at, letter in enumerate(text):
        moved.append(len(out))
        inside = 0 < at < len(text) - 1 and text[at - 1].isdigit() and text[at + 1].isdigit()
        if not (letter in _MARKS and not inside) and not (letter == " " and out.endswith(" ")):
            out += letter.lower()
    return out, (*moved, len(out))


def _turned(text: str, pieces: Sequence[Piece]) -> tuple[str, tuple[int, ...]]:
    """Return the text with port for starboard and left for right, and the other way about."""
    out, moved = "", list(range(len(text) + 1))
    done = 0
    for piece in pieces:
        if piece.kind in ("word", "verb") or not any(sense.kind == "sides" for sense in piece.senses):
            continue  # "right, then" is no side, nor is "left on"
        for at in range(done, piece.start):
            moved[at] = len(out) + at - done
        out += text[done : piece.start]
        moved[piece.start : piece.end] = [len(out)] * (piece.end - piece.start)
        out += re.sub(r"[A-Za-z]+", _other, text[piece.start : piece.end])
        done = piece.end
    for at in range(done, len(text) + 1):
        moved[at] = len(out) + at - done
    return out + text[done:], tuple(moved)


def _other(match: re.Match[str]) -> str:
    word = match.group()
    other = _OTHER.get(word.lower(), word)
    return other.capitalize() if word[0].isupper() else other


def places_told(text: str, facts: Sequence[dict[str, Any]]) -> list[tuple[int, int] | None]:
    """Return the characters at which each fact is told: where its key "told" stands, after the fact before it."""
    found: list[tuple[int, int] | None] = []
    last = 0
    for fact in facts:
        words = re.escape(fact.get("told", ""))
        at = [match.start() for match in re.finditer(rf"(?<![A-Za-z]){words}(?![A-Za-z])", text)] if words else []
        at = at or ([match.start() for match in re.finditer(words, text)] if words else [])
        if not at:
            found.append(None)
            continue
        last = next((one for one in at if one >= last), at[0])
        found.append((last, last + len(fact["told"])))
    return found


def marked(note: dict[str, Any]) -> Marked:
    """Return a note as it stands in its file."""
    told = places_told(note["text"], note["facts"])
    facts = tuple({key: value for key, value in fact.items() if key != "told"} for fact in note["facts"])
    return Marked(note["id"], note["text"], facts, tuple(told))


def joined(notes: Sequence[Marked], words: int) -> Iterator[Marked]:
    """Yield the notes one after the other, as many together as have no more than so many words."""
    together: list[Marked] = []
    for note in [*notes, None]:
        length = sum(len(one.text.split()) for one in together)
        if together and (note is None or length + len(note.text.split()) > words):
            yield _as_one(together)
            together = []
        together += [note] if note else []


def _as_one(notes: Sequence[Marked]) -> Marked:
    text, told = "", []
    for note in notes:
        text += " " if text else ""
        told += [at and (at[0] + len(text), at[1] + len(text)) for at in note.told]
        text += note.text
    facts = tuple(fact for note in notes for fact in note.facts)
    return Marked("+".join(note.id for note in notes), text, facts, tuple(told))


def made_ready(reader: Reader, note: Marked, with_rules: bool) -> list[list[dict[str, Any]]]:
    """Return a marked note in its versions, each with all that the model is given and should find.

    A long note comes as several, one for each stretch in which it is read, as it stands and bare.
    """
    first = next(reader.read_by_rule([(note.text, ())], as_said=True))
    ways = [_way(reader, note, version, with_rules) for version in versions(note.text, first.pieces)]
    if all(len(stretches) == 1 for stretches in ways):
        return [[stretch for stretches in ways for stretch in stretches]]
    return [[stretch] for stretches in ways[:2] for stretch in stretches]


def _way(reader: Reader, note: Marked, version: Version, with_rules: bool) -> list[dict[str, Any]]:
    """Return the stretches of one version of a note."""
    read = next(reader.read_by_rule([(version.text, ())], as_said=True))
    facts = [dict(fact) for fact in note.facts]
    for fact in facts if version.sides_changed else ():
        if "side" in fact:
            fact["side"] = _OTHER.get(fact["side"], fact["side"])
    told = [at and (version.moved[at[0]], version.moved[at[1]]) for at in note.told]
    rules = [{**fact.as_marked(), "words": fact.words} for fact in (read.note.facts if with_rules else ())]
    return [
        _stretch(prepared, list(zip(facts, told, strict=True)), rules, with_rules)
        for prepared in prepare(reader.lexicon, version.text, read.pieces)
    ]


def _stretch(
    prepared: Prepared,
    marked: Sequence[tuple[dict[str, Any], tuple[int, int] | None]],
    rules: Sequence[dict[str, Any]],
    with_rules: bool,
) -> dict[str, Any]:
    """Return one stretch as a text of its own, with what is told in it."""
    start, end = prepared.start, prepared.end
    whole = start == 0 and end == len(prepared.text)

    def own(span: Sequence[int]) -> list[int]:
        return [span[0] - start, span[1] - start]

    inside = [(fact, at) for fact, at in marked if whole or (at and start <= at[0] and at[1] <= end)]
    return {
        "text": prepared.text[start:end],
        "words": [[*own(word), *word[2:]] for word in prepared.words],
        "mentions": [[*own(mention), *mention[2:]] for mention in prepared.mentions],
        "fillers": [[*own(filler), filler.slot, _plain(filler.value), *filler[4:]] for filler in prepared.fillers],
        "facts": [fact for fact, _ in inside],
        "told": [at and own(at) for _, at in inside],
        "rules": [
            {**fact, "words": own(fact["words"])}
            for fact in rules
            if whole or (start <= fact["words"][0] and fact["words"][1] <= end)
        ],
        "with_rules": with_rules,
    }


def _plain(value: object) -> object:
    if isinstance(value, Place):
        return [value.scheme, value.at]
    if isinstance(value, Measure):
        return [value.value, value.unit]
    return value


def talks(notes: Sequence[Marked], words: int) -> Sequence[Marked]:
    """Return the notes joined; above ``SHUFFLED_FROM`` words a share of them, in another order."""
    if words < SHUFFLED_FROM:
        return list(joined(notes, words))
    chance = random.Random(7)
    together = list(joined(chance.sample(notes, len(notes)), words))
    return chance.sample(together, round(len(together) * SHARE))


def main(arguments: Sequence[str]) -> int:
    """Write the notes made ready."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("ready", type=Path)
    parser.add_argument("notes", type=Path, nargs="+")
    parser.add_argument("--joined", type=int, default=0, metavar="WORDS")
    asked = parser.parse_args(arguments)
    reader = Reader(load_vocabulary(shipped_vocabulary()))
    notes = []
    for path in asked.notes:
        own = [marked(json.loads(line)) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
        for note in talks(own, asked.joined) if asked.joined else own:
            for ways in made_ready(reader, note, path.stem not in TUNED):
                notes.append({"id": note.id, "file": path.stem, "versions": ways})
    vocabulary = reader.vocabulary
    head = {
        "acts": [act.notation for act in vocabulary.acts],
        "findings": [finding.notation for finding in vocabulary.findings],
        "kinds": KINDS,
        "features": len(FEATURES),
        "statuses": STATUSES,
        "sides": SIDES,
        "slots": SLOTS,
    }
    asked.ready.write_text(json.dumps({**head, "notes": notes}), encoding="utf-8")
    unplaced = sum(at is None for note in notes for at in note["versions"][0]["told"])
    print(f"{len(notes)} notes; {unplaced} facts without words that tell them")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
