"""What "it" or "they" are, where a sentence before tells it."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize("work", ["Okay, now I do it. One, two.", "Right, here goes."])
def test_pipes_that_were_still_on_are_what_is_off(note_reader: NoteReader, work: str) -> None:
    text = f"The two pipes of the hydraulic pump are still on. {work} They are off and they dripped."
    off = [(f.item, f.count) for f in note_reader.read(text) if f.status == "done" and f.act == "remove"]
    assert off == [("hydraulic-line", 2)]


def test_pipes_that_are_off_their_shelf_are_not_off(note_reader: NoteReader) -> None:
    told = note_reader.read("The two pipes of the pump are still on. They're off the shelf.")
    assert [fact for fact in told if fact.status == "done" and fact.act == "remove"] == []


def test_part_that_is_named_is_off_whatever_was_still_on(note_reader: NoteReader) -> None:
    told = note_reader.read("The port strut's still on. The rudder is off.")
    assert [f.item for f in told if f.status == "done"] == ["rudder"]


def test_cable_that_was_left_is_not_connected(note_reader: NoteReader) -> None:
    text = "Throttle rod's connected. Prop control cable I've left. Rigged? They're on, they're not rigged."
    told = [(f.status, f.act, f.item) for f in note_reader.read(text)]
    assert told == [("done", "connect", "engine-control-rod"), ("not-done", "connect", "control-cable")]


def test_part_that_was_left_till_later_is_as_the_work_before(note_reader: NoteReader) -> None:
    told = [
        (f.status, f.act, f.item) for f in note_reader.read("Elevator's connected. The rudder I've left till Sunday.")
    ]
    assert ("not-done", "connect", "rudder") in told


@pytest.mark.parametrize(
    "text", ["The rudder is off. I've left my coat.", "The rudder is off. The spanner I've left."]
)
def test_what_is_no_part_is_not_left_undone(note_reader: NoteReader, text: str) -> None:
    assert [f.status for f in note_reader.read(text)] == ["done"]
