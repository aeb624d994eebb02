"""What a bag holds, and what it does not."""

import pytest

from pipeline.reading.fact import Stowage
from pipeline.reading.note_reader import NoteReader


def test_empty_bag_keeps_nothing(note_reader: NoteReader) -> None:
    facts = note_reader.read("The compass is back and it's in the panel, three screws, so bag three is empty now.")
    assert not [fact for fact in facts if fact.stowage]


def test_bag_holds_what_was_left_in_it_and_not_what_went_back(note_reader: NoteReader) -> None:
    text = (
        "We've refitted the altimeter and the rev counter and put the screws back. "
        "Nine screws are back in, and three are left in bag three."
    )
    assert [(fact.count, fact.of) for fact in note_reader.read(text) if fact.act == "bag"] == [(3, "screw")]


def test_fasteners_of_which_the_kind_was_not_said_are_bagged(note_reader: NoteReader) -> None:
    facts = note_reader.read("The cowling is off. Twenty-two fasteners, they went in bag 1.")
    assert [(fact.item, fact.stowage.bag) for fact in facts if fact.stowage] == [("fastener", "1")]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("The seat's out, ten screws, they're in box 4.", "screw"),
        ("The seat's out, ten screws, it's in box 4.", "seat"),
    ],
)
def test_they_that_are_in_the_box_are_the_screws(note_reader: NoteReader, text: str, item: str) -> None:
    assert [fact.item for fact in note_reader.read(text) if fact.stowage] == [item]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Rudder's off, three hinge pins, bag B3.", ("pin", 3, "B3")),
        ("Twelve nuts and bolts out of the transport joint, bag seven.", ("nut-and-bolt", 12, "7")),
    ],
)
def test_bag_that_is_only_named_after_the_fasteners_is_not_lost(
    note_reader: NoteReader, text: str, told: tuple[str, int, str]
) -> None:
    (fact,) = [fact for fact in note_reader.read(text) if fact.act == "bag"]
    assert fact.stowage is not None
    assert (fact.item, fact.count, fact.stowage.bag) == told


def test_bag_that_is_empty_drains_nothing(note_reader: NoteReader) -> None:
    assert not [fact for fact in note_reader.read("Six screws, bag 3 is empty now.") if fact.act in ("drain", "bag")]


@pytest.mark.parametrize(
    ("text", "of", "side"),
    [
        ("The control column's out. One bolt, bag 34.", "bolt", None),
        ("Port main undercarriage leg's off. One pin, bag nineteen.", "pin", "port"),
    ],
)
def test_one_fastener_in_a_sentence_of_its_own_is_what_is_in_the_bag(
    note_reader: NoteReader, text: str, of: str, side: str | None
) -> None:
    bagged = [(fact.item, fact.count, fact.of, fact.side) for fact in note_reader.read(text) if fact.act == "bag"]
    assert bagged == [(of, 1, of, side)]


def test_what_is_put_into_a_bag_is_told_once(note_reader: NoteReader) -> None:
    text = "Starboard tip tank's off, three bolts, bag five. Rack one as well, tagged T-0102."
    assert [fact.count for fact in note_reader.read(text) if fact.act == "bag"] == [3]


def test_both_that_are_on_again_are_counted_in_the_bolts_out_of_the_bag(note_reader: NoteReader) -> None:
    facts = note_reader.read("Both flap jacks are on, two bolts each out of bag fourteen.")
    assert [(fact.act, fact.side, fact.count, fact.of) for fact in facts] == [
        ("fit", "both", None, None),
        ("fit", "both", 4, "bolt"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "The door's off the hinges, three pins, and the pins are back in the hinges so we don't lose them.",
        "Drag strut disconnected at the leg, one bolt, it's back in its lug with the nut on.",
    ],
)
def test_fasteners_put_back_where_they_were_fit_no_part_again(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.act == "fit"]


def test_part_that_is_back_in_is_fitted(note_reader: NoteReader) -> None:
    facts = note_reader.read("Took the pump out, two bolts, cleaned it and it's back in.")
    assert "fit" in [fact.act for fact in facts]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Generator off. Six nuts, six washers, bag 21.", [("nut", 6), ("washer", 6)]),
        ("Four bolts, four nuts and eight washers in bag six.", [("bolt", 4), ("nut", 4), ("washer", 8)]),
    ],
)
def test_all_that_are_listed_before_a_bag_are_in_it(
    note_reader: NoteReader, text: str, told: list[tuple[str, int]]
) -> None:
    bagged = [(str(fact.item), fact.count) for fact in note_reader.read(text) if fact.act == "bag"]
    assert sorted(bagged, key=str) == told


def test_what_befell_a_bag_is_no_parts_finding(note_reader: NoteReader) -> None:
    facts = note_reader.read("Bag 35 has been split, the front pedals' bolts are in bag 37 now.")
    assert [(fact.act, fact.finding) for fact in facts] == [("bag", None)]
    (fact,) = note_reader.read("Bag 35 has split, the bolts of the port leg are in it.")
    assert fact.stowage == Stowage(bag="35")


def test_they_are_the_fasteners_of_both_sides(note_reader: NoteReader) -> None:
    facts = note_reader.read("The cowlings are off, ten fasteners a side, they're in bag one.")
    assert [(fact.act, fact.count, fact.of) for fact in facts] == [
        ("remove", 20, "fastener"),
        ("bag", 20, "fastener"),
    ]
