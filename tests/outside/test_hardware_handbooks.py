"""Part numbers worked through as published handbooks and tables work them through; the source stands beside each."""

from fractions import Fraction

import pytest

from pipeline.hardware.decoded import Decoded
from pipeline.hardware.part_numbers import find_part_numbers


def decoded(number: str) -> Decoded:
    (part,) = find_part_numbers(f"It has {number} in it.")
    assert part.number == number
    return part.decoded


def sizes(number: str) -> dict[str, Fraction]:
    return {size.what: size.inches for size in decoded(number).sizes}


def test_bolt_an3dd5a_of_the_general_handbook() -> None:
    # FAA-H-8083-30, Aircraft Hardware, "Identification and coding" of bolts (from memory; a course card agrees):
    # AN bolt, 3/16 in diameter, 2024 aluminium alloy, 5/8 in long, shank undrilled
    assert sizes("AN3DD5A") | {"grip": 0} == {
        "diameter": Fraction(3, 16),
        "nominal length": Fraction(5, 8),
        "grip": 0,
    }
    assert "aluminium" in decoded("AN3DD5A").kind
    assert decoded("AN3DD5A").features == ("no split-pin hole in the shank",)


def test_bolt_an4_12a_is_a_quarter_inch_bolt_without_a_hole() -> None:
    # AN numbering as FAA-H-8083-30, Aircraft Hardware: number in sixteenths, code in inches and eighths, A: undrilled
    assert decoded("AN4-12A").size("diameter") == Fraction(1, 4)
    assert decoded("AN4-12A").size("nominal length") == Fraction(5, 4)
    assert decoded("AN4-12A").features == ("no split-pin hole in the shank",)
    assert "shank drilled for a split pin" in decoded("AN4-12").features


@pytest.mark.parametrize(
    ("number", "diameter", "length"),
    [
        ("AN10-13", "5/8", "11/8"),  # builders' article on AN numbers: 10/16 in; -13 is an inch and three eighths
        ("AN4-7", "1/4", "7/8"),  # study questions on standard bolts, 5.4.1: 4/16 in diameter, 7/8 in long
        ("AN3-12", "3/16", "5/4"),  # reading AN bolt sizes: 3/16 in, "1 inch plus 2/8 or 1-1/4 inch long"
    ],
)
def test_bolts_worked_through_in_articles(number: str, diameter: str, length: str) -> None:
    assert decoded(number).size("diameter") == Fraction(diameter)
    assert decoded(number).size("nominal length") == Fraction(length)


@pytest.mark.parametrize(
    ("number", "grip", "thread"),
    [
        # document TECH00095, "Identifying AN bolts"
        ("AN4-15A", "19/16", "1/4-28"),
        ("AN6-20", "23/16", "3/8-24"),
        ("AN5H-27A", "39/16", "5/16-24"),
        # a kit builder's manual, table of AN3-AN20 grips (given there to three decimals)
        ("AN3-4", "2/16", "10-32"),
        ("AN3-14", "18/16", "10-32"),
        ("AN4-4", "1/16", "1/4-28"),
        ("AN4-12", "13/16", "1/4-28"),
        ("AN5-4", "1/16", "5/16-24"),
        ("AN5-13", "15/16", "5/16-24"),
        ("AN6-5", "1/16", "3/8-24"),
        ("AN6-14", "15/16", "3/8-24"),
    ],
)
def test_grips_of_two_published_tables(number: str, grip: str, thread: str) -> None:
    assert decoded(number).size("grip") == Fraction(grip)
    assert decoded(number).thread == thread


def test_shortest_bolts_whose_grip_breaks_the_rule_have_none_given() -> None:
    # the same table: AN3-3 has 0.063 in and AN4-3 0.063 in, which the rule of the longer ones would not give
    assert decoded("AN3-3").size("grip") is None
    assert decoded("AN4-3").size("grip") is None


