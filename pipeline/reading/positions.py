"""Which engine is meant where port and starboard do not tell: the nose engine, the inner one, number three.

A fact has a side and no more, so the position stands in its words alone; it is read from them wherever two engines,
or what belongs to them, could be taken for one.
"""

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from pipeline.reading.fact import Side

_NUMBERS = {"one": "1", "two": "2", "three": "3", "four": "4"}
_SAME = {"center": "centre", "middle": "centre", "inboard": "inner", "outboard": "outer"}
_SIDES: dict[str, Side] = {"port": "port", "left": "port", "starboard": "starboard", "right": "starboard"}
_ENGINE = r"(?:engine|motor|power ?unit|power ?plant|propeller|prop|airscrew)s?"
# What an engine has one of, or one set: "the number two starter". Common practice, no source.
_OF_AN_ENGINE = (
    r"(?:cowl(?:ing)?s?|nacelle|starter|generator|alternator|magnetos|exhausts?|carburettor|spinner|firewall|governor|"
    r"oil (?:cooler|filter|pump|tank|pipe)s?|fuel (?:pump|pipe|filter)s?|(?:engine[- ])?mounts?)"
)
_NUMBER = r"(?:number|no\.?|nr\.?) ?"
_COUNT = "one|two|three|four|[1-4]"
_SIDE = r"(?:port|starboard|left|right)(?:[- ]hand)?"
# "the starboard outer", where the next word is none that it could stand before
_NO_NOUN = (
    r"(?=(?:'s|\u2019s)?\s*(?:[.,;:!?]|$|\b(?:is|are|was|has|and|but|or|now|off|out|on|in|at|to|with|first|again|by|"
    r"next|today|came|comes|went|then|we|this|as|too|also|back|for|because|since|while|until|before|after|yesterday|"
    r"tomorrow|not|yet|still|have|had|were|will|needs?|over|i|they|there)\b))"
)
_TOLD = re.compile(
    r"\b(?:(?P<word>nose|centre|center|middle|inner|inboard|outer|outboard)"
    rf"|{_NUMBER}(?P<number>{_COUNT}))(?:[- ]{_SIDE})? {_ENGINE}\b"
    rf"|\b{_ENGINE} {_NUMBER}(?P<after>{_COUNT})\b"
    rf"|\b{_NUMBER}(?P<whole>{_COUNT}) {_OF_AN_ENGINE}\b"
    # "off number two", "number three's pipe", where no noun stands before that has numbers too ("rib number three")
    rf"|\b(?:off|on(?:to)?|of|from|for|to|at|in) {_NUMBER}(?P<alone>{_COUNT})(?:(?=['\u2019]s\b)|{_NO_NOUN})"
    rf"|(?:^|[.,;:!?] |\b(?:the|and|but|then|so) ){_NUMBER}(?P<own>{_COUNT})(?=['\u2019]s\b)"
    rf"|\b{_SIDE}[- ](?P<short>inner|inboard|outer|outboard)(?! wing){_NO_NOUN}",
    re.IGNORECASE,
)
_SIDED = re.compile(rf"\b{_SIDE} {_ENGINE}\b", re.IGNORECASE)
_SIDE_BEFORE = re.compile(rf"\b{_SIDE}[- ]$", re.IGNORECASE)
_SIDE_IN = re.compile(rf"\b{_SIDE}\b", re.IGNORECASE)
_OF_FOUR: dict[str, tuple[Side, str]] = {
    "number 1": ("port", "outer"),
    "number 2": ("port", "inner"),
    "number 3": ("starboard", "inner"),
    "number 4": ("starboard", "outer"),
}
"""Engines are numbered from port; where some are outer ones, there are four. Source: common practice, no source."""
_NUMBERED = re.compile(
    rf"\b{_NUMBER}(?:{_COUNT})(?:['\u2019]s)? (?!cowl)(?:{_ENGINE}|{_OF_AN_ENGINE})\b"
    rf"|\b{_ENGINE} {_NUMBER}(?:{_COUNT})\b",
    re.IGNORECASE,
)
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


@lru_cache(maxsize=10_000)
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


def numbers_an_engine(words: str) -> bool:
    """Tell whether words number an engine, or what it has one of: "number four cowl" may be any engine's fourth."""
    return _NUMBERED.search(words) is not None


def number_told(words: str) -> int | None:
    """Return how many engines or propellers some words name, where that is more than one a side; else None."""
    found = _MORE_THAN_BOTH.search(words)
    return int(_NUMBERS.get(found["number"].lower(), found["number"])) if found else None


def same_position(one: tuple[Side | None, str], other: tuple[Side | None, str]) -> bool:
    """Tell whether two (side, position) can be of the same engine.

    They can where one of them says nothing; an engine that was told by its place alone is not one that was told by
    its side alone. Number one of four is the port outer one.
    """
    (side, position), (other_side, other_position) = one, other
    if position and other_position:
        return position == other_position or _is_numbered_so(one, other) or _is_numbered_so(other, one)
    if not position and not other_position:
        return True
    by_position, by_side = (side, other_side) if position else (other_side, side)
    return by_side is None or by_position is not None


def _is_numbered_so(numbered: tuple[Side | None, str], placed: tuple[Side | None, str]) -> bool:
    """Tell whether of two names of one of four engines the first is its number, the second its place."""
    side, position = _OF_FOUR.get(numbered[1], (None, ""))
    return position == placed[1] and position != "" and placed[0] in (None, side) and numbered[0] in (None, side)


def _side_of(found: re.Match[str], words: str) -> Side | None:
    side = _SIDE_IN.search(found.group()) or _SIDE_BEFORE.search(words[: found.start()])
    return _SIDES[re.split("[- ]", side.group().lower())[0]] if side else None


def _position(found: re.Match[str]) -> str:
    number = next((found[name] for name in ("number", "after", "whole", "alone", "own") if found[name]), None)
    if number:
        return f"number {_NUMBERS.get(number.lower(), number)}"
    word = str(found["word"] or found["short"]).lower()
    return _SAME.get(word, word)
