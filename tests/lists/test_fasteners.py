"""What holds each joint, and what became of it."""

from datetime import UTC, date, datetime, timedelta
from itertools import permutations

import pytest

from pipeline.lists.bags import bags_emptied, put_together, taken_out
from pipeline.lists.fasteners import fasteners
from pipeline.lists.logged import LoggedFact
from pipeline.reading.fact import Fact, Place, Stowage
from pipeline.reading.vocabulary import Joint, Part, Vocabulary, Words, load_vocabulary
from pipeline.shipped import shipped

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
FRONT, REAR = (Place(scheme="spar", at="front"),), (Place(scheme="spar", at="rear"),)


def part(notation, kind="structure", **more):
    return Part(notation=notation, preferred=notation.replace("-", " "), kind=kind, **more)


VOCABULARY = Vocabulary(
    parts=(
        part("wing-joint", symmetrical=True, per_aircraft=2),
        part("tailplane", symmetrical=True),
        part("transport-joint"),
        part("spinner"),
        part("flap", symmetrical=True),
        part("fuel-tank", symmetrical=True, per_aircraft=4),
        *(part(one, "fastener") for one in ("bolt", "nut", "screw", "taper-pin")),
    ),
    counted=(
        Words(notation="nut-and-bolt", words=("nut and bolt",), extra={"fastener": "yes"}),
        Words(notation="pin", words=("pin",), extra={"fastener": "yes"}),
        Words(notation="hole", words=("hole",), extra={"fastener": ""}),
    ),
    joints=(
        Joint(part="wing-joint", fasteners=("bolt",), count=16),
        Joint(part="transport-joint", fasteners=("nut-and-bolt",), count=240, about=True),
    ),
)


def logged(*facts, day=0, entry="e-1", around=""):
    return [
        LoggedFact(at=SATURDAY + timedelta(days=day), entry=entry, fact=fact, said="…", around=around)
        for fact in facts
    ]


def done(act, item=None, count=None, of="bolt", side=None, **more):
    return Fact(status="done", act=act, item=item, side=side, count=count, of=of, **more)


def bag(number, item="bolt", count=None, **more):
    return Fact(status="done", act="bag", item=item, count=count, of=item, stowage=Stowage(bag=number), **more)


def held(item, count, of="bolt", side=None, **more):
    return Fact(status="explained", act="held-by", item=item, count=count, of=of, side=side, **more)


def asked(line):
    return [(one.kind, one.numbers) for one in line.questions]


def lines(facts, vocabulary=VOCABULARY):
    return fasteners(facts, vocabulary)


def test_joint_tells_what_is_left_of_what_the_type_has_and_what_is_not_bagged():
    facts = logged(done("undo", "wing-joint", 12, side="port"), done("drill-out", "wing-joint", 2, side="port"))
    (line,) = lines(facts + logged(bag("14", count=10, side="port")))
    assert (line.expected, line.expected_from) == (16, "vocabulary")
    assert (line.undone, line.drilled_out, line.bagged, line.bags) == (12, 2, 10, ("14",))
    assert (line.left, line.not_bagged) == (2, 2)
    assert asked(line) == [("not-bagged", (2, 12))]


def test_number_that_was_told_in_parts_is_added_up():
    told = logged(held("tailplane", 4), held("tailplane", 4, side="both"))
    (line,) = lines(told + logged(done("undo", "tailplane", 4, side="both"), entry="e-2", day=1))
    assert (line.expected, line.expected_from, line.undone, line.left) == (8, "said", 4, 4)


def test_parts_are_not_added_to_their_total():
    (line,) = lines(logged(held("tailplane", 8), held("tailplane", 4), held("tailplane", 4, side="both")))
    assert line.expected == 8
    assert line.questions == ()


def test_total_with_one_part_is_asked_about():
    (line,) = lines(logged(held("tailplane", 6), held("tailplane", 4, side="both")))
    assert line.expected == 6
    assert asked(line) == [("part-or-more", (6, 4))]


def test_number_that_was_said_goes_before_the_types_and_the_difference_is_asked():
    (line,) = lines(logged(held("wing-joint", 18), done("undo", "wing-joint", 18, side="port")))[1:]
    assert (line.side, line.expected, line.left) == ("port", 18, 0)
    assert asked(line)[0] == ("said-and-listed-differ", (18, 16))


