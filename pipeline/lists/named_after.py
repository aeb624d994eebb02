"""Which of many small parts is meant where it is called after a larger one: "canopy seal" and "door seal" are two."""

import re
from functools import lru_cache

from pipeline.lists.logged import LoggedFact
from pipeline.reading.vocabulary import Vocabulary

_SMALL = frozenset({"material", "detail"})


def named_after(logged: LoggedFact, vocabulary: Vocabulary) -> str:
    """Return what a small part was called after another part in its sentence, "canopy seal"; "" where it was not."""
    words = logged.sentence.lower()
    for name in _called_after(str(logged.fact.item), vocabulary):
        if re.search(rf"\b{re.escape(name)}s?\b", words):
            return name
    return ""


def same_name(one: str, other: str) -> bool:
    """Tell whether two parts can be one by what they are called after; who says nothing may mean either."""
    return not (one and other) or one == other


@lru_cache(maxsize=1000)
def _called_after(item: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the names of a part that begin with another part's name, the longest first."""
    part = vocabulary.part(item)
    if part is None or part.kind not in _SMALL:
        return ()
    others = _names_of_parts(vocabulary)
    names = {name.lower() for name in part.alternatives if others.get(name.lower().rpartition(" ")[0], item) != item}
    return tuple(sorted(names, key=lambda name: (-len(name), name)))


@lru_cache(maxsize=8)
def _names_of_parts(vocabulary: Vocabulary) -> dict[str, str]:
    return {name.lower(): part.notation for part in vocabulary.parts for name in (part.preferred, *part.alternatives)}
