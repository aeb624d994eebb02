"""Parts of a flying boat, a jet, a glider and a transport by the names that volunteers have for them."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("name", "item"),
    [
        ("water rudder", "water-rudder"),
        ("float strut", "float-strut"),
        ("bow hatch", "hull-hatch"),
        ("bilge strainer", "bilge-strainer"),
        ("anchor", "mooring-anchor"),
        ("combustion can", "combustion-chamber"),
        ("compressor casing", "engine-compressor"),
        ("throttle valve", "butterfly-valve"),
        ("throttle control", "throttle-box"),
        ("mixture control", "throttle-box"),
        ("mixture lever", "throttle-box"),
        ("brake parachute", "brake-parachute"),
        ("ejection gun", "ejection-gun"),
        ("jet pipe temperature gauge", "exhaust-temperature-gauge"),
        ("nose skid", "nose-skid"),
        ("airbrake lever", "air-brake-lever"),
        ("total energy tube", "total-energy-probe"),
        ("oil cooler flap", "radiator-shutter"),
        ("cowl flap jack", "cowl-gill-jack"),
        ("flap gearbox", "flap-gearbox"),
        ("flap screw jack", "flap-jack"),
        ("thrust bearing", "engine-bearing"),
        ("elevator cable drum", "cable-drum"),
        ("demister hose", "demister"),
        ("canopy motor", "canopy-jack"),
        ("landing light motor", "landing-lamp"),
        ("airbrake jack", "air-brake-jack"),
        ("ram air turbine", "ram-air-turbine"),
        ("rotor head bearing", "rotor-head-bearing"),
        ("flapping hinge", "flapping-hinge"),
        ("canopy hinge", "door-hinge"),
        ("rotor brake", "rotor-brake"),
        ("flap drive shaft", "torque-tube"),
        ("cargo net", "cargo-net"),
        ("overhead locker", "luggage-rack"),
        ("tow hook", "release-hook"),
        ("barograph", "barograph"),
        ("seat tank", "fuel-tank"),
        ("brake spring", "return-spring"),
        ("galley floor", "floor"),
        ("oil feed", "oil-line"),
        ("oil return", "oil-line"),
        ("latch pin", "wing-latch-pin"),
        ("wing fold hinge pin", "wing-fold-pin"),
        ("hook damper", "arrester-hook-damper"),
        ("gill ring", "gill-ring"),
        ("hopper lid", "hopper-lid"),
        ("electric plug", "plug-and-socket"),
        ("sump plug", "drain-plug"),
        ("tail wheel tyre", "tyre"),
        ("rear lamp", "navigation-lamp"),
        ("steering spring", "return-spring"),
        ("correction card", "placard"),
    ],
)
def test_a_part_is_known_by_the_name_that_a_volunteer_has_for_it(
    note_reader: NoteReader, name: str, item: str
) -> None:
    (fact,) = [fact for fact in note_reader.read(f"We took the {name} off.") if fact.act == "remove"]
    assert fact.item == item


def test_vortex_generators_make_no_electricity(note_reader: NoteReader) -> None:
    facts = note_reader.read("Vortex generators off the starboard wing, twelve of them.")
    assert [(fact.item, fact.count) for fact in facts] == [("vortex-generator", 12)]


def test_undercarriage_pins_that_are_in_put_no_leg_into_the_aircraft(note_reader: NoteReader) -> None:
    for text in ("The undercarriage pins are in, both legs.", "Gear pins are in.", "Undercarriage pins in, two."):
        facts = note_reader.read(text)
        assert [fact.item for fact in facts] == ["ground-lock"], text


def test_nothing_doing_on_a_part_says_not_that_it_is_sound(note_reader: NoteReader) -> None:
    assert all(fact.finding != "sound" for fact in note_reader.read("Nothing doing on the fin, the bolts laughed."))


def test_prop_nuts_are_nuts_of_the_propeller(note_reader: NoteReader) -> None:
    (fact,) = [fact for fact in note_reader.read("Prop nuts, eight, bag twenty.") if fact.act == "bag"]
    assert (fact.item, fact.count) == ("nut", 8)


def test_feed_and_return_are_lines_of_what_was_talked_of(note_reader: NoteReader) -> None:
    facts = note_reader.read("The oil tank is out. Feed and return off and both blanked.")
    assert ("blank", "oil-line") in [(fact.act, fact.item) for fact in facts]
    assert ("blank", "oil-tank") not in [(fact.act, fact.item) for fact in facts]


def test_the_damper_of_an_arrester_hook_is_its_own(note_reader: NoteReader) -> None:
    facts = note_reader.read("Arrester hook's on the floor under the bench, damper's on rack two.")
    assert [fact.item for fact in facts if fact.stowage] == ["arrester-hook-damper"]
