"""Spoken and written numbers: where they stand and what they are, exactly."""

import re
import unicodedata
from fractions import Fraction
from itertools import pairwise
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
_SIGNS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_RULER = frozenset({8, 16, 32, 64})
_ORDINALS = frozenset({3, 5, 10})  # "a third bolt" is one more bolt
_AFTER_PART = frozenset({"", "of", "full", "empty", "up", "down"})
_LARGE = {"hundred": 100, "thousand": 1000}
_BARELY = frozenset({"good", "bare", "full", "fat", "scant", "strong", "tight"})  # "a good eighth"
_UNCOUNTED = frozenset({"few", "several", "many", "some", "odd"})
_TOKEN = re.compile(
    rf"[{_SIGNS}]|"
    r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+\.[0-9]+|[0-9]+|[^\W\d_¼-¾⅐-⅞]+|\.[0-9]+|/"
)


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

    Figures ("1,500", "0.748", "5/16", "1 1/4", "1½"), words ("two hundred and forty", "fifteen hundred", "oh point
    seven"), figures said one by one or in twos ("three one seven", "three seventeen", "oh double two"), years
    ("nineteen forty four"), fractions ("five sixteenths", "thirty-one sixty-fourths", "three-quarter", "7 32nds",
    "two and a half thousand"), "half a dozen", "couple of". "an inch and a quarter" is not put together here, because
    the unit stands inside it: it gives the quarter. "Thousandths" are a unit, and a minus sign is not read.
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
        if value != whole and _word(text, tokens, after) in _LARGE:
            value, after = value * _LARGE[tokens[after].text], after + 1
        digits = digits if digits and value == whole else _written(value)
        return Number(tokens[at].start, tokens[after - 1].end, value, digits), after
    return None, at + 1


def _written(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"


_Found = tuple[Fraction | None, str, int]


def _of_twelve(text: str, tokens: list[_Token], at: int) -> _Found:
    """Read "half a dozen", "two dozen", "a couple", "couple of", "a couple of hundred"."""
    first, following = tokens[at].text, _word(text, tokens, at + 1)
    if first == "half" and following == "a" and _word(text, tokens, at + 2) == "dozen":
        return Fraction(6), "", at + 3
    if first in ("a", "one", "two", "three", "four") and following == "dozen":
        return Fraction(12 * SMALL.get(first, 1)), "", at + 2
    if first in ("a", "the", "another") and following in ("couple", "pair"):
        after = at + 2
    elif first == "couple" and following == "of":
        after = at + 1
    else:
        return None, "", at
    more = after + 1 if _word(text, tokens, after) == "of" else after
    size = {"dozen": 12, **_LARGE}.get(_word(text, tokens, more), 0)
    return (Fraction(2 * size), "", more + 1) if size else (Fraction(2), "", after)


def _denominator(text: str, tokens: list[_Token], at: int) -> tuple[int, int, bool]:
    """Return the parts of one that are named at ``at``, 0 if none, where they end, and whether they are plural."""
    word = _word(text, tokens, at)
    if word in ("thirty", "sixty"):
        both = word + _word(text, tokens, at + 1)
        if both in _PARTS_OF_ONE:
            return _PARTS_OF_ONE[both], at + 2, both.endswith("s")
    ending = tokens[at + 1] if at + 1 < len(tokens) and tokens[at + 1].start == tokens[at].end else None
    if _is_figures(word) and int(word) in _RULER and ending and ending.text in ("ths", "nds", "th", "nd"):
        return int(word), at + 2, ending.text.endswith("s")
    return (_PARTS_OF_ONE[word], at + 1, word.endswith("s")) if word in _PARTS_OF_ONE else (0, at, False)


def _top(text: str, tokens: list[_Token], at: int) -> tuple[int, int]:
    """Return what may stand over the line of a fraction, "a" among them, 0 if nothing, and where it ends."""
    first = tokens[at].text
    if first in ("a", "an"):
        return 1, at + 2 if _word(text, tokens, at + 1) in _BARELY else at + 1
    if _is_figures(first) and len(first) < 3:
        return int(first), at + 1
    if first in TENS:
        ones = SMALL.get(_word(text, tokens, at + 1), 0)
        return (TENS[first] + ones, at + 2) if 0 < ones < 10 else (TENS[first], at + 1)
    return SMALL.get(first, 0), at + 1


def _fraction(text: str, tokens: list[_Token], at: int) -> _Found:
    """Read "half", "a quarter", "five sixteenths", "three-quarter", "½"."""
    first = tokens[at].text
    if first in _SIGNS:
        return Fraction(unicodedata.numeric(first)).limit_denominator(10), "", at + 1
    if first in ("half", "quarter"):
        return Fraction(1, _PARTS_OF_ONE[first]), "", at + 1
    top, over = _top(text, tokens, at)
    below, after, plural = _denominator(text, tokens, over) if top else (0, at, False)
    if not below or (top > 19 and not (top % 2 and top < below)):
        return None, "", at
    if first in ("a", "an") and below in _ORDINALS and _word(text, tokens, after) not in _AFTER_PART:
        return None, "", at
    if plural == (top > 1) or first in ("a", "an", "one") or _as_one_word(text, tokens, at, top, below):
        return Fraction(top, below), "", after
    return None, "", at


def _as_one_word(text: str, tokens: list[_Token], at: int, top: int, below: int) -> bool:
    """Tell whether a singular fraction before a noun is one size and not a count: "a five sixteenth bolt"."""
    if not (top % 2 and 1 < top < below):
        return False
    hyphen = text[tokens[at].end : tokens[at + 1].start] == "-"
    after_and = at > 0 and tokens[at - 1].text == "and" and _joined(text, tokens, at)
    return hyphen or after_and or below in _RULER


def _figures(text: str, tokens: list[_Token], at: int) -> _Found:
    token = tokens[at]
    if token.text[0] not in "0123456789.":
        return None, "", at
    value, after = Fraction(token.text.replace(",", "")), at + 1
    below = _under_slash(tokens, at)
    if below:
        return value / below, "", after + 2
    if _joined(text, tokens, after) and text[token.end] in " -" and _is_figures(tokens[after].text):
        top, below = int(tokens[after].text), _under_slash(tokens, after)
        if 0 < top < below:
            return value + Fraction(top, below), "", after + 3
    hundreds = value >= 100 and value % 100 == 0 and _word(text, tokens, after) == "and"
    if hundreds and _word(text, tokens, after + 1) in SMALL | TENS:  # "400 and fifty", as a recogniser writes it down
        rest, _digits, end = _below_hundred(text, tokens, after + 1)
        if 1 < rest < 100 and _word(text, tokens, end) != "of":
            return value + rest, "", end
    sign = _word(text, tokens, after)
    if sign and sign in _SIGNS:
        return value + Fraction(unicodedata.numeric(sign)).limit_denominator(10), "", after + 1
    if sign in _LARGE:
        return value * _LARGE[sign], "", after + 1
    return value, token.text.replace(",", ""), after


def _under_slash(tokens: list[_Token], at: int) -> int:
    """Return what stands under the line of a fraction in figures that begins at ``at``, 0 if there is none."""
    if at + 2 < len(tokens) and tokens[at + 1].text == "/" and tokens[at + 1].start == tokens[at].end:
        below = tokens[at + 2].text
        return int(below) if _is_figures(below) else 0
    return 0


def _spoken(text: str, tokens: list[_Token], at: int) -> _Found:
    value, digits, after = _whole(text, tokens, at)
    if value is None and tokens[at].text == "point" and _word(text, tokens, at + 1) in SMALL | TENS:
        return _point(text, tokens, at + 1, Fraction(0))
    if value is not None and _word(text, tokens, after) == "point" and _word(text, tokens, after + 1) in SMALL | TENS:
        return _point(text, tokens, after + 1, value)
    return value, digits, after


def _whole(text: str, tokens: list[_Token], at: int) -> _Found:
    """Read a whole number in words."""
    first, following = tokens[at].text, _word(text, tokens, at + 1)
    if first in ("a", "one") and following in _LARGE:
        return _scaled(text, tokens, at + 1, 1)
    if first in _LARGE and not (at and tokens[at - 1].text in _UNCOUNTED | {"of"}):
        return _scaled(text, tokens, at, 1)
    if first == "oh" and following not in SMALL and following not in ("point", "double"):
        return None, "", at
    if first not in SMALL and first not in TENS:
        return None, "", at
    pieces, ends = _run(text, tokens, at)
    used = len(pieces) if _spelled(text, tokens, at, pieces) else _pieces_of_one(pieces)
    digits, after = "".join(pieces[:used]), ends[used - 1]
    if _word(text, tokens, after) in _LARGE:
        return _scaled(text, tokens, after, int(digits))
    return Fraction(int(digits)), digits, after


def _spelled(text: str, tokens: list[_Token], at: int, pieces: list[str]) -> bool:
    """Tell whether figures are said one by one, with hyphens between: "frame three-five", but not "two-three"."""
    between = {text[tokens[n].end : tokens[n + 1].start] for n in range(at, at + len(pieces) - 1)}
    return between == {"-"} and all(len(one) == 1 for one in pieces) and int(pieces[1]) != int(pieces[0]) + 1


def _pieces_of_one(pieces: list[str]) -> int:
    """Return how many pieces make a number: all in "three seventeen", "oh two one six", one in "forty two fifty"."""
    if len(pieces[-1]) > 1 and all(int(after) == int(before) + 1 for before, after in pairwise(pieces)):
        return 1
    if len(pieces) != 2:
        return len(pieces)
    first, second = pieces
    as_figures = len(first) == 1 and (len(second) == 2 or "0" in pieces)
    return 2 if as_figures or (first == "19" and int(second) > 20) else 1


def _run(text: str, tokens: list[_Token], at: int) -> tuple[list[str], list[int]]:
    """Return number words that follow each other as written figures, and where each ends: "forty two" is one."""
    pieces: list[str] = []
    ends: list[int] = []
    while at < len(tokens) and (not pieces or _joined(text, tokens, at)):
        word, following = tokens[at].text, SMALL.get(_word(text, tokens, at + 1), -1)
        if word in TENS:
            step = 2 if 0 < following < 10 else 1
            pieces.append(str(TENS[word] + (following if step == 2 else 0)))
        elif word in SMALL:
            step = 1
            pieces.append(str(SMALL[word]))
        elif word == "double" and pieces and 0 <= following < 10:
            step = 2
            pieces.append(2 * str(following))
        else:
            break
        at += step
        ends.append(at)
    return pieces, ends


def _scaled(text: str, tokens: list[_Token], at: int, times: int) -> _Found:
    """Read "hundred and forty" or "thousand two hundred" after ``times``, and "hundred and fifty thousand"."""
    size = _LARGE[tokens[at].text]
    value, after = times * size, at + 1
    rest = after + 1 if _word(text, tokens, after) == "and" else after
    following = _word(text, tokens, rest)
    if following in SMALL | TENS and following not in ("oh", "zero"):
        more, digits, end = _below_hundred(text, tokens, rest) if size == 100 else _whole(text, tokens, rest)
        if more is not None and more < size and (rest == after or digits):
            value, after = value + int(more), end
    if size == 100 and _word(text, tokens, after) == "thousand":
        return _scaled(text, tokens, after, value)
    return Fraction(value), "", after


def _below_hundred(text: str, tokens: list[_Token], at: int) -> tuple[Fraction, str, int]:
    """Read the tens and ones after "hundred"."""
    pieces, ends = _run(text, tokens, at)
    return Fraction(int(pieces[0])), pieces[0], ends[0]


def _point(text: str, tokens: list[_Token], at: int, whole: Fraction) -> _Found:
    pieces, ends = _run(text, tokens, at)
    digits = "".join(pieces)
    return whole + Fraction(int(digits), 10 ** len(digits)), f"{whole}.{digits}", ends[-1]


def _and_fraction(text: str, tokens: list[_Token], at: int, value: Fraction) -> tuple[Fraction, int]:
    """Add "and a half", "and three quarters" or "and 5/8" to a whole number."""
    if value.denominator == 1 and _word(text, tokens, at) == "and" and _joined(text, tokens, at + 1):
        part, _digits, after = _fraction(text, tokens, at + 1)
        if part is None and _is_figures(tokens[at + 1].text):
            below = _under_slash(tokens, at + 1)
            part, after = (Fraction(int(tokens[at + 1].text), below), at + 4) if below else (None, at)
        if part is not None and part < 1 and after > at + 1:
            return value + part, after
    return value, at
