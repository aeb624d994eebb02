"""Which notes are kept apart from fitting: whole files, or one note in so many."""

from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")


def share(notes: Sequence[T], part: str) -> Sequence[T]:
    """Return one in so many: "1/3" is the first, the fourth and so on, "2/3" the second, the fifth …."""
    which, of = map(int, part.split("/"))
    return notes[which - 1 :: of]


def kept_apart(notes: Sequence[tuple[str, str, object]], without: str) -> set[str]:
    """Return the ids of the notes (id, file, anything) that are left out: of whole files ("dev"), or by share.

    Args:
        without: names with commas between, such as "dev" or "dev:1/3".
    """
    apart: set[str] = set()
    for asked in without.split(","):
        name, _, part = asked.partition(":")
        ids = list(dict.fromkeys(note for note, file, _ in notes if file == name))
        apart.update(share(ids, part) if part else ids)
    return apart
