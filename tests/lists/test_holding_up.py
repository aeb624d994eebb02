"""What holds the aircraft up, added up from facts."""

from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import permutations

import pytest

from pipeline.lists.holding_up import held_up_at, holding_up
from pipeline.lists.lifting_gear import LiftingGear
from pipeline.lists.logged import LoggedFact
from pipeline.reading.fact import Fact, Place
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.shipped import shipped

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
FRAME_12 = (Place(scheme="frame", at="12"),)
FRAME_21 = (Place(scheme="frame", at="21"),)


@cache
def vocabulary() -> Vocabulary:
    return load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"])


@cache
def gear() -> LiftingGear:
    return LiftingGear(vocabulary())


def told(hour, act, item=None, *, said="…", entry="", around="", status="done", **more):
    fact = Fact(status=status, act=act, item=item, **more)
    at = SATURDAY + timedelta(hours=hour)
    return LoggedFact(at=at, entry=entry or f"e-{hour}", fact=fact, said=said, around=around)


def lines_of(*facts):
    return holding_up(facts, vocabulary())


def at_hour(hour):
    return SATURDAY + timedelta(hours=hour)


def test_support_is_one_line_with_what_was_put_where_and_since_when():
    (line,) = lines_of(told(0, "support", "rear-fuselage", said="trestled the rear fuselage", place=FRAME_12))
    assert (line.item, line.place, line.by, line.how) == ("rear-fuselage", FRAME_12, ("trestle",), "support")
    assert (line.since, line.until) == (SATURDAY, None)
    assert [move.entry for move in line.moves] == ["e-0"]


def test_support_told_again_stays_one_line_and_other_frames_are_other_supports():
    first = told(0, "support", "rear-fuselage", said="trestled it", place=FRAME_12)
    again = told(1, "support", "rear-fuselage", said="it is strapped too", place=FRAME_12)
    other = told(2, "support", "rear-fuselage", said="a trestle", place=FRAME_21)
    lines = lines_of(first, again, other)
    assert [line.place for line in lines] == [FRAME_12, FRAME_21]
    assert lines[0].by == ("trestle", "strap")
    assert [move.entry for move in lines[0].moves] == ["e-0", "e-1"]


@pytest.mark.parametrize("act", ["lower", "move", "store"])
def test_support_ends_when_what_stands_on_it_goes(act):
    (line,) = lines_of(told(0, "support", "outer-wing", side="port"), told(3, act, "outer-wing", side="port"))
    assert (line.until, line.ended_by) == (at_hour(3), act)


def test_support_of_the_other_side_stays():
    lines = lines_of(told(0, "support", "outer-wing", side="port"), told(3, "lower", "outer-wing", side="starboard"))
    assert [line.until for line in lines] == [None]


def test_whole_body_that_is_moved_leaves_the_trestles_of_its_sections():
    (line,) = lines_of(told(0, "support", "rear-fuselage"), told(2, "move", "fuselage"))
    assert line.until == at_hour(2)
    assert line.questions == ("moved-on",)


def test_trestle_that_is_moved_from_its_frame_holds_nothing_there_any_more():
    here, there = (
        told(0, "support", "frame", said="a trestle under it", place=FRAME_12),
        told(1, "support", "frame", said="a trestle under it", place=FRAME_21),
    )
    lines = lines_of(here, there, told(2, "remove", "trestle", place=FRAME_12))
    assert [line.until for line in lines] == [at_hour(2), None]
    ranged = lines_of(here, told(2, "move", "trestle", place=(Place(scheme="frame", at="12-14"),)))
    assert [line.until for line in ranged] == [at_hour(2)]


def test_trestle_taken_away_from_nobody_said_where_is_a_question_and_ends_nothing():
    facts = [
        told(hour, "support", "frame", said="a trestle", place=place)
        for hour, place in enumerate((FRAME_12, FRAME_21))
    ]
    lines = lines_of(*facts, told(3, "remove", "trestle"))
    assert [line.until for line in lines] == [None, None]
    assert [line.questions for line in lines] == [("gear-moved",), ("gear-moved",)]


@pytest.mark.parametrize(
    "sentence",
    [
        "The trestle under frame 12 has come away.",
        "Trestle's out from under frame 12.",
        "The trestle at frame 12 is gone.",
        "Took the weight of it off the trestle.",
    ],
)
def test_words_that_may_tell_of_a_support_that_left_end_it_and_ask(sentence):
    put = told(0, "support", "frame", said="a trestle under frame 12", place=FRAME_12)
    lines = lines_of(put, told(1, "support", "frame", said="under frame 12", around=sentence, place=FRAME_12))
    assert [(line.until, line.questions) for line in lines] == [(at_hour(1), ("may-be-gone",))]


def test_lifted_part_hangs_until_it_is_set_down_on_a_support():
    lift = told(0, "lift", "outer-wing", side="port", said="hoisted the port outer wing in the slings")
    down = told(2, "lower", "outer-wing", side="port", said="lowered it", around="We lowered it onto the trestles.")
    hung, stood = lines_of(lift, down)
    assert (hung.how, hung.until) == ("lift", at_hour(2))
    assert set(hung.by) == {"sling", "hoist"}
    assert (stood.how, stood.by, stood.until) == ("support", ("trestle",), None)


