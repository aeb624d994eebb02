"""What is still owed, how old it is, what it waits for, and what closes it."""

from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest

from pipeline.lists.logged import LoggedFact
from pipeline.lists.to_do import to_do
from pipeline.reading.fact import Fact, Place, Stowage
from pipeline.reading.vocabulary import Part, Vocabulary, load_vocabulary
from pipeline.shipped import shipped

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
VOCABULARY = Vocabulary(
    parts=(
        Part(notation="tailplane", preferred="tailplane", alternatives=("horizontal stabiliser",), kind="structure"),
        Part(notation="fin", preferred="fin", kind="structure"),
        Part(notation="rudder", preferred="rudder", kind="control-surface"),
    )
)


def logged(*facts, day=0, around=""):
    at = SATURDAY + timedelta(days=day)
    return [LoggedFact(at=at, entry=f"e-{day}", fact=one, said="…", around=around) for one in facts]


def plan(act, item="fin", side=None, **more):
    return Fact(status="planned", act=act, item=item, side=side, **more)


def done(act, item="fin", side=None, **more):
    return Fact(status="done", act=act, item=item, side=side, **more)


def ribs(*at):
    return tuple(Place(scheme="rib", at=one) for one in at)


def owed(facts):
    return to_do(facts, VOCABULARY)


def test_age_is_counted_to_the_last_day_of_the_book():
    facts = logged(plan("clean")) + logged(done("photograph", "rudder"), day=12) + logged(plan("paint"), day=12)
    assert [line.age_days for line in owed(facts)] == [12, 0]


def test_done_on_one_side_is_owed_on_the_other():
    facts = logged(plan("clean", side="both"))
    assert [line.side for line in owed(facts)] == ["both"]
    assert [line.side for line in owed(facts + logged(done("clean", side="port"), day=1))] == ["starboard"]
    assert owed(facts + logged(done("clean", side="both"), day=1)) == ()
    assert owed(facts + logged(done("clean"), day=1)) == ()


def test_done_at_one_of_the_places_is_owed_at_the_others():
    facts = logged(plan("repair", place=ribs("4", "5")))
    assert [line.place for line in owed(facts + logged(done("repair", place=ribs("4")), day=1))] == [ribs("5")]
    assert owed(facts + logged(done("repair", place=ribs("4", "5")), day=1)) == ()
    assert owed(facts + logged(done("repair", place=ribs("3-9")), day=1)) == ()
    assert owed(facts + logged(done("repair", place=ribs("7")), day=1))[0].place == ribs("4", "5")


def test_done_at_one_place_of_a_range_leaves_the_range_owed():
    facts = logged(plan("repair", place=ribs("4-9"))) + logged(done("repair", place=ribs("6")), day=1)
    assert [line.place for line in owed(facts)] == [ribs("4-9")]


def test_some_of_the_bolts_undone_leaves_the_rest_owed():
    facts = logged(plan("undo", count=6, of="bolt"))
    some = facts + logged(done("undo", count=4, of="bolt"), day=1)
    assert len(owed(some)) == 1
    assert owed(some + logged(done("undo", count=2, of="bolt"), day=2)) == ()


@pytest.mark.parametrize(
    ("act", "by"),
    [("remove", "store"), ("remove", "bag"), ("undo", "remove"), ("undo", "drill-out"), ("disconnect", "remove")],
)
def test_work_is_done_where_a_later_act_cannot_have_been_done_without_it(act, by):
    assert owed(logged(plan(act)) + logged(done(by, stowage=Stowage(rack="3")), day=1)) == ()


@pytest.mark.parametrize(("act", "by"), [("fit", "remove"), ("remove", "undo"), ("clean", "paint"), ("tag", "store")])
def test_other_acts_close_nothing(act, by):
    assert len(owed(logged(plan(act)) + logged(done(by), day=1))) == 1


def test_work_waits_for_a_part_that_is_said_to_have_to_be_off_first():
    around = "Once the tailplane's off we'll inspect the fin."
    (line,) = owed(logged(plan("inspect"), around=around))
    assert [(one.act, one.item, one.why) for one in line.waits_for] == [("remove", "tailplane", "said")]
    (line,) = owed(logged(plan("inspect"), around=around) + logged(done("remove", "tailplane"), day=1))
    assert line.waits_for == ()


