"""The drawing for supporters: what is away, and nothing that is not theirs to know."""

import re
from datetime import date
from xml.etree import ElementTree

import pytest

from pipeline.writing.airframe_supporters import supporters_drawing
from tests.lists.twelve_days import DAYS
from tests.writing.test_airframe_page import strip, vocabulary

SVG = "{http://www.w3.org/2000/svg}"
LAST = max(DAYS)


def test_parts_that_are_away_at_the_end_are_hatched_and_named_in_the_description():
    root = ElementTree.fromstring(supporters_drawing(strip(), vocabulary(), LAST)[0])
    assert root.get("role") == "img"
    told = root.findtext(f"{SVG}desc")
    assert told == (
        "Away from the aircraft: the port and starboard elevators, the port and starboard fins, "
        "the port and starboard rudders and the tailplane."
    )
    assert sum(one.get("fill") == "url(#away)" for one in root.iter(f"{SVG}path")) == 7


def test_nothing_private_is_told():
    drawing = supporters_drawing(strip(), vocabulary(), LAST)[0]
    words = re.sub(r"<[^>]*>", " ", drawing).lower()
    for word in (
        "crack",
        "corrosion",
        "leak",
        "dent",
        "frame",
        "rib",
        "p-01",
        "rack",
        "bag",
        "found",
        "2026",
        "crew",
    ):
        assert word not in words
    assert not re.search(r"\d", words)


def test_drawing_is_as_of_the_last_day_of_the_report():
    early = supporters_drawing(strip(), vocabulary(), date(2025, 10, 5))[0]
    assert "port aileron" in early
    assert "fin" not in re.sub(r"<[^>]*>", " ", early).replace("fine", "")
    assert "aileron" not in supporters_drawing(strip(), vocabulary(), LAST)[0]


@pytest.mark.parametrize(("pack", "until"), [("", LAST), ("crew-trainer", date(2025, 9, 1))])
def test_without_outline_or_before_anything_came_off_there_is_no_drawing(pack, until):
    assert supporters_drawing(strip(), vocabulary(pack), until) == ("", (), ())


def test_drawing_asks_for_nothing_and_takes_the_colours_of_its_page():
    drawing = supporters_drawing(strip(), vocabulary(), LAST)[0]
    assert "href" not in drawing
    assert "currentColor" in drawing
    assert not re.search(r"#[0-9a-f]{3,6}\b", drawing)
