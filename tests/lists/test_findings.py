"""Conditions with their history, what was done about them, and their order."""

from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest

from pipeline.book import vocabulary_folders
from pipeline.lists.findings import findings, nobody_followed_up
from pipeline.lists.logged import LoggedFact, sentence_of
from pipeline.lists.severity import CORROSION_GRADES, severity
from pipeline.reading.fact import Fact, Measure, Place
from pipeline.reading.vocabulary import Part, Vocabulary, load_vocabulary
from pipeline.writing.wording import FINDINGS

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
RIB_6, RIB_7 = ((Place(scheme="rib", at=at),) for at in ("6", "7"))
VOCABULARY = Vocabulary(
    parts=tuple(
        Part(notation=notation, preferred=notation, kind="structure", zone=zone)
        for notation, zone in (("rib", "wing"), ("frame", "rear"), ("longeron", "rear"), ("fin", "tail"))
    )
)


def seen(finding, item="rib", side="port", size=None, **more):
    measure = None if size is None else (Measure(value=size, unit="mm"),)
    return Fact(status="seen", finding=finding, item=item, side=side, measure=measure, **more)


def work(act, item="rib", side="port", status="done", **more):
    return Fact(status=status, act=act, item=item, side=side, **more)


def logged(*facts, day=0, entry=None, said="…", around="", photos=()):
    entry = entry or f"e-{day}"
    at = SATURDAY + timedelta(days=day)
    return [LoggedFact(at=at, entry=entry, fact=one, said=said, around=around, photos=photos) for one in facts]


def lines(facts):
    return findings(facts, VOCABULARY)


def sizes(line):
    return [one.measure[0].value for one in line.seen if one.measure]


def test_crack_that_is_told_again_keeps_its_history():
    facts = logged(seen("crack", size=15, place=RIB_6), photos=("sha256:1",))
    facts += logged(seen("crack", size=18, place=RIB_6), day=30, photos=("sha256:2",))
    (line,) = lines(facts)
    assert sizes(line) == [15, 18]
    assert (line.on, line.measure[0].value, line.worst) == (SATURDAY.date(), 18, 1)
    assert [one.entry for one in line.seen] == ["e-0", "e-30"]
    assert line.photos == ("sha256:1", "sha256:2")


def test_earlier_reading_told_in_the_same_breath_stands_before_todays_whichever_is_told_first():
    around = "Crack in rib 6 was 15 mm in October and it's 18 mm now."
    told = logged(seen("crack", size=15), said="Crack in rib 6", around=around)
    now = logged(seen("crack", size=18), said="it's 18 mm now", around=around)
    for facts in (told + now, now + told):
        (line,) = lines(facts)
        assert sizes(line) == [15, 18]
        assert [one.earlier for one in line.seen] == ["October", ""]
        assert line.measure[0].value == 18


def test_two_sizes_told_in_one_entry_without_a_word_of_time_are_two_cracks():
    facts = logged(seen("crack", size=15), seen("crack", size=8))
    assert sorted(sizes(line)[0] for line in lines(facts)) == [8, 15]
    grown = logged(seen("crack", size=9), day=30)
    assert sorted(sizes(line) for line in lines(facts + grown)) == [[8, 9], [15]]


@pytest.mark.parametrize("other", [seen("crack", side="starboard"), seen("crack", place=RIB_7), seen("dent")])
def test_other_side_place_or_condition_is_a_line_of_its_own(other):
    assert len(lines(logged(seen("crack", place=RIB_6)) + logged(other, day=1))) == (2)


def test_told_again_without_its_place_joins_the_only_one_and_none_where_there_are_two():
    one = logged(seen("crack", place=RIB_6))
    two = one + logged(seen("crack", place=RIB_7))
    again = logged(seen("crack"), day=1)
    assert len(lines(one + again)) == 1
    assert len(lines(two + again)) == 3


def test_both_sides_are_two_lines_unless_a_number_cannot_be_shared_out():
    assert [line.side for line in lines(logged(seen("corrosion", side="both")))] == ["port", "starboard"]
    assert [line.side for line in lines(logged(seen("crack", side="both", count=3)))] == ["both"]


def test_looked_for_later_and_not_found_closes_the_line_and_found_again_opens_it():
    there = logged(seen("corrosion", grade="light"))
    gone = logged(seen("corrosion", absent=True), day=5)
    back = logged(seen("corrosion", grade="heavy"), day=9)
    (line,) = lines(there + gone)
    assert (line.absent, line.closed_on.day, line.severity) == (True, 19, 0)
    (line,) = lines(there + gone + back)
    assert (line.absent, line.closed_on, line.grade, line.worst) == (False, None, "heavy", 2)


