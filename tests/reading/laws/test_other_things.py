"""Work on what is no part of the aircraft is told of none: benches, rags in pipes, plates just made."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _done(note_reader: NoteReader, text: str) -> list[tuple[str | None, str | None]]:
    return [(f.act, f.item) for f in note_reader.read(text) if f.status == "done"]


@pytest.mark.parametrize(
    "text",
    [
        "What I'd meant to do was strip the fuel pump. What I did was clean the bench.",
        "The fuel pump wants a look. What I did was wash the mugs.",
        "I meant to clean the fuel pump. What we did was clean the old workshop.",
    ],
)
def test_work_on_the_hangar_is_no_work_on_the_part_talked_of(note_reader: NoteReader, text: str) -> None:
    assert _done(note_reader, text) == []


def test_part_beside_a_thing_of_the_hangar_was_worked_on(note_reader: NoteReader) -> None:
    assert ("clean", "fuel-pump") in _done(note_reader, "What I did was clean the fuel pump on the bench.")


@pytest.mark.parametrize("found", ["a rag", "an old glove"])
def test_what_was_left_inside_is_taken_out_and_not_what_it_was_in(note_reader: NoteReader, found: str) -> None:
    assert ("remove", "tail-pipe") not in _done(note_reader, f"There was {found} in the jet pipe and I took it out.")


def test_part_that_had_something_inside_can_come_out_itself(note_reader: NoteReader) -> None:
    text = "There was a rag in the jet pipe, and we took the jet pipe out."
    assert ("remove", "tail-pipe") in _done(note_reader, text)


@pytest.mark.parametrize("made", ["made a cover", "cut a plate", "folded a little plate"])
def test_plate_made_for_a_lamp_is_no_refitting_of_the_lamp(note_reader: NoteReader, made: str) -> None:
    text = f"We've {made} for the landing lamp and riveted it on, twelve rivets."
    assert ("fit", "landing-lamp") not in _done(note_reader, text)


def test_patch_that_was_cut_and_riveted_on_repairs_what_it_is_for(note_reader: NoteReader) -> None:
    assert _done(note_reader, "We cut a patch for the fuel tank and riveted it on.") == [("repair", "fuel-tank")]


def test_bracket_that_was_made_is_fitted_itself(note_reader: NoteReader) -> None:
    text = "I made a bracket for the pump and bolted it on."
    assert _done(note_reader, text) == [("make", "bracket"), ("fit", "bracket")]


def test_sitting_in_a_part_is_no_work_on_it(note_reader: NoteReader) -> None:
    text = "I found my pencil in the throttle quadrant. Then I sat in it for a bit."
    assert _done(note_reader, text) == []


def test_nut_that_had_to_be_split_takes_nothing_apart(note_reader: NoteReader) -> None:
    told = note_reader.read("Exhaust stack's off, had to split the last nut.")
    assert [(f.act, f.count, f.of) for f in told if f.act != "remove"] == [("undo", 1, "nut")]


def test_some_that_was_still_in_a_tank_is_dug_out_and_not_the_tank(note_reader: NoteReader) -> None:
    text = (
        "See this big round tank. When we got her there was still some in it, so we had to dig it out, with masks on."
    )
    assert ("remove", "fuel-tank") not in _done(note_reader, text)


def test_where_somebody_has_not_been_nothing_is_left_unfitted(note_reader: NoteReader) -> None:
    text = (
        "Hopper, out. Seat, out. Control column, in, and it moves. Rear fuselage, I've not been in. Tail, trestled."
    )
    assert [f for f in note_reader.read(text) if f.status == "not-done"] == []
