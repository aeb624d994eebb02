"""Which engine is meant where port and starboard do not tell: the nose engine, the inner one, number three.

A fact has a side and no more, so the position stands in its words alone; it is read from them wherever two engines,
or what belongs to them, could be taken for one.
"""

import re
from collections.abc import Iterable
from typing import NamedTuple

from pipeline.reading.fact import Side

_NUMBERS = {"one": "1", "two": "2", "three": "3", "four": "4"}
_SAME = {"center": "centre", "middle": "centre", "inboard": "inner", "outboard": "outer"}
_SIDES: dict[str, Side] = {"port": "port", "left": "port", "starboard": "starboard", "right": "starboard"}
_ENGINE = r"(?:engine|motor|power ?unit|power ?plant|propeller|prop|airscrew)s?"
_SIDE = r"(?:port|starboard|left|right)(?:[- ]hand)?"
# "the starboard outer", where the next word is none that it could stand before
_NO_NOUN = (
    r"(?=(?:'s|\u2019s)?\s*(?:[.,;:!?]|$|\b(?:is|are|was|has|and|but|or|now|off|out|on|in|at|to|with|first|again|by|"
    r"next|today|came|comes|went|then|we|this)\b))"
)
_TOLD = re.compile(
    r"\b(?:(?P<word>nose|centre|center|middle|inner|inboard|outer|outboard)"
    r"|(?:number|no\.?|nr\.?) ?(?P<number>one|two|three|four|[1-4]))"
    rf"(?:[- ]{_SIDE})? (?P<of>{_ENGINE})\b"
    rf"|\b{_ENGINE} (?:number|no\.?|nr\.?) ?(?P<after>one|two|three|four|[1-4])\b"
    rf"|\b{_SIDE}[- ](?P<short>inner|inboard|outer|outboard)(?! wing){_NO_NOUN}",
    re.IGNORECASE,
)
_SIDED = re.compile(rf"\b{_SIDE} {_ENGINE}\b", re.IGNORECASE)
_SIDE_BEFORE = re.compile(rf"\b{_SIDE}[- ]$", re.IGNORECASE)
_SIDE_IN = re.compile(rf"\b{_SIDE}\b", re.IGNORECASE)
_ON_NO_SIDE = frozenset({"nose", "centre"})
_MORE_THAN_BOTH = re.compile(rf"\b(?P<number>three|four|3|4) (?:\w+ )?{_ENGINE}\b", re.IGNORECASE)


class Named(NamedTuple):
    """An engine as some words name it; "" and None for what they do not tell."""

    side: Side | None
    position: str


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


def engines_named(words: str) -> tuple[Named, ...]:
    """Return the engines that some words name by their side, their position or both, in order."""
    told = list(_TOLD.finditer(words))
    found = [(one.start(), Named(_side_of(one, words), _position(one))) for one in told]
    for one in _SIDED.finditer(words):
        if not any(other.start() <= one.start() < other.end() for other in told):
            found.append((one.start(), Named(_SIDES[re.split("[- ]", one.group().lower())[0]], "")))
    return tuple(named for _, named in sorted(found, key=lambda one: one[0]))


def position_meant(named: Iterable[Named], side: Side | None) -> str:
    """Return the position of the one engine that is meant on a side; "" where it is on another, or one of several."""
    fitting = [one for one in named if None in (one.side, side) or one.side == side or side == "both"]
    positions = {one.position for one in fitting}
    position = positions.pop() if len(positions) == 1 else ""
    return "" if position in _ON_NO_SIDE and side is not None else position


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


def _side_of(found: re.Match[str], words: str) -> Side | None:
    side = _SIDE_IN.search(found.group()) or _SIDE_BEFORE.search(words[: found.start()])
    return _SIDES[re.split("[- ]", side.group().lower())[0]] if side else None


def _position(found: re.Match[str]) -> str:
    number = found["number"] or found["after"]
    if number:
        return f"number {_NUMBERS.get(number.lower(), number)}"
    word = str(found["word"] or found["short"]).lower()
    return _SAME.get(word, word)
