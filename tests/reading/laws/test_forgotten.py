"""What the rules read that is never lost."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader


def _keys(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.act or fact.finding, fact.item, fact.side) for fact in note_reader.read(text)]


def test_crack_without_a_part_is_kept_and_asked_about(note_reader: NoteReader) -> None:
    (crack,) = note_reader.read("Between ribs 3 and 4 we found a crack, 12 mm.")
    assert (crack.finding, crack.item, [place.at for place in crack.place or ()]) == ("crack", None, ["3-4"])
    assert [(one.value, one.unit) for one in crack.measure or ()] == [(12.0, "mm")]
    assert crack.doubts


def test_crack_beside_a_garbled_part_is_kept(note_reader: NoteReader) -> None:
    text = "I've looked at the front spar and the new joint has opened at 3.7. There's a crack 16 mm long here."
    (crack,) = [fact for fact in note_reader.read(text) if fact.finding == "crack"]
    assert crack.doubts or "item" in dict(crack.inferred)


def test_whole_part_that_is_off_is_not_lost_in_talk(note_reader: NoteReader) -> None:
    text = (
        "The starboard float is off, six bolts, in bag three. "
        "The starboard outer engine is off, four bolts, in bag four."
    )
    assert ("done", "remove", "engine", "starboard") in _keys(note_reader, text)
    assert ("done", "remove", "float", "starboard") in _keys(note_reader, text)


def test_worn_pin_is_kept_where_its_sentence_tells_nothing_else(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The hinge pin is worn.")
    assert (fact.finding, fact.item) == ("wear", "pin")


def test_battery_that_is_connected_is_not_lost(note_reader: NoteReader) -> None:
    text = "The starboard outer engine is out. The starboard battery is connected."
    assert ("done", "connect", "battery", "starboard") in _keys(note_reader, text)


def test_part_listed_with_its_hour_came_off_too(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "We got both spinners off this morning, and both propellers by lunch.")
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
    assert ("done", "remove", "propeller", "both") not in _keys(note_reader, text)


def test_stuck_pin_is_kept_beside_the_work_that_it_stopped(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "The tailplane wouldn't come off, the pin's stuck.")
    assert ("not-done", "remove", "tailplane", None) in told
    assert ("seen", "seized", "pin", None) in told


def test_nuts_that_were_undone_are_kept_where_their_sentence_tells_nothing_else(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Undid four nuts at the front spar.")
    assert (fact.status, fact.act, fact.item, fact.count, fact.of) == ("done", "undo", "front-spar", 4, "nut")


def test_wires_on_beside_struts_are_those_of_the_wings(note_reader: NoteReader) -> None:
    facts = note_reader.read("Struts up, wires on.")
    assert [(fact.act, fact.item) for fact in facts] == [("fit", "interplane-strut"), ("fit", "flying-wire")]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Starboard engine, back, four bolts from bag eighteen.", 4),
        ("The starboard engine's back, four bolts from bag 18.", 4),
        ("When the engine's back, four bolts will hold it.", None),
        ("The engine is back from overhaul, four bolts missing.", None),
        ("We want the engine back, four bolts.", None),
    ],
)
def test_part_that_is_back_with_so_many_bolts_is_on(note_reader: NoteReader, text: str, count: int | None) -> None:
    on = [fact for fact in note_reader.read(text) if (fact.status, fact.act, fact.item) == ("done", "fit", "engine")]
    assert [(fact.count, fact.of) for fact in on] == ([(count, "bolt")] if count else [])


def test_no_part_of_a_list_that_is_planned_is_lost(note_reader: NoteReader) -> None:
    told = note_reader.read("Next we'll disconnect the oil line, then the fuel lines, then the throttle cable.")
    assert [(f.status, f.item) for f in told if f.act == "disconnect"] == [
        ("planned", "oil-line"),
        ("planned", "fuel-line"),
        ("planned", "throttle-cable"),
    ]


def test_what_is_off_after_a_verb_is_not_in_its_list(note_reader: NoteReader) -> None:
    told = note_reader.read("Drained the oil tank, then oil line off at the tank.")
    assert ("drain", "oil-line") not in [(fact.act, fact.item) for fact in told]


def test_what_is_connected_beside_other_lines_is_told_too(note_reader: NoteReader) -> None:
    text = "Fuel line's connected, oil feed and oil return connected."
    assert {(f.act, f.item) for f in note_reader.read(text)} == {("connect", "fuel-line"), ("connect", "oil-line")}


def test_each_of_two_rods_is_disconnected(note_reader: NoteReader) -> None:
    told = [(f.act, f.item) for f in note_reader.read("Throttle rod, disconnected. Mixture rod, disconnected.")]
    assert told == [("disconnect", "engine-control-rod")] * 2
