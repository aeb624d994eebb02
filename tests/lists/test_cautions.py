"""Cautions from the rules: each cause once, gone when a fact answers it, and never a verdict."""

import re
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import permutations

import pytest

from pipeline.lists.cautions import causes
from pipeline.lists.holding_up import holding_up
from pipeline.lists.logged import LoggedFact, as_it_went
from pipeline.reading.fact import Fact, Place
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.settings import Answer
from pipeline.shipped import shipped
from pipeline.writing.advice import cautions

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
REAR = "rear-fuselage"


@cache
def vocabulary(*packs: str) -> Vocabulary:
    return load_vocabulary([shipped("vocab") / name for name in ("base", *packs)])


def told(hour, act=None, item=None, *, said="…", entry="", status="done", **more):
    fact = Fact(status=status, act=act, item=item, **more)
    return LoggedFact(at=SATURDAY + timedelta(hours=hour), entry=entry or f"e-{hour}", fact=fact, said=said)


def advice(*facts, answers=(), words=None):
    words = words or vocabulary("crew-trainer")
    lines = holding_up(facts, words)
    return cautions(causes(facts, lines, words), words.rules, answers, words)


def of_rule(rule, *facts, **more):
    return [one for one in advice(*facts, **more) if one.rule == rule]


def frame(at):
    return (Place(scheme="frame", at=at),)


def undone(hour, **more):
    return told(hour, "undo", "transport-joint", count=240, of="bolt", **more)


def test_joint_undone_with_nothing_told_to_hold_the_sections_is_a_caution_worded_as_advice():
    (one,) = of_rule("support-before-undo", undone(1))
    assert one.text == (
        "Nobody told of a support under the rear fuselage or the centre fuselage before bolts of the transport joint "
        "were undone. Check that it was held up, and say so."
    )
    assert (one.item, one.side, one.on, one.entries) == ("transport-joint", None, SATURDAY.date(), ("e-1",))
    assert one.source == "common practice, no source"


def test_section_that_was_held_up_is_not_named_and_with_all_held_up_there_is_no_caution():
    rear, centre = told(0, "support", REAR, place=frame("21")), told(0, "support", "centre-fuselage")
    (one,) = of_rule("support-before-undo", rear, undone(1))
    assert "under the centre fuselage before" in one.text
    assert of_rule("support-before-undo", rear, centre, undone(1)) == []


def test_support_under_a_frame_or_a_jacking_point_counts_for_the_body_and_another_sections_does_not():
    assert of_rule("support-before-undo", told(0, "support", "frame", place=frame("12")), undone(1)) == []
    assert of_rule("support-before-undo", told(0, "support", "jacking-point"), undone(1)) == []
    assert of_rule("support-before-undo", told(0, "support", "front-fuselage"), undone(1)) != []


def test_support_told_in_the_same_entry_counts_as_before_and_one_told_later_does_not():
    same = told(1, "support", "fuselage", entry="e-1")
    assert of_rule("support-before-undo", undone(1), same) == []
    assert of_rule("support-before-undo", undone(1), told(2, "support", "fuselage")) != []


def test_support_that_was_taken_away_before_does_not_count():
    gone = told(0, "support", "fuselage"), told(1, "move", "fuselage")
    assert of_rule("support-before-undo", *gone, undone(2)) != []


def test_within_an_entry_the_order_told_says_whether_the_support_had_gone():
    held, gone = told(0, "support", "fuselage"), told(1, "lower", "fuselage")
    assert of_rule("support-before-undo", held, undone(1), gone) == []
    assert of_rule("support-before-undo", held, gone, undone(1)) != []


def test_section_that_is_taken_off_is_work_on_the_joint_that_holds_it():
    off = told(2, "remove", "outer-wing", side="port")
    (one,) = of_rule("support-before-undo", off)
    assert one.text.endswith("before the port outer wing was removed. Check that it was held up, and say so.")
    undone_before = told(1, "undo", "wing-joint", side="port", count=16, of="bolt")
    (one,) = of_rule("support-before-undo", undone_before, off)
    assert (one.item, one.entries) == ("wing-joint", ("e-1", "e-2"))
    (one,) = of_rule("services-before-parting", told(2, "remove", REAR))
    assert one.item == "transport-joint"


def test_one_joint_undone_in_many_entries_is_one_caution_with_all_entries():
    (one,) = of_rule("support-before-undo", undone(3), undone(1), undone(2))
    assert one.entries == ("e-1", "e-2", "e-3")


def test_support_under_the_port_wing_says_nothing_of_the_starboard_one():
    port = told(0, "support", "mainplane", side="port")
    joints = [told(1, "undo", "wing-joint", side=side) for side in ("port", "starboard")]
    assert [one.side for one in of_rule("support-before-undo", port, *joints)] == ["starboard"]


