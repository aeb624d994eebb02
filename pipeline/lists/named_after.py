"""Which of many parts is meant by what it is called after: "canopy seal" and "door seal", "elevator cable"."""

import re
from functools import lru_cache

from pipeline.lists.controls_called import controls_called
from pipeline.lists.logged import LoggedFact
from pipeline.reading.vocabulary import Vocabulary

_SMALL = frozenset({"material", "detail"})


def named_after(logged: LoggedFact, vocabulary: Vocabulary) -> str:
    """Return what a small part, or a control, was called after another part, "canopy seal"; "" where it was not."""
    controls = controls_called(logged, vocabulary)
    if len(controls) == 1:
        return controls[0]
    words = logged.sentence.lower()
    for name in _called_after(str(logged.fact.item), vocabulary):
        if re.search(rf"\b{re.escape(name)}s?\b", words):
            return name
    return ""


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
