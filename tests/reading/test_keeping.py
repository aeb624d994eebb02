"""Where parts are kept and which tag they carry, in every order of words."""

import pytest

from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


def kept(reader: Reader, text: str) -> list[tuple[str, dict[str, str]]]:
    """Return item and stowage of each fact that has one."""
    facts = [fact for fact in reader.read(text) if fact.stowage]
    return [(fact.item or "", fact.stowage.model_dump(exclude_none=True)) for fact in facts if fact.stowage]


@pytest.mark.parametrize(
    "text",
    [
        "The starter's on the top shelf of rack 6.",
        "Rack 6, top shelf, the starter.",
        "On the top shelf of rack 6 there's the starter.",
        "Starter: rack six, top shelf.",
        "Put the starter on rack number 6, top shelf.",
    ],
)
def test_rack_and_shelf_are_read_in_any_order(reader: Reader, text: str) -> None:
    assert kept(reader, text) == [("starter", {"rack": "6", "shelf": "top"})]


@pytest.mark.parametrize(
    "text",
    [
        "Bag 31, the bolts. Bag 32, the nuts.",
        "Bag 31, the bolts, bag 32, the nuts.",
        "The bolts are in bag 31, the nuts in bag 32.",
    ],
)
def test_each_thing_of_a_list_has_its_own_bag(reader: Reader, text: str) -> None:
    assert kept(reader, text) == [("bolt", {"bag": "31"}), ("nut", {"bag": "32"})]


def test_rooms_have_numbers_and_letters_too(reader: Reader) -> None:
    assert kept(reader, "The engine is on stand 2 in room B.") == [("engine", {"stand": "2", "room": "B"})]
    assert kept(reader, "The fin's in room 3.") == [("fin", {"room": "3"})]
    assert kept(reader, "The fin's in the radio room.") == [("fin", {"room": "radio room"})]
    assert kept(reader, "I've put the control column in room 2.") == [("control-column", {"room": "2"})]
    assert kept(reader, "The canopy's in locker two.") == [("canopy", {"room": "locker 2"})]
    assert kept(reader, "Rudder's on rack 2 in container B.") == [("rudder", {"rack": "2", "room": "container B"})]
    assert kept(reader, "The fin's in the annexe.") == [("fin", {"room": "annexe"})]
    assert kept(reader, "The rudder's gone to the joiner's shop.") == [("rudder", {"room": "joiner's shop"})]


def test_both_after_a_plural_is_both_sides(reader: Reader) -> None:
    facts = reader.read("Pallet 7, the landing lights, both.")
    assert [(fact.item, fact.side) for fact in facts] == [("landing-lamp", "both")]


def test_tags_that_are_read_out_after_tagging_are_a_fact_for_each_part(reader: Reader) -> None:
    facts = reader.read("Tagged two this morning. Altimeter, P oh six one one. Starter, P dash 0612.")
    assert [(fact.act, fact.item, fact.tag) for fact in facts] == [
        ("tag", "altimeter", "P-0611"),
        ("tag", "starter", "P-0612"),
    ]


@pytest.mark.parametrize(
    ("text", "bagged"),
    [
        ("We took the port cowling off, four screws, in bag 3.", ("screw", 4)),
        ("The port magneto is off, three nuts, in bag four.", ("nut", 3)),
        ("The propeller is off, eight bolts, in bag three.", ("bolt", 8)),
    ],
)
def test_bag_after_a_number_of_fasteners_holds_them_and_not_the_part(
    note_reader: NoteReader, text: str, bagged: tuple[str, int]
) -> None:
    assert [(fact.item, fact.count) for fact in note_reader.read(text) if fact.act == "bag"] == [bagged]


def test_screws_out_of_a_bag_are_undone_nowhere_and_go_into_what_is_fitted(note_reader: NoteReader) -> None:
    told = note_reader.read("All three cowlings are back on, thirty-six screws out of bag one.")
    assert [(fact.act, fact.item, fact.count, fact.of) for fact in told] == [
        ("fit", "cowling", 3, "cowling"),
        ("fit", "cowling", 36, "screw"),
    ]
    assert not [fact for fact in note_reader.read("Six screws out of bag three.") if fact.act in ("undo", "bag")]


@pytest.mark.parametrize(
    "text", ["The starboard engine is out. It's on the engine stand in bay two.", "We put the engine in bay two."]
)
def test_bay_in_which_a_part_is_put_is_where_it_is_kept(note_reader: NoteReader, text: str) -> None:
    (kept,) = [fact for fact in note_reader.read(text) if fact.act == "store"]
    assert kept.stowage is not None and kept.stowage.room == "bay 2"
    assert kept.place is None


def test_bay_of_the_aircraft_is_no_store(note_reader: NoteReader) -> None:
    assert not [fact for fact in note_reader.read("The battery is in bay two of the fuselage.") if fact.stowage]


@pytest.mark.parametrize(
    ("text", "stowage"),
    [
        ("Four screws are in bag 41A.", {"bag": "41A"}),
        ("The fin's on rack 2B.", {"rack": "2B"}),
        ("The fin's on rack 2 B and C are full.", {"rack": "2"}),
    ],
)
def test_a_letter_right_behind_the_number_belongs_to_the_store(
    reader: Reader, text: str, stowage: dict[str, str]
) -> None:
    assert [where for _item, where in kept(reader, text)] == [stowage]


@pytest.mark.parametrize(
    ("text", "about"), [("Two odd washers are in bag 30.", None), ("Forty odd washers are in bag 30.", True)]
)
def test_odd_ones_are_as_many_as_were_counted(reader: Reader, text: str, about: bool | None) -> None:
    assert [fact.about for fact in reader.read(text) if fact.act == "bag"] == [about]