def test_weight_may_be_taken_anywhere_that_is_named_for_it():
    # joints.csv: the mainplane or the fuselage, for a main undercarriage leg
    assert of_rule("support-before-undo", told(0, "support", "fuselage"), told(1, "undo", "main-undercarriage")) == []
    assert of_rule("support-before-undo", told(1, "undo", "main-undercarriage")) != []


def test_part_that_people_carry_off_is_held_by_them():
    assert of_rule("support-before-undo", told(1, "remove", "tailplane", count=4, of="person")) == []
    held = told(0, "support", "tailplane", count=4, of="person")
    assert of_rule("support-before-undo", held, told(1, "undo", "tailplane", count=8, of="bolt")) == []
    assert of_rule("support-before-undo", held, told(30, "undo", "tailplane", count=8, of="bolt")) != []


def test_plans_explanations_and_work_not_done_are_no_cause():
    for status in ("planned", "explained", "not-done"):
        assert advice(told(1, "undo", "transport-joint", status=status)) == ()


def test_lifted_section_is_a_caution_until_it_is_told_what_it_was_set_down_on():
    lift = told(1, "lift", "outer-wing", side="port")
    (one,) = of_rule("lifted-and-set-down", lift)
    assert one.text.startswith("Nobody told what the port outer wing came to stand on after the lift.")
    for act in ("support", "lower", "store"):
        assert of_rule("lifted-and-set-down", lift, told(2, act, "outer-wing", side="port")) == []
    assert of_rule("lifted-and-set-down", lift, told(2, "lower", "outer-wing", side="starboard")) != []


def test_support_on_a_frame_that_the_type_does_not_mark_is_a_caution_until_it_goes_or_is_looked_at():
    weak = told(1, "support", REAR, place=frame("14"))
    (one,) = of_rule("strong-place", weak)
    assert "under the rear fuselage at frame 14" in one.text
    assert (one.place, one.entries) == (frame("14"), ("e-1",))
    assert of_rule("strong-place", told(1, "support", REAR, place=frame("12"))) == []
    assert of_rule("strong-place", weak, told(2, "move", REAR)) == []
    assert of_rule("strong-place", weak, told(2, "inspect", "frame", place=frame("14"))) == []


def test_station_of_the_body_is_strong_where_a_marked_frame_is():
    def at(station):
        return told(1, "support", REAR, place=(Place(scheme="station", at=station),))

    assert of_rule("strong-place", at("178")) == []  # frame 12 of the crew trainer
    assert len(of_rule("strong-place", at("200"))) == 1


def test_type_that_marks_no_frames_gives_no_advice_about_them():
    weak = told(1, "support", REAR, place=frame("14"))
    assert of_rule("strong-place", weak, words=vocabulary()) == []


def test_part_taken_off_with_services_that_nobody_freed_names_those_and_only_those():
    freed = told(0, "disconnect", "control-cable"), told(1, "remove", "trim-jack")
    later = told(99, "connect", "rudder-control-rod"), told(99, "inspect", "bonding-strip")
    (one,) = of_rule("services-before-parting", *freed, told(2, "remove", "rudder"), *later)
    assert "before the rudder was removed: rudder control rods and bonding strips." in one.text
    rest = told(1, "disconnect", "rudder-control-rod"), told(2, "disconnect", "bonding-strip", entry="e-2")
    assert of_rule("services-before-parting", *freed, *rest, told(2, "remove", "rudder")) == []


def test_what_was_done_before_that_answers_though_it_is_told_after():
    off = told(1, "remove", "rudder").model_copy(update={"around": "The rudder is off."})
    freed = [told(1, "disconnect", service, entry="e-later") for service in ("rudder-control-rod", "bonding-strip")]
    later = [one.model_copy(update={"at": one.at + timedelta(seconds=20)}) for one in freed]
    words = "Before that I freed the rods and the bonding."
    before_that = [one.model_copy(update={"around": words}) for one in later]
    on_time = told(0, "disconnect", "control-cable"), told(0, "remove", "trim-jack")
    assert of_rule("services-before-parting", *on_time, off, *later)
    assert of_rule("services-before-parting", *as_it_went([*on_time, off, *before_that])) == []


def test_service_that_nobody_ever_told_of_is_asked_after_only_where_the_types_own_list_has_the_joint():
    assert of_rule("services-before-parting", told(2, "remove", "starter")) == []
    told_of = told(0, "remove", "starting-handle"), told(0, "inspect", "wiring-loom")
    (one,) = of_rule("services-before-parting", *told_of, told(2, "remove", "starter"))
    assert "before the starter was removed: wiring looms." in one.text
    (own,) = of_rule("services-before-parting", told(2, "remove", "aileron"))
    assert "control rods, control cables and bonding strips" in own.text