def test_about_is_kept_as_about_and_asks_for_no_exact_number():
    facts = logged(held("transport-joint", 240, "nut-and-bolt", about=True))
    facts += logged(done("undo", "transport-joint", 250, "nut-and-bolt"), entry="e-2", day=1)
    (line,) = lines(facts)
    assert (line.expected, line.expected_about, line.left) == (240, True, 0)
    assert [kind for kind, _ in asked(line)] == ["not-bagged"]


def test_places_of_a_joint_whose_whole_number_is_known_are_one_line():
    facts = logged(
        done("undo", "wing-joint", 8, side="port", place=FRONT),
        done("undo", "wing-joint", 8, side="port", place=REAR),
    )
    (line,) = lines(facts)
    assert (line.undone, line.left, line.place) == (16, 0, None)


def test_places_are_told_apart_where_no_whole_number_is_known():
    facts = logged(
        done("undo", "wing-joint", 14, "nut", "port", place=FRONT),
        done("undo", "wing-joint", 12, "nut", "port", place=REAR),
    )
    assert [(line.place, line.undone) for line in lines(facts)] == [(FRONT, 14), (REAR, 12)]


def test_both_sides_are_two_joints_where_there_are_two_and_half_the_bolts_are_on_each():
    told = lines(logged(done("undo", "wing-joint", 8, side="both")))
    assert [(line.side, line.undone, line.left) for line in told] == [("port", 4, 12), ("starboard", 4, 12)]


def test_both_alone_is_two_joints_where_the_part_has_two_sides_and_no_list_says_how_many():
    told = lines(logged(done("remove", "flap", 76, "screw", side="both")))
    assert [(line.side, line.undone) for line in told] == [("port", 38), ("starboard", 38)]


@pytest.mark.parametrize("count", [8, None])
def test_bag_that_holds_the_bolts_of_both_sides_is_of_both(count):
    facts = logged(done("undo", "wing-joint", 8, side="both"), bag("3", count=count))
    assert [(line.bags, line.bagged) for line in lines(facts)] == [(("3",), count and 4)] * 2
    assert [asked(line) for line in lines(facts)] == [[], []]


def test_bag_that_holds_as_many_as_one_side_lacks_is_not_shared_out():
    sides = [done("undo", "wing-joint", 4, side=side) for side in ("port", "starboard")]
    assert [line.bags for line in lines(logged(*sides, bag("3", count=4)))] == [(), ("3",)]
    assert [line.bags for line in lines(logged(*sides, bag("3")))] == [(), ("3",)]


def test_screws_told_with_the_part_that_came_off_are_not_counted_twice():
    facts = logged(done("undo", "spinner", 8, "screw"), done("remove", "spinner", 8, "screw"))
    (line,) = lines(facts)
    assert line.undone == 8


def test_work_without_a_number_leaves_the_difference_open():
    (line,) = lines(logged(Fact(status="done", act="undo", item="wing-joint", side="port")))
    assert (line.of, line.undone, line.uncounted, line.left) == ("bolt", None, ("undone",), None)


def test_bag_is_of_the_joint_undone_last_before_in_the_entry():
    facts = logged(done("undo", "spinner", 8), done("undo", "tailplane", 4), bag("27", count=4))
    spinner, tailplane = lines(facts)
    assert (spinner.bags, tailplane.bags) == ((), ("27",))


def test_bag_of_another_entry_is_of_the_last_joint_of_that_kind_that_is_still_open():
    facts = logged(done("undo", "tailplane", 4), bag("1", count=4))
    facts += logged(done("undo", "spinner", 8, "screw"), entry="e-2", day=1)
    facts += logged(bag("2", "screw", 8), entry="e-3", day=2) + logged(bag("3", count=2), entry="e-4", day=3)
    tailplane, spinner, adrift = lines(facts)
    assert (tailplane.bags, spinner.bags) == (("1",), ("2",))
    assert (adrift.item, adrift.bags) == (None, ("3",))
    assert [(one.kind, one.bags) for one in adrift.questions] == [("bag-of-no-joint", ("3",))]


def test_bag_of_one_side_is_not_given_to_the_other():
    facts = logged(done("undo", "wing-joint", 16, side="port")) + logged(bag("9", count=16, side="starboard"))
    port, adrift = lines(facts)
    assert (port.bags, adrift.bags) == ((), ("9",))


