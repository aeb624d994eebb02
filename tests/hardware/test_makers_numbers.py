import pytest

from pipeline.hardware.makers_numbers import find_makers_numbers


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Blade A is part number T-W-410-3, serial number 117.", ["part number T-W-410-3", "serial number 117"]),
        ("Gearbox P/N TW-655-1 S/N 0042 off, four nuts.", ["P/N TW-655-1", "S/N 0042"]),
        ("Its serial number is one one seven, two bolts.", ["serial number is one one seven"]),
        ("The part number reads tango whiskey four one zero dash three.",
         ["part number reads tango whiskey four one zero dash three"]),
        ("Serial numbers 117 and 118 are here, and three bolts.", ["Serial numbers 117 and 118"]),
        ("Pump, part no. HB-212/4, on rack 3.", ["part no. HB-212/4"]),
        ("Drawing number C 0455 is in the office.", ["Drawing number C 0455"]),
    ],
)  # fmt: skip
def test_makers_number_is_found_with_its_title(text: str, found: list[str]) -> None:
    assert [text[one.start : one.end] for one in find_makers_numbers(text)] == found


@pytest.mark.parametrize(
    "text",
    [
        "The serial number is worn off, four bolts out.",
        "Tag number 47 is on it.",
        "Part of number three cowling is off.",
        "Rack number 3, bag number 12.",
        "Serial number plate off, two rivets.",
    ],
)
def test_what_only_looks_like_one_is_none(text: str) -> None:
    assert find_makers_numbers(text) == ()
