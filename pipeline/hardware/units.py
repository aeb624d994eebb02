"""Units and their metric values, exactly, and how a measure is shown: as said, with the metric beside.

Source of the definitions: 1 in is 25.4 mm and 1 lb is 0.453 592 37 kg (international yard and pound, 1959); standard
gravity is 9.806 65 m/s²; the imperial gallon is 4.546 09 l (Units of Measurement Regulations 1995); the US gallon is
231 cubic inches. All as in NIST SP 811, appendix B.8. From memory, checked against pint's definitions.
"""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal, NamedTuple

Gallon = Literal["imperial", "US"]

INCH_MM = Fraction("25.4")
_POUND_KG = Fraction("0.45359237")
_POUND_FORCE_N = _POUND_KG * Fraction("9.80665")
_INCH_M = INCH_MM / 1000
GALLON_L: Mapping[Gallon, Fraction] = {
    "imperial": Fraction("4.54609"),
    "US": 231 * (INCH_MM / 100) ** 3,
}


class _Metric(NamedTuple):
    factor: Fraction
    unit: str
    decimals: int  # shown for a value under 10


_METRIC: Mapping[str, _Metric] = {
    "in": _Metric(INCH_MM, "mm", 1),
    "ft": _Metric(12 * _INCH_M, "m", 2),
    "thou": _Metric(INCH_MM / 1000, "mm", 2),
    "lb": _Metric(_POUND_KG, "kg", 1),
    "psi": _Metric(_POUND_FORCE_N / _INCH_M**2 / 1000, "kPa", 1),
    "lbf·ft": _Metric(_POUND_FORCE_N * 12 * _INCH_M, "N·m", 1),
    "lbf·in": _Metric(_POUND_FORCE_N * _INCH_M, "N·m", 1),
}
_ALREADY_METRIC = frozenset({"mm", "cm", "m", "kg", "N·m", "l", "degC", "deg", "h", "min"})
UNITS = frozenset({*_METRIC, *_ALREADY_METRIC, "gal"})


def metric(value: Fraction, unit: str, *, gallon: Gallon = "imperial") -> tuple[Fraction, str]:
    """Return a value in metric units, exactly.

    ``unit`` is one of ``UNITS``. A gallon of a British book is the imperial one; ``gallon`` says so where it is the
    US one. Metric units, degrees and times come back as they are. Raises ``ValueError`` for any other unit.
    """
    if unit in _ALREADY_METRIC:
        return value, unit
    if unit != "gal" and unit not in _METRIC:
        raise ValueError(f"{unit!r} is no unit that saidseen knows; it knows {', '.join(sorted(UNITS))}")
    known = _known(unit, gallon)
    return value * known.factor, known.unit


def beside(value: Fraction, unit: str, *, gallon: Gallon = "imperial") -> str:
    """Return a measure as said with the metric beside: "15 thou (0.38 mm)", "2 imperial gal (9.1 l)".

    The metric value is to two or three figures, or to as many as were said where a decimal was measured finer than a
    ruler's fractions ("0.748 in (19.0 mm)"). A metric measure, an angle, or one in an unknown unit stands alone.
    """
    if unit == "deg":
        return f"{plain(value)}°"
    said = f"{plain(value)} {_shown(unit, gallon)}"
    if unit not in UNITS or unit in _ALREADY_METRIC:
        return said
    in_metric, metric_unit = metric(value, unit, gallon=gallon)
    return f"{said} ({_rounded(in_metric, _known(unit, gallon).decimals, _figures_said(value))} {metric_unit})"


def mixed(value: Fraction) -> str:
    """Return a length in inches as a workshop writes it: "1 1/4", "5/16", "2"; a decimal where no ruler has it."""
    if value.denominator > 64 or value.denominator & (value.denominator - 1):
        return f"{float(value):.3f}"
    whole, rest = divmod(value, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"


def inches(value: Fraction) -> str:
    """Return an exact size in inches with millimetres to three figures: "1/4 in (6.35 mm)", "1 1/4 in (31.8 mm)"."""
    in_mm = value * INCH_MM
    return f"{mixed(value)} in ({_to_figures(in_mm, 3)} mm)"


def plain(value: Fraction) -> str:
    """Return a number without needless noughts: "1,500", "0.3125"; at most six decimals."""
    if value.denominator == 1:
        return f"{int(value):,}"
    return f"{float(value):,.6f}".rstrip("0").rstrip(".")


def _known(unit: str, gallon: Gallon) -> _Metric:
    return _Metric(GALLON_L[gallon], "l", 1) if unit == "gal" else _METRIC[unit]


def _shown(unit: str, gallon: Gallon) -> str:
    return {"gal": f"{gallon} gal", "degC": "°C"}.get(unit, unit)


def _figures_said(value: Fraction) -> int:
    """Return how many figures a measured decimal has, 0 where it is whole or one of a ruler's fractions."""
    if value.denominator <= 64 and not value.denominator & (value.denominator - 1):
        return 0
    return len(plain(value).replace(".", "").replace(",", "").lstrip("0-"))


def _rounded(value: Fraction, decimals: int, figures: int) -> str:
    if abs(value) >= 1000:
        return f"{_half_up(value / 10) * 10:,}"
    if abs(value) >= 10 and decimals:
        decimals -= 1
    return _to_decimals(value, max(decimals, _decimals_for(value, max(2, figures))))


def _to_figures(value: Fraction, figures: int) -> str:
    return _to_decimals(value, max(0, _decimals_for(value, figures)))


def _decimals_for(value: Fraction, figures: int) -> int:
    """Return the decimals that show so many figures of a value."""
    if not value:
        return 0
    decimals, shown = figures, abs(value) * 10**figures
    while shown >= 10**figures:
        decimals, shown = decimals - 1, shown / 10
    while shown < 10 ** (figures - 1):
        decimals, shown = decimals + 1, shown * 10
    return decimals


def _to_decimals(value: Fraction, decimals: int) -> str:
    scaled = Fraction(_half_up(abs(value) * 10**decimals), 10**decimals)
    return f"{'-' if value < 0 and scaled else ''}{float(scaled):,.{decimals}f}"


def _half_up(value: Fraction) -> int:
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)
