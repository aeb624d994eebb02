"""British standard parts by number: AGS (Aircraft General Standards), AS and SP, and BS aerospace series.

What a series is comes from the standards' published titles. Of hexagon-headed bolts of the A series the size is
worked out: "7E" is 0.7 in of 1/4 in. The other size codes were not found published: such a number is kept as it was
said, for the parts book to be opened at.

Sources: titles of BS SP 1, 3, 7, 41-46, 68-71, 77-85, 105 and 113 and of BS A 25, 102, 104, 169, 229 and 254-259; a
nut maker's history of the AGS 2000 series (stiff nuts); CAA CAIP leaflet BL/2-3 for what AS and A series hold.
Letters of diameters: as licensed engineers teach them, in a published discussion (2004) that points to CAA CAP 562;
that the figure is the length in tenths of an inch: from memory. BA diameters: BS 93 (from memory).
"""

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction

from pipeline.hardware.decoded import Decoded, Reading, Size, rule

_NOT_DECODED = "size not decoded"

_SP: Sequence[tuple[range, str]] = (
    (range(1, 2), "carbon-steel shackle"),
    (range(3, 4), "fork joint, low-tensile"),
    (range(7, 8), "fork joint, high-tensile"),
    (range(41, 47), "tab washer"),
    (range(68, 72), "100° countersunk aluminium or aluminium-alloy rivet"),
    (range(77, 81), "snap-head aluminium or aluminium-alloy rivet"),
    (range(81, 83), "snap-head nickel-copper rivet"),
    (range(83, 86), "mushroom-head aluminium-alloy rivet"),
    (range(105, 106), "swaged cable-end assembly"),
    (range(113, 114), "close-tolerance shear pin"),
)
_A: Sequence[tuple[range, str]] = (
    (range(25, 26), "steel hexagon-headed bolt, BA or BSF thread"),
    (range(102, 103), "steel bolt, unified thread"),
    (range(104, 105), "corrosion-resistant steel bolt, unified thread"),
    (range(169, 170), "aluminium-alloy bolt, unified thread"),
    (range(229, 230), "hexagon-headed close-tolerance steel bolt"),
    (range(254, 260), "hexagon-headed titanium-alloy bolt"),
)
_HEXAGON = {"25", "102", "104", "169"}
_BA_AND_BSF = {"25"}
_SIXTEENTHS: Mapping[str, int] = {"E": 4, "G": 5, "J": 6, "L": 7, "N": 8, "P": 9, "Q": 10, "S": 12, "U": 14, "W": 16}
_BA_MM: Mapping[str, tuple[str, Fraction]] = {
    "A": ("6 BA", Fraction(28, 10)), "B": ("4 BA", Fraction(36, 10)), "C": ("2 BA", Fraction(47, 10)),
}  # fmt: skip
_MM_IN_AN_INCH = Fraction(254, 10)
_AGS: Sequence[tuple[range, str]] = ((range(2000, 2100), "stiff (self-locking) nut"),)
_TITLES = "the standard's published title"
_LETTERS = "size by the trade's table of letters, as in CAP 562 (from memory): look it up in the parts book"


def _named(number: str, known: Sequence[tuple[range, str]], other: str) -> str:
    return next((name for numbers, name in known if int(number) in numbers), other)


def _code(parts: dict[str, str]) -> str:
    return parts["code"].replace(" ", "")


def _ags(parts: dict[str, str]) -> Reading | None:
    kind = _named(parts["number"], _AGS, "British aircraft general standard part")
    source = "a nut maker's history of the AGS 2000 series" if kind.startswith("stiff") else "CAA CAIP leaflet BL/2-3"
    return Reading(f"AGS {parts['number']}{_code(parts)}", Decoded(kind, unread=_NOT_DECODED, source=source))


def _as(parts: dict[str, str]) -> Reading | None:
    decoded = Decoded(
        "British aircraft constructors' standard part", unread=_NOT_DECODED, source="CAA CAIP leaflet BL/2-3"
    )
    return Reading(f"AS {parts['number']}{_code(parts)}", decoded)


def _sp(parts: dict[str, str]) -> Reading | None:
    decoded = Decoded(
        _named(parts["number"], _SP, "British aircraft standard part"), (), "", (), _NOT_DECODED, _TITLES
    )
    before = f"{'BS ' if parts['series'] == 'BS' else ''}{parts['issue']}"
    return Reading(f"{before}SP {parts['number']}{_code(parts)}", decoded)


def _bs_a(parts: dict[str, str]) -> Reading | None:
    sizes = _sizes(parts["number"], _code(parts))
    unread, source = ("", f"{_TITLES}; {_LETTERS}") if sizes else (_NOT_DECODED, _TITLES)
    decoded = Decoded(_named(parts["number"], _A, "British aircraft standard part"), sizes, "", (), unread, source)
    return Reading(f"BS {parts['issue']}A{parts['number']}{_code(parts)}", decoded)


def _sizes(number: str, code: str) -> tuple[Size, ...]:
    """Return diameter and nominal length of a hexagon-headed bolt of the A series; none where the code is another."""
    read = re.fullmatch(r"[-/]([0-9]{1,3})([A-Z])", code)
    if not read or number not in _HEXAGON:
        return ()
    tenths, letter = int(read[1]), read[2]
    if letter in _SIXTEENTHS:
        diameter = Size("diameter", Fraction(_SIXTEENTHS[letter], 16))
    elif letter in _BA_MM and number in _BA_AND_BSF:
        name, across_mm = _BA_MM[letter]
        diameter = Size("diameter", across_mm / _MM_IN_AN_INCH, name)
    else:
        return ()
    return diameter, Size("nominal length", Fraction(tenths, 10))


def _bs(parts: dict[str, str]) -> Reading | None:
    return Reading(
        f"BS {parts['number']}{_code(parts)}", Decoded("British Standard part", unread=_NOT_DECODED, source=_TITLES)
    )


_CODE = r"(?P<code>(?: ?[A-Z]{1,2})?(?: ?[-/] ?(?:[0-9]{1,4} ?[A-Z]{0,2}|[A-Z]{1,2}(?: ?[0-9]{1,4})?))*)"
_ISSUE = r"(?P<issue>[2-9])? ?"
RULES = (
    rule("AGS", rf"~(?P<number>[1-9][0-9]{{1,3}}){_CODE}", _ags),
    rule("AS", rf"~(?P<number>[1-9][0-9]{{2,4}}){_CODE}", _as),
    rule("SP", rf"~(?P<issue>)(?P<number>[1-9][0-9]{{0,2}}){_CODE}", _sp),
    rule("BS", rf"~{_ISSUE}S ?P~(?P<number>[1-9][0-9]{{0,2}}){_CODE}", _sp),
    rule("BS", rf"~{_ISSUE}A~(?P<number>[1-9][0-9]{{1,2}}){_CODE}", _bs_a),
    rule("BS", rf"~(?P<number>[1-9][0-9]{{1,4}}){_CODE}", _bs),
)
