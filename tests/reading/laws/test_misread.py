"""Words that are easily read as what they do not tell."""

from typing import Any

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.misread import of_one_part_by_a_short_name, told_once
from pipeline.reading.learnt.deciding import RULE
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


def _keys(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.act or fact.finding, fact.item, fact.side) for fact in note_reader.read(text)]


def test_glue_is_not_what_is_repaired_or_broken(note_reader: NoteReader) -> None:
    text = (
        "I've cleaned out the old casein glue at rib seven, and scarfed in a new piece of spruce. "
        "The test piece broke in the wood and not in the glue, so that's good. Then I'll inspect it."
    )
    told = _keys(note_reader, text)
    assert [act for _, act, item, _ in told if item == "casein-glue"] == ["clean"]


def test_feet_are_no_torque(note_reader: NoteReader) -> None:
    (fact,) = [
        f for f in note_reader.read("The engine is in, four bolts, torque to 60 foot downs.") if f.act == "tighten"
    ]
    assert fact.measure is None
    assert "60 ft is no torque: 60 what?" in fact.doubts
    (fact,) = note_reader.read("The engine bolts are torqued to 60 foot pounds.")
    assert [(one.value, one.unit) for one in fact.measure or ()] == [(60, "lbf·ft")]


@pytest.mark.parametrize("text", ["We covered the rudder with new fabric.", "We covered the rudder in new linen."])
def test_what_is_covered_with_fabric_has_new_fabric_and_is_not_blanked(note_reader: NoteReader, text: str) -> None:
    assert _keys(note_reader, text) == [("done", "fit", "wing-fabric", None)]


def test_what_is_covered_with_a_sheet_is_covered_up(note_reader: NoteReader) -> None:
    assert ("done", "blank", "rudder", None) in _keys(note_reader, "We covered the rudder with a sheet.")


@pytest.mark.parametrize(
    ("text", "drilled_out"),
    [
        ("Drilled for 36 rivets in the new skin.", []),
        ("We drilled the new doubler for eight rivets.", []),
        ("New skid fitted, drilled for fourteen screws.", []),
        ("Drilled out 36 rivets in the skin.", [36]),
    ],
)
def test_holes_for_new_fasteners_drill_out_none(note_reader: NoteReader, text: str, drilled_out: list[int]) -> None:
    assert [fact.count for fact in note_reader.read(text) if fact.act == "drill-out"] == drilled_out


def test_off_of_slackened_off_takes_nothing_off(note_reader: NoteReader) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([("The rudder cables are slackened off.", ())])
    undone = Fact(status="done", act="undo", item="control-cable", words=(22, 31), rule="past: undo", confidence=0.9)
    off = Fact(status="done", act="remove", item="control-cable", words=(32, 35), rule=RULE, confidence=0.5)
    assert told_once(Case(reader.lexicon, one), [undone, off]) == [undone]
    other = off.model_copy(update={"item": "turnbuckle"})
    assert told_once(Case(reader.lexicon, one), [undone, other]) == [undone, other]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Ejection seat pins in.", [("lock", "ejection-seat")]),
        ("The landing gear down-lock pins are in.", [("lock", "down-lock")]),
        ("Both seats made safe, pins in.", [("lock", "seat")]),
        ("Canopy locked, pins in.", [("lock", "canopy")]),
        ("We fitted the front ejection seat.", [("fit", "ejection-seat")]),
        ("Fitted the four pins to the engine mount.", [("fit", "engine-mount")]),
        ("The medical chest is locked in the armoury.", [("store", "first-aid-kit")]),
    ],
)
def test_pins_lock_what_they_make_safe_and_fit_what_they_hold(
    note_reader: NoteReader, text: str, told: list[tuple[str, str]]
) -> None:
    assert [(fact.act, fact.item) for fact in note_reader.read(text)] == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "The crack in the exhaust stack of number two has opened up again, 10 mm.",
            ("seen", "crack", "exhaust-stack"),
        ),
        ("The starboard tyre is cut, 40 mm.", ("seen", "broken", "tyre")),
    ],
)
def test_damage_that_opened_or_is_cut_is_no_work(
    note_reader: NoteReader, text: str, told: tuple[str, str, str]
) -> None:
    assert [key[:3] for key in _keys(note_reader, text)] == [told]


def test_one_short_name_takes_off_one_part(note_reader: NoteReader) -> None:
    def left(text: str) -> list[str | None]:
        reader = Reader(note_reader.vocabulary)
        (one,) = reader.read_by_rule([(text, ())])
        told = {"status": "done", "rule": RULE}
        off = Fact(**told, act="remove", item="door", side="both", confidence=0.9, words=(0, 18))
        undone = Fact(**told, act="undo", item="bomb-door", side="both", confidence=0.4, words=(20, 23))
        return [fact.item for fact in of_one_part_by_a_short_name(Case(reader.lexicon, one), [off, undone])]

    assert left("Both doors are off, two pins in each hinge.") == ["door"]
    assert left("Both doors are off, two bomb door pins out.") == ["door", "bomb-door"]


def test_a_strut_that_comes_off_leaves_the_float_that_it_is_of(note_reader: NoteReader) -> None:
    facts = note_reader.read("The front strut of the port float is off, two bolts.")
    assert [(fact.act, fact.item, fact.count) for fact in facts] == [("remove", "float-strut", 2)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The oil line's off at the engine.", ("done", "disconnect", "oil-line", None)),
        ("The rudder's off at the moment.", ("done", "remove", "rudder", None)),
        ("The oil line is off, it's in box 3.", ("done", "remove", "oil-line", None)),
    ],
)
def test_line_that_is_off_at_something_is_parted_there(
    note_reader: NoteReader, text: str, told: tuple[Any, ...]
) -> None:
    assert told in _keys(note_reader, text)


