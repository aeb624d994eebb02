"""One job after the other, the verb told once."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _done(note_reader: NoteReader, text: str, act: str) -> list[tuple[str | None, str | None, int | None]]:
    return [(f.item, f.side, f.count) for f in note_reader.read(text) if f.status == "done" and f.act == act]


def test_part_with_its_fasteners_and_no_verb_is_off_as_the_one_before(note_reader: NoteReader) -> None:
    text = "Port elevator's off, three hinge bolts, bag five. Starboard elevator, three bolts, bag five also."
    assert _done(note_reader, text, "remove") == [("elevator", "port", 3), ("elevator", "starboard", 3)]


def test_a_whole_list_of_jobs_goes_on(note_reader: NoteReader) -> None:
    text = "Rudder's off, three pins, bag 1. Fin, eight bolts, bag 2. Tailplane, four bolts, bag 3."
    assert [(item, count) for item, _side, count in _done(note_reader, text, "remove")] == [
        ("rudder", 3),
        ("fin", 8),
        ("tailplane", 4),
    ]


def test_fasteners_that_are_called_after_what_they_hold_are_counted(note_reader: NoteReader) -> None:
    text = "Port elevator's off, three hinge bolts, bag five. Starboard elevator, four hinge bolts, bag six."
    assert _done(note_reader, text, "remove") == [("elevator", "port", 3), ("elevator", "starboard", 4)]


def test_last_job_of_a_list_needs_no_full_stop(note_reader: NoteReader) -> None:
    text = "Rudder's off, three pins, bag 1. Fin, eight bolts, bag 2"
    assert _done(note_reader, text, "remove") == [("rudder", None, 3), ("fin", None, 8)]


def test_what_was_put_on_goes_on_too(note_reader: NoteReader) -> None:
    assert ("fin", None, 8) in _done(note_reader, "Rudder's back on, three pins. Fin, eight bolts.", "fit")


@pytest.mark.parametrize(
    "text",
    [
        "The rudder's off, three pins. The fin has eight bolts.",
        "Rudder's off. The fin, eight bolts?",
        "Rudder's off, three pins, bag 1. Fin, eight bolts, still in.",
        "Rudder's off, three pins. Fin next.",
        "Rudder's off today. Fin, eight bolts.",
    ],
)
def test_what_is_not_of_the_list_did_not_come_off(note_reader: NoteReader, text: str) -> None:
    assert [item for item, _side, _count in _done(note_reader, text, "remove")] == ["rudder"]


def test_inspection_on_two_parts_is_wanted_on_both(note_reader: NoteReader) -> None:
    told = note_reader.read("We'll want an independent inspection on the elevator and on the rudder.")
    assert [(f.status, f.act, f.item) for f in told] == [
        ("planned", "inspect", "elevator"),
        ("planned", "inspect", "rudder"),
    ]


def test_inspection_on_one_part_is_wanted_of_no_other(note_reader: NoteReader) -> None:
    told = note_reader.read("We'll want an independent inspection on the elevator and the rudder is off.")
    assert [f.item for f in told if f.act == "inspect"] == ["elevator"]
