"""Tells what nothing can fill: ``python -m learning.lacking READY.json...``.

Of the parts and slots that are marked in notes made ready, the share of which the right value is not among what the
learnt reading chooses from. However well it is fitted, it cannot read those.
"""

import sys
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from learning.examples import filled_with, read_ready, slot_values


def lacking(versions: Iterable[Mapping[str, Any]], slots: Iterable[str]) -> tuple[Counter[str], Counter[str]]:
    """Return how often each slot (and "item") is marked, and how often nothing offers what is marked."""
    marked, lacks = Counter[str](), Counter[str]()
    for version in versions:
        offered = {(slot, filled_with(slot, value)) for _, _, slot, value, *_ in version["fillers"]}
        items = {item for _, _, item, _ in version["mentions"]}
        for fact in version["facts"]:
            wanted = [("item", fact.get("item"))]
            wanted += [(slot, value) for slot in slots for value in slot_values(fact, slot)]
            for slot, value in wanted:
                marked[slot] += 1
                lacks[slot] += value not in items if slot == "item" else (slot, value) not in offered
    return marked, lacks


def main(paths: Iterable[str]) -> None:
    """Print the shares."""
    marked, lacks = Counter[str](), Counter[str]()
    for path in paths:
        sizes, notes = read_ready(Path(path))
        more, less = lacking((versions[0] for _, _, versions in notes), sizes.slots)
        marked, lacks = marked + more, lacks + less
    for slot, count in sorted(marked.items()):
        print(f"{slot:9}{count:7,} marked {lacks[slot]:6,} out of reach {lacks[slot] / count:7.1%}")


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    main(sys.argv[1:])
