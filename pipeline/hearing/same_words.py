"""Whether two texts say the same words, however they are written."""

import re
from functools import lru_cache

from pipeline.reading.numbers import find_numbers

_ORDINALS = {
    "first": "1st", "second": "2nd", "third": "3rd", "fourth": "4th", "fifth": "5th", "sixth": "6th",
    "seventh": "7th", "eighth": "8th", "ninth": "9th", "tenth": "10th", "eleventh": "11th", "twelfth": "12th",
    "thirteenth": "13th", "fourteenth": "14th", "fifteenth": "15th", "sixteenth": "16th", "seventeenth": "17th",
    "eighteenth": "18th", "nineteenth": "19th", "twentieth": "20th",
}  # fmt: skip
_ORDINAL = re.compile(r"\b(" + "|".join(_ORDINALS) + r")\b")


@lru_cache(maxsize=65_536)
def said(text: str) -> str:
    """Write a text down in one way only.

    Returns:
        Its letters, small, and its numbers in figures, with nothing between: "Forty-two bolts." and "42 bolts" are
        both "42bolts", "tail plane" and "tailplane" both "tailplane".
    """
    text = _ORDINAL.sub(lambda found: _ORDINALS[found[0]], text.lower())
    pieces, at = [], 0
    for number in find_numbers(text):
        pieces += [text[at : number.start], number.digits]
        at = number.end
    return re.sub(r"[^a-z0-9]", "", "".join([*pieces, text[at:]]))


def same_said(one: str, other: str) -> bool:
    """Say whether two texts say the same words."""
    return said(one) == said(other)
