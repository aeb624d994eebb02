"""Sides, places and numbers told apart from their part, and words that only look like findings."""

import pytest

from pipeline.reading.reader import Reader
from tests.reading.test_items_and_sides import said


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The ailerons are both off.", ["done remove aileron both"]),
        ("The wing tips are off, the both of them.", ["done remove wing-tip both"]),
        ("Wing tip. Starboard. Lowered it onto foam.", ["done lower wing-tip starboard"]),
        (
            "We took the aileron off, the starboard aileron, and cleaned it.",
            ["done remove aileron starboard", "done clean aileron starboard"],
        ),
        ("Starboard nacelle, the oil filter's out.", ["done remove oil-filter starboard"]),
        ("Port wing, the root fitting. Undid two bolts.", ["done undo joint-fitting port"]),
        ("Junction box is loose. Port nacelle.", ["seen loose junction-box port"]),
        ("I put the port magneto aside in box 9.", ["done store magneto port"]),
        ("The bellcrank behind the floor's got play.", ["seen play bellcrank"]),
    ],
)
def test_a_side_told_apart_is_that_of_the_part(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


@pytest.mark.parametrize(
    ("text", "item", "place"),
    [
        ("Skin. Frame 14. Dent.", "skin", "14"),
        ("Frame 14 floor's rotten.", "floor", "14"),
        ("Rear spar, port, rib 3: moderate corrosion.", "rear-spar", "3"),
    ],
)
def test_a_numbered_place_is_no_part_beside_a_named_one(reader: Reader, text: str, item: str, place: str) -> None:
    (fact,) = reader.read(text)
    assert fact.item == item
    assert place in [one.at for one in fact.place or ()]


def test_a_place_on_one_side_is_not_carried_to_the_other(reader: Reader) -> None:
    port, starboard = reader.read("Flap, port, rib 2: heavy corrosion. Flap, starboard: no corrosion.")
    assert port.place
    assert not starboard.place


@pytest.mark.parametrize(
    "text",
    [
        "No play in the rudder when I waggle it.",
        "There's nae play in the rudder.",
        "Zero play in the rudder.",
    ],
)
def test_what_is_denied_is_absent(reader: Reader, text: str) -> None:
    (fact,) = reader.read(text)
    assert (fact.finding, fact.absent, fact.count) == ("play", True, None)


@pytest.mark.parametrize(
    "text",
    [
        "That rudder, it's a good question.",
        "Stand the rudder outside where it can drip.",
        "Rudder next, no, scratch that.",
    ],
)
def test_words_of_talk_are_no_findings(reader: Reader, text: str) -> None:
    assert [fact.finding for fact in reader.read(text) if fact.finding] == []


def test_what_work_brought_about_is_no_finding(reader: Reader) -> None:
    assert said(reader, "We cracked the nuts loose on the fin.") == ["done undo fin"]


def test_what_was_found_has_its_own_subject(reader: Reader) -> None:
    assert said(reader, "We've found that the keel member is sound.") == ["seen sound keel-member"]


def test_only_rubber_perishes(reader: Reader) -> None:
    assert said(reader, "Hatch, had a look at the seal and it's all perished.")[-1] == "seen perished gasket"


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("There's an inch of play in the rudder.", 1.0, "in"),
        ("Drained the oil tank, a gallon and a half.", 1.5, "gal"),
        ("Drained the oil tank, which gave two gallons.", 2.0, "gal"),
        ("Measured the gap at the root of the flap, 3 millimetres.", 3.0, "mm"),
    ],
)
def test_sizes_with_a_or_of_are_read(reader: Reader, text: str, value: float, unit: str) -> None:
    (fact,) = reader.read(text)
    assert [(one.value, one.unit) for one in fact.measure or ()] == [(value, unit)]


