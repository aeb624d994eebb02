"""Text made into words that can be compared fairly, whichever way a number or a spelling was written.

Every number becomes its figures, one word each, whether it was written in figures or in words: "317", "three hundred
and seventeen", "three seventeen" and "three one seven" are all 3 1 7, and "P-0142" is p 0 1 4 2. So a number counts
for as many words as it has figures. "16th" is "sixteenth" and "5/16" is "5 sixteenths". British and American
spellings of a word are one word, and so are units and their signs. Nobody hears an apostrophe: "it's" is its.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass


def _list(words: str) -> list[str]:
    return words.split()


SMALL = _list(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
)
TENS = ["", "", *_list("twenty thirty forty fifty sixty seventy eighty ninety")]
VALUES = {word: value for value, word in enumerate(SMALL)} | {word: 10 * at for at, word in enumerate(TENS) if word}
ZEROS = frozenset({"oh", "nought", "naught"})
SCALES = {"hundred": 100, "thousand": 1000}
ORDINALS = _list(
    "zeroth first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth "
    "fifteenth sixteenth seventeenth eighteenth nineteenth"
)
FRACTIONS = {2: "half", 4: "quarter"}

# One spelling for each word, and the word for each sign.
SAME = {
    "aluminum": "aluminium", "carburetor": "carburettor", "carburetors": "carburettors", "center": "centre",
    "centers": "centres", "centered": "centred", "color": "colour", "colored": "coloured", "colors": "colours",
    "favor": "favour", "fiber": "fibre", "gage": "gauge", "gray": "grey", "jewelry": "jewellery",
    "labeled": "labelled", "labeling": "labelling", "leveled": "levelled", "license": "licence", "liter": "litre",
    "liters": "litres", "meter": "metre", "meters": "metres", "millimeter": "millimetre",
    "millimeters": "millimetres", "centimeter": "centimetre", "centimeters": "centimetres", "mold": "mould",
    "molding": "moulding", "plow": "plough", "rubberized": "rubberised", "tire": "tyre", "tires": "tyres",
    "analyze": "analyse", "analyzed": "analysed", "program": "programme", "traveled": "travelled", "vise": "vice",
    "mum": "mom", "alright": "all right", "ok": "okay", "o.k": "okay", "mr": "mister", "mrs": "missus",
    "mm": "millimetres", "millimetre": "millimetre", "cm": "centimetres", "kg": "kilograms", "kilos": "kilograms",
    "lb": "pounds", "lbs": "pounds", "ft": "feet", "psi": "p s i", "%": "percent", "°": "degrees", "&": "and",
    "+": "plus",
}  # fmt: skip
_IZE = re.compile(r"(?<=[a-z]{3})iz(e|ed|es|er|ers|ing|ation)$")
_TOKEN = re.compile(r"\d+(?:st|nd|rd|th)\b|\d+/\d+|\d+(?:,\d{3})+\b|\d+|[^\W\d_]+|[%°&+]|(?<=\d)\.(?=\d)")


@dataclass(frozen=True)
class PlainWord:
    """A word to compare; ``token`` is which of the text's space-separated pieces it came from, counted from 0."""

    text: str
    token: int


def plain_words(text: str) -> list[PlainWord]:
    """Make a text into words that can be compared, in order; punctuation and capitals are gone."""
    return list(_figures(list(_words(text))))


def plain(text: str) -> list[str]:
    return [word.text for word in plain_words(text)]


def joined_alike(said: Sequence[str], heard: Sequence[PlainWord]) -> list[PlainWord]:
    """Join words that were heard parted where one word was said: "tail plane" is "tailplane"."""
    out: list[PlainWord] = []
    known, here = set(said), {word.text for word in heard}
    for word in heard:
        both = out[-1].text + word.text if out else ""
        if both in known and both not in here and not word.text.isdigit():
            out[-1] = PlainWord(both, out[-1].token)
        else:
            out.append(word)
    return out


def _words(text: str) -> Iterator[PlainWord]:
    for token, piece in enumerate(text.split()):
        lower = re.sub("['\u2018\u2019]", "", unicodedata.normalize("NFKC", piece).lower())
        for found in _TOKEN.findall(lower):
            for word in _one_way(found).split():
                yield PlainWord(word, token)


def _one_way(word: str) -> str:
    if word == ".":
        return "point"
    if "/" in word:
        return _fraction(*(int(part) for part in word.split("/")))
    if word[0].isdigit():
        return _ordinal(int(word[:-2])) if word[-1].isalpha() else word.replace(",", "")
    return _IZE.sub(r"is\1", SAME.get(word, word))


def _ordinal(number: int) -> str:
    if number < len(ORDINALS):
        return ORDINALS[number]
    tens, ones = divmod(number, 10)
    if ones:
        return f"{tens * 10} {ORDINALS[ones]}"
    return TENS[tens][:-1] + "ieth" if tens < len(TENS) else f"{number}th"


def _fraction(top: int, below: int) -> str:
    name = FRACTIONS.get(below) or _ordinal(below)
    many = "halves" if name == "half" else f"{name}s"
    if top == 1:
        return name if name == "half" else f"a {name}"
    return f"{top} {many}"


def _figures(words: Sequence[PlainWord]) -> Iterator[PlainWord]:
    """Write every number in figures, each figure with the word that says it: of "two hundred and six", 20 and 6."""
    at = 0
    after_number = False
    while at < len(words):
        parts, after = _number(words, at)
        text = words[at].text
        if parts:
            left = str(sum(amount for _, amount in parts))
            sizes = [*(len(str(amount)) for _, amount in parts), 0]
            for nth, (place, _) in enumerate(parts):
                size = sizes[nth] - sizes[nth + 1]
                yield from (PlainWord(figure, words[place].token) for figure in left[:size])
                left = left[size:]
        elif text.isdigit():
            yield from (PlainWord(figure, words[at].token) for figure in text)
        elif text in ZEROS and (after_number or _at(words, at + 1) == "point" or _is_number(words, at + 1)):
            yield PlainWord("0", words[at].token)
        elif not (text == "a" and _at(words, at + 1) in SCALES):
            yield words[at]
        after_number = bool(parts) or text.isdigit()
        at = max(after, at + 1)


def _number(words: Sequence[PlainWord], at: int) -> tuple[list[tuple[int, int]], int]:
    """Read a number said in words: which words say how much of it, and where it ends; no parts where none is."""
    parts, after = _below_hundred(words, at)
    for scale, size in (("hundred", 100), ("thousand", 1000)):
        if _at(words, after) != scale:
            continue
        parts = [(place, amount * size) for place, amount in parts] or [(after, size)]
        after += 1
        below = _below_hundred if scale == "hundred" else _number
        rest, end = below(words, after + (_at(words, after) == "and"))
        if rest and 0 < sum(amount for _, amount in rest) < size:
            parts, after = parts + rest, end
    return parts, after


def _below_hundred(words: Sequence[PlainWord], at: int) -> tuple[list[tuple[int, int]], int]:
    value = VALUES.get(_at(words, at))
    if value is None:
        return [], at
    ones = VALUES.get(_at(words, at + 1), 0)
    if value >= 20 and 0 < ones < 10:
        return [(at, value), (at + 1, ones)], at + 2
    return [(at, value)], at + 1


def _is_number(words: Sequence[PlainWord], at: int) -> bool:
    text = _at(words, at)
    return text.isdigit() or text in VALUES or text in ZEROS


def _at(words: Sequence[PlainWord], at: int) -> str:
    return words[at].text if at < len(words) else ""
