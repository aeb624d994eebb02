"""Whether two texts say the same words, however they are written."""

import re
from functools import lru_cache

from pipeline.english import ORDINALS, nth
from pipeline.reading.numbers import find_numbers

_ORDINALS = {word: nth(number) for number, word in enumerate(ORDINALS, start=1)}
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
