"""Spoken and written numbers: where they stand and what they are, exactly."""

import re
from fractions import Fraction
from typing import NamedTuple

SMALL = {
    word: value
    for value, word in enumerate(
        [
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ]
    )
} | {"oh": 0, "nought": 0, "naught": 0}
TENS = dict(
    zip(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"],
        range(20, 100, 10),
        strict=True,
    )
)
_PARTS_OF_ONE = {
    "half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fifth": 5, "fifths": 5,
    "eighth": 8, "eighths": 8, "tenth": 10, "tenths": 10, "sixteenth": 16, "sixteenths": 16,
    "thirtysecond": 32, "thirtyseconds": 32,
    "sixtyfourth": 64, "sixtyfourths": 64, "hundredth": 100, "hundredths": 100,
}  # fmt: skip
_TOKEN = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+\.[0-9]+|[0-9]+|[^\W\d_]+|\.[0-9]+|/")


class Number(NamedTuple):
    """``text[start:end]`` says ``value``; ``digits`` is how it is written where it names something: "317", "0216"."""

    start: int
    end: int
    value: Fraction
    digits: str


class _Token(NamedTuple):
    start: int
    end: int
    text: str


def find_numbers(text: str) -> tuple[Number, ...]:
    """Return the numbers in ``text`` in order, none overlapping another.

    Figures ("1,500", "0.748", "5/16", "1 1/4"), words ("two hundred and forty", "fifteen hundred", "oh point seven"),
    figures said one by one or in twos ("three one seven", "three seventeen"), fractions ("five sixteenths",
    "two and a half", "half a dozen"), "a dozen", "a couple". "an inch and a quarter" is not put together here,
    because the unit stands inside it: it gives the quarter.
    """
    tokens = [_Token(m.start(), m.end(), m.group().lower()) for m in _TOKEN.finditer(text)]
    found: list[Number] = []
    at = 0
    while at < len(tokens):
        number, after = _number_at(text, tokens, at)
        if number is not None:
            found.append(number)
        at = max(after, at + 1)
    return tuple(found)


def _is_figures(word: str) -> bool:
    return word.isascii() and word.isdigit()


def _joined(text: str, tokens: list[_Token], at: int) -> bool:
    """Tell whether token ``at`` follows the one before with only a space or hyphen between."""
    return 0 < at < len(tokens) and text[tokens[at - 1].end : tokens[at].start] in (" ", "-", "  ", "")


def _word(text: str, tokens: list[_Token], at: int) -> str:
    return tokens[at].text if _joined(text, tokens, at) else ""


def _number_at(text: str, tokens: list[_Token], at: int) -> tuple[Number | None, int]:
    for rule in (_of_twelve, _fraction, _figures, _spoken):
        value, digits, after = rule(text, tokens, at)
        if value is None:
            continue
        whole = value
        value, after = _and_fraction(text, tokens, after, value)
        digits = digits if digits and value == whole else _written(value)
        return Number(tokens[at].start, tokens[after - 1].end, value, digits), after
    return None, at + 1


