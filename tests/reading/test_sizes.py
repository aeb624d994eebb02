"""Sizes whose unit the talk around them settles."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("Measured the aileron travel, 25 degrees.", "deg"),
        ("Measured the aileron travel, 25 degrees Celsius.", "degC"),
        ("Tested the thermostat. It opened at 71 degrees.", "degC"),
    ],
)
def test_degrees_are_of_an_angle_where_one_is_spoken_of(note_reader: NoteReader, text: str, unit: str) -> None:
    units = {measure.unit for fact in note_reader.read(text) for measure in fact.measure or ()}
    assert units == {unit}


def test_boom_is_a_tail_boom_unless_a_spar_was_named(note_reader: NoteReader) -> None:
    (alone,) = note_reader.read("We took the port boom off.")
    assert (alone.item, alone.side) == ("tail-boom", "port")
    of_the_spar = note_reader.read("Looked at the spar. The boom is cracked at rib 4.")
    assert [fact.item for fact in of_the_spar if fact.finding] == ["spar-cap"]