def test_nuts_in_a_bag_may_be_of_a_joint_of_nuts_and_bolts():
    (line,) = lines(logged(done("undo", "transport-joint", 110, "nut-and-bolt"), bag("5", "nut")))
    assert line.bags == ("5",)
    assert line.not_bagged is None


def test_nothing_is_left_over_of_a_joint_that_nobody_touched():
    (line,) = lines(logged(held("tailplane", 8)))
    assert (line.expected, line.undone, line.left) == (8, None, None)


def test_more_undone_than_expected_is_a_question_and_never_a_negative_number():
    (line,) = lines(logged(done("undo", "wing-joint", 20, side="port")))
    assert line.left == 0
    assert asked(line)[0] == ("more-than-expected", (20, 16))


def test_part_that_is_off_with_bolts_left_is_a_question():
    facts = logged(done("undo", "tailplane", 6), held("tailplane", 8), done("remove", "tailplane", of=None))
    (line,) = lines(facts)
    assert asked(line)[0] == ("off-with-some-left", (2, 8))


def test_fitted_again_and_tightened_are_counted_and_close_the_question_of_bags():
    facts = logged(done("undo", "wing-joint", 16, side="port"))
    facts += logged(
        done("fit", "wing-joint", 16, side="port"), done("tighten", "wing-joint", 16, side="port"), day=9, entry="e-9"
    )
    (line,) = lines(facts)
    assert (line.fitted, line.tightened, line.questions) == (16, 16, ())


def test_missing_and_broken_ones_stand_with_the_joint_told_in_the_same_entry():
    broken = Fact(status="seen", finding="broken", item="bolt", count=1, of="bolt")
    missing = Fact(status="seen", finding="missing", item="spinner", count=2, of="screw")
    tailplane, spinner = lines(logged(done("undo", "tailplane", 4), broken, missing))
    assert (tailplane.broken, spinner.missing) == (1, 2)


def test_fasteners_of_an_unnamed_joint_are_lines_of_their_entries():
    facts = logged(done("undo", None, 18)) + logged(done("undo", "bolt", 4), entry="e-2", day=1)
    assert [(line.item, line.undone) for line in lines(facts)] == [(None, 18), (None, 4)]
    assert asked(lines(facts)[0])[0] == ("joint-not-told", ())


def test_standard_part_number_said_with_it_is_kept():
    around = "Undid the four bolts at the spinner, AN4-12A"
    (line,) = lines(logged(done("undo", "spinner", 4), around=around))
    assert line.part_numbers == ("AN4-12A",)


def test_people_and_holes_are_no_fasteners():
    assert lines(logged(done("drill-out", "spinner", 3, "hole"))) == ()
    assert lines(logged(done("remove", "spinner", 2, "person"))) == ()


@pytest.mark.parametrize("status", ["planned", "not-done"])
def test_what_was_not_done_is_not_counted(status):
    assert lines(logged(Fact(status=status, act="undo", item="spinner", count=4, of="bolt"))) == ()


def test_order_of_intake_changes_nothing():
    days = [
        logged(held("tailplane", 8), done("undo", "tailplane", 4)),
        logged(bag("27", count=4), entry="e-2", day=1),
        logged(done("undo", "spinner", 8, "screw"), entry="e-3", day=2),
    ]
    first = lines([one for day in days for one in day])
    for order in permutations(days):
        assert lines([one for day in order for one in day]) == first


def test_every_line_leads_to_its_entries():
    facts = logged(done("undo", "tailplane", 4)) + logged(bag("27", count=4), entry="e-2", day=1)
    (line,) = lines(facts)
    assert [(move.what, move.entry) for move in line.moves] == [("undo 4", "e-1"), ("bag 4", "e-2")]


TIP = done("remove", "flap", of=None, side="port")


def test_what_holds_a_part_and_the_bag_of_the_same_entry_meet_and_what_lacks_is_to_account_for():
    facts = logged(TIP, held("flap", 18, "screw", "port"), bag("16", "screw", 17, side="port"))
    (line,) = lines(facts)
    assert (line.item, line.expected, line.bagged, line.bags, line.to_account_for) == ("flap", 18, 17, ("16",), 1)
    assert asked(line) == [("to-account-for", (1, 18))]