def test_crack_that_is_gone_without_being_mended_is_a_question():
    (line,) = lines(logged(seen("crack")) + logged(seen("crack", absent=True), day=1))
    assert [one.kind for one in line.questions] == ["gone-not-mended"]
    mended = logged(work("repair"), day=0, entry="e-00")
    assert lines(logged(seen("crack")) + mended + logged(seen("crack", absent=True), day=1))[0].questions == ()


def test_never_seen_is_not_closed():
    (line,) = lines(logged(seen("crack", absent=True)))
    assert (line.absent, line.closed_on, line.worst) == (True, None, None)


def test_work_afterwards_on_that_part_follows_up_and_plans_give_way_to_it():
    found = logged(seen("corrosion", place=RIB_6))
    plan = logged(work("treat", status="planned"), day=1)
    (line,) = lines(found + plan)
    assert ([one.what for one in line.planned], line.done) == (["treat"], ())
    (line,) = lines(found + plan + logged(work("treat", place=RIB_6), day=2))
    assert ([(one.what, one.entry) for one in line.done], line.planned) == ([("treat", "e-2")], ())


@pytest.mark.parametrize(
    "other",
    [work("repair", side="starboard"), work("repair", item="frame"), work("repair", place=RIB_7), work("inspect")],
)
def test_work_elsewhere_or_a_mere_look_follows_nothing_up(other):
    (line,) = lines(logged(seen("crack", place=RIB_6)) + logged(other, day=1))
    assert nobody_followed_up(line)


def test_work_before_it_was_seen_follows_nothing_up():
    (line,) = lines(logged(work("repair")) + logged(seen("crack"), day=1))
    assert line.done == ()


def test_nobody_need_follow_up_what_is_good_or_gone():
    assert not any(nobody_followed_up(line) for line in lines(logged(seen("sound"), seen("crack", absent=True))))


def test_part_that_is_said_to_be_good_later_is_asked_about():
    line = next(
        line for line in lines(logged(seen("crack")) + logged(seen("sound"), day=3)) if line.finding == "crack"
    )
    assert [(one.kind, one.days[0].day) for one in line.questions] == [("said-good-since", 17)]


def test_order_is_by_zone_along_the_aircraft_then_by_place_with_the_worst_first():
    frames = {at: (Place(scheme="frame", at=at),) for at in ("11", "15")}
    facts = logged(
        seen("dent", "frame", None, place=frames["15"]),
        seen("crack", "frame", None, place=frames["11"]),
        seen("dent", "longeron", "port", place=frames["11"]),
        seen("crack", "fin"),
        seen("crack", "rib"),
        seen("corrosion", "frame", None, place=frames["15"], grade="heavy"),
        seen("crack", None),
    )
    told = [(line.zone, line.item, line.finding) for line in lines(facts)]
    assert told == [
        ("rear", "frame", "crack"),
        ("rear", "longeron", "dent"),
        ("rear", "frame", "corrosion"),
        ("rear", "frame", "dent"),
        ("tail", "fin", "crack"),
        ("wing", "rib", "crack"),
        ("any", None, "crack"),
    ]


def test_every_finding_of_the_vocabulary_has_its_place_in_the_order():
    assert [one for one in FINDINGS if severity(one, None) == severity("unheard-of", None)] == ["wear"]
    assert severity("corrosion", "light") < severity("corrosion", None) < severity("corrosion", "heavy")
    assert severity("corrosion", "heavy") < severity("missing", None) < severity("crack", None)


def test_every_grade_of_the_marked_notes_has_a_published_word():
    assert set(CORROSION_GRADES) == {"light", "moderate", "heavy"}
    assert CORROSION_GRADES["heavy"].term == "severe"


def test_order_of_intake_changes_nothing():
    days = [
        logged(seen("crack", size=15), seen("corrosion", side="both")),
        logged(seen("crack", size=18), work("treat"), day=5),
        logged(seen("corrosion", absent=True), work("repair", status="planned"), day=9),
    ]
    first = lines([one for day in days for one in day])
    for order in permutations(days):
        assert lines([one for day in order for one in day]) == first


