"""Bags of what was told of just before."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _bagged(note_reader: NoteReader, text: str) -> list[tuple[str | None, int | None, str | None]]:
    return [
        (fact.item, fact.count, fact.stowage.bag)
        for fact in note_reader.read(text)
        if fact.act == "bag" and fact.stowage
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Elevators off, three pins a side, six in bag eleven.", ("pin", 6, "11")),
        ("Three bolts off the starter, only two made it into bag twelve.", ("bolt", 2, "12")),
        ("Put the tailplane bolts, all eight, in bag forty.", ("bolt", 8, "40")),
        ("Starter off, three nuts. Three in the bag, bag eleven.", ("nut", 3, "11")),
        ("Baffles off. Three clips each, nine in bag nineteen.", ("clip", 9, "19")),
    ],
)
def test_number_without_its_noun_is_how_many_are_in_the_bag(
    note_reader: NoteReader, text: str, told: tuple[str, int, str]
) -> None:
    assert _bagged(note_reader, text) == [told]


def test_same_bag_is_the_one_named_before(note_reader: NoteReader) -> None:
    text = "Took the fin off, six bolts, bag nine. Front and rear spar pins out, two pins, same bag."
    assert _bagged(note_reader, text) == [("bolt", 6, "9"), ("pin", None, "9")]


def test_bag_as_well_is_of_the_pins_before_it(note_reader: NoteReader) -> None:
    text = "Took the fin off, six bolts, bag nine. Both spar pins out, bag nine as well."
    assert _bagged(note_reader, text) == [("bolt", 6, "9"), ("pin", None, "9")]


def test_they_that_are_in_the_bag_are_the_nuts_and_bolts_undone(note_reader: NoteReader) -> None:
    text = "Twelve nuts and bolts out of the transport joint. They're in bag seven."
    assert _bagged(note_reader, text) == [("nut-and-bolt", None, "7")]


@pytest.mark.parametrize(
    ("text", "of"),
    [
        ("Number four starter. Off. Three nuts. Bag four.", "nut"),
        ("Pitch links off. Six bolts. Bag five.", "bolt"),
        ("Port flap, four hinge pins, out, in bag 31.", "pin"),
    ],
)
def test_bag_in_a_sentence_of_its_own_holds_fasteners_and_not_the_part(
    note_reader: NoteReader, text: str, of: str
) -> None:
    assert [item for item, _count, _bag in _bagged(note_reader, text)] == [of]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "The left rudder pedal's out, one bolt, bag seventy. The right one's the same, bag seventy-one.",
            [("bag", "bolt", "starboard"), ("bag", "bolt", "port")],
        ),
        (
            "Port main leg off, three bolts, bag 40. Starboard main leg off, same again, bag 41, pallet two.",
            [
                ("bag", "bolt", "port"),
                ("bag", "bolt", "starboard"),
                ("store", "main-undercarriage", "starboard"),
            ],
        ),
    ],
)
def test_same_again_puts_the_same_fasteners_into_its_bag(
    note_reader: NoteReader, text: str, told: list[tuple[str, str, str]]
) -> None:
    kept = [(fact.act, fact.item, fact.side) for fact in note_reader.read(text) if fact.stowage]
    assert sorted(kept, key=str) == sorted(told)


def test_what_follows_its_bag_is_in_it(note_reader: NoteReader) -> None:
    text = "Bag 3 is the eleven screws of the tail cone, bag 4 the two pins of the tail wheel."
    assert _bagged(note_reader, text) == [("screw", 11, "3"), ("pin", 2, "4")]


@pytest.mark.parametrize(
    ("text", "bagged"),
    [
        ("The fairing's off, nine screws. The rest are in bag 18, seventeen of them.", [("screw", 17, "18")]),
        ("Fairing's on with twelve screws, two left over, those are in bag 9.", [("screw", 2, "9")]),
        (
            "Mount's off, eight bolts, bag 25. Bag 25's too small, I've put four of the eight in bag 26.",
            [("bolt", 8, "25"), ("bolt", 4, "26")],
        ),
        (
            "Port fillet panel off, fourteen screws, bag one. Same on the starboard side, fourteen screws, same bag.",
            [("screw", 14, "1"), ("screw", 14, "1")],
        ),
        ("The hinge pins are in bag three.", [("pin", None, "3")]),
    ],
)
def test_what_is_in_a_bag_is_told_with_its_own_number(
    note_reader: NoteReader, text: str, bagged: list[tuple[str, int | None, str]]
) -> None:
    facts = [fact for fact in note_reader.read(text) if fact.act == "bag"]
    assert [(fact.item, fact.count, fact.stowage.bag if fact.stowage else "") for fact in facts] == bagged


def test_several_bags_are_no_number_of_what_is_in_one(note_reader: NoteReader) -> None:
    assert all(fact.count is None for fact in note_reader.read("The hatch screws are in bags 3, 4."))
