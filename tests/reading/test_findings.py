"""What is seen on parts, said in many ways."""

import pytest

from pipeline.reading.reader import Reader


def seen(reader: Reader, text: str) -> list[tuple[str, str, bool]]:
    """Return finding, item and whether it is absent of every seen fact."""
    return [
        (fact.finding or "", fact.item or "", bool(fact.absent))
        for fact in reader.read(text)
        if fact.status == "seen"
    ]


@pytest.mark.parametrize(
    "text",
    [
        "The keel member's as clean as a whistle.",
        "Nothing wrong with the keel member.",
        "I can't see anything wrong with the keel member.",
        "There's not a mark on the keel member.",
        "Keel member's in very good order.",
    ],
)
def test_good_order_is_said_in_many_ways(reader: Reader, text: str) -> None:
    assert seen(reader, text) == [("sound", "keel-member", False)]


@pytest.mark.parametrize("text", ["If there's anything wrong with the fin, say so.", "No damage to anything."])
def test_what_is_not_judged_is_not_sound(reader: Reader, text: str) -> None:
    assert seen(reader, text) == []


def test_one_no_counts_for_both_findings_of_an_or(reader: Reader) -> None:
    assert seen(reader, "No play or leaks on the tail oleo.") == [
        ("play", "tail-oleo", True),
        ("leak", "tail-oleo", True),
    ]


def test_findings_before_the_part_share_the_part(reader: Reader) -> None:
    found = seen(reader, "Lowered the fin. No dents, no cracks and no corrosion on the starboard elevator.")
    assert found == [("dent", "elevator", True), ("crack", "elevator", True), ("corrosion", "elevator", True)]


def test_no_that_takes_a_word_back_denies_nothing(reader: Reader) -> None:
    assert seen(reader, "The port one, no, sorry, the starboard flap jack is seized.") == [
        ("seized", "flap-jack", False)
    ]


@pytest.mark.parametrize(
    "text",
    [
        "There's no split pin in the axle nut.",
        "The axle nut had no split pin in it.",
    ],
)
def test_a_part_that_is_not_there_is_missing(reader: Reader, text: str) -> None:
    assert seen(reader, text) == [("missing", "split-pin", False)]


def test_none_has_got_its_pin_tells_that_pins_are_missing(reader: Reader) -> None:
    assert seen(reader, "None of these turnbuckles has got its locking wire.") == [("missing", "locking-wire", False)]


@pytest.mark.parametrize("text", ["There's no rudder on the stores list.", "We have no rivets left."])
def test_what_people_lack_is_no_finding(reader: Reader, text: str) -> None:
    assert ("missing", "rivet", False) not in seen(reader, text)


@pytest.mark.parametrize(
    "text",
    [
        "Rust on the axle, and I'd call that heavy.",
        "Rust on the axle. It's quite bad.",
        "The axle's rusty, something rotten.",
    ],
)
def test_a_degree_that_is_told_afterwards_belongs_to_the_finding(reader: Reader, text: str) -> None:
    facts = [fact for fact in reader.read(text) if fact.status == "seen"]
    assert [(fact.finding, fact.grade) for fact in facts] == [("corrosion", "heavy")]


def test_what_was_looked_for_and_not_found_is_absent(reader: Reader) -> None:
    assert seen(reader, "Checked the fuel tank for leaks, none found.") == [("leak", "fuel-tank", True)]


@pytest.mark.parametrize(
    "text",
    [
        "Checked the port rudder hinges. All good.",
        "Port rudder hinges inspected, sound.",
        "Had a look at the port rudder hinges. Clean.",
    ],
)
def test_the_outcome_of_a_look_needs_no_subject(reader: Reader, text: str) -> None:
    assert seen(reader, text) == [("sound", "rudder-hinge", False)]


def test_a_leak_that_is_cured_is_absent(reader: Reader) -> None:
    text = "The oil tank leaked at the bottom seam. Soldered that. Now it's dry as a bone."
    assert seen(reader, text)[-1] == ("leak", "oil-tank", True)


def test_an_empty_tank_is_no_cure(reader: Reader) -> None:
    assert seen(reader, "Port fuel tank. Cap off, dipped it, bone dry.") == []


def test_a_part_with_a_fault_is_not_sound_however_good_the_rest(reader: Reader) -> None:
    assert seen(reader, "The bracket's cracked at the lug. The rest of it's fine.") == [("crack", "bracket", False)]


def test_a_finding_said_twice_is_one(reader: Reader) -> None:
    assert seen(reader, "The split pin's missing. Missing, I'm going to say missing.") == [
        ("missing", "split-pin", False)
    ]


@pytest.mark.parametrize("text", ["Oh no, frame 10's corroded.", "There's rust on frame 10, oh no, bad rust."])
def test_oh_no_denies_nothing(reader: Reader, text: str) -> None:
    assert seen(reader, text)[0] == ("corrosion", "frame", False)


def test_a_part_that_is_missing_from_it_altogether_is_not_absent_missing(reader: Reader) -> None:
    assert seen(reader, "There's no gasket in it, missing altogether.") == [("missing", "gasket", False)]


def test_nil_after_a_finding_is_none(reader: Reader) -> None:
    assert seen(reader, "Rudder bar bush: play now nil.")[-1][2] is True


def test_fasteners_told_of_before_are_what_a_bare_number_counts(reader: Reader) -> None:
    facts = [fact for fact in reader.read("Tailplane bolts are out. One was seized.") if fact.finding]
    assert [(fact.finding, fact.item) for fact in facts] == [("seized", "bolt")]


def test_what_is_good_is_not_good_at_the_place_excepted(reader: Reader) -> None:
    facts = [fact for fact in reader.read("Fin rivets are sound except at rib 3.") if fact.finding == "sound"]
    assert [fact.place for fact in facts] == [None]


def test_what_is_not_there_has_no_degree(reader: Reader) -> None:
    facts = reader.read("Not a trace of corrosion on the port aileron.")
    assert [(fact.finding, fact.absent, fact.grade) for fact in facts] == [("corrosion", True, None)]


def test_good_after_its_part_is_a_finding(reader: Reader) -> None:
    assert seen(reader, "Port oleo good, starboard oleo leaking.") == [
        ("sound", "main-oleo", False),
        ("leak", "main-oleo", False),
    ]
