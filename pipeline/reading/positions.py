"""Which engine is meant where port and starboard do not tell: the nose engine, the inner one, number three.

A fact has a side and no more, so the position stands in its words alone; it is read from them wherever two engines,
or what belongs to them, could be taken for one.
"""

import re

from pipeline.reading.fact import Side

_NUMBERS = {"one": "1", "two": "2", "three": "3", "four": "4"}
_SAME = {"center": "centre", "middle": "centre", "inboard": "inner", "outboard": "outer"}
_ENGINE = r"(?:engine|motor|power ?unit|power ?plant|propeller|prop|airscrew)s?"
_TOLD = re.compile(
    r"\b(?:(?P<word>nose|centre|center|middle|inner|inboard|outer|outboard)"
    r"|(?:number|no\.?|nr\.?) ?(?P<number>one|two|three|four|[1-4]))"
    rf"(?:[- ](?:port|starboard|left|right))?(?:[- ]hand)? (?P<of>{_ENGINE})\b"
    rf"|\b{_ENGINE} (?:number|no\.?|nr\.?) ?(?P<after>one|two|three|four|[1-4])\b",
    re.IGNORECASE,
)
_SIDED = re.compile(rf"\b(?:port|starboard|left|right)(?:[- ]hand)? {_ENGINE}\b", re.IGNORECASE)
_ON_NO_SIDE = frozenset({"nose", "centre"})
_MORE_THAN_BOTH = re.compile(rf"\b(?P<number>three|four|3|4) (?:\w+ )?{_ENGINE}\b", re.IGNORECASE)


def position_told(words: str, side: Side | None) -> str:
    """Return which engine some words name: "nose", "centre", "inner", "outer", "number 3"; "" where they do not.

    Words that name two engines tell of neither.

    Args:
        words: of one fact.
        side: the fact's; an engine in the nose or the centre is on neither side.
    """
    found = {_position(one) for one in _TOLD.finditer(words)}
    position = found.pop() if len(found) == 1 else ""
    if position in _ON_NO_SIDE and (side is not None or _SIDED.search(words)):
        return ""
    return position


def number_told(words: str) -> int | None:
    """Return how many engines or propellers some words name, where that is more than one a side; else None."""
    found = _MORE_THAN_BOTH.search(words)
    return int(_NUMBERS.get(found["number"].lower(), found["number"])) if found else None


def same_position(one: tuple[Side | None, str], other: tuple[Side | None, str]) -> bool:
    """Tell whether two (side, position) can be of the same engine.

    They can where one of them says nothing; an engine that was told by its place alone is not one that was told by
    its side alone.
    """
    (side, position), (other_side, other_position) = one, other
    if position and other_position:
        return position == other_position
    if not position and not other_position:
        return True
    by_position, by_side = (side, other_side) if position else (other_side, side)
    return by_side is None or by_position is not None


def _position(found: re.Match[str]) -> str:
    number = found["number"] or found["after"]
    if number:
        return f"number {_NUMBERS.get(number.lower(), number)}"
    word = str(found["word"]).lower()
    return _SAME.get(word, word)
