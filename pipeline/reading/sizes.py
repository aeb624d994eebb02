"""How big: measures with their unit, and numbers whose unit the trade or the words before supply."""

import re
from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Measure
from pipeline.reading.forms import word_set
from pipeline.reading.pieces import Piece

_INCH_PARTS = frozenset((8, 16, 32, 64))
_READ_OUT_AFTER = word_set("to at mikes miked")
_DIRECTIONS = word_set("deep wide long across thick high")
_HEAT = word_set("c celsius centigrade")
_ANGLES = word_set(
    "angle angles incidence dihedral anhedral stagger sweep sweepback washout twist rake travel throw throws "
    "deflection camber toe protractor clinometer inclinometer"
)
_SWUNG = word_set("aileron ailerons elevator elevators rudder rudders flap flaps tab tabs slat slats blade blades")
_WAYS = word_set("up down left right port starboard either each nose out")
_LENGTHS = frozenset(("mm", "cm", "m", "in", "ft", "thou"))


def sizes(pieces: Sequence[Piece], first: int, last: int) -> Iterator[tuple[Piece, tuple[Measure, ...]]]:
    """Yield each of ``pieces[first:last]`` that tells a size, with its measures.

    Eighths to sixty-fourths, and thousandths as a micrometer is read out, are of an inch; in "15 mm across and 4
    deep" the four has the unit of the measure before.
    """
    unit = ""
    for at in range(first, last):
        piece = pieces[at]
        if piece.ends_sentence:
            unit = ""
        found: tuple[Measure, ...] = ()
        if piece.kind == "measure":
            pressure = any(step.low.endswith("pressure") for step in pieces[max(first, at - 4) : at])
            found = tuple(_as_pressure(one) for one in piece.measures) if pressure else piece.measures
            found = tuple(map(_as_angle, found)) if _is_of_an_angle(pieces, at) else found
        elif piece.kind == "number" and piece.number is not None:
            before = pieces[at - 1].low if at else ""
            sized = (at + 1 < last and pieces[at + 1].low in _DIRECTIONS) or before == "by"
            if piece.number.denominator in _INCH_PARTS or (_in_thousandths(piece) and before in _READ_OUT_AFTER):
                found = (Measure(value=float(piece.number), unit="in"),)
            elif unit and sized:
                found = (Measure(value=float(piece.number), unit=unit),)
        if found:
            unit = found[-1].unit if found[-1].unit in _LENGTHS else ""
            yield piece, found


def _as_pressure(measure: Measure) -> Measure:
    """Return "oil pressure fifty pounds" in pounds per square inch."""
    return Measure(value=measure.value, unit="psi") if measure.unit == "lb" else measure


def _as_angle(measure: Measure) -> Measure:
    """Return "two degrees of incidence" as an angle."""
    return Measure(value=measure.value, unit="deg") if measure.unit == "degC" else measure


def _is_of_an_angle(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether degrees are of an angle: no scale of heat is named, and the sentence speaks of an angle."""
    if _HEAT & set(pieces[at].low.split()):
        return False
    ends = [where for where, piece in enumerate(pieces) if piece.ends_sentence]
    first = max((end + 1 for end in ends if end < at), default=0)
    last = min((end for end in ends if end >= at), default=len(pieces) - 1)
    words = {word for piece in pieces[first : last + 1] for word in piece.low.split()}
    after = pieces[at + 1].low if at + 1 < len(pieces) else ""
    swung = bool(_SWUNG & words) and (after in _WAYS or after.startswith("of "))
    return bool(_ANGLES & words) or swung


def _in_thousandths(piece: Piece) -> bool:
    """Tell whether a number is a size in inches as micrometers are read out: "0.492", to the thousandth."""
    places = re.search(r"[.](\d+)$", piece.digits)
    return places is not None and len(places.group(1)) >= 3 and piece.number is not None and piece.number < 10
