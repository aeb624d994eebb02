"""Laws to which the learnt reading is held, and what the rules read that is never lost."""

from typing import Any

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.note_reader import NoteReader


def _key(fact: Fact) -> tuple[Any, ...]:
    return (fact.status, fact.act or fact.finding, fact.item, fact.side)


def _keys(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [_key(fact) for fact in note_reader.read(text)]


@pytest.mark.parametrize(
    ("text", "lowered"),
    [
        ("We refitted the port wheel and took her off the jacks.", ("done", "lower", "fuselage", None)),
        ("The port aileron is fitted, so we've taken it off the trestles.", ("done", "lower", "aileron", "port")),
        ("She's off the trestles and on her own wheels.", ("done", "lower", "fuselage", None)),
        ("We're going to take her off the jacks tomorrow.", ("planned", "lower", "fuselage", None)),
    ],
)
def test_what_is_taken_off_its_support_is_let_down_and_not_removed(
    note_reader: NoteReader, text: str, lowered: tuple[Any, ...]
) -> None:
    told = _keys(note_reader, text)
    assert lowered in told
    assert "remove" not in [act for _, act, _, _ in told]


def test_part_of_which_gear_is_only_a_name_is_removed(note_reader: NoteReader) -> None:
    assert _keys(note_reader, "We took the spinner off the port prop.") == [("done", "remove", "spinner", "port")]


@pytest.mark.parametrize("text", ["The fin should come off easily.", "It should lift straight out."])
def test_what_only_should_come_is_no_plan(note_reader: NoteReader, text: str) -> None:
    assert _keys(note_reader, text) == []


def test_side_carries_on_within_one_assembly_only(note_reader: NoteReader) -> None:
    facts = {fact.item: fact for fact in note_reader.read("The port rudder is off. The main spar looks sound.")}
    assert facts["rudder"].side == "port"
    assert facts["front-spar"].side is None
    facts = {fact.item: fact for fact in note_reader.read("Port magneto's on. Prop's on, eight bolts.")}
    assert facts["propeller"].side is None
    assert ("done", "remove", "flap", "port") in _keys(note_reader, "Port aileron's off. The flap's off too.")


@pytest.mark.parametrize(
    ("text", "item", "tag"),
    [
        ("The axle tag is D-0101.", "axle", "D-0101"),
        ("Axle off, axle tag D0101.", "axle", "D-0101"),
        ("The port magneto came off. Tag D-01-04.", "magneto", "D-0104"),
        ("The rudder, P-0142, has a dent in the leading edge.", "rudder", "P-0142"),
        ("Aileron off, P-0311. Tag on the elevator is P-0312.", "elevator", "P-0312"),
    ],
)
def test_tag_that_is_read_out_is_on_its_part(note_reader: NoteReader, text: str, item: str, tag: str) -> None:
    assert [fact.item for fact in note_reader.read(text) if fact.tag == tag] == [item]


def test_two_tags_of_a_pair_are_both_kept(note_reader: NoteReader) -> None:
    facts = note_reader.read("Both flying wires are off. They're tag-d, 0102 and D, 0103.")
    assert sorted(fact.tag for fact in facts if fact.tag) == ["D-0102", "D-0103"]


def test_glue_is_not_what_is_repaired_or_broken(note_reader: NoteReader) -> None:
    text = (
        "I've cleaned out the old casein glue at rib seven, and scarfed in a new piece of spruce. "
        "The test piece broke in the wood and not in the glue, so that's good. Then I'll inspect it."
    )
    told = _keys(note_reader, text)
    assert [act for _, act, item, _ in told if item == "casein-glue"] == ["clean"]


def test_empty_bag_keeps_nothing(note_reader: NoteReader) -> None:
    facts = note_reader.read("The compass is back and it's in the panel, three screws, so bag three is empty now.")
    assert not [fact for fact in facts if fact.stowage]


def test_crack_without_a_part_is_kept_and_asked_about(note_reader: NoteReader) -> None:
    (crack,) = note_reader.read("Between ribs 3 and 4 we found a crack, 12 mm.")
    assert (crack.finding, crack.item, [place.at for place in crack.place or ()]) == ("crack", None, ["3-4"])
    assert [(one.value, one.unit) for one in crack.measure or ()] == [(12.0, "mm")]
    assert crack.doubts


def test_crack_beside_a_garbled_part_is_kept(note_reader: NoteReader) -> None:
    text = "I've looked at the front spar and the new joint has opened at 3.7. There's a crack 16 mm long here."
    (crack,) = [fact for fact in note_reader.read(text) if fact.finding == "crack"]
    assert crack.doubts or "item" in dict(crack.inferred)


def test_left_and_right_are_both_told(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "Left aileron off, right aileron off.")
    assert [side for _, _, _, side in told] == ["port", "starboard"]


def test_bag_holds_what_was_left_in_it_and_not_what_went_back(note_reader: NoteReader) -> None:
    text = (
        "We've refitted the altimeter and the rev counter and put the screws back. "
        "Nine screws are back in, and three are left in bag three."
    )
    assert [(fact.count, fact.of) for fact in note_reader.read(text) if fact.act == "bag"] == [(3, "screw")]


def test_whole_part_that_is_off_is_not_lost_in_talk(note_reader: NoteReader) -> None:
    text = (
        "The starboard float is off, six bolts, in bag three. "
        "The starboard outer engine is off, four bolts, in bag four."
    )
    assert ("done", "remove", "engine", "starboard") in _keys(note_reader, text)
    assert ("done", "remove", "float", "starboard") in _keys(note_reader, text)


@pytest.mark.parametrize(
    "text",
    [
        "The propeller comes back on the fourteenth of November.",
        "The propeller is coming back next week.",
        "The bracing wires come back from the plater on Friday.",
    ],
)
def test_what_comes_back_from_elsewhere_is_not_to_be_removed(note_reader: NoteReader, text: str) -> None:
    assert "remove" not in [act for _, act, _, _ in _keys(note_reader, text)]


def test_what_comes_off_next_week_is_planned(note_reader: NoteReader) -> None:
    assert _keys(note_reader, "The float comes off next week.") == [("planned", "remove", "float", None)]


@pytest.mark.parametrize(
    "text",
    [
        "The crack in the top cowling is stop drilled and patched.",
        "The dent in the port float is dressed out.",
        "The corrosion on the keel member is cleaned off.",
    ],
)
def test_finding_that_was_mended_is_not_seen_anew(note_reader: NoteReader, text: str) -> None:
    told = _keys(note_reader, text)
    assert {status for status, _, _, _ in told} == {"done"}
    assert {act for _, act, _, _ in told} <= {"repair", "clean"}


def test_new_crack_is_seen_though_it_was_repaired_at_once(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "There was a crack in the top cowling. We've repaired it.")
    assert ("seen", "crack", "cowling", None) in told


def test_leak_that_is_cured_is_no_more_there(note_reader: NoteReader) -> None:
    (leak,) = note_reader.read("The oil leak on the starboard outer engine is cured.")
    assert (leak.finding, leak.absent, leak.item, leak.side) == ("leak", True, "engine", "starboard")


@pytest.mark.parametrize(
    "text",
    [
        "The oil leak on the starboard engine is not cured.",
        "The oil leak on the starboard engine isn't fixed yet.",
        "The oil leak on the starboard engine is nearly gone.",
        "The oil leak on the starboard engine has to be fixed.",
        "The oil leak on the starboard engine will be fixed tomorrow.",
        "If the oil leak on the starboard engine is cured, we'll run it.",
    ],
)
def test_leak_that_is_not_cured_is_not_gone(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.absent]


def test_leak_that_is_gone_is_not_told_of_another_part(note_reader: NoteReader) -> None:
    text = "Six screws went back into the port access panel. The tyre is flat. There's no oil leak any more."
    assert [fact.item for fact in note_reader.read(text) if fact.finding == "leak"] in ([], [None])


def test_feet_are_no_torque(note_reader: NoteReader) -> None:
    (fact,) = [
        f for f in note_reader.read("The engine is in, four bolts, torque to 60 foot downs.") if f.act == "tighten"
    ]
    assert fact.measure is None
    assert "60 ft is no torque: 60 what?" in fact.doubts
    (fact,) = note_reader.read("The engine bolts are torqued to 60 foot pounds.")
    assert [(one.value, one.unit) for one in fact.measure or ()] == [(60, "lbf·ft")]


def test_new_bolts_of_a_part_make_no_new_part(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The bolts of the starboard float have been replaced by six new ones.")
    assert (fact.act, fact.item, fact.count, fact.of) == ("fit", "float", 6, "bolt")


def test_number_of_all_is_not_the_number_of_each(note_reader: NoteReader) -> None:
    text = "The two fuel lines and the oil line are disconnected, and all three are blanked."
    blanked = {fact.item: fact.count or 1 for fact in note_reader.read(text) if fact.act == "blank"}
    assert blanked == {"fuel-line": 2, "oil-line": 1}


def test_two_numbers_of_the_same_fasteners_add_up(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Hull panels two and three are back on, thirty-six screws and forty screws.")
    assert (fact.act, fact.item, fact.count, fact.of) == ("fit", "hull-panel", 76, "screw")


def test_both_side_cowlings_are_two_of_one_engine(note_reader: NoteReader) -> None:
    text = "Starboard outer engine. The top cowling is off, and both side cowlings are off."
    assert {side for _, act, _, side in _keys(note_reader, text) if act == "remove"} == {"starboard"}


def test_battery_takes_no_side_from_an_engine(note_reader: NoteReader) -> None:
    text = "The starboard outer engine is in, four bolts. The fuel pump is connected. The battery is connected."
    sides = {fact.item: fact.side for fact in note_reader.read(text)}
    assert (sides["fuel-pump"], sides["battery"]) == ("starboard", None)


def test_worn_pin_is_kept_where_its_sentence_tells_nothing_else(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The hinge pin is worn.")
    assert (fact.finding, fact.item) == ("wear", "pin")


def test_ends_of_a_range_are_one_place(note_reader: NoteReader) -> None:
    text = "We've taken three bottom panels off the hull, on the port side, between frame eight and frame eleven."
    (fact,) = note_reader.read(text)
    assert (fact.act, fact.item, fact.count, fact.of) == ("remove", "hull-panel", 3, "hull-panel")
    assert [place.at for place in fact.place or ()] in ([], ["8-11"])


def test_battery_that_is_connected_is_not_lost(note_reader: NoteReader) -> None:
    text = "The starboard outer engine is out. The starboard battery is connected."
    assert ("done", "connect", "battery", "starboard") in _keys(note_reader, text)