def test_what_people_hold_in_their_hands_is_no_support_and_plans_are_none():
    assert lines_of(told(0, "lift", "tailplane", count=4, of="person")) == ()
    assert lines_of(told(0, "support", "tailplane", status="planned")) == ()


def test_what_holds_it_at_a_moment_can_be_asked():
    lines = lines_of(
        told(0, "support", "outer-wing", side="port"),
        told(1, "support", "rear-fuselage"),
        told(4, "lower", "outer-wing", side="port"),
    )
    assert [line.item for line in held_up_at(lines, at_hour(-1))] == []
    assert [line.item for line in held_up_at(lines, at_hour(3))] == ["outer-wing", "rear-fuselage"]
    assert [line.item for line in held_up_at(lines, at_hour(4))] == ["rear-fuselage"]


def test_order_of_intake_changes_nothing():
    facts = (
        told(0, "support", "rear-fuselage", said="trestled", place=FRAME_12),
        told(1, "support", "rear-fuselage", said="trestled", place=FRAME_21),
        told(2, "remove", "trestle", place=FRAME_12),
        told(3, "move", "rear-fuselage"),
    )
    assert {lines_of(*order) for order in permutations(facts)} == {lines_of(*facts)}


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("two jacks under the spar", ("jack",)),
        ("took the retraction jack out", ()),
        ("trestled the flap jack", ("trestle",)),
        ("it is strapped and chocked", ("strap", "chock")),
        ("understanding", ()),
    ],
)
def test_lifting_gear_is_found_in_words_and_the_aircrafts_own_jacks_are_not(words, named):
    assert gear().named_in(words) == named


def test_support_at_two_frames_is_two_supports_and_one_can_go():
    both = told(0, "support", "frame", said="trestles under it", place=(*FRAME_21, *FRAME_12))
    gone = told(1, "support", "frame", said="…", around="The trestle under frame 21 is gone.", place=FRAME_21)
    assert [(line.place, line.until) for line in lines_of(both, gone)] == [(FRAME_21, at_hour(1)), (FRAME_12, None)]


def test_spar_at_a_rib_is_one_place():
    place = (Place(scheme="spar", at="front"), Place(scheme="rib", at="6"))
    assert [line.place for line in lines_of(told(0, "support", "outer-wing", place=place))] == [place]


def test_what_only_a_hoist_holds_hangs_and_does_not_stand():
    ribs = (Place(scheme="rib", at="4"), Place(scheme="rib", at="10"))
    (line,) = lines_of(told(0, "support", "outer-wing", said="the hoist has got the weight of it", place=ribs))
    assert (line.how, line.by, line.place) == ("lift", ("hoist",), ribs)


def test_part_that_came_off_leaves_its_support_with_a_question_until_it_is_told_where_it_went():
    held, off = told(0, "support", "outer-wing", side="port"), told(1, "remove", "outer-wing", side="port")
    (line,) = lines_of(held, off)
    assert (line.until, line.questions) == (None, ("came-off",))
    (line,) = lines_of(held, off, told(2, "store", "outer-wing", side="port"))
    assert (line.until, line.questions) == (at_hour(2), ())


def test_part_that_was_fitted_again_stands_on_the_aircraft():
    held, off = told(0, "support", "outer-wing", side="port"), told(1, "remove", "outer-wing", side="port")
    (line,) = lines_of(held, off, told(2, "fit", "outer-wing", side="port"))
    assert (line.until, line.questions) == (None, ())


def test_trestle_taken_from_under_the_wing_leaves_the_one_under_the_tail():
    tail = told(0, "support", "rear-fuselage", said="two trestles under the rear fuselage", place=FRAME_21)
    wing = told(1, "support", "outer-wing", side="port", said="a trestle under the port wing")
    out = told(5, "remove", "trestle", side="port", said="out", around="The trestle under the port wing is out.")
    assert [(line.item, line.until) for line in lines_of(tail, wing, out)] == [
        ("rear-fuselage", None),
        ("outer-wing", at_hour(5)),
    ]


def test_trestle_taken_from_where_nobody_said_that_it_was_put_is_a_question_of_its_own():
    tail = told(0, "support", "rear-fuselage", said="two trestles under the rear fuselage", place=FRAME_21)
    out = told(5, "remove", "trestle", side="port", said="out", around="The trestle under the port wing is out.")
    under_the_tail, under_the_wing = lines_of(tail, out)
    assert (under_the_tail.until, under_the_tail.questions) == (None, ())
    assert (under_the_wing.item, under_the_wing.side, under_the_wing.until) == ("mainplane", "port", at_hour(5))
    assert under_the_wing.questions == ("never-told",)


