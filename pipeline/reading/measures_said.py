"""Measures as they are told: "15 mm by 4", "two foot six", "an inch and three quarters"."""

import re
from fractions import Fraction

from pipeline.reading.fact import Measure
from pipeline.reading.forms import word_set
from pipeline.reading.pieces import DETERMINERS, Line, Piece

_PARTS_OF_UNIT = {"ft": 12, "m": 100}  # of which people leave the name out
_FULL = word_set("good full clear whole bare mere solid")


def measure_at(line: Line, at: int) -> tuple[Piece, int] | None:
    """Return the measure that is told from a token on, with the token after it; None where none is."""
    found = _one_measure(line, at)
    if found is None:
        return None
    measures, after = [found[0]], found[1]
    if line.low(after) in ("by", "x") and line.numbers.get(after + 1):
        second = _one_measure(line, after + 1)
        number, number_after = line.numbers[after + 1]
        if second:
            measures.append(second[0])
            after = second[1]
        else:
            measures.append(Measure(value=float(number.value), unit=found[0].unit))
            after = number_after
    return line.piece("measure", at, after, measures=tuple(measures)), after


def _one_measure(line: Line, at: int) -> tuple[Measure, int] | None:
    number = line.numbers.get(at)
    if number:
        value, after = number[0].value, number[1]
        for word in ("of", "of a", "of an", "an", "a"):
            words = word.split()
            if [line.low(after + n) for n in range(len(words))] == words:
                unit = _unit(line, after + len(words))
                if unit and (value.denominator > 1 or word == "of"):
                    return Measure(value=float(value), unit=unit[0]), unit[1]
        unit = _unit(line, after)
        return _with_rest(line, value, *unit) if unit else None
    if line.low(at) in ("inch", "foot") and line.low(at + 1) == "and" and at - 1 not in line.numbers:
        extra = line.numbers.get(at + 2)
        if extra and 0 < extra[0].value < 1:  # "inch and three quarters"
            return Measure(value=float(1 + extra[0].value), unit="in" if line.low(at) == "inch" else "ft"), extra[1]
    if line.low(at) in ("a", "an"):
        unit = _unit(line, at + 2 if line.low(at + 1) in _FULL else at + 1)
        if (
            unit
            and unit[0] in ("in", "ft", "m", "h", "mm", "thou", "kg", "gal", "l", "lb")
            and (unit[0] == "in" or line.low(unit[1]) != "of")
        ):
            extra = line.numbers.get(unit[1] + 1)
            if line.low(unit[1]) == "and" and extra and 0 < extra[0].value < 1:
                return Measure(value=float(1 + extra[0].value), unit=unit[0]), extra[1]
            return Measure(value=1.0, unit=unit[0]), unit[1]
    return None


def _with_rest(line: Line, value: Fraction, unit: str, after: int) -> tuple[Measure, int]:
    """Return a measure with what is said after its unit: "two inches and a half", "two foot six"."""
    extra, smaller = line.numbers.get(after + 1), line.numbers.get(after)
    if line.low(after) == "and" and extra and 0 < extra[0].value < 1 and value.denominator == 1:
        return Measure(value=float(value + extra[0].value), unit=unit), extra[1]
    parts = _PARTS_OF_UNIT.get(unit, 0)
    if smaller and 0 < smaller[0].value < parts and not line.counts_before(smaller[1]):
        return Measure(value=float(value + smaller[0].value / parts), unit=unit), smaller[1]
    return Measure(value=float(value), unit=unit), after


def _unit(line: Line, at: int) -> tuple[str, int] | None:
    length, senses = line.lexicon.names.longest(line.nouns, at)
    unit = next((sense.notation for sense in senses if sense.kind == "units"), "")
    if not unit:
        return None
    if line.low(at) in ("in", "ins") and (re.match(r"[\w]", line.low(at + 1)) or _that_one(line, at - 1)):
        return None
    return unit, at + length


def _that_one(line: Line, at: int) -> bool:
    """Tell whether "one" stands for a part here: "put a new one in" is no inch."""
    described = at > 0 and (line.tokens[at - 1].tag.startswith("JJ") or line.low(at - 1) in DETERMINERS)
    return described and line.low(at) == "one"
