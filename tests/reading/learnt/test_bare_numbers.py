"""What a number without a noun may tell."""

import pytest

from pipeline.reading.learnt.bare_numbers import places_as_before, sizes_as_before
from pipeline.reading.pieces import Piece
from pipeline.reading.reader import Reader


def _pieces(reader: Reader, text: str) -> tuple[Piece, ...]:
    return tuple(next(reader.read_by_rule([(text, ())])).pieces)


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("Tension left 62 pounds, right 48.", {(48.0, "lb")}),
        ("One 30 mm long and 55 lower down, 2 kg in all, 9 apiece.", {(55.0, "mm"), (9.0, "mm"), (9.0, "kg")}),
        ("Right 48, left 62 pounds.", {(48.0, "lb")}),
        ("Pins 0.501, 0.502, 0.501. Inches.", {(0.501, "in"), (0.502, "in")}),
        ("Oil pressure eighty on the gauge.", {(80.0, "psi")}),
        ("A pressure test at twelve pounds.", {(12.0, "psi")}),
        ("Four bolts in the bracket.", set()),
    ],
)
def test_size_of_a_bare_number_is_in_the_units_said_near_it_or_meant(
    reader: Reader, text: str, sizes: set[tuple[float, str]]
) -> None:
    found = {(measure.value, measure.unit) for _, measure in sizes_as_before(_pieces(reader, text))}
    assert sizes <= found
    assert bool(found) == bool(sizes)


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("Frames 16 to 19 are done, 18 needs more.", {("frame", "18")}),
        (
            "Stations 88 and 112 are done, between 96 and 104 it's sound.",
            {("station", "96"), ("station", "96-104"), ("station", "104")},
        ),
        ("Rib 3 is bad, and from 4 to 7 it's sound.", {("rib", "4"), ("rib", "7"), ("rib", "4-7")}),
        ("The ribs at 4 and 11 are split.", {("rib", "4"), ("rib", "11")}),
        ("18 of them. Frame 4 and rib 9.", set()),
        ("Jacked at 14 and 19, frames.", {("frame", "14"), ("frame", "19")}),
        ("Frame 3. Sound from 6 back to 11.", {("frame", "6"), ("frame", "6-11"), ("frame", "11")}),
        ("The ribs: three cracked ribs, 4 and 6.", {("rib", "4"), ("rib", "6")}),
        ("Nine rivets on the second stringer.", {("stringer", "2")}),
    ],
)
def test_place_of_a_bare_number_is_of_the_scheme_said_near_it(
    reader: Reader, text: str, places: set[tuple[str, str]]
) -> None:
    assert {(place.scheme, place.at) for _, _, place in places_as_before(_pieces(reader, text))} == places