@pytest.mark.parametrize(
    ("number", "head", "alloy", "diameter", "length"),
    [
        # course slides and study guides to FAA-H-8083-31 chapter 4 ("Solid shank rivets") that work these through
        ("AN470AD4-5", "universal-head", "2117", "1/8", "5/16"),
        ("AN470AD3-5", "universal-head", "2117", "3/32", "5/16"),
        ("AN426DD3-5", "100° countersunk-head", "2024", "3/32", "5/16"),
        ("MS20426AD4-5", "100° countersunk-head", "2117", "1/8", "5/16"),
        # AC 43.13-1B paragraph 4-57: half sizes are given after the length, MS20470AD4-3.5
        ("MS20470AD4-3.5", "universal-head", "2117", "1/8", "7/32"),
    ],
)
def test_rivets_worked_through(number: str, head: str, alloy: str, diameter: str, length: str) -> None:
    assert head in decoded(number).kind
    assert alloy in decoded(number).kind
    assert sizes(number) == {"diameter": Fraction(diameter), "length": Fraction(length)}


@pytest.mark.parametrize(
    ("number", "head"),
    [  # AC 43.13-1B chapter 7 section 1, paragraph 7-1
        ("AN430AD4-5", "round-head"),
        ("AN442AD4-5", "flat-head"),
        ("AN455AD4-5", "brazier-head"),
        ("AN456AD4-5", "brazier-head"),
    ],
)
def test_heads_of_older_rivets(number: str, head: str) -> None:
    assert decoded(number).kind.startswith(head)


@pytest.mark.parametrize(
    ("number", "kind", "bolt", "thread"),
    [
        # FAA-H-8083-30, Aircraft Hardware, "Identification and coding" of nuts (examples from memory; rule looked up)
        ("AN310D5R", "aluminium-alloy castle nut", "5/16", "5/16-24"),
        ("AN320-10", "steel castellated shear nut", "5/8", "5/8-18"),
        ("AN350B1032", "brass wing nut", "0.190", "10-32"),
        # the same, on self-locking nuts: last two figures threads to the inch, those before them the size
        ("AN365-428", "self-locking nut", "1/4", "1/4-28"),
        ("AN365-832", "self-locking nut", "0.164", "8-32"),
        # a kit builder's article: an AN310-4 fits a 1/4 in bolt
        ("AN310-4", "steel castle nut", "1/4", "1/4-28"),
    ],
)
def test_nuts_worked_through(number: str, kind: str, bolt: str, thread: str) -> None:
    assert decoded(number).kind == kind
    assert decoded(number).size("bolt size") == Fraction(bolt)
    assert decoded(number).thread == thread


@pytest.mark.parametrize(
    ("number", "diameter", "length"),
    [
        # a builder's guide to cotter pins: AN380-4 is 1/8 in; AN381-2-4 is 1/16 by 1 in
        ("AN381-2-4", "1/16", "1"),
        ("AN380-4-4", "1/8", "1"),
        # a published stock entry: MS24665-353 is the AN380-4-4, 1/8 by 1
        ("MS24665-353", "1/8", "1"),
        # a builder's guide to clevis pins: AN392-9 is 1/8 by 9/32, AN393-11 3/16 by 11/32
        ("AN392-9", "1/8", "9/32"),
        ("AN393-11", "3/16", "11/32"),
        # FAA-H-8083-30, Aircraft Hardware, screws (from memory): 4/16 in diameter, 7/16 in long
        ("AN501B-416-7", "1/4", "7/16"),
        # the same (from memory): NAS144DH-22 is an internal-wrenching bolt 1/4-28, drilled head, 1 3/8 in
        ("NAS144DH-22", "1/4", "11/8"),
    ],
)
def test_pins_and_screws_worked_through(number: str, diameter: str, length: str) -> None:
    assert sizes(number) == {"diameter": Fraction(diameter), "length": Fraction(length)}


