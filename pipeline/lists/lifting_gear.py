"""Which lifting gear the speaker named: "two jacks under the spar" names a jack, "the retraction jack" does not."""

import re
from collections.abc import Iterable
from functools import cache

from pipeline.reading.vocabulary import Vocabulary

# What people hold things up with that the list of parts does not have; common practice, no source.
_PLAIN = {
    "chock": "chock", "strap": "strap", "strop": "strop", "prop": "prop", "shore": "shore", "stand": "stand",
    "crane": "crane", "gantry": "gantry", "sandbag": "sandbag", "block": "block",
}  # fmt: skip
HANGING = frozenset({"hoist", "sling", "spreader-bar", "crane", "gantry", "strop"})
"""What hangs from gear of these kinds alone does not stand on anything. Source: common practice, no source."""

_ENDINGS = "(?:s|es|d|ed|ped|led|ling|ing)?"  # "trestled", "jacks", "strapped", "slinging"
_GEAR = "support-equipment"


class LiftingGear:
    """Finds lifting gear in words, and tells which notations are lifting gear."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        """Take the lifting gear from the vocabulary's parts."""
        parts = vocabulary.parts
        names = {name: p.notation for p in parts if p.kind == _GEAR for name in (p.preferred, *p.alternatives)}
        self._notations = frozenset(names.values())
        self._names = {**_PLAIN, **names}
        words = {name.split()[-1] for name in self._names}
        # "undercarriage jack" ends in "jack" and is none: it is passed over where it is said
        others = {
            name
            for p in parts
            if p.kind != _GEAR
            for name in (p.preferred, *p.alternatives)
            if " " in name and words & set(name.split())
        }
        self._others = _any_of(others)
        self._gear = _any_of(self._names)

    def is_gear(self, notation: str | None) -> bool:
        """Tell whether a notation is of lifting gear, and not of the aircraft."""
        return notation in self._notations

    def named_in(self, words: str) -> tuple[str, ...]:
        """Return what was named, each once, in the order said: notations, or plain words where no list has it."""
        left = self._others.sub(" ", words.lower()) if self._others else words.lower()
        found = self._gear.finditer(left) if self._gear else ()
        return tuple(dict.fromkeys(self._names[match["name"]] for match in found))


@cache
def _pattern(names: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"\b(?P<name>{'|'.join(map(re.escape, names))}){_ENDINGS}\b")


def _any_of(names: Iterable[str]) -> re.Pattern[str] | None:
    longest_first = tuple(sorted(names, key=lambda name: (-len(name), name)))
    return _pattern(longest_first) if longest_first else None
