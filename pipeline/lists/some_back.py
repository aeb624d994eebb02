"""How many of a part a fact tells of: "three panels", "panels two and three", "the panel"."""

import re

from pipeline.lists.logged import LoggedFact
from pipeline.reading.numbers import find_numbers

_AND = r"(?:\s*,\s*(?:and\s+)?|\s+and\s+)"
_GOES_ON = (
    r"(?=\s*(?:[.,;:]|$)"
    r"|(?:\s+|['\u2019])(?:is|are|was|were|s|has|have|had|re|ve|back|on|off|in|out|went|came|goes)\b)"
)
_NUMBER = r"[a-z]+(?:-[a-z]+)?|\d+"


def number_told(logged: LoggedFact) -> int | None:
    """Return how many of its part a fact tells of; None where its words say all of them, or do not say.

    A name in the singular is one of them.
    """
    fact = logged.fact
    if fact.count is not None and fact.of == fact.item:
        return fact.count
    words, noun = (logged.around or logged.said).lower(), re.escape(str(fact.item).rpartition("-")[2])
    numbered = rf"\b{noun}s? (?:numbers? |no\.? )?((?:{_NUMBER})(?:{_AND}(?:{_NUMBER}))*){_GOES_ON}"
    for found in re.finditer(numbered, words):
        named = re.split(_AND, found[1])
        if all(len(find_numbers(one)) == 1 for one in named):
            return len(named)
    return 1 if _named_alone(words, noun) else None


def number_taken(logged: LoggedFact) -> int | None:
    """Return how many of its part came off by the fact's number; one where its words name a single one.

    ("Starboard aileron's off. Three, sorry": three of what is not told, and it is no three ailerons.)
    """
    fact = logged.fact
    if fact.of != fact.item or fact.count is None:
        return None
    words, noun = (logged.around or logged.said).lower(), re.escape(str(fact.item).rpartition("-")[2])
    return 1 if _named_alone(words, noun) and not find_numbers(words) else fact.count


def _named_alone(words: str, noun: str) -> bool:
    return bool(re.search(rf"\b{noun}\b", words)) and not re.search(rf"\b(?:{noun}s|all|both|every|each)\b", words)