def test_sentence_is_the_one_that_holds_the_words():
    text = "Right. Once the fin is off we'll look at it. Tea?"
    assert sentence_of(text, "we'll look") == "Once the fin is off we'll look at it."
    assert sentence_of("no stop at all here", "stop") == "no stop at all here"
    assert sentence_of(text, "never said") == "never said"
    assert sentence_of("AN4.12 bolts, 2.5 mm", "2.5") == "AN4.12 bolts, 2.5 mm"


def test_cracked_part_that_is_put_back_is_not_looked_after_by_that():
    facts = logged(seen("crack", "fin")) + logged(work("fit", "fin"), work("tighten", "fin"), day=7)
    (line,) = lines(facts)
    assert nobody_followed_up(line)
    (loose,) = lines(logged(seen("loose", "fin")) + logged(work("tighten", "fin"), day=7))
    assert not nobody_followed_up(loose)


KEEL = Vocabulary(
    parts=(
        Part(notation="keel-member", preferred="keel member", alternatives=("keel",), kind="structure"),
        Part(notation="keel-cleat", preferred="keel cleat", kind="structure", broader="keel-member"),
        Part(notation="doubler", preferred="doubler", kind="structure"),
        Part(notation="fairing", preferred="fairing", kind="structure"),
    )
)
CRACK = logged(seen("crack", "keel-member", size=40))


def keel(*facts):
    return next(line for line in findings([*CRACK, *facts], KEEL) if line.item == "keel-member")


def test_piece_that_is_fitted_to_a_part_follows_up_what_was_found_on_it():
    fitted = logged(work("fit", "doubler"), day=28, around="The doubler's fitted to the port float keel.")
    line = keel(*fitted)
    assert [(move.what, move.item, move.entry) for move in line.done] == [("fit", "doubler", "e-28")]
    assert not nobody_followed_up(line)


def test_piece_that_is_planned_in_the_entry_that_names_the_part_is_planned_until_it_is_fitted():
    planned = logged(work("fit", "doubler", status="planned"), day=14, around="So the keel needs a doubler.")
    assert [(move.what, move.item) for move in keel(*planned).planned] == [("fit", "doubler")]
    fitted = logged(work("fit", "doubler"), day=28, around="The doubler's on the keel.")
    assert keel(*planned, *fitted).planned == ()


def test_work_on_what_belongs_to_a_part_follows_up_where_the_entry_names_the_part():
    mended = logged(work("repair", "keel-cleat"), day=7, around="The keel's done, we repaired its cleat.")
    assert [move.item for move in keel(*mended).done] == ["keel-cleat"]


@pytest.mark.parametrize(
    ("fact", "around"),
    [
        (work("fit", "doubler"), "The doubler's fitted to the floor."),
        (work("fit", "doubler", side="starboard"), "The doubler's fitted to the starboard keel."),
        (work("fit", "fairing"), "The fairing's fitted to the keel."),
        (work("clean", "keel-cleat"), "The keel's cleat is cleaned."),
        (work("repair", "keel-cleat"), "The cleat is repaired."),
    ],
)
def test_work_elsewhere_follows_up_nothing(fact, around):
    assert nobody_followed_up(keel(*logged(fact, day=7, around=around)))


def test_entry_that_tells_of_one_other_part_alone_is_of_that_part_also_where_the_next_sentence_names_none():
    facts = logged(seen("crack", "keel-member"), day=7, around="The keel's worse.")
    facts += logged(work("make", "doubler", status="planned"), day=7, around="We'll make a doubler.")
    assert [move.item for move in keel(*facts).planned] == ["doubler"]
    facts += logged(seen("dent", "fairing"), day=7, around="The fairing's got a dent.")
    assert keel(*facts).planned == ()


CREW_TRAINER = load_vocabulary(vocabulary_folders("crew-trainer"))


def of_many(facts):
    """Lines by the whole vocabulary, which tells of what there are many."""
    return findings(facts, CREW_TRAINER)


def test_loose_turnbuckle_is_not_closed_by_work_on_a_turnbuckle_of_which_nobody_said_where():
    loose = logged(seen("loose", "turnbuckle", "starboard"))
    (line,) = of_many(loose + logged(work("lock", "turnbuckle", None), day=14))
    assert (line.done, nobody_followed_up(line)) == ((), True)
    assert [(one.kind, one.days) for one in line.questions] == [
        ("which-was-worked-on", (SATURDAY.date() + timedelta(days=14),))
    ]


