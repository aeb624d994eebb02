"""What follows the bare name of a part with a question mark is told of that part."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Hopper? Scrap. Pump? Scrap. Booms? Straightened, and painted.", "tail-boom"),
        ("Hopper? Scrap. Pump? Scrap. Booms? Straightened, believe it or not, and painted.", "tail-boom"),
    ],
)
def test_answer_is_told_of_the_part_asked_about_alone(note_reader: NoteReader, text: str, item: str) -> None:
    assert {f.item for f in note_reader.read(text) if f.act} == {item}


def test_part_named_in_the_answer_keeps_what_is_told_of_it(note_reader: NoteReader) -> None:
    told = [(f.act, f.item) for f in note_reader.read("Rudder? We took the fin off instead.")]
    assert ("remove", "fin") in told
    assert ("remove", "rudder") not in told


def test_each_answer_stays_with_its_own_question(note_reader: NoteReader) -> None:
    told = [
        (f.status, f.act, f.item, f.side) for f in note_reader.read("Port flap? Repaired. Starboard flap? Not yet.")
    ]
    assert told == [("done", "repair", "flap", "port"), ("not-done", "repair", "flap", "starboard")]