def test_washers_that_replace_each_other_have_the_same_size() -> None:
    # published parts lists: "NAS1149F0463P replaces AN960-416", F0432P -416L, F0363P -10, F0332P -10L, FN832P -8
    pairs = {"NAS1149F0463P": "AN960-416", "NAS1149F0432P": "AN960-416L", "NAS1149FN832P": "AN960-8"}
    for new, old in pairs.items():
        assert decoded(new).size("bolt size") == decoded(old).size("bolt size")
    # document TECH00095: AN960 washers are 1/16 in thick, 1/32 in for the L kind; the new numbers say 63 and 32 thou
    for new, old in (("NAS1149F0463P", "AN960-416"), ("NAS1149F0432P", "AN960-416L"), ("NAS1149F0332P", "AN960-10L")):
        newer, older = decoded(new).size("thickness"), decoded(old).size("thickness")
        assert newer is not None
        assert older is not None
        assert abs(newer - older) <= Fraction(1, 1000)


@pytest.mark.parametrize(
    ("number", "diameter"),
    [("NAS6203-6", "0.1875"), ("NAS6204-6", "0.25"), ("NAS6206-6", "0.375"), ("NAS6210-6", "0.625")],
)
def test_close_tolerance_bolts_of_a_published_table(number: str, diameter: str) -> None:
    # a maker's table of NAS6203 to NAS6210: .1900-32, .2500-28, .3750-24, .6250-18 (3 is a No. 10, nominally 3/16)
    assert decoded(number).size("diameter") == Fraction(diameter)
    # a guide to grips of NAS bolts: the last figures over sixteen
    assert decoded(number).size("grip") == Fraction(6, 16)


@pytest.mark.parametrize(
    ("number", "kind"),
    [
        ("SP 83", "mushroom-head aluminium-alloy rivet"),  # title of BS 2SP 83 to 2SP 85:1973
        ("SP 70", "100° countersunk aluminium or aluminium-alloy rivet"),  # title of BS 2SP 68 to 2SP 71:1973
        ("SP 80", "snap-head aluminium or aluminium-alloy rivet"),  # title of BS 2SP 77 to 2SP 80:1973
        ("SP 113", "close-tolerance shear pin"),  # title of BS SP 113:1954
        ("SP 7", "fork joint, high-tensile"),  # title of BS 2SP 7:1943
        ("BS A102", "steel bolt, unified thread"),  # cited by title in BS 3A 125 and others
        ("AGS 2004/C", "stiff (self-locking) nut"),  # a nut maker's history: the AGS 2000 series are stiff nuts
    ],
)
def test_british_standards_are_named_by_their_titles_and_no_size_is_guessed(number: str, kind: str) -> None:
    assert decoded(number) == Decoded(kind, unread="size not decoded", source=decoded(number).source)


@pytest.mark.parametrize(
    ("number", "diameter", "length"),
    [
        # letters E to W as licensed engineers teach them, in a published discussion of 2004
        # lengths in tenths of an inch: from memory
        ("BS A102-7E", "1/4", "7/10"),
        ("BS A25-12J", "3/8", "12/10"),
        ("BS 2A25/20W", "1", "2"),
        ("BS A104-3Q", "5/8", "3/10"),
    ],
)
def test_british_hexagon_bolts_tell_their_size(number: str, diameter: str, length: str) -> None:
    assert decoded(number).size("diameter") == Fraction(diameter)
    assert decoded(number).size("nominal length") == Fraction(length)


def test_a_ba_bolt_is_named_by_its_thread_and_another_series_letter_is_not_guessed() -> None:
    (across, long) = decoded("BS A25-7C").sizes
    assert across.text().startswith("0.185 in (4.70 mm; 2 BA)")  # BS 93: 2 BA is 4.7 mm (from memory)
    assert long.inches == Fraction(7, 10)
    assert (
        decoded("BS A102-7C").unread == "size not decoded"
    )  # letters of unified numbered sizes: not found published
