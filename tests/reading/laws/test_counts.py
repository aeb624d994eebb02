"""Numbers that are told of each of two, or are the sum of several."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "counted"),
    [
        ("Both elevators came off as well, four bolts each.", (8, "bolt")),
        ("Both rudders are off, two hinge pins each.", (4, "pin")),
        ("Both wheels came off, six nuts apiece.", (12, "nut")),
        ("We took both rudders off before lunch, three hinge bolts each, so six bolts.", (6, "bolt")),
        ("Both elevators came off, eight bolts.", (8, "bolt")),
        ("The rudders came off, three pins a side.", (6, "pin")),
        ("The port elevator came off, four bolts.", (4, "bolt")),
    ],
)
def test_number_of_each_of_both_is_told_of_both(note_reader: NoteReader, text: str, counted: tuple[int, str]) -> None:
    assert [(fact.count, fact.of) for fact in note_reader.read(text) if fact.act == "remove"] == [counted]


def test_number_of_all_is_not_the_number_of_each(note_reader: NoteReader) -> None:
    text = "The two fuel lines and the oil line are disconnected, and all three are blanked."
    blanked = {fact.item: fact.count or 1 for fact in note_reader.read(text) if fact.act == "blank"}
    assert blanked == {"fuel-line": 2, "oil-line": 1}


def test_two_numbers_of_the_same_fasteners_add_up(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Hull panels two and three are back on, thirty-six screws and forty screws.")
    assert (fact.act, fact.item, fact.count, fact.of) == ("fit", "hull-panel", 76, "screw")