@pytest.mark.parametrize(
    ("text", "count", "about"),
    [
        ("Fin. Nuts off, all ten.", 10, False),
        ("Pulled the nuts off the fin, ten of 'em.", 10, False),
        ("Took twenty nuts off the fin, well, ten.", 10, False),
        ("Undid ten nuts on the fin, roughly.", 10, True),
        ("The fin is held by six nuts at the front and four at the rear, ten in all.", 10, False),
    ],
)
def test_numbers_told_late_count(reader: Reader, text: str, count: int, about: bool) -> None:
    (fact,) = reader.read(text)
    assert (fact.count, fact.of, bool(fact.about)) == (count, "nut", about)


def test_what_is_in_a_float_is_on_its_side(reader: Reader) -> None:
    text = "Port float. The bulkhead at frame 3 has a crack."
    assert said(reader, text) == ["seen crack bulkhead port"]


def test_paint_without_a_part_is_that_of_the_heading(reader: Reader) -> None:
    text = "Port outer wing, rib 4. Rib's cracked. Paint's flaking all over."
    assert said(reader, text)[-1] == "seen paint-loss outer-wing port"


@pytest.mark.parametrize(
    "text",
    [
        "Rudder is on shelf 3. No, shelf 4.",
        "I put the rudder on the shelf, shelf 4.",
        "I put the rudder on shelf 3. Sorry, I mean shelf 4.",
    ],
)
def test_a_place_of_keeping_is_put_right(reader: Reader, text: str) -> None:
    (fact,) = reader.read(text)
    assert fact.stowage is not None
    assert fact.stowage.shelf == "4"


def test_a_bay_for_work_is_a_room(reader: Reader) -> None:
    (fact,) = reader.read("We wheeled the engine to the degreasing bay.")
    assert fact.stowage is not None
    assert fact.stowage.room == "degreasing bay"


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("Two ribs are cracked, one by 5 millimetres and the other by 12.", [(5.0, "mm"), (12.0, "mm")]),
        ("The skin has a crack, inch and three quarters.", [(1.75, "in")]),
        ("Tested the engine, oil pressure sixty pounds.", [(60.0, "psi")]),
    ],
)
def test_sizes_with_a_word_left_out_are_read(reader: Reader, text: str, sizes: list[tuple[float, str]]) -> None:
    (fact,) = reader.read(text)
    assert [(one.value, one.unit) for one in fact.measure or ()] == sizes


def test_a_degree_told_again_is_that_of_the_finding(reader: Reader) -> None:
    (fact,) = reader.read("The mast is bent, it's only slightly bent.")
    assert fact.grade == "light"


def test_what_is_behind_it_is_in_the_same_place(reader: Reader) -> None:
    facts = reader.read("The access panel at station 90 was opened and the pulley behind it was inspected.")
    assert [[one.at for one in fact.place or ()] for fact in facts] == [["90"], ["90"]]


@pytest.mark.parametrize(
    ("text", "last"),
    [
        ("Looked at the rear spar and the web's fine.", "seen sound spar-web"),
        ("Fin. Two nuts off. Third's seized.", "seen seized nut"),
        ("Wing tip. Dent. Starboard side.", "seen dent wing-tip starboard"),
    ],
)
def test_details_and_ordinals_are_of_what_was_named(reader: Reader, text: str, last: str) -> None:
    assert said(reader, text)[-1] == last


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("We ran the engine.", ["done test engine"]),
        ("I went to the parts store.", []),
        ("Looked for cracks on the tail wheel and found none.", ["seen no crack tail-wheel"]),
        (
            "Old gaskets under the magnetos had perished so we took those out.",
            ["seen perished gasket", "done remove gasket"],
        ),
        ("Front spar. In these columns of holes six are elongated.", ["seen elongated-hole front-spar"]),
    ],
)
def test_words_that_stand_for_a_part_or_for_none(reader: Reader, text: str, expected: list[str]) -> None:
    assert said(reader, text) == expected


def test_a_number_of_cracks_counts_no_parts(reader: Reader) -> None:
    (fact,) = reader.read("The port engine cowling has three cracks.")
    assert (fact.item, fact.count) == ("cowling", None)
