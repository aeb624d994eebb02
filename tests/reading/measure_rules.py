"""Measures how often each rule reads right: ``python -m tests.reading.measure_rules MARKED.jsonl ...``.

Prints ``pipeline/reading/rule_shares.py`` anew.
"""

import json
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from pipeline.reading.confidence import share_names
from pipeline.reading.fact import Fact
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.shipped import shipped
from tests.reading.score_facts import Fact as Marked
from tests.reading.score_facts import key_of

_HEAD = '''"""How often each rule read right on marked notes; made by ``python -m tests.reading.measure_rules``."""

# (right, read) by the rule's name; "" is all rules together.
SHARES = {'''


def rights(marked: Iterable[Marked], read: Iterable[Fact]) -> list[tuple[Fact, bool]]:
    """Return each fact read with whether it is one of the marked ones; a marked one counts once."""
    left = Counter(key_of(fact) for fact in marked)
    judged = []
    for fact in read:
        key = key_of(fact.as_marked())
        judged.append((fact, left[key] > 0))
        left[key] -= 1
    return judged


def measure(files: Sequence[Path]) -> list[tuple[Fact, bool]]:
    """Return the facts read from all notes of some files, each with whether it is right."""
    reader = Reader(load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"]))
    notes = [json.loads(line) for file in files for line in file.read_text(encoding="utf-8").splitlines() if line]
    read = (one.facts for one in reader.read_many(note["text"] for note in notes))
    return [pair for note, facts in zip(notes, read, strict=True) for pair in rights(note["facts"], facts)]


def main(arguments: Sequence[str]) -> int:
    """Print the shares as a module."""
    read: Counter[str] = Counter()
    right: Counter[str] = Counter()
    for fact, is_right in measure([Path(argument) for argument in arguments]):
        for name in share_names(fact.rule, fact.inferred):
            read[name] += 1
            right[name] += is_right
    print(_HEAD)
    for name in sorted(read):
        print(f"    {json.dumps(name)}: ({right[name]}, {read[name]}),")
    print("}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