def test_bag_that_is_told_before_what_holds_the_part_meets_it_too():
    facts = logged(bag("16", "screw", 18, side="port"), held("flap", 18, "screw", "port"), TIP)
    (line,) = lines(facts)
    assert (line.bagged, line.to_account_for, asked(line)) == (18, 0, [])


def test_screws_that_were_missing_are_accounted_for():
    missing = Fact(status="seen", finding="missing", item="flap", side="port", count=1, of="screw")
    facts = logged(TIP, held("flap", 18, "screw", "port"), missing, bag("16", "screw", 17, side="port"))
    assert lines(facts)[0].to_account_for == 0


def test_bag_goes_to_what_was_undone_in_its_entry_rather_than_to_what_is_explained_there():
    facts = logged(done("undo", "spinner", 6, "screw"), held("flap", 18, "screw", "port"), bag("16", "screw", 6))
    assert [(line.item, line.bagged) for line in lines(facts)] == [("spinner", 6), ("flap", None)]


def test_bag_in_an_entry_that_explains_two_joints_is_of_neither():
    facts = logged(held("flap", 18, "screw", "port"), held("spinner", 6, "screw"), bag("16", "screw", 6))
    assert [line.item for line in lines(facts) if line.bagged] == [None]


def test_bagged_of_a_part_that_nobody_took_off_nor_undid_is_asked_in_words_and_not_as_nought():
    (line,) = lines(logged(held("flap", 18, "screw", "port"), bag("16", "screw", 17, side="port")))
    assert (line.to_account_for, asked(line)) == (None, [("bagged-not-undone", (17,))])


def told_again(*facts, day, around):
    return logged(*facts, day=day, entry=f"e-{day}", around=around)


def test_bag_whose_contents_are_told_again_is_one_line_with_the_last_telling_as_now():
    facts = logged(bag("3", "screw", 12))
    facts += told_again(bag("3", "screw", 9), day=21, around="Three are back in, and nine are left in bag three.")
    (line,) = lines(facts)
    assert (line.bagged, line.bags, line.in_bag, line.in_bag_on) == (12, ("3",), 9, date(2026, 3, 7))
    assert [move.entry for move in line.moves] == ["e-1", "e-21"]
    assert [one.kind for one in line.questions] == ["bag-of-no-joint"]


def test_bag_that_is_said_to_be_empty_holds_nothing_and_asks_nothing():
    empty = bags_emptied([("e-49", SATURDAY + timedelta(days=49), "It's in the panel, so bag three is empty now.")])
    (line,) = fasteners(logged(bag("3", "screw", 12)), VOCABULARY, empty)
    assert (line.emptied_on, line.questions) == (date(2026, 4, 4), ())
    facts = logged(bag("3", "screw", 12)) + told_again(
        bag("3", "screw", 4), day=60, around="Four screws in bag three."
    )
    *_, line = fasteners(facts, VOCABULARY, empty)
    assert (line.bagged, line.emptied_on) == (4, None)


def test_more_that_is_put_into_a_bag_is_added_and_not_taken_for_all_that_is_there():
    facts = logged(done("undo", "spinner", 12, "screw"), bag("3", "screw", 8))
    facts += told_again(bag("3", "screw", 4), day=1, around="The last four screws are in bag three.")
    (line,) = lines(facts)
    assert (line.bagged, line.in_bag, line.questions) == (12, None, ())


def test_bag_is_known_where_as_many_were_explained_in_the_entry_to_hold_what_it_tells_of():
    held = [Fact(status="explained", act="held-by", item=item, count=6, of="screw") for item in ("spinner", "flap")]
    for count in (6, 12):
        *_, line = lines(logged(*held, bag("3", "screw", count)))
        assert (line.item, line.questions) == (None, ())


@pytest.mark.parametrize(
    ("words", "bag_"),
    [
        ("so bag three is empty now.", "3"),
        ("Bag 14's empty.", "14"),
        ("I've emptied bag B.", "B"),
        ("There's nothing left in bag number seven.", "7"),
        ("Bag three is nearly empty.", None),
        ("Bag three is not empty.", None),
    ],
)
def test_empty_bags_are_known_by_their_words(words, bag_):
    assert [one.bag for one in bags_emptied([("e", SATURDAY, words)])] == ([bag_] if bag_ else [])


