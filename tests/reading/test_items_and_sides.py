"""Which part a fact is about, and on which side: one hangar sentence for each rule."""

import pytest

from pipeline.reading.reader import Reader
from tests.reading.test_reader import brief


def said(reader: Reader, text: str) -> list[str]:
    return brief(reader.read(text))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Shock strut, left main. Bled it down. The strut leaks at the gland.",
            ["done drain main-oleo port", "seen leak main-oleo port"],
        ),
        (
            "Landing light, left: lamp removed, looms capped.",
            ["done remove landing-lamp port", "done blank wiring-loom port"],
        ),
        (
            "I have torqued the eight engine mount bolts on the port inner and wirelocked them.",
            ["done tighten engine-mount port", "done lock engine-mount port"],
        ),
        (
            "Starboard tailplane. Elevator removed. Leading edge dented at rib 4.",
            ["done remove elevator starboard", "seen dent leading-edge starboard"],
        ),
        (
            "We took the starboard aileron down, then its hinges, then the tab.",
            [
                "done remove aileron starboard",
                "done remove aileron-hinge starboard",
                "done remove trim-tab starboard",
            ],
        ),
        ("The port outer wing has a dent in the tip.", ["seen dent wing-tip port"]),
        ("The port elevator's off. The rudder's cracked.", ["done remove elevator port", "seen crack rudder"]),
    ],
)
def test_side_goes_with_the_assembly_it_was_said_of(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Four flap panels off. Two port, two starboard.", ["done remove flap both"]),
        (
            "Port bomb door's off. The starboard one's primed, and then they both go back on next week.",
            ["done remove bomb-door port", "done prime bomb-door starboard", "planned fit bomb-door both"],
        ),
        ("Axles, both, miked.", ["done measure axle both"]),
        (
            "Measured aileron droop. Port, an inch. Starboard, an inch and five eighths.",
            ["done measure aileron port", "done measure aileron starboard"],
        ),
        (
            "Engine mounting bolts, starboard: torqued. Port: not yet.",
            ["done tighten engine-mount starboard", "not-done tighten engine-mount port"],
        ),
    ],
)
def test_sides_that_are_told_apart_or_together(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Bracket at rib 3, right wing. Two of its four rivets had sheared. I drilled the other two out.",
            ["seen broken rivet starboard", "done drill-out bracket starboard"],
        ),
        (
            "Oil cooler, starboard, off and degreased. Oil tank of the same engine not drained.",
            [
                "done remove oil-cooler starboard",
                "done clean oil-cooler starboard",
                "not-done drain oil-tank starboard",
            ],
        ),
        ("Behind the wheel there's the, um, not the bearing, the axle's scored.", ["seen scoring axle"]),
        ("I looked for the fin, but I'm too wide, so I came out backwards.", []),
        ("We had the fin on Monday. Thursday I had off.", []),
    ],
)
def test_words_that_only_look_like_a_side_a_repeat_or_work(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "number one engine the starter's off the genny's off",
            ["done remove starter", "done remove generator"],
        ),
        (
            "Starboard engine, oil cooler. Drained it, took it off.",
            ["done drain oil-cooler starboard", "done remove oil-cooler starboard"],
        ),
        ("The skin has a dent, just aft of the door.", ["seen dent skin"]),
        ("There's play in the rudder's bottom hinge.", ["seen play rudder-hinge"]),
        ("The fabric's off the rudder and the frame is sound.", ["done remove wing-fabric", "seen sound rudder"]),
        (
            "The radiator, the header tank and the hoses are off.",
            ["done remove coolant-radiator", "done remove header-tank-coolant", "done remove coolant-line"],
        ),
        ("Undid the bolts holding the retraction jack to the left leg.", ["done undo retraction-jack port"]),
        ("Radio's out, and the aerial.", ["done remove radio-set", "done remove aerial"]),
        ("The battery we put back, and the generator.", ["done fit battery", "done fit generator"]),
        (
            "Took the seat out. It's got a cracked bracket. It's on pallet 6.",
            ["done remove seat", "seen crack bracket", "done store seat"],
        ),
        ("Miked the hinge bolts of the fin. Worn three thou.", ["done measure bolt", "seen wear bolt"]),
        ("Went over the rear spar with a glass, port side.", ["done inspect rear-spar port"]),
    ],
)
def test_fact_is_about_the_part_that_is_meant(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Undid the four bolts on the fin. Bag 12.", ["done undo fin", "done bag bolt"]),
        ("Fin's off, four bolts, bag 12.", ["done remove fin", "done bag bolt"]),
        ("Eight bolts out of the engine mount, bagged.", ["done undo engine-mount", "done bag bolt"]),
        ("That's the magneto off, with its three nuts in bag 17.", ["done remove magneto", "done bag nut"]),
        ("Lamp's out, and it's in bag 14.", ["done remove landing-lamp", "done bag landing-lamp"]),
    ],
)
def test_what_goes_into_a_bag_after_fasteners_were_undone_is_the_fasteners(
    reader: Reader, text: str, expected: list[str]
) -> None:
    assert said(reader, text) == expected


