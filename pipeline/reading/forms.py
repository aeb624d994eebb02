"""Forms of words: singulars of nouns, and every form of a verb with what it can be."""

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pipeline.reading.vocabulary import Verb

BASE, S_FORM, ING, PAST, PARTICIPLE = "base", "s", "ing", "past", "participle"
_VOWELS = "aeiou"


def word_set(words: str) -> frozenset[str]:
    """Return the words of a text that are parted by spaces."""
    return frozenset(words.split())


@lru_cache(maxsize=65536)
def singular(word: str) -> str:
    """Return a noun in small letters without its plural ending: names and text go through it alike."""
    word = word.lower()
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("sses", "shes", "ches", "xes")):
        return word[:-2]
    if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    return word


def words_of(name: str) -> tuple[str, ...]:
    """Return the words of a name: split at spaces and hyphens, with "'s" as a word of its own, as text is split."""
    return tuple(re.findall(r"n't|'\w+|[^\s\-'/]+", name.lower().replace("n't", " n't")))


def verb_forms(verb: str, irregular: "Mapping[str, Verb]") -> dict[str, frozenset[str]]:
    """Return the forms of a verb, each with the kinds of form that it can be.

    Both spellings of a doubled consonant are given ("fitted", "fited"): a wrong one does no harm, nobody says it.
    """
    forms: dict[str, set[str]] = {}

    def add(form: str, kind: str) -> None:
        forms.setdefault(form, set()).add(kind)

    add(verb, BASE)
    stems = [verb[:-1] if verb.endswith("e") and not verb.endswith(("ee", "ye", "oe")) else verb]
    if re.search(rf"[^{_VOWELS}][{_VOWELS}][^{_VOWELS}wxy]$", verb) or re.fullmatch(
        rf"[{_VOWELS}][^{_VOWELS}wxy]", verb
    ):
        stems.append(verb + verb[-1])
    ends_in_y = verb.endswith("y") and verb[-2:-1] not in _VOWELS
    if ends_in_y:
        add(verb[:-1] + "ies", S_FORM)
    else:
        add(verb + ("es" if verb.endswith(("s", "sh", "ch", "x", "z", "o")) else "s"), S_FORM)
    for stem in stems:
        add(stem + "ing", ING)
    if verb in irregular:
        for form in irregular[verb].past:
            add(form, PAST)
        for form in irregular[verb].participle:
            add(form, PARTICIPLE)
    else:
        for stem in [verb[:-1] + "i"] if ends_in_y else stems:
            add(stem + "ed", PAST)
            add(stem + "ed", PARTICIPLE)
    return {form: frozenset(kinds) for form, kinds in forms.items()}