def _written(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"


_Found = tuple[Fraction | None, str, int]


def _of_twelve(text: str, tokens: list[_Token], at: int) -> _Found:
    first = tokens[at].text
    if first == "half" and _word(text, tokens, at + 1) == "a" and _word(text, tokens, at + 2) == "dozen":
        return Fraction(6), "", at + 3
    if first in ("a", "one", "two", "three", "four") and _word(text, tokens, at + 1) == "dozen":
        return Fraction(12 * SMALL.get(first, 1)), "", at + 2
    if first in ("a", "the") and _word(text, tokens, at + 1) in ("couple", "pair"):
        return Fraction(2), "", at + 2
    return None, "", at


def _denominator(text: str, tokens: list[_Token], at: int) -> tuple[int, int]:
    word = _word(text, tokens, at)
    if word in ("thirty", "sixty"):
        both = word + _word(text, tokens, at + 1)
        if both in _PARTS_OF_ONE:
            return _PARTS_OF_ONE[both], at + 2
    return (_PARTS_OF_ONE[word], at + 1) if word in _PARTS_OF_ONE else (0, at)


def _fraction(text: str, tokens: list[_Token], at: int) -> _Found:
    """Read "half", "a quarter", "five sixteenths"."""
    first = tokens[at].text
    if first in ("half", "quarter"):
        return Fraction(1, _PARTS_OF_ONE[first]), "", at + 1
    top = 1 if first in ("a", "an") else SMALL.get(first, int(first) if _is_figures(first) and len(first) < 3 else 0)
    if top:
        below, after = _denominator(text, tokens, at + 1)
        if (below and (top > 1) == (tokens[after - 1].text[-1] == "s")) or (below and first in ("a", "an", "one")):
            return Fraction(top, below), "", after
    return None, "", at


def _figures(text: str, tokens: list[_Token], at: int) -> _Found:
    token = tokens[at]
    if token.text[0] not in "0123456789.":
        return None, "", at
    value, after = Fraction(token.text.replace(",", "")), at + 1
    slash = after + 1 < len(tokens) and tokens[after].text == "/" and _is_figures(tokens[after + 1].text)
    if slash and tokens[after].start == token.end and int(tokens[after + 1].text):
        return value / int(tokens[after + 1].text), "", after + 2
    if _joined(text, tokens, after) and after + 2 < len(tokens) and tokens[after + 1].text == "/":
        top, below = tokens[after].text, tokens[after + 2].text
        if _is_figures(top) and _is_figures(below) and 0 < int(top) < int(below) and text[token.end] in " -":
            return value + Fraction(int(top), int(below)), "", after + 3
    if _word(text, tokens, after) == "hundred":
        return value * 100, "", after + 1
    if _word(text, tokens, after) == "thousand":
        return value * 1000, "", after + 1
    return value, token.text.replace(",", ""), after


def _spoken(text: str, tokens: list[_Token], at: int) -> _Found:
    first = tokens[at].text
    if first in ("a", "one") and _word(text, tokens, at + 1) in ("hundred", "thousand"):
        return _scaled(text, tokens, at + 1, 1)
    if first == "point" and _word(text, tokens, at + 1) in SMALL:
        return _point(text, tokens, at + 1, Fraction(0))
    if first == "oh" and _word(text, tokens, at + 1) not in SMALL and _word(text, tokens, at + 1) != "point":
        return None, "", at
    if first not in SMALL and first not in TENS:
        return None, "", at
    pieces, after = _run(text, tokens, at)
    digits = "".join(pieces)
    if len(pieces) == 1 or (len(pieces) == 2 and first in SMALL and SMALL[first] < 10 and len(pieces[1]) == 2):
        pass
    elif len(pieces) < 3:
        digits, after = pieces[0], at + 1
    value = Fraction(int(digits))
    next_word = _word(text, tokens, after)
    if next_word in ("hundred", "thousand"):
        return _scaled(text, tokens, after, int(value))
    if next_word == "point" and _word(text, tokens, after + 1) in SMALL | TENS:
        return _point(text, tokens, after + 1, value)
    return value, digits, after


def _run(text: str, tokens: list[_Token], at: int) -> tuple[list[str], int]:
    """Return number words that follow each other as written figures: "three", "seventeen", "forty two" is one."""
    pieces: list[str] = []
    while at < len(tokens) and (not pieces or _joined(text, tokens, at)):
        word = tokens[at].text
        if word in TENS:
            ones = SMALL.get(_word(text, tokens, at + 1), 0)
            step = 2 if 0 < ones < 10 else 1
            pieces.append(str(TENS[word] + (ones if step == 2 else 0)))
            at += step
        elif word in SMALL:
            pieces.append(str(SMALL[word]))
            at += 1
        else:
            break
    return pieces, at


def _scaled(text: str, tokens: list[_Token], at: int, times: int) -> _Found:
    """Read "hundred and forty" or "thousand two hundred" after ``times``."""
    size = 100 if tokens[at].text == "hundred" else 1000
    value, after = times * size, at + 1
    rest = after + 1 if _word(text, tokens, after) == "and" else after
    if _word(text, tokens, rest) in SMALL | TENS and _word(text, tokens, rest) not in ("oh", "zero"):
        more, _digits, end = _spoken(text, tokens, rest)
        if more is not None and more < size and (rest == after or _digits):
            return value + more, "", end
    return Fraction(value), "", after


def _point(text: str, tokens: list[_Token], at: int, whole: Fraction) -> _Found:
    pieces, after = _run(text, tokens, at)
    digits = "".join(pieces)
    return whole + Fraction(int(digits), 10 ** len(digits)), f"{whole}.{digits}", after


def _and_fraction(text: str, tokens: list[_Token], at: int, value: Fraction) -> tuple[Fraction, int]:
    """Add "and a half" or "and three quarters" to a whole number."""
    if value.denominator == 1 and _word(text, tokens, at) == "and" and _joined(text, tokens, at + 1):
        part, _digits, after = _fraction(text, tokens, at + 1)
        if part is not None and after > at + 1:
            return value + part, after
    return value, at