@pytest.mark.parametrize(("side", "place", "day"), [("starboard", None, 14), (None, RIB_6, 14), (None, None, 0)])
def test_same_side_place_or_entry_closes_a_finding_on_one_of_many(side, place, day):
    loose = logged(seen("loose", "turnbuckle", "starboard", place=RIB_6))
    (line,) = of_many(loose + logged(work("lock", "turnbuckle", side, place=place), day=day))
    assert ([one.what for one in line.done], line.questions) == (["lock"], ())


def test_work_that_is_surely_on_it_answers_the_question_which_it_was_on():
    loose = logged(seen("loose", "turnbuckle", "starboard"))
    facts = (
        loose
        + logged(work("lock", "turnbuckle", None), day=7)
        + logged(work("lock", "turnbuckle", "starboard"), day=8)
    )
    (line,) = of_many(facts)
    assert ([one.what for one in line.done], line.questions) == (["lock"], ())


def test_finding_on_a_part_that_was_changed_for_a_new_one_closes_as_replaced():
    place = (Place(scheme="frame", at="4"),)
    found = logged(seen("chafing", "control-cable", None, place=place), around="There's chafing on the rudder cable.")
    swap = "I've taken the rudder cable out and fitted a new one."
    (line,) = of_many(
        found + logged(work("fit", "control-cable", None), day=14, said="fitted a new one", around=swap)
    )
    assert [one.what for one in line.done] == ["replace"]
    other = "I've taken the elevator cable out and fitted a new one."
    (line,) = of_many(
        found + logged(work("fit", "control-cable", None), day=14, said="fitted a new one", around=other)
    )
    assert (line.done, line.questions) == ((), ())  # another cable


def test_work_that_was_planned_when_it_was_found_is_on_it():
    found = logged(seen("broken", "rib", "port"), work("make", "rib", "port", status="planned"))
    (line,) = of_many(found + logged(work("make", "rib", None), day=7))
    assert ([one.what for one in line.done], line.planned, line.questions) == (["make"], (), ())


def test_what_was_wrong_with_the_old_one_went_with_it_though_it_is_told_after_the_new_one():
    told = "The compass is new, it replaces the old one, which was cracked."
    facts = logged(work("fit", "compass", None), said="The compass is new", around=told)
    facts += logged(seen("crack", "compass", None), said="cracked", around=told)
    (line,) = of_many(facts)
    assert [one.what for one in line.done] == ["replace"]


def test_missing_part_is_fitted_and_nothing_was_replaced():
    facts = logged(seen("missing", "drain-eyelet", "port"))
    facts += logged(work("fit", "drain-eyelet", "port"), day=7, said="put a new drain eyelet in")
    (line,) = of_many(facts)
    assert [one.what for one in line.done] == ["fit"]


@pytest.mark.parametrize("act", ["clean", "prime", "paint", "strip-finish"])
def test_work_on_the_surface_takes_no_dent_out_and_stops_no_crack(act):
    facts = logged(seen("corrosion"), seen("dent"), seen("crack")) + logged(work(act), day=7)
    assert {line.finding: len(line.done) for line in lines(facts)} == {"corrosion": 1, "dent": 0, "crack": 0}


def test_paint_on_a_dent_that_was_repaired_is_work_on_it():
    (line,) = lines(logged(seen("dent")) + logged(work("repair"), work("paint"), day=7))
    assert [one.what for one in line.done] == ["repair", "paint"]


def test_work_that_names_one_condition_is_on_no_other():
    facts = logged(seen("dent", "fin"), seen("crack", "fin"))
    facts += logged(work("repair", "fin"), day=7, around="The dent in the port fin is dressed out.")
    assert {line.finding: len(line.done) for line in of_many(facts)} == {"dent": 1, "crack": 0}


def test_work_at_the_place_of_one_condition_is_not_on_that_without_a_place():
    facts = logged(seen("crack", place=RIB_6)) + logged(seen("corrosion"), day=1)
    facts += logged(work("repair", place=RIB_6), day=7)
    assert {line.finding: len(line.done) for line in lines(facts)} == {"crack": 1, "corrosion": 0}


