"""Measures as they were said, with the metric value beside."""

from fractions import Fraction

from pipeline.hardware.units import beside
from pipeline.reading.fact import Measure


def measure_text(measure: Measure) -> str:
    """Return "1.25 in (32 mm)": the value as said, then metric. A gallon is imperial, and the text says so."""
    return beside(Fraction(str(measure.value)), measure.unit)
