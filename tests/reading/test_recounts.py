"""Numbers told after what they count, put right, or carried on, and places that a heading names."""

import pytest

from pipeline.reading.reader import Reader


@pytest.mark.parametrize(
    "text",
    [
        "Took the screws out of the nose cone, fourteen.",
        "Took twelve screws out of the nose cone, no, I tell a lie, fourteen.",
        "Took the screws out of the nose cone, fourteen of them.",
        "Took thirteen, sorry, fourteen screws out of the nose cone.",
    ],
)
def test_a_number_after_its_noun_counts_it(reader: Reader, text: str) -> None:
    facts = reader.read(text)
    assert [(fact.item, fact.count, fact.of) for fact in facts] == [("nose-cone", 14, "screw")]


def test_a_number_that_says_how_alike_things_are_corrects_nothing(reader: Reader) -> None:
    facts = reader.read("The fin is held by four bolts and no two of them the same length.")
    assert [fact.count for fact in facts] == [4]


def test_them_are_as_many_as_were_just_counted(reader: Reader) -> None:
    facts = reader.read("Tightened both nuts on the port magneto and wire-locked them.")
    assert [(fact.act, fact.count, fact.of) for fact in facts] == [("tighten", 2, "nut"), ("lock", 2, "nut")]


@pytest.mark.parametrize("words", ["about thirty", "thirty odd", "something like thirty", "getting on for thirty"])
def test_a_number_that_is_only_about_right_says_so(reader: Reader, words: str) -> None:
    facts = reader.read(f"Drilled out {words} rivets from the doubler.")
    assert [(fact.count, fact.about) for fact in facts] == [(30, True)]


def test_a_heading_with_a_place_holds_for_what_is_found_there(reader: Reader) -> None:
    facts = reader.read("Keel member, bays 2 to 5. No cracks. Two rivets missing.")
    assert [(fact.finding, fact.place[0].at if fact.place else "") for fact in facts] == [
        ("crack", "2-5"),
        ("missing", "2-5"),
    ]


def test_a_number_alone_goes_on_with_numbered_frames(reader: Reader) -> None:
    facts = reader.read("Frame eleven's good. Twelve's corroded.")
    assert [(fact.finding, fact.place[0].at if fact.place else "") for fact in facts] == [
        ("sound", "11"),
        ("corrosion", "12"),
    ]


def test_what_is_not_sound_has_no_finding_of_its_own(reader: Reader) -> None:
    facts = reader.read("Former four's sound. Five isn't.")
    assert [fact.place[0].at for fact in facts if fact.place] == ["4"]


def test_a_number_inside_a_range_of_places_is_one_of_them(reader: Reader) -> None:
    facts = reader.read("Looked at the port skin, frames 12 to 16. There's a dent at 14.")
    assert [fact.place[0].at for fact in facts if fact.finding and fact.place] == ["14"]


def test_what_is_in_the_bag_is_counted(reader: Reader) -> None:
    facts = reader.read("Three hinge bolts and three split pins are in bag 18.")
    assert [(fact.item, fact.count, fact.of) for fact in facts] == [
        ("bolt", 3, "bolt"),
        ("split-pin", 3, "split-pin"),
    ]


def test_so_many_a_side_after_the_noun_is_twice_as_many(reader: Reader) -> None:
    facts = reader.read("Undid the nuts on the propeller, six a side.")
    assert [(fact.count, fact.of) for fact in facts] == [(12, "nut")]


def test_give_or_take_is_about(reader: Reader) -> None:
    facts = reader.read("Drilled the rivets out of the doubler, ninety give or take.")
    assert [(fact.count, fact.about) for fact in facts] == [(90, True)]


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("The port wheel's dented, four inches across and a good inch deep.", [(4, "in"), (1, "in")]),
        ("The clevis pin's worn to 0.305.", [(0.305, "in")]),
        ("There's a crack in the fin, a full foot long.", [(1, "ft")]),
        ("Corrosion on the rudder, three inches by two.", [(3, "in"), (2, "in")]),
    ],
)
def test_sizes_are_read_as_the_trade_says_them(reader: Reader, text: str, sizes: list[tuple[float, str]]) -> None:
    fact = next(fact for fact in reader.read(text) if fact.finding)
    assert [(size.value, size.unit) for size in fact.measure or ()] == sizes


def test_parts_just_counted_are_as_many_when_painted(reader: Reader) -> None:
    facts = reader.read("Made three new gussets and primed them.")
    assert [(fact.act, fact.count, fact.of) for fact in facts] == [("make", 3, "gusset"), ("prime", 3, "gusset")]


def test_number_of_them_is_of_the_fasteners_without_a_part_too(reader: Reader) -> None:
    (fact,) = reader.read("I drilled the rivets out, the eight of them.")
    assert (fact.act, fact.item, fact.count, fact.of) == ("drill-out", None, 8, "rivet")


def test_number_after_a_part_tells_which_one_it_is(reader: Reader) -> None:
    (fact,) = reader.read("Main rotor blade two has a dent by the tip.")
    assert (fact.finding, fact.item, fact.count) == ("dent", "rotor-blade", None)
