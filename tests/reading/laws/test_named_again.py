"""A part named in full, then shortly."""

import pytest

from pipeline.reading.note_reader import NoteReader


def test_hatch_that_was_named_in_full_is_the_hatch(note_reader: NoteReader) -> None:
    text = (
        "The hull hatch, it's the third time. We fit it, it leaks, we take it off. New gasket went in today, "
        "glued. Hatch on, eight screws, done up hand tight."
    )
    assert {f.item for f in note_reader.read(text) if f.act != "inspect"} == {"hull-hatch", "gasket"}


def test_hatch_that_was_named_otherwise_stays_the_other(note_reader: NoteReader) -> None:
    told = note_reader.read("The hull hatch leaks. The escape hatch is off. Hatch on rack two.")
    assert [f.item for f in told if f.act == "remove"] == ["escape-hatch"]


@pytest.mark.parametrize(
    ("text", "door"),
    [
        ("Bomb bay. Bay doors off.", "bomb-door"),
        ("We cleaned out the bomb bay. Bay doors are off, four hinges.", "bomb-door"),
        ("Port inner tank bay. Bay door off. Ninety-six screws.", "tank-bay-door"),
        ("Wheel bay next. Bay door off, six screws.", "undercarriage-door"),
    ],
)
def test_bay_door_is_that_of_the_bay_named_before(note_reader: NoteReader, text: str, door: str) -> None:
    assert [f.item for f in note_reader.read(text) if f.act == "remove"] == [door]
