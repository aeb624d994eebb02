"""Numbers that a maker gave a part: part numbers, serial numbers, drawing numbers, written or said."""

import re
from typing import NamedTuple

from pipeline.hardware.spelling import LETTER_NAMES
from pipeline.reading.numbers import SMALL, TENS

_DIGIT_WORDS = "|".join(sorted((*SMALL, *TENS), key=len, reverse=True))
_LETTER_WORDS = "|".join(sorted((word for word in LETTER_NAMES if len(word) > 1), key=len, reverse=True))
_REST = r"\d[A-Za-z0-9]*(?:[-/.][A-Za-z0-9]+)*"
_WRITTEN = rf"[A-Za-z]*{_REST}|[A-Z]+(?:[-/.][A-Z]+)*[-/.]{_REST}|[A-Z]{{1,3}}"
_SAID = rf"(?i:{_DIGIT_WORDS}|oh|double|treble|{_LETTER_WORDS}|tango|whisky|whiskey|x-ray|victor|dash|hyphen|stroke)"
_ONE = rf"(?:(?:{_WRITTEN}|{_SAID})\b(?!/[Nn]\b))"
_NUMBER = rf"{_ONE}(?:(?:[ -]|, (?=dash|hyphen|stroke)){_ONE})*"
_TITLE = (
    r"\b(?:(?i:(?:part|serial|drawing|batch|works|factory|maker's|manufacturer's)[ -]"
    r"(?:number|no\.?|num\.?)(?P<several>s?))"
    r"|[PSps]/[Nn]\.?|[PS]\.?[ ]?N\b\.?)"
)
_TOLD = re.compile(rf"{_TITLE}(?:,?\s+(?i:is|are|was|were|reads?|says|of)\b|'s\b|:|,)?\s*(?P<number>{_NUMBER})")
_ANOTHER = re.compile(rf"\s*(?:,|and|,\s*and)\s*(?P<number>{_NUMBER})")
_FIGURE = re.compile(rf"\d|\b(?:{_DIGIT_WORDS})\b", re.IGNORECASE)


class MakersNumber(NamedTuple):
    """A maker's number with its title, ``text[start:end]``: "serial number 117"."""

    start: int
    end: int


def find_makers_numbers(text: str) -> tuple[MakersNumber, ...]:
    """Return the numbers in a text that are told as a part's, a drawing's or as serial numbers, in order.

    They count nothing and stand on no tag: "P/N TW-655-1", "serial number one one seven". After a title in the plural
    there may be several: "serial numbers 117 and 118".
    """
    found = []
    for told in _TOLD.finditer(text):
        if not _FIGURE.search(told["number"]):
            continue
        end = told.end()
        while told["several"] and (more := _ANOTHER.match(text, end)) and _FIGURE.search(more["number"]):
            end = more.end()
        found.append(MakersNumber(told.start(), end))
    return tuple(found)
