"""Which of many parts is meant by what it is called: "canopy seal" and "door seal", "elevator cable", "top hinge"."""

import re
from functools import lru_cache

from pipeline.lists.controls_called import controls_called
from pipeline.lists.logged import LoggedFact, alternatives, last_words
from pipeline.reading.vocabulary import Vocabulary

_SMALL = frozenset({"material", "detail"})
_SEVERAL_HOLD = frozenset({"hinge", "lug", "bracket", "bearing", "bush", "fitting", "attachment"})
"""Last words of the names of what a part has one above the other, or side by side. Common practice, no source."""
_WHICH = {"top": "upper", "bottom": "lower", "centre": "middle", "center": "middle", "inboard": "inner"}
_WHICH |= {"outboard": "outer", "forward": "front", "aft": "rear"}
_WHICH |= {one: one for one in ("upper", "lower", "middle", "inner", "outer", "front", "rear")}


def named_after(logged: LoggedFact, vocabulary: Vocabulary) -> str:
    """Return what a small part, or a control, was called after another part, "canopy seal"; "" where it was not.

    Of the hinges, brackets or lugs of one part it is which of them: "upper rudder hinge", also where it was the top
    one.
    """
    controls = controls_called(logged, vocabulary)
    if len(controls) == 1:
        return controls[0]
    item, words = str(logged.fact.item), logged.sentence.lower()
    for name in _called_after(item, vocabulary):
        if re.search(rf"\b{re.escape(name)}s?\b", words):
            return name
    return which_of_several(item, words, vocabulary)


def which_of_several(item: str, words: str, vocabulary: Vocabulary) -> str:
    """Return which of its hinges, brackets or lugs some words name, "upper rudder hinge"; "" for none, or two."""
    part = vocabulary.part(item)
    if part is None or part.preferred.lower().split()[-1] not in _SEVERAL_HOLD:
        return ""
    names = alternatives((part.preferred.lower(), *part.alternatives, *last_words(item, vocabulary)))
    told = {_WHICH[one] for one in re.findall(rf"\b({alternatives(_WHICH)}) (?:{names})\b", words.lower())}
    return f"{told.pop()} {part.preferred.lower()}" if len(told) == 1 else ""


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
