"""Foreign text (file names, speech, what a person typed) made harmless for a page, a spreadsheet or a caption file.

A character that turns the direction of writing or controls a terminal can make one text look like another; it is
shown by its number instead. Source: Unicode Standard Annex #9, section 2 (directional formatting characters), from
memory.
"""

import re
import unicodedata

_TURNS_DIRECTION = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
_UNSEEN = re.compile(f"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufeff\ufffe\uffff\ud800-\udfff{_TURNS_DIRECTION}]")
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")  # noqa: RUF001 - full width, on purpose


def visible(text: str) -> str:
    """Return the text with every control or direction-turning character shown as its number ("⟨U+202E⟩")."""
    return _UNSEEN.sub(lambda found: f"⟨U+{ord(found.group()):04X}⟩", text)


def cut_short(text: str, columns: int) -> str:
    """Return the text on one line, made visible, and ended by "…" where it is wider than so many letters.

    A letter that East Asian writing sets twice as wide counts as two. Source: Unicode Standard Annex #11 (by Python's
    ``unicodedata``).
    """
    line = visible(" ".join(text.split()))
    left = columns
    for place, letter in enumerate(line):
        left -= 2 if unicodedata.east_asian_width(letter) in ("W", "F") else 1
        if left < 0:
            return line[: max(1, place - 1)].rstrip() + "…"
    return line


def cell(value: object) -> str:
    """Return a value as one line of a spreadsheet cell that cannot start a formula.

    A cell that would start one gets an apostrophe in front. Source: OWASP, "CSV Injection" (from memory).
    """
    text = visible(" ".join(str("" if value is None else value).split()))
    start = unicodedata.normalize("NFKC", text[:1])
    return f"'{text}" if text.startswith(_FORMULA_STARTS) or start in _FORMULA_STARTS else text
