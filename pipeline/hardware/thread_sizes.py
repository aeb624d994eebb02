"""Sizes of threads that begin with a whole number, written or said: "2BA", "10-32", "eight thirty-two UNC"."""

import re
from typing import NamedTuple

from pipeline.reading.numbers import SMALL

# Source: BA sizes after BS 93; number sizes of unified threads after ASME B1.1 (both from memory).
_BA_SIZES = 12
_PITCHES = {"4": "40", "5": "40", "6": "32|40", "8": "32|36", "10": "24|32", "12": "24|28"}
_SAID_PITCHES = {
    "24": "twenty[ -]four",
    "28": "twenty[ -]eight",
    "32": "thirty[ -]two",
    "36": "thirty[ -]six",
    "40": "forty",
}
_WORDS = {str(value): word for word, value in SMALL.items() if word not in ("oh", "naught")}
_BA = "|".join(rf"{number}|{_WORDS[str(number)]}" for number in range(_BA_SIZES, -1, -1))
_UNIFIED = "|".join(
    rf"{number}-(?:{pitches})|{_WORDS[number]}[ -](?:{'|'.join(_SAID_PITCHES[one] for one in pitches.split('|'))})"
    for number, pitches in _PITCHES.items()
)
_HARDWARE = r"(?:(?:machine|brass|steel|countersunk|pan[ -]head) )?(?:screw|bolt|nut|stud|thread|tap)s?\b"
_SIZE = re.compile(
    rf"(?<![\w.,/-])(?:(?:{_BA})[ -]?(?:BA|B\.A\.)(?!\w)|(?:{_UNIFIED})(?= (?:UN[CF]|{_HARDWARE})))", re.IGNORECASE
)
_NUMBERED = re.compile(r"\b(?:bag|box|tin|rack|shelf|frame|former|rib|station|stringer|bay)s?[ ]$", re.IGNORECASE)


class ThreadSize(NamedTuple):
    """A thread's size, ``text[start:end]``: "2BA"."""

    start: int
    end: int


def find_thread_sizes(text: str) -> tuple[ThreadSize, ...]:
    """Return the sizes of threads in a text that a number of something could be mistaken for, in order.

    "Six 2BA screws" are six, and "the 10-32 bolts" have no number. No number of a place or a bag is one: "bag ten,
    thirty-two bolts".
    """
    found = (size for size in _SIZE.finditer(text) if not _NUMBERED.search(text, 0, size.start()))
    return tuple(ThreadSize(*size.span()) for size in found)