def test_bolts_of_a_part_that_the_sentence_names_are_not_those_of_another_part():
    facts = logged(done("remove", "tailplane", 6), bag("3", count=None), entry="e-1")
    facts += logged(done("remove", "spinner", 8), entry="e-2")
    facts += logged(
        bag("3", count=6), day=14, entry="e-3", around="The bolts of the tailplane are new, six, in bag three."
    )
    tailplane, spinner = lines(facts)
    assert (tailplane.item, tailplane.bags, tailplane.in_bag) == ("tailplane", ("3",), 6)
    assert (spinner.item, spinner.bagged, spinner.questions[0].kind) == ("spinner", None, "not-bagged")


def test_more_than_an_open_joint_of_another_entry_lacks_are_not_of_it():
    facts = logged(done("remove", "spinner", 4)) + logged(bag("3", count=6), entry="e-2", day=1)
    spinner, adrift = lines(facts)
    assert (spinner.bagged, adrift.item, adrift.bagged) == (None, None, 6)
    assert [one.kind for one in adrift.questions] == ["bag-of-no-joint"]


def test_nuts_that_are_named_with_the_bolts_of_a_part_are_of_that_part():
    around = "The tailplane is off, six bolts and six nuts, in bag three."
    facts = logged(done("remove", "tailplane", 6), bag("3", count=6), bag("3", "nut", 6), around=around)
    facts += logged(done("fit", "tailplane", 6, "nut"), day=30, entry="e-2")
    bolts, nuts = lines(facts)
    assert (bolts.item, bolts.of, bolts.bagged) == ("tailplane", "bolt", 6)
    assert (nuts.item, nuts.of, nuts.bagged, nuts.fitted, nuts.questions) == ("tailplane", "nut", 6, 6, ())


def test_screws_told_in_another_sentence_than_the_bolts_are_not_of_that_part():
    facts = logged(done("remove", "tailplane", 6), around="The tailplane is off, six bolts.")
    facts += logged(bag("4", "nut", 20), around="Twenty nuts are in bag four.")
    assert [line.item for line in lines(facts)] == ["tailplane", None]


def test_screws_of_the_only_part_that_came_off_are_of_it_where_nobody_said_how_it_was_held():
    panels = Fact(status="done", act="remove", item="flap", side="port", count=3, of="flap")
    (line,) = lines(logged(panels, bag("4", "screw", 116, side="port")))
    assert (line.item, line.side, line.bagged, line.bags, line.questions) == ("flap", "port", 116, ("4",), ())
    other = Fact(status="done", act="remove", item="spinner")
    (adrift,) = lines(logged(panels, other, bag("4", "screw", 116, side="port")))
    assert (adrift.item, adrift.bagged) == (None, 116)


@pytest.mark.parametrize(
    ("around", "fitted"),
    [
        ("The spinner is back on, thirty-six screws and forty screws.", 76),
        ("The spinner is back on, thirty-six screws.", 36),
        ("The spinner is back on, thirty-six screws, and forty bolts.", 36),
        ("The spinner is back on with thirty-six screws and forty screws are still missing.", 36),
    ],
)
def test_two_counts_that_are_joined_add_up(around, fitted):
    (line,) = lines(logged(done("fit", "spinner", 36, "screw"), around=around))
    assert line.fitted == fitted


def test_counts_that_were_told_as_two_facts_are_not_added_twice():
    facts = logged(
        done("fit", "spinner", 36, "screw"),
        done("fit", "spinner", 40, "screw"),
        around="The spinner is back on, thirty-six screws and forty screws.",
    )
    assert [line.fitted for line in lines(facts)] == [76]


def test_fewer_back_than_came_out_is_asked():
    facts = logged(done("undo", "spinner", 8, "screw"), bag("3", "screw", 8))
    facts += logged(done("fit", "spinner", 7, "screw"), day=7, entry="e-2")
    (line,) = lines(facts)
    assert asked(line) == [("fewer-back", (7, 8))]


def out_of_bags(words, day):
    return taken_out([(f"e-{day}", SATURDAY + timedelta(days=day), words)])