@pytest.mark.parametrize(
    "text",
    [
        "Both oil pipes are off and taped together.",
        "The brake hoses are bundled together with tape.",
        "The elevator cables are coiled and tied back to the bulkhead.",
    ],
)
def test_what_is_tied_together_is_neither_blanked_nor_held_up(note_reader: NoteReader, text: str) -> None:
    assert not {"blank", "support"} & {fact.act for fact in note_reader.read(text)}


def test_tag_that_came_off_took_no_part_with_it(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The fin's tag came off, it's P-0417 now.")
    assert (fact.act, fact.item, fact.tag) == ("tag", "fin", "P-0417")


def test_top_of_a_locker_is_no_shelf(note_reader: NoteReader) -> None:
    facts = note_reader.read("The spats are off and the cushions went on top of the locker.")
    assert [fact.stowage for fact in facts if fact.stowage and fact.stowage.shelf] == []
    (fact,) = note_reader.read("The seat's on the top shelf of rack 6.")
    assert fact.stowage is not None and (fact.stowage.rack, fact.stowage.shelf) == ("6", "top")


@pytest.mark.parametrize(
    ("text", "act"),
    [
        ("We've had the starboard flap out of its crate.", "move"),
        ("The container's locked, so we've not got far, but we got the rudder out of it.", "move"),
        ("Took the oil cooler out of the nacelle.", "remove"),
        ("Took the junction box out of the fin.", "remove"),
    ],
)
def test_what_comes_out_of_a_store_comes_off_no_aircraft(note_reader: NoteReader, text: str, act: str) -> None:
    assert {fact.act for fact in note_reader.read(text) if fact.status == "done"} == {act}


def test_cover_that_is_off_blanks_nothing(note_reader: NoteReader) -> None:
    assert "blank" not in [fact.act for fact in note_reader.read("Doreen had the cover off the starter at lunch.")]


def test_what_is_covered_and_doped_has_new_fabric(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "The tailplane's covered, the first coat of dope's on.")
    assert ("done", "fit", "wing-fabric", None) in told
    assert "blank" not in [act for _, act, _, _ in told]


def test_line_that_is_off_somewhere_is_parted_once(note_reader: NoteReader) -> None:
    assert _keys(note_reader, "Rudder cables. Off at the pulley.") == [("done", "disconnect", "control-cable", None)]


@pytest.mark.parametrize(
    ("text", "act"),
    [
        ("Fuel line parted at the tank.", "disconnect"),
        ("Pitot line parted at the starboard wing root.", "disconnect"),
        ("The transport joint's parted.", "separate"),
    ],
)
def test_pipe_that_is_parted_is_disconnected_once(note_reader: NoteReader, text: str, act: str) -> None:
    assert [fact.act for fact in note_reader.read(text)] == [act]


@pytest.mark.parametrize(
    ("text", "item"),
    [("Starboard magneto leads, now also off.", "magneto"), ("Starter leads, off.", "starter")],
)
def test_leads_that_are_off_take_off_nothing(note_reader: NoteReader, text: str, item: str) -> None:
    told = [(f.act, f.item) for f in note_reader.read(text)]
    assert told == [("disconnect", item)]


@pytest.mark.parametrize(
    "text",
    [
        "Engine's on. Eight bolts, seven old ones out of bag five and one new, all eight torqued.",
        "All ten screws out of box two are back in the cowl.",
    ],
)
def test_bolts_out_of_a_bag_undo_nothing(note_reader: NoteReader, text: str) -> None:
    assert "undo" not in [f.act for f in note_reader.read(text)]


def test_what_lies_on_the_floor_did_not_come_off_now(note_reader: NoteReader) -> None:
    told = [f.act for f in note_reader.read("The radiator's on the floor, its mounts are in bag nine.")]
    assert "remove" not in told


@pytest.mark.parametrize("before", ["Oh, yes, and the gauge wire, unplugged.", "The sender's disconnected."])
def test_what_came_out_is_what_the_words_name(note_reader: NoteReader, before: str) -> None:
    told = note_reader.read(f"{before} Tank came out through the top, two people.")
    assert [f.item for f in told if f.act == "remove"] == ["fuel-tank"]


def test_what_is_told_next_of_it_is_told_of_what_came_out(note_reader: NoteReader) -> None:
    text = (
        "Oh, yes, and the gauge wire, unplugged. Tank came out through the top. It's on a pallet by the roller door."
    )
    assert {f.item for f in note_reader.read(text) if f.act == "store"} == {"fuel-tank"}


def test_part_named_in_full_before_stays_with_its_short_name(note_reader: NoteReader) -> None:
    told = note_reader.read("The bilge pump's out, two bolts. Pump in box one.")
    assert {f.item for f in told if f.act in ("remove", "store")} == {"bilge-pump"}


def test_stand_in_which_an_engine_stands_is_not_put_away(note_reader: NoteReader) -> None:
    text = "The engine's off. It's in the engine stand, and the stand's against the east wall."
    assert [f for f in note_reader.read(text) if f.act == "store" and f.item == "cradle"] == []
