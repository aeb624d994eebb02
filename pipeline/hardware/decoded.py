"""What a standard's rule says of a part number, and the rules' form."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from pipeline.hardware.units import inches

_SAID = {"bolt size": "for {} bolts", "length": "{} long", "thickness": "{} thick"}


@dataclass(frozen=True, slots=True)
class Size:
    """A size in inches: ``what`` is "diameter", "length", "nominal length", "grip", "thickness" or "bolt size".

    A bolt's length code gives its nominal length: drawings allow it to be about 1/32 in more. ``designation`` is the
    size's own name where it has one: "No. 10".
    """

    what: str
    inches: Fraction
    designation: str = ""

    def text(self) -> str:
        """Return "1/4 in (6.35 mm) diameter"."""
        measured = inches(self.inches)
        if self.designation:
            measured = f"{measured[:-1]}; {self.designation})"
        return _SAID.get(self.what, "{} " + self.what).format(measured)


@dataclass(frozen=True, slots=True)
class Decoded:
    """What a part number says.

    ``kind`` is what the part is, with its material; ``sizes`` and ``features`` are empty where the number
    doesn't give them; ``thread`` is as the trade writes it, "1/4-28"; ``unread`` says what was not worked out;
    ``source`` is where the rule is published.
    """

    kind: str
    sizes: tuple[Size, ...] = ()
    thread: str = ""
    features: tuple[str, ...] = ()
    unread: str = ""
    source: str = ""

    def size(self, what: str) -> Fraction | None:
        """Return a size in inches, or None where the number doesn't give it."""
        return next((size.inches for size in self.sizes if size.what == what), None)


class Reading(NamedTuple):
    """A part number as its standard writes it, with what it says."""

    number: str
    decoded: Decoded


class Rule(NamedTuple):
    """How one family of numbers is made up.

    ``pattern`` matches what follows the series' letters, in capitals, with " " where words stood apart; a group is
    given to ``read`` with its spaces taken out.
    """

    series: tuple[str, ...]
    pattern: re.Pattern[str]
    read: Callable[[dict[str, str]], Reading | None]


def rule(series: str, pattern: str, read: Callable[[dict[str, str]], Reading | None]) -> Rule:
    """Return a rule for one or more series ("AN MS"); in the pattern "~" stands for a hyphen, a space or nothing."""
    return Rule(tuple(series.split()), re.compile(pattern.replace("~", "[ -]*")), read)


def sixteenths(number: str | int) -> Fraction:
    """Return a number of sixteenths of an inch."""
    return Fraction(Fraction(number), 16)


def thirty_seconds(number: str | int) -> Fraction:
    """Return a number of thirty-seconds of an inch."""
    return Fraction(Fraction(number), 32)


def screw_gauge(number: int) -> Fraction:
    """Return the diameter of a numbered machine screw: 0.060 in and 0.013 in more for each number.

    Source: ASME B1.1 (from memory): No. 10 is 0.190 in.
    """
    return Fraction(60 + 13 * number, 1000)
