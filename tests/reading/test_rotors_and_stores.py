"""What was misread in talk of rotors, of stores named by a letter, and of numbers that name no store."""

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.tags import as_label, tags_in


def kept(fact: Fact) -> dict[str, str]:
    return fact.stowage.model_dump(exclude_none=True) if fact.stowage else {}


@pytest.mark.parametrize(
    ("text", "tags"),
    [
        ("Blade A is part number T-W-410-3, serial number 117. We took the damper off it.", []),
        ("Tail rotor gearbox P/N TW-655-1 S/N 0042 off, four nuts.", []),
        ("The generator is off, S/N 0311. Four nuts in bag 12.", []),
        ("Starboard fuel pump, part number HB-212/4, serial number M-30912, removed, tag P-0151.", ["P-0151"]),
        ("The port magneto is off, serial number four four seven one. We tagged it P-0142.", ["P-0142"]),
    ],
)
def test_part_and_serial_numbers_are_no_tags(note_reader: NoteReader, text: str, tags: list[str]) -> None:
    assert [fact.tag for fact in note_reader.read(text) if fact.tag] == tags
    assert list(tags_in(text)) == tags


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("We drained the main gear box.", ["rotor-gearbox"]),
        ("Drained the tail rotor gear box, two litres.", ["tail-rotor-gearbox"]),
        ("The free wheel is off now, six nuts.", ["freewheel-unit"]),
        ("The clutch is off, eight bolts.", ["rotor-clutch"]),
        ("The hanger bearing has play.", ["hanger-bearing"]),
        ("The fan belt is perished.", ["fan-belt"]),
        ("The swash plate bearing feels rough.", ["swash-plate-bearing"]),
        ("The tail wheel bearing is worn.", ["wheel-bearing"]),
        ("The starboard flap rod end has play.", ["rod-end"]),
        ("We are on the rotor head. Blade A is off and on rack three.", ["rotor-blade", "rotor-blade"]),
        ("We took the damper off rotor blade A.", ["rotor-blade-damper"]),
        ("Tail wheel out. The damper is seized.", ["tail-wheel", "anti-shimmy-unit"]),
        ("The blade is off the propeller.", ["propeller-blade"]),
        ("The tail skid is off and the skid shoe is worn through.", ["tail-skid", "skid-shoe"]),
        ("The balance weight of the tail rotor is off.", ["rotor-balance-weight"]),
        ("We fitted the rudder balance weight.", ["horn-balance"]),
    ],
)
def test_part_of_a_rotor_is_no_part_of_wheels_or_wings(note_reader: NoteReader, text: str, items: list[str]) -> None:
    assert [fact.item for fact in note_reader.read(text)] == items


@pytest.mark.parametrize(
    ("text", "stores"),
    [
        ("The drain eyelets are in bag a one, the root bolts are in bag a two.", [{"bag": "A1"}, {"bag": "A2"}]),
        ("Six nuts in bag b one and six washers in bag b two.", [{"bag": "B1"}, {"bag": "B2"}]),
        ("The aileron is on rack a three.", [{"rack": "A3"}]),
        ("Bag B two bolts for now.", [{"bag": "B"}]),
        ("The starboard aileron is on skid 4.", [{"pallet": "4"}]),
        ("The wing is on a pallet, number six.", [{"pallet": "6"}]),
    ],
)
def test_store_is_named_by_its_letter_and_number(
    note_reader: NoteReader, text: str, stores: list[dict[str, str]]
) -> None:
    assert [kept(fact) for fact in note_reader.read(text) if fact.stowage] == stores


@pytest.mark.parametrize(
    ("text", "stores"),
    [
        ("The compass is in box 9. Fourteen eyelets, bag B1.", [{"box": "9"}, {"bag": "B1"}]),
        (
            "Cowlings off, on rack seven. On number three the spinner is off. The three nuts are in bag fourteen.",
            [{"rack": "7"}, {"bag": "14"}],
        ),
        ("The elevator is on rack three. The two bolts are in bag two.", [{"rack": "3"}, {"bag": "2"}]),
        ("Rudder off, three bolts, bag 9.", [{"bag": "9"}]),
        ("She's on three jacks. The port skid tube is off. The bolts are in bag 30.", [{"bag": "30"}]),
    ],
)
def test_number_that_counts_or_names_a_part_is_no_stores(
    note_reader: NoteReader, text: str, stores: list[dict[str, str]]
) -> None:
    assert [kept(fact) for fact in note_reader.read(text) if fact.stowage] == stores


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("There is woodworm in the front spar.", "corrosion"),
        ("The plywood has delaminated along the leading edge.", "broken"),
        ("The starboard pitch link bearing is notchy.", "wear"),
    ],
)
def test_condition_of_wood_and_bearings_is_found(note_reader: NoteReader, text: str, finding: str) -> None:
    assert [fact.finding for fact in note_reader.read(text)] == [finding]


def test_gloss_of_fuel_parts_fits_any_fuel(note_reader: NoteReader) -> None:
    glosses = {part.notation: part.gloss for part in note_reader.vocabulary.parts if part.kind == "fuel"}
    told = {notation for notation, gloss in glosses.items() if "petrol" in gloss.lower()}
    assert told == set()


@pytest.mark.parametrize(
    ("tag", "label"), [("P-001", "P-0001"), ("P-1", "P-0001"), ("P-0001", "P-0001"), ("R-B", "R-B")]
)
def test_a_tag_is_one_with_however_many_noughts_it_is_read_out(tag: str, label: str) -> None:
    assert as_label(tag) == label


@pytest.mark.parametrize(
    ("text", "tags"),
    [
        ("Tag P zero zero zero one on the canopy.", ("P-0001",)),
        ("P oh oh oh one", ("P-0001",)),
        ("P three one seven and D, oh one two", ("P-317", "D-012")),
        ("It's three one seven.", ()),
        ("Stuck at a three one seven.", ()),
    ],
)
def test_tags_whose_figures_are_said_one_by_one_are_found(text: str, tags: tuple[str, ...]) -> None:
    assert tags_in(text) == tags