def test_leak_of_the_outer_engine_is_not_mended_on_the_inner_one_and_without_a_position_is_asked():
    facts = []
    for number, which in enumerate(("outer", "inner")):
        around = f"There's an oil leak on the starboard {which} engine."
        facts += logged(seen("leak", "engine", "starboard"), day=number, said="oil leak", around=around)
    around = "We've tightened the starboard inner engine."
    mended = facts + logged(work("tighten", "engine", "starboard"), day=7, said="tightened", around=around)
    assert {line.position: len(line.done) for line in of_many(mended)} == {"outer": 0, "inner": 1}
    around = "We've tightened the starboard engine."
    unclear = facts + logged(work("tighten", "engine", "starboard"), day=7, said="tightened", around=around)
    assert [(len(line.done), [one.kind for one in line.questions]) for line in of_many(unclear)] == [
        (0, ["which-was-worked-on"])
    ] * 2


def hinge_bolt(words, *, bolt_words="One hinge bolt of the starboard door is worn.", side="starboard"):
    worn = seen("wear", "bolt", "starboard", count=1, of="bolt")
    new = work("fit", "door", side, count=1, of="bolt")
    facts = logged(worn, around=bolt_words) + logged(new, day=30, said=words, around=words)
    (line,) = [one for one in findings(facts, load_vocabulary(vocabulary_folders(""))) if one.finding == "wear"]
    return [one.what for one in line.done], [one.kind for one in line.questions]


def test_worn_bolt_of_a_part_is_closed_when_it_was_replaced():
    told = "The worn hinge bolt on the starboard door was replaced with a new one."
    assert hinge_bolt(told) == (["replace"], [])


def test_new_bolt_of_a_part_that_the_worn_one_was_not_told_of_is_asked_about():
    told = "The worn hinge bolt on the starboard door was replaced with a new one."
    assert hinge_bolt(told, bolt_words="One bolt is worn.") == ([], ["which-was-worked-on"])


def test_bolt_that_is_only_fitted_or_of_the_other_side_closes_no_worn_one():
    assert hinge_bolt("We fitted a bolt to the starboard door.") == ([], [])
    assert hinge_bolt("The worn hinge bolt on the port door was replaced with a new one.", side="port") == ([], [])


def seals(*told):
    """What is told of gaskets, each with its words."""
    facts = [one for day, (fact, words) in enumerate(told) for one in logged(fact, day=day, around=words)]
    found = findings(facts, load_vocabulary(vocabulary_folders("")))
    return {(line.called, len(line.seen), tuple(move.what for move in line.done)) for line in found}


def test_small_parts_that_are_called_after_two_others_are_two():
    canopy = (seen("perished", "gasket", None), "The canopy seal is perished.")
    door = (seen("perished", "gasket", None), "The door seals have perished.")
    new = (work("fit", "gasket", None), "We fitted the new canopy seal.")
    assert seals(canopy, door) == {("canopy seal", 1, ()), ("door seal", 1, ())}
    assert seals(canopy, door, new) == {("canopy seal", 1, ("replace",)), ("door seal", 1, ())}
    some = (work("fit", "gasket", None), "We fitted a new seal.")
    assert seals(canopy, door, some) == {("canopy seal", 1, ()), ("door seal", 1, ())}
    again = (seen("perished", "gasket", None), "That seal is still perished.")
    assert seals(canopy, again) == {("canopy seal", 2, ())}


WELDED = "The crack has been welded."


def test_crack_that_was_welded_is_followed_up_where_the_work_was_read_of_the_part_that_bears_it():
    crack = logged(seen("crack", "rudder-hinge", size=4), around="There's a crack in the port rudder hinge.")
    welded = logged(work("repair", "rudder"), day=7, around=WELDED)
    (line,) = of_many(crack + welded)
    assert [(move.what, move.item) for move in line.done] == [("repair", "rudder")]
    (line,) = of_many(crack + logged(work("repair", "rudder", status="planned"), day=7, around=WELDED))
    assert [(move.what, move.item) for move in line.planned] == [("repair", "rudder")]
    other = logged(work("repair", "rudder"), day=7, around="The rudder has been welded.")
    assert nobody_followed_up(*of_many(crack + other))
    beside = logged(seen("crack", "bracket"), around="There's a crack in a bracket on the port rudder.")
    (line,) = of_many(beside + welded)
    assert [(move.what, move.item) for move in line.done] == [("repair", "rudder")]


