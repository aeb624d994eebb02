"""The pieces that a part number is said or written in: letters, figures, number words, dashes."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice, pairwise, product

from pipeline.reading.numbers import SMALL, TENS, Number, find_numbers

LETTER_NAMES: Mapping[str, str] = {
    "ay": "A", "bee": "B", "cee": "C", "dee": "D", "gee": "G", "aitch": "H", "ell": "L", "em": "M", "en": "N",
    "pee": "P", "ess": "S", "alpha": "A", "alfa": "A", "bravo": "B", "charlie": "C", "delta": "D", "echo": "E",
    "foxtrot": "F", "golf": "G", "hotel": "H", "kilo": "K", "lima": "L", "mike": "M", "november": "N", "papa": "P",
    "romeo": "R", "sierra": "S",
}  # fmt: skip
_DASHES: Mapping[str, str] = {
    "-": "-", "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "dash": "-", "hyphen": "-", "tack": "-",
    "/": "/", "slash": "/", "stroke": "/", "oblique": "/",
}  # fmt: skip
_TOKEN = re.compile(r"[A-Za-z]+|[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])|[0-9]+(?:\.[0-9]+)?|\S")
_LARGE = re.compile("hundred|thousand", re.IGNORECASE)
_MOST_PIECES = 16
_MOST_WAYS = 256


@dataclass(frozen=True, slots=True)
class Token:
    """A run of letters or figures, or one other sign; ``glued`` where nothing stands before it."""

    start: int
    end: int
    text: str
    glued: bool


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a number: ``kind`` is "figures", "word" (a number word), "letters" or "dash".

    ``apart`` where a space stands before it; ``weak`` for a small letter that may be a word of the sentence.
    """

    kind: str
    text: str
    end: int
    after: int
    apart: bool
    weak: bool = False


def tokens_of(text: str) -> tuple[Token, ...]:
    """Return the tokens of a text in order."""
    found = [(match.start(), match.end(), match.group()) for match in _TOKEN.finditer(text)]
    ends = [0, *(end for _start, end, _text in found)]
    return tuple(Token(start, end, word, start == ends[at]) for at, (start, end, word) in enumerate(found))


def letter_of(word: str) -> str:
    """Return the letter that a word is or names, or ""."""
    return word.upper() if len(word) == 1 and word.isalpha() else LETTER_NAMES.get(word.lower(), "")


def pieces_from(text: str, tokens: Sequence[Token], at: int) -> tuple[Piece, ...]:
    """Return the pieces that a number may be made of from token ``at`` on."""
    large = _large_numbers(text)
    found: list[Piece] = []
    while at < len(tokens) and len(found) < _MOST_PIECES:
        if found and not tokens[at].glued and text[tokens[at - 1].end : tokens[at].start].strip(" "):
            break
        piece = _large(text, large, tokens, at) or _piece(tokens, at)
        if piece is None:
            break
        found.append(piece)
        at = piece.after
    return tuple(found)


@lru_cache(maxsize=1)
def _large_numbers(text: str) -> Mapping[int, Number]:
    """Return the numbers of a text by their starts, where it has "thousand" and the like; asked again and again."""
    return {number.start: number for number in find_numbers(text)} if _LARGE.search(text) else {}


def _large(text: str, large: Mapping[int, Number], tokens: Sequence[Token], at: int) -> Piece | None:
    """Return "two thousand and four" as one piece; numbers without such a word may be cut otherwise."""
    number = large.get(tokens[at].start)
    if number is None or number.value.denominator > 1 or not _LARGE.search(text, number.start, number.end):
        return None
    after = next((n for n in range(at, len(tokens)) if tokens[n].start >= number.end), len(tokens))
    return Piece("figures", str(number.value), number.end, after, not tokens[at].glued)


def _piece(tokens: Sequence[Token], at: int) -> Piece | None:
    token = tokens[at]
    low, apart = token.text.lower(), not token.glued
    if token.text[0].isdigit() and token.text.isascii():
        return Piece("figures", token.text.replace(",", ""), token.end, at + 1, apart)
    if low in _DASHES:
        return Piece("dash", _DASHES[low], token.end, at + 1, apart)
    if low in SMALL or low in TENS:
        return Piece("word", str(SMALL.get(low, TENS.get(low, 0))), token.end, at + 1, apart)
    if low == "point" and at + 1 < len(tokens) and tokens[at + 1].text.lower() in SMALL:
        after = tokens[at + 1]
        return Piece("letters", f".{SMALL[after.text.lower()]}", after.end, at + 2, False)
    if token.glued and token.text == "s":  # a plural, as in "AN5s"
        return None
    letter = letter_of(token.text)
    if letter:
        return Piece(
            "letters", letter, token.end, at + 1, apart, weak=apart and token.text.islower() and len(low) == 1
        )
    plural = re.fullmatch("([A-Z]{1,3})s", token.text)
    if plural and token.glued:
        return Piece("letters", plural[1], token.end - 1, at + 1, apart)
    if token.text.isalpha() and len(token.text) <= 3 and (token.text.isupper() or token.glued):
        return Piece("letters", token.text.upper(), token.end, at + 1, apart)
    return None


def ways_to_write(pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield how pieces may be put together: "twenty four" as 24, "20 4" and 204; likeliest first."""
    joints = [_joints(before, piece) for before, piece in pairwise(pieces)]
    seen = set()
    for choice in islice(product(*joints), _MOST_WAYS):
        written = pieces[0].text
        for joint, piece in zip(choice, pieces[1:], strict=True):
            written = f"{written[:-1]}{piece.text}" if joint == "sum" else f"{written}{joint}{piece.text}"
        if written not in seen:
            seen.add(written)
            yield written


def _joints(before: Piece, piece: Piece) -> tuple[str, ...]:
    if "dash" in (before.kind, piece.kind) or not piece.apart:
        return ("",)
    if "letters" in (before.kind, piece.kind):
        return (" ",)
    if before.kind == piece.kind == "word" and before.text in _TENS_WRITTEN and 0 < int(piece.text) < 10:
        return ("sum", " ", "")
    return (" ", "")


_TENS_WRITTEN = frozenset(str(tens) for tens in TENS.values())
