"""Conversion factors against NIST SP 811 (2008), appendix B.8, "Factors for units listed alphabetically".

The seven-figure values there are from memory; each was also checked against pint 0.26.
"""

from fractions import Fraction

import pytest

from pipeline.hardware.units import metric


@pytest.mark.parametrize(
    ("unit", "metric_unit", "factor"),
    [
        ("in", "mm", "25.4"),  # inch to metre 2.54 E-02, exact
        ("ft", "m", "0.3048"),  # foot to metre 3.048 E-01, exact
        ("thou", "mm", "0.0254"),  # mil (0.001 in) to millimetre 2.54 E-02, exact
        ("lb", "kg", "0.4535924"),  # pound (avoirdupois) 4.535924 E-01
        ("psi", "kPa", "6.894757"),  # 6.894757 E+00
        ("lbf·ft", "N·m", "1.355818"),  # foot pound-force 1.355818 E+00
        ("lbf·in", "N·m", "0.1129848"),  # inch pound-force 1.129848 E-01
        ("gal", "l", "4.54609"),  # gallon [Canadian and U.K. (Imperial)] 4.54609 E+00
    ],
)
def test_factor_is_the_published_one(unit: str, metric_unit: str, factor: str) -> None:
    value, shown = metric(Fraction(1), unit)
    assert shown == metric_unit
    assert float(value) == pytest.approx(float(factor), rel=1e-6)


def test_american_gallon_is_the_published_one() -> None:
    # gallon (U.S.) to litre 3.785412 E+00
    assert float(metric(Fraction(1), "gal", gallon="US")[0]) == pytest.approx(3.785412, rel=1e-6)