def test_screws_out_of_their_bag_are_back_in_what_was_fitted_and_the_bag_holds_the_rest():
    facts = logged(done("undo", "spinner", 8, "screw"), bag("3", "screw", 8))
    facts += told_again(Fact(status="done", act="fit", item="spinner"), day=7, around="The spinner is back on.")
    six = out_of_bags("The spinner is back on, six screws out of bag three.", 7)
    (line,) = fasteners(facts, VOCABULARY, (), six)
    assert (line.fitted, line.in_bag, line.emptied_on) == (6, 2, None)
    eight = out_of_bags("The spinner is back on with the eight screws from bag three.", 7)
    (line,) = fasteners(facts, VOCABULARY, (), eight)
    assert (line.fitted, line.in_bag, line.emptied_on, line.questions) == (8, 0, date(2026, 2, 21), ())


def test_screws_out_of_their_bag_that_were_counted_as_they_were_fitted_are_counted_once():
    facts = logged(done("undo", "spinner", 8, "screw"), bag("3", "screw", 8))
    facts += told_again(done("fit", "spinner", 8, "screw"), day=7, around="The spinner is back on, eight screws.")
    (line,) = fasteners(facts, VOCABULARY, (), out_of_bags("That's the eight screws from bag three.", 7))
    assert (line.fitted, line.emptied_on) == (8, date(2026, 2, 21))


def test_what_is_told_of_a_bag_where_nothing_was_fitted_changes_nothing():
    facts = logged(done("undo", "spinner", 8, "screw"), bag("3", "screw", 8))
    facts += told_again(Fact(status="done", act="clean", item="spinner"), day=7, around="It is clean.")
    (line,) = fasteners(facts, VOCABULARY, (), out_of_bags("There are six screws out of bag three on the bench.", 7))
    assert (line.fitted, line.in_bag) == (None, None)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("thirty-six screws out of bag one.", [("1", 36, "screws")]),
        ("That's the eight bolts from bag two, and bag two is empty.", [("2", 8, "bolts")]),
        ("Two screws are missing from bag two.", []),
        ("We'll need eight bolts from bag two.", []),
        ("The bolts are from bag two.", []),
    ],
)
def test_what_is_out_of_a_bag_is_known_by_its_words(words, told):
    assert [(one.bag, one.number, one.kind) for one in out_of_bags(words, 0)] == told


def test_bolts_of_the_outer_engine_are_not_those_of_the_inner_one():
    words = load_vocabulary([shipped("vocab") / "base"])
    facts = []
    for number, (which, bag_) in enumerate((("outer", "2"), ("inner", "3"))):
        around = f"The propeller of the starboard {which} engine is off, eight bolts, in bag {bag_}."
        off = done("remove", "propeller", 8, side="starboard")
        facts += logged(off, bag(bag_, count=8, side="starboard"), entry=f"e-{number}", around=around)
    around = "The propeller of the starboard inner engine is back on, eight bolts."
    facts += logged(done("fit", "propeller", 8, side="starboard"), day=9, entry="e-9", around=around)
    assert [(line.position, line.bagged, line.fitted) for line in lines(facts, words)] == [
        ("outer", 8, None),
        ("inner", 8, 8),
    ]


def test_bolt_that_was_changed_for_a_new_one_is_not_one_more_in():
    words = "The worn bolt on the spinner was replaced with a new one."
    facts = logged(done("remove", "spinner", 8)) + logged(bag("3", count=8))
    new = LoggedFact(
        at=SATURDAY + timedelta(days=9), entry="e-9", fact=done("fit", "spinner", 1), said=words, around=words
    )
    (line,) = fasteners([*facts, new], VOCABULARY)
    assert (line.undone, line.fitted, line.questions) == (8, None, ())


def test_bolts_of_what_no_list_has_are_not_those_of_another_day():
    off = logged(done("undo", "tailplane", 4))
    words = "We removed the widget, two bolts in bag 10."
    own = logged(bag("10", count=2), day=30, entry="e-30", around=words)
    itself = logged(bag("9", count=4), day=30, entry="e-30", around="The four bolts came out, they're in bag 9.")
    (line,) = fasteners([*off, *itself], VOCABULARY)
    assert (line.bagged, line.bags) == (4, ("9",))
    of_tailplane, adrift = fasteners([*off, *own], VOCABULARY)
    assert (of_tailplane.bagged, of_tailplane.bags) == (None, ())
    assert (adrift.item, adrift.bags, [one.kind for one in adrift.questions]) == (None, ("10",), ["bag-of-no-joint"])


