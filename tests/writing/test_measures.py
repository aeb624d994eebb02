import pytest

from pipeline.reading.fact import Measure
from pipeline.writing.measures import measure_text


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (1.25, "in", "1.25 in (32 mm)"),
        (0.3125, "in", "0.3125 in (7.9 mm)"),
        (6, "in", "6 in (152 mm)"),
        (60, "thou", "60 thou (1.52 mm)"),
        (1, "ft", "1 ft (0.30 m)"),
        (30, "lb", "30 lb (14 kg)"),
        (2, "gal", "2 imperial gal (9.1 l)"),
        (800, "psi", "800 psi (5,520 kPa)"),
        (15, "lbf·ft", "15 lbf·ft (20 N·m)"),
        (40, "lbf·in", "40 lbf·in (4.5 N·m)"),
        (40, "mm", "40 mm"),
        (4, "degC", "4 °C"),
        (10, "min", "10 min"),
    ],
)
def test_a_measure_stands_as_said_with_metric_beside(value: float, unit: str, text: str) -> None:
    assert measure_text(Measure(value=value, unit=unit)) == text
