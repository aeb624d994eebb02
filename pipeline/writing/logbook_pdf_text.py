"""Text made safe to set: what no font has, or what turns the direction of writing, is shown by its number.

An archival PDF may hold no character without a glyph, and one for all readers none without a meaning. Sources: ISO
19005-3 (PDF/A-3), 6.2.11.8 (no reference to the .notdef glyph), and ISO 14289-1 (PDF/UA-1), 7.21.8 (the same), from
memory.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence

# What both families below have in every style that the logbook uses. Source: the tables of characters ("cmap") of
# Libertinus Serif and DejaVu Sans Mono as typst 0.15 carries them; without letters written from right to left, and
# without what has no shape or no fixed meaning. tests/writing/test_logbook_pdf_text.py sets every one of them.
_RANGES = """
20-7E A0-AC AE-1C3 1CD-1E3 1E6-1F0 1F4-1F6 1F8-21F 221 224-241 243-245 249 24C-24D 250-2E9 2EC-2EE 2F3 300-33F 342
351 357-363 375-377 37A-37D 37F 384-386 388-38A 38C 38E-3A1 3A3-3CE 3D0-3E1 3F0-45F 462-463 472-473 490-49B 4A2-4A5
4AA-4B3 4BA-4BB 4C0-4C4 4C7-4C8 4CB-4CC 4CF-4F9 510-511 51A-51D 531-556 559-55F 561-587 589-58A E3F E81-E82 E84
E87-E88 E8A E8D E94-E97 E99-E9F EA1-EA3 EA5 EA7 EAA-EAB EAD-EB9 EBB-EBC EC8-ECD 10D0-10FC 1D02 1D08-1D09 1D14
1D16-1D17 1D1D-1D1F 1D2C-1D2E 1D30-1D3C 1D3E-1D5B 1D62-1D65 1D77-1D78 1D7B 1D85 1D9B-1DB7 1DB9-1DBF 1E00-1E9B
1E9E-1EF9 1F00-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D 1F50-1F57 1F59 1F5B 1F5D 1F5F-1F70 1F72 1F74 1F76 1F78 1F7A 1F7C
1F80-1FB4 1FB6-1FBA 1FBC-1FBD 1FBF-1FC4 1FC6-1FC8 1FCA 1FCC-1FD2 1FD6-1FDA 1FDD-1FE2 1FE4-1FEA 1FEC-1FED 1FF2-1FF4
1FF6-1FF8 1FFA 1FFC 1FFE 2002-200A 2010-2027 202F-2037 2039-203F 2042 2044-204B 204F 205F 2070-2071 2074-208E
2090-209C 20A0-20B5 20B8-20BA 20BD 20BF 2100-2103 2105-2106 2109 210C-210F 2111 2113 2115-2117 2119-211A 211C-211D
2120 2122 2124 2127 212E 2135-2139 2148 2150-2151 2153-2184 2189 2190-2220 2223-222D 2234-223D 2241-226B 226D-228B
228D-22A5 22B2-22B5 22B8 22C2-22C6 22CD-22D1 22DA-22E9 22EF 2300-2306 2308-2315 2318-2319 231C-2321 2325-2328 232B
2335-237A 237D 2380-2383 2388-238B 2395 239B-23AE 23CE-23CF 23D3 2423 2500-2600 2605 2619 261B 261E 2627 262F
2638-2653 2660-2667 2669-266F 2695 2698 26A2-26A4 2767 27C2 27C5-27C6 27DC 27E0 27E6-27EB 27F5-27F7 2987-2988
2997-2998 29EB 29FA-29FB 2A00 2A2F 2A6A-2A6B 2B05-2B0D 2B12-2B1A 2C60-2C70 2C74-2C77 2C79-2C7A 2C7C-2C7F 2E18 2E1F
2E22-2E25 2E2E A708-A716 A71B-A727 A789-A78E A790-A791 A7AA A7F8-A7F9 FB01-FB02 FFFD 1D55A
"""
_LONGEST = 24
_EVERY = 12
_BREAK = "\u200b"  # an unseen place at which a line may be broken

_SPACES = re.compile("[\t\n\x0b\x0c\r\x1c-\x1f\x85\u2028\u2029 ]+")
_LOOKS_ONLY = re.compile("[\ufe0e\ufe0f]")  # whether the sign before is to be drawn in colour
_LONG = re.compile(rf"\S{{{_LONGEST},}}")
_HASH = re.compile("[0-9a-f]{64}")


def _class(ranges: str) -> str:
    ends = [one.partition("-") for one in ranges.split()]
    return "".join(f"{re.escape(chr(int(a, 16)))}-{re.escape(chr(int(b or a, 16)))}" for a, _, b in ends)


_NOT_SET = re.compile(f"[^{_class(_RANGES)}]")


def printable(text: str) -> str:
    """Return a text on one line that can be set with the fonts at hand and says the same.

    White space becomes single spaces. A control character, a mark that turns the direction of writing, half of a
    surrogate pair, an emoji, a private letter, and any letter that the fonts lack stand as their numbers
    ("⟨U+202E⟩"). A very long word, but a SHA-256, may be broken every 12 letters.
    """
    line = _SPACES.sub(" ", unicodedata.normalize("NFC", _LOOKS_ONLY.sub("", text))).strip()
    shown = _NOT_SET.sub(lambda found: f"⟨U+{ord(found.group()):04X}⟩", line)
    return _LONG.sub(lambda found: _broken(found.group()), shown)


def _broken(word: str) -> str:
    if _HASH.fullmatch(word):  # to be copied from the page whole; the template knows where to break it
        return word
    return _BREAK.join(word[at : at + _EVERY] for at in range(0, len(word), _EVERY))


def printable_values(values: Mapping[str, object]) -> dict[str, object]:
    """Return values as they are, with every text in them made printable; names of fields stay."""
    return {name: _printable(value) for name, value in values.items()}


def _printable(value: object) -> object:
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, Mapping):
        return printable_values(value)
    if isinstance(value, Sequence) and not isinstance(value, bytes):
        return [_printable(one) for one in value]
    return value
