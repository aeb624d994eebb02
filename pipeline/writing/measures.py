"""Measures as they were said, with the metric value beside.

Factors are exact fractions. Source: the international yard and pound (1959), as in NIST SP 811 appendix B: 1 in is
25.4 mm, 1 lb is 0.453 592 37 kg; standard gravity is 9.806 65 m/s²; the imperial gallon is 4.546 09 l (UK Units of
Measurement Regulations 1995). From memory.
"""

from fractions import Fraction

from pipeline.reading.fact import Measure

_INCH_MM = Fraction("25.4")
_POUND_KG = Fraction("0.45359237")
_POUND_FORCE_N = _POUND_KG * Fraction("9.80665")

# unit as said: (factor, metric unit, decimals that are never dropped for small values)
_METRIC: dict[str, tuple[Fraction, str, int]] = {
    "in": (_INCH_MM, "mm", 1),
    "ft": (_INCH_MM * 12 / 1000, "m", 2),
    "thou": (_INCH_MM / 1000, "mm", 2),
    "lb": (_POUND_KG, "kg", 1),
    "gal": (Fraction("4.54609"), "l", 1),
    "psi": (_POUND_FORCE_N / (_INCH_MM / 1000) ** 2 / 1000, "kPa", 1),
    "lbf·ft": (_POUND_FORCE_N * _INCH_MM * 12 / 1000, "N·m", 1),
    "lbf·in": (_POUND_FORCE_N * _INCH_MM / 1000, "N·m", 1),
}
_SHOWN_AS = {"gal": "imperial gal", "degC": "°C"}


def in_metric(measure: Measure) -> tuple[Fraction, str] | None:
    """Return the exact metric value and its unit, or None for a unit that has no other."""
    known = _METRIC.get(measure.unit)
    if known is None:
        return None
    factor, unit, _ = known
    return Fraction(str(measure.value)) * factor, unit


def measure_text(measure: Measure) -> str:
    """Return "1.25 in (32 mm)": the value as said, then metric to the millimetre or to three figures.

    A gallon is taken to be imperial, and the text says so.
    """
    said = f"{_plain(measure.value)} {_SHOWN_AS.get(measure.unit, measure.unit)}"
    metric = in_metric(measure)
    if metric is None:
        return said
    value, unit = metric
    return f"{said} ({_rounded(value, _METRIC[measure.unit][2])} {unit})"


def _plain(value: float) -> str:
    if value == int(value):
        return f"{int(value):,}"
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _rounded(value: Fraction, decimals: int) -> str:
    if abs(value) >= 1000:
        return f"{_half_up(value / 10) * 10:,}"
    if abs(value) >= 10 and decimals:
        decimals -= 1
    scaled = _half_up(value * 10**decimals)
    return f"{scaled / 10**decimals:,.{decimals}f}"


def _half_up(value: Fraction) -> int:
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)
