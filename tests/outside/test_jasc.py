"""System chapters against the FAA's table.

Source: Federal Aviation Administration, Joint Aircraft System/Component Code Table and Definitions, 27 October 2008
(https://sdrs.faa.gov/documents/JASC_Code.pdf): the chapters that have codes, and single codes with what is filed
under them. Looked up in a published copy of the table's rows, not in the document itself.
"""

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.reading.forms import word_set
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary

WITH_CODES = word_set(
    "11 12 14 18 21 22 23 24 25 26 27 28 29 30 31 32 33 34 35 36 37 38 45 49 51 52 53 54 55 56 57 61 62 63 64 65 67 "
    "71 72 73 74 75 76 77 78 79 80 81 82 83 85"
)

# Part, code and what the table says of that code, in our words.
FILED = [
    ("bolt", "1430", "fasteners that belong to no system: bolts, nuts, rivets"),
    ("control-column", "2701", "control column section"),
    ("control-rod", "2710", "from the column to the aileron: push rods, bellcranks, cables, turnbuckles"),
    ("turnbuckle", "2710", "from the column to the aileron"),
    ("rudder-pedal", "2720", "from the pedals to the rudder"),
    ("elevator-torque-tube", "2730", "elevator control system, torque tubes among it"),
    ("flap-jack", "2752", "trailing edge flap actuator"),
    ("control-lock", "2770", "gust lock"),
    ("seat", "2510", "flight compartment equipment: seats, harnesses"),
    ("dinghy", "2564", "life raft"),
    ("battery", "2432", "battery and charger system"),
    ("wheel", "3246", "wheel, ski or float"),
    ("float", "3246", "wheel, ski or float"),
    ("inner-tube", "3245", "tyre tube"),
    ("anti-shimmy-unit", "3252", "shimmy damper"),
    ("tail-bumper", "3270", "auxiliary gear: tail skid"),
    ("landing-lamp", "3340", "exterior lighting"),
    ("pitot-head", "3411", "pitot and static system"),
    ("altimeter", "3416", "altimeter"),
    ("compass", "3423", "magnetic compass"),
    ("undercarriage-door", "5280", "landing gear doors"),
    ("door", "5210", "passenger and crew doors"),
    ("escape-hatch", "5220", "emergency exits"),
    ("frame", "5311", "main fuselage frame"),
    ("bulkhead", "5312", "main fuselage bulkhead"),
    ("longeron", "5313", "main fuselage longeron or stringer"),
    ("keel-member", "5314", "main fuselage keel"),
    ("floor-beam", "5315", "main fuselage floor beam"),
    ("floor", "5321", "fuselage floor panel"),
    ("fairing", "5350", "aerodynamic fairings"),
    ("fillet-panel", "5350", "aerodynamic fairings, fillets among them"),
    ("firewall", "5412", "nacelle bulkhead or firewall"),
    ("tailplane", "5510", "horizontal stabilizer structure"),
    ("elevator", "5520", "elevator structure"),
    ("carburettor", "7322", "fuel control of reciprocating engines"),
    ("oil-tank", "7910", "oil storage"),
    ("starter", "8011", "engine starter"),
    ("engine", "8500", "reciprocating engine"),
    ("nose-case", "8510", "front section"),
    ("crankshaft", "8520", "power section: crankcase, crankshaft, cam ring"),
    ("cylinder", "8530", "cylinder section: cylinders, valves, push rod tubes, induction pipes, baffles"),
    ("induction-pipe", "8530", "cylinder section"),
    ("engine-baffle", "8530", "cylinder section"),
    ("accessory-case", "8540", "rear section"),
    ("oil-pump", "8550", "oil system within the engine"),
    ("supercharger", "8560", "supercharger"),
    ("coolant-radiator", "8570", "liquid cooling: radiator, hoses, pump, thermostat"),
    ("coolant-pump", "8570", "liquid cooling"),
]  # fmt: skip


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return load_vocabulary(shipped_vocabulary())


def test_list_of_chapters_is_the_tables(vocabulary: Vocabulary) -> None:
    assert [one.chapter for one in vocabulary.chapters] == sorted(WITH_CODES)


def test_every_chapter_in_use_has_codes_in_the_table(vocabulary: Vocabulary) -> None:
    assert {part.chapter for part in vocabulary.parts if part.chapter} <= WITH_CODES


@pytest.mark.parametrize(("notation", "code", "_filed"), FILED, ids=[row[0] for row in FILED])
def test_part_stands_in_the_chapter_of_its_code(
    vocabulary: Vocabulary, notation: str, code: str, _filed: str
) -> None:
    part = vocabulary.part(notation)
    assert part is not None
    assert part.chapter == code[:2]


def test_all_parts_of_the_aircraft_have_a_chapter(vocabulary: Vocabulary) -> None:
    without = [p.notation for p in vocabulary.parts if not p.chapter and p.kind != "support-equipment"]
    assert without == []