def test_part_that_must_be_off_waits_for_that_and_not_for_other_work_on_it():
    around = "Once the tailplane's off we'll inspect the fin."
    facts = logged(plan("inspect", "tailplane")) + logged(plan("inspect"), day=1, around=around)
    assert [(one.act, one.item) for one in owed(facts)[1].waits_for] == [("remove", "tailplane")]
    planned = logged(plan("remove", "tailplane")) + facts
    line = next(line for line in owed(planned) if line.item == "fin")
    assert [(one.act, one.entry) for one in line.waits_for] == [("remove", "e-0")]


def test_work_waits_for_the_owed_work_that_its_sentence_names():
    facts = logged(plan("repair", "rudder")) + logged(
        plan("paint"), day=1, around="when the rudder comes back we'll paint the fin"
    )
    waits = owed(facts)[1].waits_for
    assert [(one.act, one.item, one.entry) for one in waits] == [("repair", "rudder", "e-0")]


def test_time_of_year_and_words_without_a_part_make_nothing_wait():
    assert owed(logged(plan("paint"), around="when it's warmer we'll paint the fin"))[0].waits_for == ()
    assert owed(logged(plan("paint"), around="we'll paint the fin and the tailplane's off"))[0].waits_for == ()


def test_work_waits_for_what_was_owed_before_on_the_same_part():
    lines = owed(logged(plan("clean", side="port"), plan("prime", side="port"), plan("clean", side="starboard")))
    assert [[(one.act, one.why) for one in line.waits_for] for line in lines] == [[], [("clean", "owed-before")], []]


def test_work_waits_for_nothing_that_goes_after_it():
    lines = owed(logged(plan("fit"), plan("clean"), plan("photograph")))
    assert [line.waits_for for line in lines] == [(), (), ()]


def test_order_of_intake_changes_nothing():
    days = [
        logged(plan("remove", side="both"), plan("clean", place=ribs("4", "5"))),
        logged(done("remove", side="port"), done("clean", place=ribs("5")), day=1),
        logged(plan("paint"), day=2),
    ]
    first = owed([one for day in days for one in day])
    for order in permutations(days):
        assert owed([one for day in order for one in day]) == first


def test_nothing_said_is_nothing_owed():
    assert owed([]) == ()


def not_done(act, item="fin", **more):
    return Fact(status="not-done", act=act, item=item, **more)


def spoken(fact, said, sentence):
    return [LoggedFact(at=SATURDAY, entry="e-0", fact=fact, said=said, around=sentence)]


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("haven", "I haven't touched the fin, that stays on the mount."),
        ("we've left on", "The fin we've left on."),
        ("isn", "The fin isn't coming off today."),
        ("staying on", "The fin's staying on."),
        ("left in place", "We've left it in place."),
        ("left", "The rudder cable we've left connected."),
        ("didn't touch", "The port outer engine we didn't touch."),
        ("haven't touched", "We haven't touched the fin."),
        ("left it bolted", "We've left it bolted to the frame."),
        ("remains on", "The fin remains on the fuselage and we took the rest to the store."),
        ("were", "The fins were left in the aircraft."),
        ("stays", "The fin stays off until the dent is knocked out."),
        ("is still off", "The fin is still off."),
    ],
)
def test_what_stays_on_is_no_work_that_is_owed(said, sentence):
    assert owed(spoken(not_done("remove"), said, sentence)) == ()


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("get the fin off", "We didn't get the fin off."),
        ("haven't got", "Haven't got the fin off yet, it stays on until Sunday."),
        ("left on", "The fin's been left on for now."),
        ("didn't touch", "We didn't touch the fin yet."),
        ("left connected", "It's left connected until Sunday."),
        ("is still not out", "The fin is still not out."),
        ("still to come off", "The fin is still to come off."),
        ("undo the left bolts", "We didn't undo the left bolts on the fin."),
        ("didn't get the fin off", "The rudder stays on and we didn't get the fin off."),
        ("clean", "We didn't clean the fin that stays on."),
    ],
)
def test_what_was_put_off_is_owed(said, sentence):
    act = "clean" if said == "clean" else "remove"
    assert [line.act for line in owed(spoken(not_done(act), said, sentence))] == [act]