def test_number_within_a_range_of_places_is_one_of_them(reader: Reader) -> None:
    facts = reader.read("Looked at the rear spar, port, ribs 8 to 10. At 10 it's split.")
    assert [(place.scheme, place.at) for place in facts[-1].place or ()] == [("rib", "10")]


def test_same_bay_is_the_bay_named_last(reader: Reader) -> None:
    facts = reader.read("Battery removed from bay 5. Terminal block in the same bay is cracked.")
    assert [(place.scheme, place.at) for place in facts[-1].place or ()] == [("bay", "5")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Drained the port tank, the starboard tomorrow.",
            ["done drain fuel-tank port", "planned drain fuel-tank starboard"],
        ),
        (
            "Left oleo's drained. Right one on Saturday.",
            ["done drain main-oleo port", "planned drain main-oleo starboard"],
        ),
        ("The fin's off. Rudder as well.", ["done remove fin", "done remove rudder"]),
        ("The fin's off, rudder next.", ["done remove fin"]),
        (
            "Elevators. Left one: hinges undone. Right one: off.",
            ["done undo elevator-hinge port", "done remove elevator starboard"],
        ),
        ("Found the missing bolt from the fin and put it in bag 4.", ["done bag bolt"]),
    ],
)
def test_verb_or_part_that_is_left_out_is_taken_from_before(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "The whole tail's off: fin, rudder, both elevators.",
            ["done remove fin", "done remove rudder", "done remove elevator both"],
        ),
        (
            "Off the starboard nacelle: the firewall, the oil tank.",
            ["done remove firewall starboard", "done remove oil-tank starboard"],
        ),
        (
            "Wheel off, brake off, all on the right side.",
            ["done remove wheel starboard", "done remove brake-unit starboard"],
        ),
        ("Found play in both aileron hinges on the right wing.", ["seen play aileron-hinge starboard"]),
        ("The engine bearer on the left has a tube in it, and its top bolt's seized.", ["seen seized bolt port"]),
    ],
)
def test_lists_with_a_side_for_all_or_for_one(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


@pytest.mark.parametrize(
    ("said", "item"),
    [
        ("fuel transfer line", "fuel-line"),
        ("oil pressure pipe", "oil-line"),
        ("coolant return pipe", "coolant-line"),
        ("pressure pipe", "hydraulic-line"),
    ],
)
def test_line_is_of_what_runs_in_it_whatever_its_use(reader: Reader, said: str, item: str) -> None:
    assert [fact.item for fact in reader.read(f"Disconnected the {said}.")] == [item]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("We took the drag stay off.", ["done remove drag-strut"]),
        ("We took the side stay off the port leg.", ["done remove drag-strut port"]),
        ("The tailplane stays on for now.", ["not-done remove tailplane"]),
    ],
)
def test_a_stay_is_a_part_and_what_stays_is_left_on(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected
