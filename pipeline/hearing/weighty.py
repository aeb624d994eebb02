"""Words on which a record stands or falls: numbers, sides, places, names of bags and tags, and "not"."""

import re

from pipeline.reading.forms import word_set
from pipeline.reading.numbers import find_numbers

_SIDES = word_set("port starboard left right upper lower inboard outboard forward aft front rear top bottom")
_PLACES = word_set(
    "frame frames rib ribs station stations bag bags tag tags box boxes tin tins tray trays rack shelf"
)
_DENIALS = word_set("no not none never nothing without cannot neither nor")
_WORD = re.compile(r"[a-z]+")


def weighs(text: str) -> bool:
    """Say whether a text has a word on which a record stands or falls."""
    words = set(_WORD.findall(text.lower().replace("n't", " not")))
    return bool(words & (_SIDES | _PLACES | _DENIALS)) or is_number(text)


def is_number(text: str) -> bool:
    """Say whether a number is in a text, in words or in figures."""
    return any(character.isdigit() for character in text) or bool(find_numbers(text))