def test_second_part_of_a_name_that_came_off_without_a_number_leaves_no_bolt_too_many():
    doors = logged(
        done("remove", "spinner", 4), bag("3", count=4), around="The front spinner is off, four bolts in bag 3."
    )
    second = Fact(status="done", act="remove", item="spinner")
    doors += logged(second, bag("4", count=4), around="Then the rear spinner came off, four bolts in bag 4.")
    (line,) = fasteners(doors, VOCABULARY)
    assert (line.undone, line.uncounted, line.bagged, line.questions) == (4, ("undone",), 8, ())


def test_bolts_told_with_their_part_and_alone_in_one_breath_are_counted_once():
    words = "The tailplane is out. Twenty-two screws."
    once = logged(
        done("remove", "tailplane", 22, of="screw"), done("undo", "tailplane", 22, of="screw"), around=words
    )
    (line,) = fasteners(once, VOCABULARY)
    assert line.undone == 22
    twice = logged(
        done("remove", "tailplane", 22, of="screw"), done("undo", "tailplane", 4, of="screw"), around=words
    )
    (line,) = fasteners(twice, VOCABULARY)
    assert line.undone == 26


def bags_of(*said):
    """The lines of two spinners' bolts in bags 5 and 6, and what was said of the bags on the next day."""
    at = SATURDAY + timedelta(days=1)
    facts = logged(done("remove", "spinner", 4), bag("5", count=4), entry="e-1")
    facts += logged(done("remove", "tailplane", 6), bag("6", count=6), entry="e-2")
    told = [("e-3", at, one) for one in said]
    return fasteners(facts, VOCABULARY, together=put_together(told))


@pytest.mark.parametrize(
    ("said", "bags"),
    [
        ("Bag five and bag six are together in bag thirteen now.", [("13",), ("13",)]),
        ("I've put bags 5 and 6 into bag 13.", [("13",), ("13",)]),
        ("Tipped bag five into bag six.", [("6",), ("6",)]),
        ("I'll put bag five into bag six.", [("5",), ("6",)]),
        ("Six bolts in bag five and two in bag ten.", [("5",), ("6",)]),
        ("Bag five is in the box with bag six.", [("5",), ("6",)]),
    ],
)
def test_what_is_in_a_bag_goes_with_it_into_another(said, bags):
    assert [line.bags for line in bags_of(said)] == bags


def test_bag_that_was_split_again_has_the_bolts_that_are_named_by_their_part():
    words = "Bag thirteen has been split, the spinner bolts are in bag 5 again, the tailplane bolts in bag 6."
    facts = logged(done("remove", "spinner", 4), bag("13", count=4), entry="e-1")
    facts += logged(done("remove", "tailplane", 6), bag("13", count=6), day=1, entry="e-2")
    for number, at in (("5", 2), ("6", 2)):
        told = LoggedFact(
            at=SATURDAY + timedelta(days=at), entry="e-3", fact=bag(number), said=f"in bag {number}", around=words
        )
        facts.append(told)
    spinner, tailplane = fasteners(facts, VOCABULARY)
    assert [(line.item, line.bags, line.bagged, line.uncounted) for line in (spinner, tailplane)] == [
        ("spinner", ("5",), 4, ()),
        ("tailplane", ("6",), 6, ()),
    ]


def test_sixth_bolt_that_is_in_the_bag_now_came_to_the_five():
    facts = logged(done("remove", "spinner", 6), bag("5", count=5)) + logged(
        done("undo", "tailplane", 2), entry="e-2"
    )
    facts += logged(bag("5", count=1), day=1, entry="e-3", around="The sixth is in bag five now.")
    line, other = fasteners(facts, VOCABULARY)
    assert (other.item, other.bags) == ("tailplane", ())
    assert (line.bagged, line.not_bagged, line.in_bag) == (6, 0, None)


def test_bolt_that_is_missing_as_a_bag_is_counted_again_is_of_what_is_in_that_bag():
    facts = logged(done("remove", "spinner", 6), bag("5", count=6))
    missing = Fact(status="seen", finding="missing", item="bolt", count=1, of="bolt")
    facts += logged(
        bag("5", count=5), missing, day=1, entry="e-2", around="Counted again, five are left in bag five."
    )
    (line,) = fasteners(facts, VOCABULARY)
    assert (line.in_bag, line.missing) == (5, 1)