def test_engines_pipes_and_looms_are_none_of_the_propellers():
    later = told(9, "disconnect", "oil-line"), told(9, "disconnect", "wiring-loom")
    assert of_rule("services-before-parting", told(2, "remove", "propeller"), *later) == []


def test_a_float_is_held_up_itself_whatever_stands_under_the_tail():
    tail = told(0, "support", "rear-fuselage", said="a trestle under it")
    (one,) = of_rule("support-before-undo", tail, told(2, "remove", "float", side="port"))
    assert one.text.startswith("Nobody told of a support under the float before the port float was removed.")
    held = told(1, "support", "float", side="port")
    assert of_rule("support-before-undo", tail, held, told(2, "remove", "float", side="port")) == []


def test_two_engines_of_a_side_are_two_cautions_and_a_hoist_on_one_holds_the_other_by_nothing():
    outer = told(1, "remove", "engine", side="port", said="the port outer engine is off")
    inner = told(2, "remove", "engine", side="port", said="the port inner engine is off")
    found = of_rule("support-before-undo", outer, inner, words=vocabulary())
    assert ["outer engine" in one.text for one in found] == [True, False]
    assert ["inner engine" in one.text for one in found] == [False, True]
    hung = told(0, "support", "engine", side="port", said="the port outer engine hangs on the hoist")
    (one,) = of_rule("support-before-undo", hung, outer, inner, words=vocabulary())
    assert "inner engine" in one.text


def test_advice_on_both_sides_reads_as_of_two():
    (one,) = of_rule("spring-before-undoing", told(1, "remove", "bungee", side="both"))
    assert one.text == (
        "Nobody told that the spring was eased or held before the port and starboard bungee cords were removed. "
        "Check it, and say so."
    )
    (one,) = of_rule("lifted-and-set-down", told(1, "lift", "outer-wing", side="both"))
    assert one.text.startswith("Nobody told what the port and starboard outer wings came to stand on after the lift.")


def test_service_seen_to_be_missing_needs_no_freeing():
    facts = [told(0, "disconnect", "control-rod"), told(0, status="seen", item="control-cable", finding="missing")]
    facts.append(told(0, status="seen", item="bonding-strip", finding="missing"))
    assert of_rule("services-before-parting", *facts, told(1, "remove", "aileron")) == []


@pytest.mark.parametrize("item", ["main-oleo", "accumulator", "air-bottle", "oxygen-bottle"])
@pytest.mark.parametrize("act", ["undo", "open", "disconnect", "remove"])
def test_part_under_pressure_is_let_down_before_it_is_opened(item, act):
    work = told(2, act, item)
    assert len(of_rule("pressure-before-opening", work)) == 1
    assert of_rule("pressure-before-opening", told(1, "drain", item), work) == []
    assert of_rule("pressure-before-opening", work, told(3, "drain", item)) != []


def test_tank_battery_and_spring_have_their_own_way_of_being_made_safe():
    assert of_rule("fuel-before-opening", told(1, "open", "fuel-tank")) != []
    assert of_rule("fuel-before-opening", told(0, "drain", "fuel-tank"), told(1, "open", "fuel-tank")) == []
    assert of_rule("battery-before-opening", told(1, "remove", "battery")) != []
    assert of_rule("battery-before-opening", told(0, "disconnect", "battery"), told(1, "remove", "battery")) == []
    assert of_rule("spring-before-undoing", told(1, "undo", "bungee")) != []


@pytest.mark.parametrize("item", ["fuel-line", "pitot-static-line", "oxygen-line"])
def test_open_line_is_a_caution_until_it_is_blanked_or_joined_again(item):
    opened = told(1, "disconnect", item, side="port")
    assert len(of_rule("blank-open-lines", opened)) == 1
    for act in ("blank", "connect"):
        assert of_rule("blank-open-lines", opened, told(30, act, item, side="port")) == []
    assert of_rule("blank-open-lines", told(0, "blank", item, side="port"), opened) != []
    assert of_rule("blank-open-lines", opened, told(2, "blank", item, side="starboard")) != []


def test_drive_and_pump_have_no_dial_to_glow():
    for item in ("tachometer-drive", "vacuum-pump"):
        assert of_rule("radium-dials", told(1, "remove", item)) == []


