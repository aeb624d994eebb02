"""Tag numbers as they are written, as recognisers write them down, and as they are spelled out."""

import re

from pipeline.hardware.makers_numbers import find_makers_numbers
from pipeline.reading.forms import word_set
from pipeline.reading.numbers import find_numbers
from pipeline.reading.pieces import Line, Piece

# "D-01-04" is D-0104, said in two groups; "TW-655-1" is none.
_TAG = re.compile(r"[A-Za-z]{1,2}-(?:\d\d[- ]\d\d(?![-\d])|\d{2,5}(?![-/]\d))\b")
_BY_FIRST_LETTER = word_set(
    "bee dee gee jay kay pee pea tee vee zed bravo charlie delta echo foxtrot golf hotel juliet kilo lima mike "
    "november papa quebec romeo sierra tango uniform victor yankee zulu"
)
_ONE_FIGURE = re.compile(r"[A-Za-z]-\d(?![-/\w]|\.\d)")  # "A-7", which may be a size or a part number as well
TAGGED = word_set("tag tags tagged label labels labelled labeled")
_SPOKEN = {  # names of letters, and what radio operators say for them
    **{word: word[0].upper() for word in sorted(_BY_FIRST_LETTER)},
    **{"ell": "L", "em": "M", "en": "N", "ess": "S"},
}
# As recognisers write it down: "P0311", "P O320", "P, 0321", "pee. 0310", "M-O-206", "M, O2O3". The O is a nought.
_HEARD_TAG = re.compile(
    rf"([A-Z]{{1,2}}|[a-z]|(?i:{'|'.join(_SPOKEN)}))"
    r"([\s,.-]{1,3}(?=[\dOo])|(?=\d|O\d))"
    r"([0Oo](?:[\s-]?[\dOo]){2,4}|\d{3,5})\b"
)
_LETTER_BEFORE = re.compile(rf"(?<![\w'\u2019])({'|'.join(_SPOKEN)}|[b-hj-z])([\s,.-]{{1,3}})$", re.IGNORECASE)
_FEWEST = 3  # figures on a tag that is spelt out
_PART_NUMBERS = word_set("an ms as sp ac bs na ag")
_REACH = 4  # words from "tag" to its number
_DASHES = word_set(", . dash hyphen stroke - \u2013 number")


def tags_in(text: str) -> tuple[str, ...]:
    """Return the tags that stand in a text, however a recogniser wrote them down, as labels show them; in order.

    Looser than ``tag_at``: for whoever holds them against the tags that there are.
    """
    found = {}
    others = find_makers_numbers(text)
    for rule in (_TAG, _HEARD_TAG):
        for match in rule.finditer(text):
            if _begins(text, match.start()) and not any(one.start <= match.start() < one.end for one in others):
                tag = _joined(match) if rule is _TAG else _as_written(match)
                if tag is not None:
                    found[match.start()] = tag
    found |= _spelt_out(text)
    return tuple(dict.fromkeys(tag for _, tag in sorted(found.items())))


def _spelt_out(text: str) -> dict[int, str]:
    """Return the tags whose figures are said one by one, by where they begin: "P zero zero zero one"."""
    found = {}
    for number in find_numbers(text):
        letter = _LETTER_BEFORE.search(text, 0, number.start)
        figures = number.digits
        if letter is None or len(figures) < _FEWEST or not figures.isdigit() or text[number.start].isdigit():
            continue
        name = letter.group(1).lower()
        if figures.startswith("0") or (len(name) == 1 and not letter.group(2).strip()):
            found[letter.start()] = f"{_SPOKEN.get(name, name.upper())}-{figures}"
    return found


def as_label(tag: str) -> str:
    """Return a tag with four figures at least, as labels have them: people leave zeros out as they read one out."""
    letters, _, figures = tag.partition("-")
    return f"{letters}-{int(figures):04}" if figures.isdecimal() else tag


def tag_at(line: Line, at: int) -> tuple[Piece, int] | None:
    """Return the tag that starts at a token, with the token after it, or None."""
    token = line.tokens[at]
    match = _TAG.match(line.text, token.start)
    if match is None and TAGGED & set(line.lows[max(0, at - _REACH) : at]):
        match = _ONE_FIGURE.match(line.text, token.start)
    if match and _begins(line.text, match.start()):
        after = line.token_after(match.end(), at)
        return line.piece("tag", at, after, digits=_joined(match)), after
    return _heard_tag(line, at) or _spelt_tag(line, at)


def _begins(text: str, at: int) -> bool:
    """Tell whether a tag may begin at a character: not inside of a word, nor of a longer number ("T-W-410")."""
    return at == 0 or not (text[at - 1].isalnum() or (text[at - 1] in "-/" and text[at - 2 : at - 1].isalnum()))


def _joined(match: re.Match[str]) -> str:
    """Return a tag with its figures in one group."""
    letters, figures = match.group().upper().split("-", 1)
    return f"{letters}-{re.sub(r'[- ]', '', figures)}"


def _heard_tag(line: Line, at: int) -> tuple[Piece, int] | None:
    token = line.tokens[at]
    match = _HEARD_TAG.match(line.text, token.start)
    if not match or not _begins(line.text, match.start()):
        return None
    tag = _as_written(match)
    if tag is None:
        return None
    after = line.token_after(match.end(), at)
    return line.piece("tag", at, after, digits=tag), after


def _as_written(match: re.Match[str]) -> str | None:
    """Return a tag as labels show it, out of how a recogniser wrote it down; None where it is no tag."""
    letters, digits = match.group(1), re.sub(r"\D", "", re.sub("[Oo]", "0", match.group(3)))
    between = match.group(2)
    if letters.lower() in _PART_NUMBERS or (letters.lower() in ("a", "i") and between):
        return None
    letter = _SPOKEN.get(letters.lower())
    if (letter or letters.islower() or between.strip()) and not digits.startswith("0"):
        return None
    return f"{letter or letters.upper()}-{digits}"


def _spelt_tag(line: Line, at: int) -> tuple[Piece, int] | None:
    """Read "P oh three one two", also with a comma after the letter."""
    token = line.tokens[at]
    if token.low not in _SPOKEN and not (len(token.low) == 1 and token.low.isalpha() and token.low not in "ai"):
        return None
    comma = line.low(at + 1) in _DASHES
    number = line.numbers.get(at + 2 if comma else at + 1)
    if number is None or len(number[0].digits) < 3 or not number[0].digits.isdigit():
        return None
    if (comma or token.low in _SPOKEN) and not number[0].digits.startswith("0"):
        return None
    letter = _SPOKEN.get(token.low, token.low.upper())
    return line.piece("tag", at, number[1], digits=f"{letter}-{number[0].digits}"), number[1]