def test_owed_work_keeps_its_number_and_is_told_in_its_whole_sentence():
    fact = plan("drill-out", "fin", count=1, of="screw")
    (line,) = owed(spoken(fact, "drill", "There's one screw to drill out of the fin."))
    assert (line.count, line.of) == (1, "screw")
    assert line.words == "There's one screw to drill out of the fin."
    people = owed(spoken(plan("lift", "fin", count=4, of="person"), "lift", "We need four people to lift the fin."))
    assert (people[0].count, people[0].of) == (None, None)


KIN = Vocabulary(
    parts=(
        Part(notation="control-cable", preferred="control cable", kind="controls"),
        Part(notation="rudder-cable", preferred="rudder cable", kind="controls", broader="control-cable"),
        Part(notation="aileron-cable", preferred="aileron cable", kind="controls", broader="control-cable"),
        Part(notation="mainplane", preferred="mainplane", kind="structure"),
        Part(notation="leading-edge", preferred="leading edge", kind="structure", broader="mainplane"),
    )
)


def owed_on(facts):
    return [(line.act, line.item) for line in to_do(facts, KIN)]


def test_work_done_under_the_broader_or_the_narrower_name_closes_the_one_line_that_it_can_be():
    for owed, told in (("rudder-cable", "control-cable"), ("control-cable", "rudder-cable")):
        assert owed_on(logged(plan("fit", owed)) + logged(done("fit", told), day=7)) == []
    both = logged(plan("fit", "rudder-cable"), plan("fit", "aileron-cable"))
    assert len(owed_on(both + logged(done("fit", "control-cable"), day=7))) == 2  # it may be either


def test_work_done_closes_the_line_of_its_own_name_and_no_other_with_it():
    facts = logged(plan("fit", "rudder-cable"), plan("fit", "control-cable"))
    assert owed_on(facts + logged(done("fit", "control-cable"), day=7)) == [("fit", "rudder-cable")]


def test_other_work_on_a_part_that_this_belongs_to_closes_nothing_and_a_coat_does():
    facts = logged(plan("inspect", "leading-edge"), plan("paint", "leading-edge"))
    facts += logged(done("inspect", "mainplane"), done("paint", "mainplane"), day=7)
    assert owed_on(facts) == [("inspect", "leading-edge")]
    assert owed_on(logged(plan("paint", "mainplane")) + logged(done("paint", "leading-edge"), day=7)) != []


def test_an_inspection_waits_for_nothing_to_be_disconnected():
    lines = owed(logged(plan("disconnect"), plan("inspect")) + logged(plan("clean"), day=1))
    assert [[one.act for one in line.waits_for] for line in lines] == [[], [], ["disconnect"]]


def test_work_on_one_engine_waits_for_nothing_owed_on_another():
    words = load_vocabulary([shipped("vocab") / "base"])
    facts = []
    for number, (act, which) in enumerate((("remove", "outer"), ("clean", "inner"))):
        around = f"We'll {act} the starboard {which} engine."
        facts += logged(plan(act, "engine", "starboard"), day=number, around=around)
    assert [(line.act, line.waits_for) for line in to_do(facts, words)] == [("remove", ()), ("clean", ())]


def test_work_on_a_control_names_the_one_that_was_said():
    words = "The throttle rod still wants its second inspection."
    vocabulary = load_vocabulary([shipped("vocab") / "base"])
    (line,) = to_do(spoken(plan("inspect", "engine-control-rod"), "its second inspection", words), vocabulary)
    assert line.called == "throttle rod"


def test_part_that_is_fitted_for_now_is_owed_still():
    facts = logged(plan("fit"))
    assert owed(facts + logged(done("fit"), day=1, around="Hung the fin for the weekend."))
    assert owed(facts + logged(done("fit"), day=1, around="Hung the fin.")) == ()


def test_part_that_was_to_be_sent_away_owes_nothing_once_it_is_on_again():
    assert owed(logged(plan("move")) + logged(done("fit"), day=7)) == ()
    assert owed(logged(plan("move")) + logged(done("store", stowage=Stowage(rack="3")), day=7))