def test_line_that_was_blanked_was_freed():
    blanked = told(0, "blank", "fuel-line", side="port"), told(1, "remove", "outer-wing", side="port")
    assert all("fuel" not in one.text for one in of_rule("services-before-parting", *blanked))
    looked_at = told(0, "inspect", "fuel-line", side="port"), told(1, "remove", "outer-wing", side="port")
    assert any("fuel lines" in one.text for one in of_rule("services-before-parting", *looked_at))


@pytest.mark.parametrize(
    ("rule", "fact"),
    [
        ("asbestos", told(1, "remove", "heat-shield")),
        ("asbestos", told(1, "clean", "bracket", said="there's asbestos round it")),
        ("radium-dials", told(1, "open", "altimeter")),
        ("hydraulic-fluid", told(1, "disconnect", "hydraulic-line")),
        ("hydraulic-fluid", told(1, status="seen", item="retraction-jack", finding="leak")),
        ("primer-dust", told(1, "strip-finish", "skin")),
        ("primer-dust", told(1, "drill-out", "skin", count=40, of="rivet")),
        ("fuel-vapour", told(1, "drain", "fuel-tank")),
        ("work-at-height", told(1, "inspect", "fin", said="from the stepladder")),
        ("live-seat", told(1, "remove", "ejection-seat")),
        ("live-seat", told(1, "inspect", "seat", said="it's the ejection seat that was in store")),
    ],
)
def test_usual_warning_is_given_where_such_work_is_told(rule, fact):
    (one,) = of_rule(rule, fact)
    assert one.entries == ("e-1",)
    assert one.reason and one.source


def test_usual_warning_is_given_once_however_many_parts_there_are():
    (one,) = of_rule("primer-dust", told(1, "strip-finish", "skin"), told(2, "strip-finish", "frame"))
    assert (one.item, one.entries) == (None, ("e-1", "e-2"))


def test_leak_that_was_looked_for_and_not_found_warns_of_nothing():
    assert advice(told(1, status="seen", item="retraction-jack", finding="leak", absent=True)) == ()


def test_work_by_the_wheels_while_only_jacks_hold_the_aircraft_is_a_caution():
    jacked = told(0, "support", "mainplane", said="it's on jacks")
    assert len(of_rule("raised-aircraft", jacked, told(1, "remove", "wheel"))) == 1
    trestled = told(0, "support", "fuselage", said="and a trestle under it")
    assert of_rule("raised-aircraft", jacked, trestled, told(1, "remove", "wheel")) == []
    assert of_rule("raised-aircraft", told(1, "remove", "wheel")) == []


def test_answer_of_a_person_stands_beside_the_caution_and_does_not_remove_it():
    answers = (
        Answer(rule="support-before-undo", reason="Any.", who="Sam"),
        Answer(rule="support-before-undo", item="transport-joint", reason="It stood in the cradle.", who="Alex"),
        Answer(rule="support-before-undo", item="engine", reason="No.", who="Kim"),
    )
    (one,) = of_rule("support-before-undo", undone(1), answers=answers)
    assert one.answer is not None
    assert (one.answer.reason, one.answer.who) == ("It stood in the cradle.", "Alex")


def test_what_was_done_on_both_sides_is_answered_on_both():
    wings, lines = told(2, "undo", "wing-joint", side="both"), told(2, "disconnect", "fuel-line", side="both")
    port = told(1, "support", "mainplane", side="port")
    assert of_rule("support-before-undo", port, wings) != []
    assert of_rule("support-before-undo", port, told(1, "support", "mainplane", side="starboard"), wings) == []
    assert of_rule("blank-open-lines", lines, told(3, "blank", "fuel-line", side="port")) != []
    assert of_rule("blank-open-lines", lines, told(3, "blank", "fuel-line", side="both")) == []


def test_order_of_intake_changes_nothing():
    facts = (
        told(0, "support", REAR, place=frame("14")),
        undone(1),
        told(2, "separate", "transport-joint"),
        told(3, "disconnect", "fuel-line"),
    )
    assert len({advice(*order) for order in permutations(facts)}) == 1


def test_fact_told_later_of_an_earlier_day_answers():
    late = told(-24, "support", "fuselage")
    assert of_rule("support-before-undo", undone(1), late) == []


def test_no_rule_reads_as_a_verdict_or_a_permission():
    verdict = re.compile(
        r"\b(?:safe|airworthy|serviceable|approved?|permitted|allowed|cleared|certif\w+|release\w*|must not fly|"
        r"fit for|you can|it is fine|OK to|unsafe|forbidden|illegal)\b",
        re.IGNORECASE,
    )
    rules = vocabulary("crew-trainer").rules
    assert len(rules) >= 15
    for rule in rules:
        assert verdict.search(f"{rule.text} {rule.reason}") is None, rule.notation
