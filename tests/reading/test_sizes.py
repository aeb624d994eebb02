"""Sizes whose unit the talk around them settles."""

import pytest

from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("Measured the aileron travel, 25 degrees.", "deg"),
        ("Measured the aileron travel, 25 degrees Celsius.", "degC"),
        ("Tested the thermostat. It opened at 71 degrees.", "degC"),
        ("Measured the rudder, thirty degrees left.", "deg"),
        ("Measured the rudder, thirty degrees.", "degC"),
    ],
)
def test_degrees_are_of_an_angle_where_one_is_spoken_of(note_reader: NoteReader, text: str, unit: str) -> None:
    units = {measure.unit for fact in note_reader.read(text) for measure in fact.measure or ()}
    assert units == {unit}


@pytest.mark.parametrize(
    ("said", "size"),
    [
        ("two foot six", (2.5, "ft")),
        ("five metres forty", (5.4, "m")),
        ("two inches and a half", (2.5, "in")),
        ("a good eighth of an inch", (0.125, "in")),
    ],
)
def test_size_is_read_with_what_follows_its_unit(note_reader: NoteReader, said: str, size: tuple[float, str]) -> None:
    (measured,) = (fact for fact in note_reader.read(f"Measured the port control cable, {said}.") if fact.measure)
    (measure,) = measured.measure or ()
    assert (round(measure.value, 4), measure.unit) == size


def test_bolts_after_a_length_are_not_of_it(note_reader: NoteReader) -> None:
    measures = [
        one for fact in note_reader.read("Made a cable of two foot, six bolts fitted.") for one in fact.measure or ()
    ]
    assert not [one for one in measures if one.value == 2.5]


def test_boom_is_a_tail_boom_unless_a_spar_was_named(note_reader: NoteReader) -> None:
    (alone,) = note_reader.read("We took the port boom off.")
    assert (alone.item, alone.side) == ("tail-boom", "port")
    of_the_spar = note_reader.read("Looked at the spar. The boom is cracked at rib 4.")
    assert [fact.item for fact in of_the_spar if fact.finding] == ["spar-cap"]


@pytest.mark.parametrize(
    ("text", "inches"), [("Put a new one in, and locked it.", 0), ("Fitted the old one in.", 0), ("It's one in.", 1)]
)
def test_new_one_in_is_no_inch(reader: Reader, text: str, inches: int) -> None:
    (one,) = reader.read_by_rule([(text, ())])
    assert [piece.kind for piece in one.pieces].count("measure") == inches