def test_trestle_of_one_side_is_a_question_where_it_was_put_without_a_side():
    put = told(0, "support", "rear-fuselage", said="a trestle under it")
    (line,) = lines_of(put, told(2, "remove", "trestle", side="port", said="the port trestle is out"))
    assert (line.until, line.questions) == (None, ("gear-moved",))


def test_what_was_hung_in_hangs_until_its_fastenings_are_tightened():
    hung = told(0, "support", "engine", side="port", said="it hangs on the hoist")
    (fitted,) = lines_of(hung, told(1, "fit", "engine", side="port"))
    assert (fitted.until, fitted.questions) == (None, ("fitted-since",))
    (line,) = lines_of(hung, told(1, "fit", "engine", side="port"), told(2, "tighten", "engine", side="port"))
    assert (line.until, line.ended_by, line.questions) == (at_hour(2), "tighten", ())


def test_bolts_that_are_tightened_before_it_is_fitted_let_nothing_go():
    hung = told(0, "support", "engine", side="port", said="it hangs on the hoist")
    (line,) = lines_of(hung, told(1, "tighten", "engine", side="port"))
    assert (line.until, line.questions) == (None, ())


def test_old_one_that_is_put_away_does_not_end_what_the_new_one_hangs_from():
    hung = told(0, "support", "engine", said="on the hoist", around="The new engine is on the hoist.")
    old = told(1, "store", "engine", said="on the stand", around="The old engine is on the stand.")
    (line,) = lines_of(hung, old)
    assert line.until is None
    (line,) = lines_of(hung, told(2, "store", "engine", said="on the stand", around="It is on the stand."))
    assert line.until == at_hour(2)


def test_inner_engine_that_is_set_down_leaves_the_outer_one_hanging():
    outer = told(0, "support", "engine", side="port", said="the port outer engine hangs on the hoist")
    inner = told(1, "support", "engine", side="port", said="the port inner engine hangs on the hoist")
    down = told(2, "store", "engine", side="port", said="the port inner engine is on the stand")
    assert [(line.position, line.until) for line in lines_of(outer, inner, down)] == [
        ("outer", None),
        ("inner", at_hour(2)),
    ]


def test_gear_is_that_of_the_clause_in_which_the_support_is_told():
    words = "She's on the beaching gear, chocked, and we've put a trestle under each wing float."
    (line,) = lines_of(told(0, "support", "float", said="put", around=words, side="both"))
    assert line.by == ("trestle",)


def test_side_that_is_lifted_leaves_the_support_under_the_other():
    under_both = told(0, "support", "float", said="a trestle under each", side="both")
    lines = lines_of(under_both, told(1, "lift", "float", said="slung it", side="port"))
    standing = [(line.side, line.by) for line in lines if line.until is None and line.how == "support"]
    assert standing == [("starboard", ("trestle",))]
    assert [(line.side, line.until) for line in lines if line.until] == [("port", at_hour(1))]


def test_cradle_under_a_part_that_is_off_is_empty_once_the_part_is_fitted():
    off = told(0, "remove", "outer-wing", side="port")
    cradled = told(1, "lower", "outer-wing", side="port", said="lowered it onto the cradles")
    (line,) = lines_of(off, cradled)
    assert line.until is None
    (line,) = lines_of(off, cradled, told(9, "fit", "outer-wing", side="port"))
    assert (line.until, line.ended_by, line.questions) == (at_hour(9), "fit", ())
    (line,) = lines_of(off, cradled, told(9, "fit", "outer-wing", side="starboard"))
    assert line.until is None
    screws = told(9, "fit", "outer-wing", side="port", count=4, of="screw", said="four screws in the wing")
    assert lines_of(off, cradled, screws)[0].until is None
    under = told(0, "support", "rear-fuselage", said="a trestle under it"), told(1, "fit", "rear-fuselage")
    assert lines_of(*under)[0].until is None


def test_each_of_two_spots_has_the_gear_that_is_told_with_it():
    words = "Two jacks under the wing and a trestle under frame 21."
    wing = told(0, "support", "mainplane", said="under the wing", entry="e-0", around=words)
    frame = told(0, "support", "rear-fuselage", said="under frame 21", place=FRAME_21, entry="e-0", around=words)
    assert [line.by for line in lines_of(wing, frame)] == [("jack",), ("trestle",)]
    words = "A jack and a trestle under frame 21."
    both = told(0, "support", "rear-fuselage", said="under frame 21", place=FRAME_21, around=words)
    assert [line.by for line in lines_of(both)] == [("jack", "trestle")]


def test_question_whether_gear_is_gone_is_answered_by_its_leaving():
    put = told(0, "support", "rear-fuselage", said="a trestle under frame 21", place=FRAME_21)
    unclear = told(1, "remove", "trestle", side="port", said="took a trestle away")
    gone = told(2, "remove", "trestle", place=FRAME_21, said="the trestle at frame 21 is away")
    assert [line.questions for line in lines_of(put, unclear)] == [("gear-moved",)]
    (line,) = lines_of(put, unclear, gone)
    assert (line.until, line.questions) == (at_hour(2), ())
