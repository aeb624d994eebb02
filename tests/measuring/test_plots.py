"""Growth as an exponent, and as a drawing."""

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from measuring.plots import Line, drawn, exponent


@pytest.mark.parametrize("power", [0.0, 0.5, 1.0, 2.0])
def test_exponent_is_the_power_with_which_it_grows(power):
    assert exponent([(days, 3.0 * days**power) for days in (1, 10, 100, 1000)]) == pytest.approx(power)


def test_one_point_tells_of_no_growth():
    assert exponent([(10, 3.0)]) == 0.0


def test_drawing_holds_every_line_with_its_name_and_no_writing_on_another():
    lines = [Line(f"step {number} & more", [(1, 1.0), (10, 1.0 + number / 1000)]) for number in range(12)]
    root = ET.fromstring(drawn("Time", "days", "s", lines, {}))
    texts = [one for one in root.iter("{http://www.w3.org/2000/svg}text") if (one.text or "").startswith("step")]
    assert [one.text for one in texts] == [line.name for line in lines]
    heights = sorted(float(one.attrib["y"]) for one in texts)
    assert all(below - above >= 14.9 for above, below in pairwise(heights))
    assert heights[0] > 0 and heights[-1] <= 460
