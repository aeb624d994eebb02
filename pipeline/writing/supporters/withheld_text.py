"""Text as a search for secrets reads it: plain letters, every disguise undone, cut into words and sentences."""

import base64
import binascii
import html
import re
import unicodedata
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import NamedTuple
from urllib.parse import unquote

# Letters of other alphabets that look Latin. Source: Unicode Technical Standard #39, confusables (from memory).
_LOOK_ALIKES = str.maketrans(
    "\u0430\u0435\u043e\u0440\u0441\u0445\u0443\u0456\u0458\u0455\u0410\u0412\u0415\u041a\u041c\u041d\u041e\u0420"
    "\u0421\u0422\u0425\u0391\u0392\u0395\u0397\u0399\u039a\u039c\u039d\u039f\u03a1\u03a4\u03a7\u03bf\u0131",
    "aeopcxyijsABEKMHOPCTXABEHIKMNOPTXoi",
)
_SIGNS = str.maketrans({
    "\u2019": "'", "\u2018": "'", "\u02bc": "'", "\u00b4": "'", "`": "'",
    "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2212": "-",
})  # fmt: skip
MARKS = re.compile(r"[*_`#>|\\]")
"""The marks of Markdown: a text that is looked at may have lost them."""
_WORD = re.compile(r"[A-Za-z]+(?:'[A-Za-z]+)*'?|\d+")
_OWNED = re.compile(r"'s$|'$", re.IGNORECASE)
_JOINS = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Za-z])(?=\d)|(?<=\d)(?=[A-Za-z])|_")
_BASE64 = re.compile(r"(?<![A-Za-z0-9+/])[A-Za-z0-9+/]{12,}={0,2}")
_LEAST_SHARE_OF_TEXT = 0.9
# A stop that ends no sentence: a title, a short form, or one letter of a name.
_NO_END = re.compile(r"(?:\b(?:Mr|Mrs|Ms|Dr|St|[Nn]o|Prof|Rev|Sqn|Ldr|Capt|approx|e\.g|i\.e|[A-Z])\.)$")
_END = re.compile(r"[.!?\u2026]+[\"'\u201d\u2019)\]]*(?=\s|$)")
_DIGIT_WORDS = {
    word: str(number)
    for number, words in enumerate((
        ("zero", "oh", "nought"), ("one",), ("two",), ("three",), ("four",), ("five",), ("six",), ("seven",),
        ("eight",), ("nine",), ("ten",), ("eleven",), ("twelve",), ("thirteen",), ("fourteen",), ("fifteen",),
        ("sixteen",), ("seventeen",), ("eighteen",), ("nineteen",), ("twenty",),
    ))
    for word in words
}  # fmt: skip


WhyWithheld = Callable[[str], tuple[str, ...]]
"""Tells why a text may not go out; nothing where it may."""


class Word(NamedTuple):
    """A word of a text: where it stands, its small letters without "'s" and apostrophes, and its own letters."""

    start: int
    end: int
    low: str
    own: str


_MOST_REMEMBERED = 1 << 16  # every report of a book looks through the same names and words


@lru_cache(maxsize=_MOST_REMEMBERED)
def plain(text: str) -> str:
    """Return a text in plain letters: no accents, no unseen characters, no letters that only look Latin.

    Source: Unicode Standard Annex #15 (compatibility decomposition).
    """
    if text.isascii():  # as nearly all is, and names of files by the hundred thousand
        return " ".join(text.translate(_SIGNS).split())
    apart = unicodedata.normalize("NFKD", text.translate(_LOOK_ALIKES))
    seen = "".join(one for one in apart if unicodedata.category(one) not in ("Mn", "Cf"))
    return " ".join(seen.translate(_SIGNS).split())


def readings(text: str) -> tuple[str, ...]:
    """Return a text in plain letters, then what it says once percent signs, entities and base64 are undone."""
    found = {plain(text): None}
    for _ in range(2):
        for one in tuple(found):
            for other in (html.unescape(one), unquote(one), *_from_base64(one)):
                found.setdefault(plain(other))
    return tuple(found)


@lru_cache(maxsize=_MOST_REMEMBERED)
def words(text: str) -> tuple[Word, ...]:
    """Return the words and numbers of a plain text; "NorrisWing2" is three."""
    apart = _JOINS.sub(" ", text)
    return tuple(
        Word(one.start(), one.end(), _OWNED.sub("", one[0]).replace("'", "").lower(), one[0])
        for one in _WORD.finditer(apart)
    )


def digits(word: str) -> str:
    """Return a number word as figures ("four" as "4"), and any other word as it is."""
    return _DIGIT_WORDS.get(word, word)


def squeezed(text: str) -> str:
    """Return a name or phrase as one run of small letters and figures ("Hangar Four" as "hangar4")."""
    return "".join(digits(word.low) for word in words(plain(text)))


def sentence_spans(text: str) -> Iterator[tuple[int, int]]:
    """Yield (from, to) of each sentence of a text, end exclusive, with the blanks that follow it."""
    start = 0
    for end in _END.finditer(text):
        upto = end.end()
        if _NO_END.search(text[start:upto].rstrip("\"'\u201d\u2019)]")):
            continue
        while upto < len(text) and text[upto].isspace():
            upto += 1
        yield start, upto
        start = upto
    if text[start:].strip():
        yield start, len(text)


def _from_base64(text: str) -> Iterator[str]:
    for found in _BASE64.finditer(text):
        run = found[0].rstrip("=")
        try:
            said = base64.b64decode(run + "=" * (-len(run) % 4)).decode()
        except (binascii.Error, ValueError):
            continue
        printable = sum(one.isprintable() for one in said)
        if said and printable >= _LEAST_SHARE_OF_TEXT * len(said):
            yield said
