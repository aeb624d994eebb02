"""Speech as it really comes: run on, unmarked, with pauses, corrections and tags as recognisers write them.

"|" in a text is where the speaker paused.
"""

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.reader import Reader
from tests.reading.test_reader import brief


def heard(reader: Reader, text: str) -> tuple[Fact, ...]:
    pieces = [piece.strip() for piece in text.split("|")]
    pauses, joined = [], pieces[0]
    for piece in pieces[1:]:
        pauses.append(len(joined) + 1)
        joined += " " + piece
    return reader.read(joined, pauses)


@pytest.mark.parametrize(
    ("said", "tag"),
    [
        ("tagged P0311", "P-0311"),
        ("tagged P-0311", "P-0311"),
        ("the tag is P0310", "P-0310"),
        ("and the tag's P, O320", "P-0320"),
        ("the tag is pee. | 0310", "P-0310"),
        ("tagged P oh three one two", "P-0312"),
        ("tagged P, oh three two one", "P-0321"),
        ("and the tag's M, O2O3", "M-0203"),
        ("and the tag is M-O-206", "M-0206"),
        ("tagged p o 3 2 1", "P-0321"),
        ("tagged P 0-3-2-1", "P-0321"),
        ("tagged em oh two oh three", "M-0203"),
        ("tagged mike zero two zero three", "M-0203"),
    ],
)
def test_tag_is_read_however_it_was_heard(reader: Reader, said: str, tag: str) -> None:
    facts = heard(reader, f"The fin is off, {said}.")
    assert [fact.tag for fact in facts if fact.tag] == [tag]


def test_part_number_of_a_standard_is_no_tag(reader: Reader) -> None:
    facts = reader.read("We took the AN470 rivets out of the fin.")
    assert [fact.tag for fact in facts] == [None] * len(facts)


def test_second_tag_on_the_same_part_does_not_go_to_the_next_part(reader: Reader) -> None:
    text = (
        "I've disconnected both cables. That's P-0301 on the top one. And P-0302 on the bottom one. The flap is off."
    )
    facts = reader.read(text)
    assert [(fact.item, fact.tag) for fact in facts] == [
        ("control-cable", "P-0301"),
        ("control-cable", "P-0302"),
        ("flap", None),
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Here's the front spar fitting with nothing in it.", []),
        ("Seven of them came out, and the bottom one's tight.", []),
        ("What you do is work the flaps and let it weep into a tin.", []),
        ("This is the fin, and this is what it came off.", []),
        ("That's the bush it came out of.", []),
        ("With both legs out you can see up into the wheel bays.", []),
        ("The wheels are on pallet 6 with the tyres still on.", ["done store wheel"]),
        ("Both wheels are off the floor.", []),
        ("Lights off please, whoever's last.", []),
        ("The shims are in bag 60.", []),
        ("The interplane struts carry the outer end.", []),
        ("That elongated hole needs measuring again.", []),
    ],
)
def test_what_only_sounds_like_work_is_left_alone(reader: Reader, text: str, expected: list[str]) -> None:
    assert brief(reader.read(text)) == expected


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("38 screws came out of the access panel, and they're in bag 23.", ("screw", "23")),
        ("The retaining plates are off. Eight bolts, four on each plate, and they're in bag 42.", ("bolt", "42")),
        ("The drag strut's off. Two bolts, bag 41, and the strut's on rack 4.", ("bolt", "41")),
        ("Took the aileron off. That was five hinge bolts, and they're in bag 34.", ("bolt", "34")),
        ("The front spar bolts are in bag 31, and the rear spar ones are in bag 32.", ("bolt", "32")),
    ],
)
def test_they_are_the_fasteners_last_counted(reader: Reader, text: str, kept: tuple[str, str]) -> None:
    bagged = [fact for fact in reader.read(text) if fact.act == "bag"]
    assert (bagged[-1].item, bagged[-1].stowage.bag if bagged[-1].stowage else None) == kept


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("We've put two trestles under the centre section.", ["done support centre-section"]),
        ("There's a wing trestle under the port outer wing at rib 6.", ["done support outer-wing port"]),
        ("The tail trestles under the rear fuselage, and it's strapped down.", ["done support rear-fuselage"]),
        ("The centre section's on two jacks, with the trestles still under it.", ["done support centre-section"]),
        (
            "The port outer wing is off. We took the weight on the hoist with two slings.",
            ["done remove outer-wing port", "done support outer-wing port"],
        ),
        (
            "The retaining plates are off the port leg. Four of us took the weight of it.",
            ["done remove retaining-flange port", "done support main-undercarriage port"],
        ),
    ],
)
def test_what_is_held_up_is_the_item_and_is_told_once(reader: Reader, text: str, expected: list[str]) -> None:
    assert brief(reader.read(text)) == expected


def test_clause_takes_nothing_over_a_pause(reader: Reader) -> None:
    text = "tomorrow we'll take the main undercarriage out, both legs | The flying controls have to be "
    assert brief(heard(reader, text + "disconnected first")) == ["planned remove main-undercarriage"]


def test_number_is_put_right_over_a_full_stop(reader: Reader) -> None:
    text = "The trestle's under the rear fuselage at frame 21. | No, I tell a lie, frame 22, and it's strapped down."
    (fact,) = heard(reader, text)
    assert fact.place is not None
    assert [place.at for place in fact.place] == ["22"]


def test_old_finding_that_picks_out_a_part_is_not_told_anew(reader: Reader) -> None:
    text = "The cracked bracket wants taking off and crack-testing."
    assert brief(reader.read(text)) == ["planned remove bracket", "planned inspect bracket"]


def test_detail_has_the_side_that_was_said_of_it(reader: Reader) -> None:
    text = "The port lining is worn down to 90 thou. The starboard one is good."
    assert brief(reader.read(text)) == ["seen wear brake-unit port", "seen sound brake-unit starboard"]


def test_smallest_part_named_is_the_item(reader: Reader) -> None:
    assert brief(reader.read("There's corrosion on the rear spar cap.")) == ["seen corrosion spar-cap"]
    assert brief(reader.read("The generator mount is cracked.")) == ["seen crack generator"]
    assert brief(reader.read("The hydraulic line's been chafing on the rib.")) == ["seen chafing hydraulic-line"]


def test_list_under_a_heading_is_read_part_by_part(reader: Reader) -> None:
    text = "What came off today: the spinner, eight screws, and the cowlings. What's still on: the flap."
    assert brief(reader.read(text)) == ["done remove spinner", "done remove cowling", "not-done remove flap"]


def test_what_was_stuck_and_is_out_is_the_stuck_part(reader: Reader) -> None:
    text = "Starboard leg. Eight bolts out of the retaining plates. The outboard spigot's seized. | "
    assert brief(heard(reader, text + "It's moving. It's out!"))[-1] == "done remove spigot starboard"
