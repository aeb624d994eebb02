"""What is told without its verb, by a verb that mostly means something else, or of all of them."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _told(note_reader: NoteReader, text: str) -> list[tuple[object, ...]]:
    return [(fact.status, fact.act, fact.item, fact.side) for fact in note_reader.read(text)]


def test_part_listed_with_its_hour_came_off_too(note_reader: NoteReader) -> None:
    told = _told(note_reader, "We got both spinners off this morning, and both propellers by lunch.")
    assert ("done", "remove", "propeller", "both") in told


@pytest.mark.parametrize(
    "text",
    [
        "We will have both spinners off tomorrow, and both propellers by lunch.",
        "We got both spinners off this morning, and both propellers by lunch tomorrow.",
        "We didn't get both spinners off this morning, and both propellers by lunch.",
    ],
)
def test_part_listed_with_work_to_come_is_not_done(note_reader: NoteReader, text: str) -> None:
    assert ("done", "remove", "propeller", "both") not in _told(note_reader, text)


@pytest.mark.parametrize("text", ["We covered the rudder with new fabric.", "We covered the rudder in new linen."])
def test_what_is_covered_with_fabric_has_new_fabric_and_is_not_blanked(note_reader: NoteReader, text: str) -> None:
    assert _told(note_reader, text) == [("done", "fit", "wing-fabric", None)]


def test_what_is_covered_with_a_sheet_is_covered_up(note_reader: NoteReader) -> None:
    assert ("done", "blank", "rudder", None) in _told(note_reader, "We covered the rudder with a sheet.")


def test_not_yet_of_the_next_sentence_throws_no_doubt_on_this_one(note_reader: NoteReader) -> None:
    text = "The port elevator is on as well, four bolts. The starboard elevator is not on yet."
    on, off = note_reader.read(text)
    assert (on.status, on.act, on.side, on.count, on.doubts) == ("done", "fit", "port", 4, ())
    assert (off.status, off.act, off.side) == ("not-done", "fit", "starboard")


def test_side_that_is_carried_on_to_all_of_them_is_to_be_checked(note_reader: NoteReader) -> None:
    told = note_reader.read("The port engine is off. Then we labelled all the cowlings.")
    (cowlings,) = [fact for fact in told if fact.item == "cowling"]
    assert cowlings.side is None or cowlings.doubts


def test_throttle_cable_is_no_cable_of_a_control_surface(note_reader: NoteReader) -> None:
    assert _told(note_reader, "The port throttle cable is disconnected.") == [
        ("done", "disconnect", "throttle-cable", "port")
    ]
