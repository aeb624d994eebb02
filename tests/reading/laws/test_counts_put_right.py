"""Numbers that were told wrong before."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("It was eleven bolts on the port wing joint, not twelve.", ("wing-joint", "port", 11, "bolt")),
        ("Counted the cowling screws again, it was eleven, not twelve.", ("cowling", None, 11, "screw")),
        (
            "It was six, not five, on the port aileron. The sixth bolt is in bag eleven.",
            ("aileron", "port", 6, "bolt"),
        ),
        ("There were twenty screws in the floor panel, not eighteen.", ("floor", None, 20, "screw")),
        ("I said fourteen screws in the belly panel, it was fifteen.", ("access-panel", None, 15, "screw")),
        (
            "Fourteen screws out of the belly panel. I said fourteen, it was fifteen.",
            ("access-panel", None, 15, "screw"),
        ),
    ],
)
def test_number_of_another_day_is_put_right(note_reader: NoteReader, text: str, told: tuple[object, ...]) -> None:
    undone = [(f.item, f.side, f.count, f.of) for f in note_reader.read(text) if f.act == "undo"]
    assert undone == [told]


def test_number_of_the_same_talk_is_put_right_and_not_told_twice(note_reader: NoteReader) -> None:
    facts = note_reader.read("Undid eight bolts on the fin. It was nine, not eight.")
    assert [(fact.act, fact.count) for fact in facts] == [("undo", 9)]


@pytest.mark.parametrize(
    "text",
    [
        "It was rack four, not five.",
        "It was frame 12, not 13, we were at.",
        "I said ten o'clock, it was eleven.",
        "We put in twelve screws, it was a struggle.",
    ],
)
def test_other_numbers_put_right_undo_nothing(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.act == "undo"]
