"""Which part some words name after others: what "under" or "the bolts of" is said of."""

import re
from functools import cache
from typing import NamedTuple

from pipeline.reading.vocabulary import Vocabulary

_NO_PARTS = frozenset({"support-equipment", "fastener"})
_BETWEEN = r"(?:(?:the|its|her|his|our|that|both|each|port|starboard|left|right|left-hand|right-hand)\s+)*"
_FIRST = re.compile(rf"^\W*(?:(?:and|then|now|next)\W+)*{_BETWEEN}")
_LONGEST = 6
"""Words of the longest name that is looked for."""


class NamedBefore(NamedTuple):
    """What stands before a noun: the part with the longest name, None for none; and the last word, "" for none."""

    part: str | None
    word: str


class NamedParts:
    """Finds parts of the aircraft by their names; lifting gear and fasteners are none."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        """Take the names of all parts."""
        parts = [part for part in vocabulary.parts if part.kind not in _NO_PARTS]
        self._names = {name.lower(): part.notation for part in parts for name in (*part.alternatives, part.preferred)}

    def after(self, lead: str, words: str) -> tuple[str, ...]:
        """Return the parts that are named right after some words, in order, each by its longest name.

        Args:
            lead: a pattern for the words before, "under|beneath"; articles and sides may stand between.
            words: what was said.
        """
        heard = words.lower()
        found = (self._at_start(heard[one.end() :]) for one in _led_by(lead).finditer(heard))
        return tuple(dict.fromkeys(part for part in found if part))

    def first(self, words: str) -> tuple[str, str] | None:
        """Return the part that words begin with, and the words after it: "starboard elevator, three bolts"."""
        heard = _FIRST.sub("", words.lower())
        for length in range(_LONGEST, 0, -1):
            said = re.match(rf"[\w-]+(?: [\w-]+){{{length - 1}}}(?![\w-])", heard)
            part = self._names.get(said.group().removesuffix("s")) or self._names.get(said.group()) if said else None
            if said and part:
                return part, heard[said.end() :]
        return None

    def word_after(self, lead: str, words: str) -> str:
        """Return the word right after some words, where ``after`` looks for a name; "" where they are not said."""
        heard = words.lower()
        found = _led_by(lead).search(heard)
        word = re.match(r"[\w-]+", heard[found.end() :]) if found else None
        return word.group() if word else ""

    def before(self, noun: str, words: str) -> tuple[NamedBefore, ...]:
        """Return for each time that a noun is said what stands right before it: "the generator bolts".

        Args:
            noun: a pattern for it, in the singular.
            words: what was said.
        """
        heard = words.lower()
        found = re.finditer(rf"\b(?:{noun})s?\b", heard)
        return tuple(self._at_end(heard[: one.start()]) for one in found)

    def _at_end(self, words: str) -> NamedBefore:
        said = re.search(rf"(?:[\w'-]+ ){{1,{_LONGEST}}}$", words)
        heard = said.group().split() if said else []
        heard[-1:] = [re.sub(r"(?:'s|s')$", "", word) for word in heard[-1:]]  # "the front pedals' bolts"
        names = (" ".join(heard[number:]) for number in range(len(heard)))
        part = next((self._names[name] for name in names if name in self._names), None)
        return NamedBefore(part, heard[-1] if heard else "")

    def _at_start(self, words: str) -> str | None:
        said = re.match(rf"[\w'-]+(?: [\w'-]+){{0,{_LONGEST - 1}}}", words)
        heard = said.group().split(" ") if said else []
        for number in range(len(heard), 0, -1):
            name = " ".join(heard[:number])
            for one in (name, name.removesuffix("s"), name.removesuffix("es")):
                if one in self._names:
                    return self._names[one]
        return None


@cache
def _led_by(lead: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{lead})\s+{_BETWEEN}")
