"""Foreign text (file names, speech, what a person typed) made harmless for a page, a spreadsheet or a caption file.

A character that turns the direction of writing or controls a terminal can make one text look like another; it is
shown by its number instead. Source: Unicode Standard Annex #9, section 2 (directional formatting characters), from
memory.
"""

import re
import unicodedata

_TURNS_DIRECTION = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
_UNSEEN = re.compile(f"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufeff\ufffe\uffff\ud800-\udfff{_TURNS_DIRECTION}]")
_STARTERS = "=+\\-@＝＋－＠﹦﹢﹣﹫"  # noqa: RUF001 - full width and small forms, on purpose
_UNSEEN_LETTERS = "\u00ad\u180e\u200b-\u200d\u2060-\u2064"
_BEFORE = rf"[\s\"'“”„‘’‚`{_UNSEEN_LETTERS}]*"  # noqa: RUF001 - quotes of every kind
# the beginning of a cell, or what would be one where a spreadsheet takes the semicolon for the end of a cell
_FORMULA = re.compile(rf"(^|;\s*)(?='|{_BEFORE}[{_STARTERS}])")
_SIGNS = re.compile("[^a-z0-9]")
_TAKEN_OUT = re.compile(r"(^|;\s*)'")


def visible(text: str) -> str:
    """Return the text with every control or direction-turning character shown as its number ("⟨U+202E⟩")."""
    return _UNSEEN.sub(lambda found: f"⟨U+{ord(found.group()):04X}⟩", text)


def file_name(path: str) -> str:
    """Return a file's name without its folders, whichever way these are parted."""
    return path.replace("\\", "/").rpartition("/")[2]


def letters_and_figures(text: str) -> str:
    """Return what is left of a tag or a number however it was written: "P-0142", "p 0142" and "p0142" are one."""
    return _SIGNS.sub("", text.lower())


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

    Where it would, also behind quotes, spaces and unseen letters, or behind a semicolon (which half of Europe's
    spreadsheets take for the end of a cell), an apostrophe is put in front: the value stays readable, and
    ``without_guard`` takes it away again. Text that has an apostrophe there already gets a second one.
    Source: OWASP, "CSV Injection" (from memory).
    """
    text = visible(" ".join(str("" if value is None else value).split()))
    return _FORMULA.sub(r"\1'", text)


def without_guard(text: str) -> str:
    """Return what a cell said before ``cell`` put apostrophes in."""
    return _TAKEN_OUT.sub(r"\1", text)