WHOLE = load_vocabulary((shipped("vocab") / "base",))


@pytest.mark.parametrize(
    ("item", "holder"), [("engine", "engine-mount"), ("aileron", "aileron-hinge"), ("outer-wing", "wing-joint")]
)
def test_bolts_that_came_out_of_a_mount_or_a_hinge_go_back_as_its_parts(item, holder):
    facts = logged(done("undo", holder, 4), bag("3", count=4))
    facts += logged(done("remove", "generator", 4), bag("4", count=4), entry="e-2")
    facts += logged(done("fit", item, 4), done("tighten", item, of=None), day=3, entry="e-3")
    mount, generator = fasteners(facts, WHOLE)
    assert (mount.item, mount.fitted, mount.uncounted, generator.fitted) == (holder, 4, ("tightened",), None)


def test_more_bolts_than_came_out_of_the_mount_are_the_engines_own():
    facts = logged(done("undo", "engine-mount", 4)) + logged(done("fit", "engine", 8), day=3, entry="e-3")
    assert [(line.item, line.fitted) for line in fasteners(facts, WHOLE)] == [("engine-mount", None), ("engine", 8)]


def test_what_is_made_fast_is_of_the_one_kind_that_holds_it():
    facts = logged(done("remove", "spinner", 4)) + logged(
        done("fit", "spinner", 4), done("tighten", "spinner", of=None)
    )
    (line,) = fasteners(facts, VOCABULARY)
    assert (line.of, line.fitted, line.uncounted) == ("bolt", 4, ("tightened",))


def test_mount_bolts_in_a_bag_are_those_that_were_undone_as_the_engines():
    facts = logged(done("undo", "engine", 4)) + logged(done("remove", "generator", 4), entry="e-2")
    facts += logged(bag("3", count=4), day=1, entry="e-3", around="The engine mount bolts are in bag 3.")
    assert [(line.item, line.bags) for line in fasteners(facts, WHOLE)] == [("engine", ("3",)), ("generator", ())]


def test_bolts_that_are_called_by_the_last_word_of_their_part_are_its_own():
    facts = logged(done("remove", "oil-cooler", 6)) + logged(done("remove", "generator", 6), entry="e-2")
    facts += logged(bag("6", count=6), day=1, entry="e-3", around="The cooler bolts are in bag 6.")
    assert [(line.item, line.bags) for line in fasteners(facts, WHOLE)] == [("oil-cooler", ("6",)), ("generator", ())]


@pytest.mark.parametrize(
    ("fact", "words", "undone"),
    [
        (done("undo", "spinner", 6), "Correction, it was six bolts on the spinner, not five.", 6),
        (held("spinner", 6), "It was six bolts that held the spinner, not five.", 6),
        (done("remove", "spinner", 4), "Four bolts instead of five came out of the spinner.", 4),
        (done("undo", "spinner", 6), "Undid six more bolts of the spinner, not four.", 11),
        (done("undo", "spinner", 6), "Undid six bolts of the spinner.", 11),
        (held("spinner", 6), "The spinner is held by six bolts.", 5),
    ],
)
def test_number_that_was_wrong_a_day_ago_is_put_right_and_not_added_to(fact, words, undone):
    first = logged(done("undo", "spinner", 5))
    (line,) = fasteners(first + logged(fact, day=1, entry="e-2", around=words), VOCABULARY)
    assert line.undone == undone
    assert [move.entry for move in line.moves] == ["e-1", "e-2"]


def test_bolts_bagged_as_a_second_part_comes_off_are_not_the_first_ones():
    facts = logged(done("remove", "spinner", 4), bag("5", count=4), around="The spinner's off, four bolts, bag five.")
    second = Fact(status="done", act="remove", item="tailplane")
    facts += logged(second, bag("6", count=6), around="The tailplane's off, six bolts in bag six.")
    spinner, tailplane = fasteners(facts, VOCABULARY)
    assert [(line.item, line.bagged, line.bags) for line in (spinner, tailplane)] == [
        ("spinner", 4, ("5",)),
        ("tailplane", 6, ("6",)),
    ]
