"""Scores notes each of which is read by a model that was fitted without it.

    python -m learning.crossed NOTES.jsonl PACK PACK...

Of n packs the first was fitted with ``--without FILE:1/n``, the second with ``--without FILE:2/n``, and so on.
"""

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from learning.shares import share
from pipeline.book import shipped_vocabulary
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.vocabulary import load_vocabulary
from tests.reading.score_facts import Fact, checks, score, table


def read_crosswise(notes_file: Path, packs: Sequence[Path]) -> list[tuple[Sequence[Fact], Sequence[Fact]]]:
    """Return marked and read facts of each note, read by the pack that was fitted without it."""
    notes = [json.loads(line) for line in notes_file.read_text(encoding="utf-8").splitlines() if line.strip()]
    vocabulary = load_vocabulary(shipped_vocabulary())
    pairs: list[tuple[Sequence[Fact], Sequence[Fact]]] = []
    for number, pack in enumerate(packs, 1):
        own = share(notes, f"{number}/{len(packs)}")
        read = NoteReader(vocabulary, pack).read_many(note["text"] for note in own)
        facts = [[{**fact.as_marked(), "check": fact.doubts} for fact in one.facts] for one in read]
        pairs += [(note["facts"], found) for note, found in zip(own, facts, strict=True)]
    return pairs


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    crossed = read_crosswise(Path(sys.argv[1]), [Path(pack) for pack in sys.argv[2:]])
    print(table(score(crossed)))
    print(checks(crossed))