def test_welded_crack_that_may_be_one_of_two_or_the_parts_own_is_asked_or_of_the_part():
    cracks = logged(seen("crack", "rudder-hinge"), seen("crack", "rudder-pulley"), around="Cracked.")
    cracks += logged(seen("crack", "bracket"), around="A bracket of the rudder is cracked.")
    found = of_many(cracks + logged(work("repair", "rudder"), day=7, around=WELDED))
    kinds = {line.item: [one.kind for one in line.questions] for line in found}
    assert (kinds["rudder-hinge"], kinds["bracket"]) == (["which-was-worked-on"], ["which-was-worked-on"])
    assert not any(line.done for line in found)
    own = logged(seen("crack", "rudder"), seen("crack", "rudder-hinge"), around="Cracked.")
    found = of_many(own + logged(work("repair", "rudder"), day=7, around=WELDED))
    assert {line.item: len(line.done) for line in found} == {"rudder": 1, "rudder-hinge": 0}


@pytest.mark.parametrize(
    ("found", "mended", "closes"),
    [
        ("Two ribs in the port wing are bent.", "The bent ribs have been straightened.", True),
        ("Two ribs in the port wing are bent.", "Some ribs have been straightened.", False),
        ("A rib is bent at the rudder.", "Straightened a rib on the rudder.", True),
        ("A rib is bent at the rudder.", "Straightened a rib on the elevator.", False),
    ],
)
def test_one_of_many_is_known_by_its_condition_or_by_the_part_that_it_is_on(found, mended, closes):
    facts = logged(seen("distortion", side=None), around=found)
    (line,) = of_many(facts + logged(work("repair", side=None), day=7, around=mended))
    assert bool(line.done) == closes
    assert [one.kind for one in line.questions] == ([] if closes else ["which-was-worked-on"])


def test_of_two_bent_ribs_the_bent_one_that_was_mended_is_asked_about():
    facts = logged(seen("distortion", side=None, place=RIB_6), seen("distortion", side=None, place=RIB_7))
    facts += logged(work("repair", side=None), day=7, around="The bent rib has been straightened.")
    assert [[one.kind for one in line.questions] for line in of_many(facts)] == [["which-was-worked-on"]] * 2


def test_condition_that_was_told_to_be_there_and_not_there_in_one_breath_stays_open_and_is_asked():
    there, not_there = seen("corrosion", size=15), seen("corrosion", absent=True)
    for facts in (logged(there, not_there), logged(not_there, there)):
        (line,) = lines(facts)
        assert (line.absent, line.measure, line.closed_on) == (False, there.measure, None)
        assert [(one.kind, one.days) for one in line.questions] == [("there-and-not-there", (SATURDAY.date(),))]
    (line,) = lines(logged(there, work("clean"), not_there))
    assert (line.absent, line.questions) == (True, ())
    (line,) = lines(logged(there, not_there) + logged(not_there, day=7))
    assert (line.absent, line.questions) == (True, ())


@pytest.mark.parametrize(
    ("again", "number"),
    [
        ("One bolt's missing from the port elevator.", 2),
        ("The bolt is missing.", 1),
        ("A bolt is still missing.", 1),
        ("A bolt is missing at the brake unit.", 1),
    ],
)
def test_missing_bolt_of_another_day_is_another_one_unless_it_is_spoken_of_as_known(again, number):
    first = logged(seen("missing", "bolt", None), around="One bolt's missing from the brake unit.")
    found = of_many(first + logged(seen("missing", "bolt", None), day=6, around=again))
    assert len(found) == number


def test_what_is_seen_again_after_it_was_mended_is_open_again_until_it_is_mended_once_more():
    mended = logged(seen("crack", size=30)) + logged(work("repair"), day=3)
    (line,) = lines(mended)
    assert (nobody_followed_up(line), line.questions) == (False, ())
    again = mended + logged(seen("crack", size=10), day=8)
    (line,) = lines(again)
    assert nobody_followed_up(line)
    days = (SATURDAY.date() + timedelta(days=3), SATURDAY.date() + timedelta(days=8))
    assert [(one.kind, one.days) for one in line.questions] == [("seen-again-since", days)]
    (line,) = lines(again + logged(work("repair"), day=9))
    assert (nobody_followed_up(line), line.questions, len(line.done)) == (False, (), 2)
    (line,) = lines(again + logged(seen("crack", absent=True), day=9))
    assert [one.kind for one in line.questions] == ["gone-not-mended"]


def test_crack_that_opened_up_again_is_the_one_that_was_welded_once_more():
    crack = seen("crack", "rudder-hinge")
    facts = logged(crack) + logged(work("repair", "rudder"), day=1, around=WELDED) + logged(crack, day=8)
    (line,) = of_many(facts + logged(work("repair", "rudder"), day=9, around=WELDED))
    assert [move.on for move in line.done] == [SATURDAY.date() + timedelta(days=day) for day in (1, 9)]
