"""Which parts a side that was said is carried on to."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader


def _keys(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.act or fact.finding, fact.item, fact.side) for fact in note_reader.read(text)]


def test_side_carries_on_within_one_assembly_only(note_reader: NoteReader) -> None:
    facts = {fact.item: fact for fact in note_reader.read("The port rudder is off. The main spar looks sound.")}
    assert facts["rudder"].side == "port"
    assert facts["front-spar"].side is None
    facts = {fact.item: fact for fact in note_reader.read("Port magneto's on. Prop's on, eight bolts.")}
    assert facts["propeller"].side is None
    assert ("done", "remove", "flap", "port") in _keys(note_reader, "Port aileron's off. The flap's off too.")


def test_left_and_right_are_both_told(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "Left aileron off, right aileron off.")
    assert [side for _, _, _, side in told] == ["port", "starboard"]


def test_both_side_cowlings_are_two_of_one_engine(note_reader: NoteReader) -> None:
    text = "Starboard outer engine. The top cowling is off, and both side cowlings are off."
    assert {side for _, act, _, side in _keys(note_reader, text) if act == "remove"} == {"starboard"}


def test_battery_takes_no_side_from_an_engine(note_reader: NoteReader) -> None:
    text = "The starboard outer engine is in, four bolts. The fuel pump is connected. The battery is connected."
    sides = {fact.item: fact.side for fact in note_reader.read(text)}
    assert (sides["fuel-pump"], sides["battery"]) == ("starboard", None)


def test_side_that_is_carried_on_to_all_of_them_is_to_be_checked(note_reader: NoteReader) -> None:
    told = note_reader.read("The port engine is off. Then we labelled all the cowlings.")
    (cowlings,) = [fact for fact in told if fact.item == "cowling"]
    assert cowlings.side is None or cowlings.doubts


def test_side_of_the_next_part_takes_off_none_of_the_one_before(note_reader: NoteReader) -> None:
    facts = note_reader.read("Starboard wheel's off, and the port upper leg.")
    assert sorted((fact.act, fact.item, fact.side) for fact in facts) == [
        ("remove", "main-undercarriage", "port"),
        ("remove", "wheel", "starboard"),
    ]


def test_line_that_is_blanked_on_one_side_is_blanked_on_no_other(note_reader: NoteReader) -> None:
    facts = note_reader.read("The port oxygen line's undone and the starboard blanked.")
    assert [fact.side for fact in facts if fact.act == "blank"] == ["starboard"]


def test_side_from_which_something_is_looked_at_is_no_parts_side(note_reader: NoteReader) -> None:
    text = "Here you can see the rotor head from the port side. We took the damper off, two bolts."
    assert [fact.side for fact in note_reader.read(text) if fact.act == "remove"] == [None]
    (off,) = note_reader.read("We took the magneto off from the port side.")
    assert off.side == "port"


@pytest.mark.parametrize(
    ("text", "item", "side"),
    [
        ("The port wheel's off. The starboard aileron's sound. The wheel's in rack two.", "wheel", "port"),
        ("Starboard wing tip off. Port flap cracked. Wing tip on rack two.", "wing-tip", "starboard"),
    ],
)
def test_part_is_put_away_once_and_on_the_side_said_of_it(
    note_reader: NoteReader, text: str, item: str, side: str
) -> None:
    kept = [(fact.item, fact.side) for fact in note_reader.read(text) if fact.stowage]
    assert kept == [(item, side)]


def test_side_said_of_a_part_before_outlives_that_of_another_assembly(note_reader: NoteReader) -> None:
    text = "Took the starboard magneto off, two nuts. Port wing's on two trestles. The magneto isn't back yet."
    assert {fact.side for fact in note_reader.read(text) if fact.item == "magneto"} == {"starboard"}


def test_rest_is_not_on_the_side_that_was_done(note_reader: NoteReader) -> None:
    told = note_reader.read(
        "The tailplane has two bolts each side. I've undone the port ones. I've not touched the rest."
    )
    assert [(f.status, f.side) for f in told if f.act == "undo"] == [("done", "port"), ("not-done", None)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Starboard wing now. Same as port, the fuel line is disconnected and the pitot line blanked.",
            [("disconnect", "fuel-line", "starboard"), ("blank", "pitot-static-line", "starboard")],
        ),
        (
            "Port wing now, same as starboard, bonding strip off, aileron cables disconnected.",
            [("remove", "bonding-strip", "port"), ("disconnect", "control-cable", "port")],
        ),
    ],
)
def test_what_is_the_same_as_on_one_side_was_done_on_the_other(
    note_reader: NoteReader, text: str, expected: list[tuple[str, str, str]]
) -> None:
    assert [key[1:] for key in _keys(note_reader, text) if key[0] == "done"] == expected


def test_side_that_is_named_for_itself_too_keeps_its_work(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "Port fuel line disconnected, the port oil line the same as the port fuel line.")
    assert {side for _, _, _, side in told} == {"port"}


def test_bolts_that_were_the_right_ones_are_on_no_side(note_reader: NoteReader) -> None:
    told = note_reader.read("These are the wrong bolts, the right ones are in bag 14.")
    assert [(f.act, f.side) for f in told] == [("bag", None)]
    told = note_reader.read("The left bolts are in bag 13, the right ones are in bag 14.")
    assert "starboard" in [f.side for f in told]


@pytest.mark.parametrize(
    "text",
    [
        "Aileron rod port, disconnected. The plugs, the pitot is only on starboard. The wing is off.",
        "We do the port wing. Aileron cable disconnected. The pitot is only on the starboard. The wing is off.",
        "Port wing now. On starboard there was a crack in the bracket. The wing is off.",
    ],
)
def test_aside_about_the_other_side_puts_no_later_work_there(note_reader: NoteReader, text: str) -> None:
    off = [fact for fact in note_reader.read(text) if fact.act == "remove"]
    assert [(fact.item, fact.side) for fact in off] == [("mainplane", "port")]
    assert "it may be starboard" in off[0].doubts


def test_side_that_is_announced_holds_for_what_comes_next(note_reader: NoteReader) -> None:
    text = "Port wing now. Four bolts out. Starboard wing now. Four bolts out. The wing's off."
    off = [fact for fact in note_reader.read(text) if fact.act == "remove"]
    assert [(fact.item, fact.side) for fact in off] == [("mainplane", "starboard")]


@pytest.mark.parametrize(
    "goes_on", ["On to the starboard wing.", "The starboard wing is next.", "Then the starboard wing.", "Starboard."]
)
def test_side_that_the_talk_goes_on_to_is_no_aside(note_reader: NoteReader, goes_on: str) -> None:
    told = note_reader.read(f"Port wing now. The aileron's off, six bolts. {goes_on} The aileron's off, six bolts.")
    assert [f.side for f in told if f.item == "aileron" and f.status == "done"] == ["port", "starboard"]


def test_done_on_both_sides_and_after_all_on_one(note_reader: NoteReader) -> None:
    for after in (
        "Well, port is. Starboard's still spongy.",
        "Well, port's bled. Starboard there's still air in it.",
    ):
        told = note_reader.read(f"Both brakes bled. {after}")
        assert {f.side for f in told if f.act == "drain" and f.status == "done"} == {"port"}
    told = note_reader.read("Both brakes bled. Well, that's done.")
    assert {f.side for f in told if f.act == "drain"} == {"both"}


def test_bolts_are_not_those_of_the_part_that_is_still_on(note_reader: NoteReader) -> None:
    text = (
        "We took the port float off. No, sorry, I tell a lie, the starboard float. The port one's still on. "
        "It was six bolts. They're in bag 16."
    )
    assert [(f.item, f.side) for f in note_reader.read(text) if f.act == "bag"] == [("bolt", "starboard")]


def test_both_after_a_comma_are_both_sides(note_reader: NoteReader) -> None:
    text = "Starboard oleo's been topped up. Brake pipes connected, both."
    assert [f.side for f in note_reader.read(text) if f.act == "connect"] == ["both"]


def test_same_as_we_did_the_port_is_on_the_starboard_side(note_reader: NoteReader) -> None:
    text = "Right, starboard leg. Same as we did the port: jack under the pad, weight off, pin out."
    assert {f.side for f in note_reader.read(text) if f.act == "support"} == {"starboard"}
