"""The order of putting together again."""

from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.book import vocabulary_folders
from pipeline.lists.controls_called import may_cross
from pipeline.lists.logged import LoggedFact, as_it_went
from pipeline.lists.reassembly_order import all_before, in_reassembly_order, without_detours
from pipeline.lists.way_back import before, way_back
from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import WayBack

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)


@cache
def shipped() -> Vocabulary:
    return load_vocabulary(vocabulary_folders(""))


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return shipped()


def done(act, item, side=None, hour=0, entry=None, **more):
    fact = Fact(status=more.pop("status", "done"), act=act, item=item, side=side, **more)
    return LoggedFact(at=SATURDAY + timedelta(hours=hour), entry=entry or f"e-{hour}", fact=fact, said="…")


def comes_before(way: WayBack, *ids: str) -> bool:
    places = [way.order.index(one) for one in ids]
    return places == sorted(places)


def reasons(way: WayBack, first: str, after: str):
    return next(one.reasons for one in way.edges if (one.before, one.after) == (first, after))


def test_nothing_came_off_so_nothing_goes_back(vocabulary):
    assert way_back([], vocabulary) == WayBack()
    planned = done("remove", "fin", status="planned")
    assert way_back([planned], vocabulary) == WayBack()


def test_what_came_off_last_goes_back_first(vocabulary):
    way = way_back([done("remove", "rudder", hour=1), done("remove", "fin", hour=2)], vocabulary)
    assert comes_before(way, "fit-fin", "secure-fin", "fit-rudder")
    told = reasons(way, "fit-fin", "fit-rudder")
    assert [one.kind for one in told] == ["told", "rule"]
    assert told[0].entries == ("e-1", "e-2")


def test_what_was_done_before_that_came_off_before_it(vocabulary):
    off = done("remove", "fin", hour=1, entry="e-1").model_copy(update={"around": "The fin is off."})
    words = "Before that I took the rudder off."
    first = done("remove", "rudder", hour=1, entry="e-2").model_copy(update={"around": words})
    first = first.model_copy(update={"at": first.at + timedelta(seconds=20)})
    way = way_back(as_it_went([off, first]), vocabulary)
    assert comes_before(way, "fit-fin", "fit-rudder")
    told = reasons(way, "fit-fin", "fit-rudder")
    assert "told" in [one.kind for one in told]
    later = first.model_copy(update={"around": "I took the rudder off before lunch."})
    edges = way_back(as_it_went([off, later]), vocabulary).edges
    told_first = [one for one in edges if (one.before, one.after) == ("fit-rudder", "fit-fin")]
    assert [reason.kind for one in told_first for reason in one.reasons] == ["told"]


def test_parts_that_have_nothing_to_do_with_each_other_are_not_tied_by_their_days(vocabulary):
    way = way_back([done("remove", "battery", hour=1), done("remove", "rudder", hour=2)], vocabulary)
    tied = {(one.before, one.after) for one in way.edges}
    assert ("fit-rudder", "fit-battery") not in tied


def test_port_and_starboard_are_not_tied(vocabulary):
    way = way_back([done("remove", "aileron", "port", 1), done("remove", "outer-wing", "starboard", 2)], vocabulary)
    assert not [one for one in way.edges if {"port", "starboard"} <= set(f"{one.before} {one.after}".split("-"))]


def test_trade_facts_told_in_one_breath_in_any_order_come_out_rightly_reversed(vocabulary):
    parts = ("rudder", "fin", "elevator", "tail-oleo", "tailplane")
    for shuffled in permutations(parts):
        way = way_back([done("remove", part, entry="e-1") for part in shuffled], vocabulary)
        assert comes_before(way, "fit-tailplane", "secure-tailplane", "fit-fin", "secure-fin", "fit-rudder")
        assert comes_before(way, "fit-tailplane", "fit-elevator")
        assert comes_before(way, "fit-tailplane", "fit-tail-oleo")
    rule = reasons(way, "fit-tailplane", "fit-fin")[0]
    assert (rule.kind, rule.rule, rule.source) == ("rule", "fin-before-tailplane", "common practice, no source")


@settings(deadline=None, max_examples=25)
@given(st.permutations(range(7)))
def test_order_of_the_rules_in_their_list_changes_nothing(order):
    vocabulary = shipped()
    rules = vocabulary.order
    assert len(rules) == 7
    shuffled = vocabulary.model_copy(update={"order": tuple(rules[at] for at in order)})
    facts = [done("remove", part, entry="e-1") for part in ("tailplane", "rudder", "elevator", "fin", "tail-oleo")]
    assert way_back(facts, shuffled).order == way_back(facts, vocabulary).order


def test_joint_is_made_before_its_services_and_held_up_until_it_is(vocabulary):
    way = way_back(
        [
            done("support", "outer-wing", "port", 1),
            done("disconnect", "fuel-line", "port", 2),
            done("blank", "fuel-line", "port", 2),
            done("undo", "wing-joint", "port", 3),
            done("remove", "outer-wing", "port", 4),
        ],
        vocabulary,
    )
    line = "connect-fuel-line-port-at-wing-joint"
    hold = "torque-and-locking-secure-wing-joint-port"
    assert comes_before(way, "fit-outer-wing-port", "secure-wing-joint-port", hold, line, f"leak-test-{line}")
    assert comes_before(way, hold, "release-outer-wing-port")
    assert next(one for one in way.steps if one.id == line).blanked


def test_service_belongs_to_the_joint_that_parted_first_after_it_was_freed(vocabulary):
    way = way_back(
        [
            done("disconnect", "hydraulic-line", "port", 1),
            done("remove", "outer-wing", "port", 2),
            done("disconnect", "hydraulic-line", "port", 3),
            done("remove", "main-undercarriage", "port", 4),
        ],
        vocabulary,
    )
    lines = {one.joint: one.undone_on for one in way.steps if one.item == "hydraulic-line"}
    assert set(lines) == {"wing-joint", "main-undercarriage"}


def test_connecting_one_of_two_lines_of_a_name_closes_neither(vocabulary):
    facts = [
        done("disconnect", "hydraulic-line", "port", 1),
        done("remove", "outer-wing", "port", 2),
        done("disconnect", "hydraulic-line", "port", 3),
        done("remove", "main-undercarriage", "port", 4),
        done("connect", "hydraulic-line", "port", 5),
    ]
    lines = [one for one in way_back(facts, vocabulary).steps if one.item == "hydraulic-line"]
    assert [(one.done_on, one.questions) for one in lines] == [(None, ("which-connected",))] * 2
    (line,) = [one for one in way_back(facts[2:], vocabulary).steps if one.item == "hydraulic-line"]
    assert line.done_on == SATURDAY.date()


def test_explained_steps_go_back_in_the_other_order(vocabulary):
    explained = [
        done(a, i, entry="e-0", status="explained") for a, i in (("undo", "drag-strut"), ("remove", "wheel"))
    ]
    way = way_back(
        [*explained, done("undo", "drag-strut", hour=1, entry="e-9"), done("remove", "wheel", hour=1, entry="e-9")],
        vocabulary,
    )
    assert "explained" in {one.kind for one in reasons(way, "fit-wheel", "secure-drag-strut")}


def test_push_rod_explained_to_be_in_the_way_of_the_rudder_is_connected_after_it(vocabulary):
    way = way_back(
        [
            done("disconnect", "rudder-control-rod", status="explained"),
            done("disconnect", "rudder-control-rod", hour=1),
            done("remove", "rudder", hour=1),
        ],
        vocabulary,
    )
    rod = next(one.id for one in way.steps if one.item == "rudder-control-rod")
    assert "explained" in {one.kind for one in reasons(way, "fit-rudder", rod)}
    assert comes_before(way, "fit-rudder", rod)


def test_what_lies_behind_a_panel_goes_in_and_is_inspected_before_it_is_closed(vocabulary):
    way = way_back(
        [
            done("open", "access-panel", "port", 1, entry="e-1"),
            done("disconnect", "control-cable", "port", 1, entry="e-1"),
        ],
        vocabulary,
    )
    close, cable = "close-access-panel-port", "connect-control-cable-port"
    assert comes_before(way, cable, f"duplicate-inspection-{cable}", f"before-closing-{close}", close)
    hold = next(one for one in way.hold_points if one.id == f"before-closing-{close}")
    assert (hold.after, hold.before) == ((cable,), (close,))
    assert hold.why and hold.source == "common practice, no source"


def test_told_order_against_a_rule_is_a_cycle_that_is_shown_and_broken_at_the_rule(vocabulary):
    way = way_back([done("remove", "fin", hour=1), done("remove", "rudder", hour=2)], vocabulary)
    (cycle,) = way.cycles
    assert cycle.left_out == ("fit-fin", "fit-rudder")
    assert comes_before(way, "fit-rudder", "fit-fin")
    assert [one.left_out for one in way.edges if (one.before, one.after) == ("fit-fin", "fit-rudder")] == [True]


def test_part_told_off_when_it_was_put_away_gives_way_to_what_closes_it_in(vocabulary):
    way = way_back(
        [
            done("disconnect", "wiring-loom", "port", 1),
            done("remove", "outer-wing", "port", 2),
            done("remove", "fillet-panel", "port", 3),
            done("store", "fillet-panel", "port", 3, stowage=Stowage(rack="2")),
        ],
        vocabulary,
    )
    fillet, loom = "fit-fillet-panel-port-at-wing-joint", "connect-wiring-loom-port-at-wing-joint"
    assert comes_before(way, "fit-outer-wing-port", loom, fillet)
    assert {kind for one in way.cycles for kind in _kinds(way, one.left_out)} == {"afterwards"}


def _kinds(way: WayBack, pair: tuple[str, str]):
    return {one.kind for one in reasons(way, *pair)}


def test_refitted_part_is_done_and_drops_out_of_what_is_left(vocabulary):
    facts = [done("remove", "rudder", hour=1), done("remove", "fin", hour=2)]
    assert before(way_back(facts, vocabulary), ["fit-rudder"])[0] == "fit-fin"
    facts += [done("fit", "fin", hour=30)]
    way = way_back(facts, vocabulary)
    assert next(one for one in way.steps if one.id == "fit-fin").done_on == SATURDAY.date() + timedelta(days=1)
    assert "fit-fin" not in before(way, ["fit-rudder"])
    off_again = way_back([*facts, done("remove", "fin", hour=40)], vocabulary)
    assert next(one for one in off_again.steps if one.id == "fit-fin").done_on is None


def test_joint_is_done_only_when_it_is_told_as_tightened_and_locked(vocabulary):
    facts = [done("undo", "fin", hour=1), done("tighten", "fin", hour=2)]
    (half,) = way_back(facts, vocabulary).steps
    assert (half.done_on, half.questions) == (None, ("locking-not-told",))
    (whole,) = way_back([*facts, done("lock", "fin", hour=3)], vocabulary).steps
    assert (whole.done_on, whole.questions) == (SATURDAY.date(), ())


def test_hold_points_stay_when_the_work_is_done(vocabulary):
    facts = [done("disconnect", "control-cable", hour=1), done("connect", "control-cable", hour=2)]
    way = way_back(facts, vocabulary)
    assert [one.hold for one in way.hold_points] == ["duplicate-inspection", "function-test"]


def test_every_step_and_every_told_edge_leads_to_entries(vocabulary):
    way = way_back(_some_facts(), vocabulary)
    assert all(one.entries for one in way.steps)
    for edge in way.edges:
        assert edge.reasons
        assert all(one.entries or one.source for one in edge.reasons)


@settings(deadline=None, max_examples=25)
@given(st.permutations(range(9)))
def test_order_of_intake_changes_nothing(order):
    vocabulary = shipped()
    facts = _some_facts()
    assert way_back([facts[at] for at in order], vocabulary) == way_back(facts, vocabulary)


def _some_facts():
    return [
        done("support", "outer-wing", "both", 1),
        done("open", "access-panel", "port", 2),
        done("disconnect", "control-rod", "port", 3),
        done("remove", "aileron", "port", 4),
        done("drain", "fuel-tank", hour=5),
        done("undo", "wing-joint", "port", 6),
        done("remove", "outer-wing", "port", 7),
        done("remove", "fillet-panel", "port", 8),
        done("store", "brake-unit", "port", 9, stowage=Stowage(box="12")),
    ]


@st.composite
def acyclic(draw):
    size = draw(st.integers(1, 12))
    pairs = st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)).filter(lambda pair: pair[0] < pair[1])
    edges = draw(st.lists(pairs, unique=True) if size > 1 else st.just([]))
    names = draw(st.permutations(range(size)))
    return [*range(size)], {(names[one], names[other]): draw(st.integers(0, 5)) for one, other in edges}


@given(acyclic())
def test_order_respects_every_edge_where_there_is_no_cycle(graph):
    nodes, edges = graph
    ordered = in_reassembly_order(nodes, edges)
    assert ordered.broken == ()
    assert sorted(ordered.nodes) == nodes
    assert all(ordered.nodes.index(one) < ordered.nodes.index(other) for one, other in edges)
    assert all_before(ordered.nodes, without_detours(ordered.nodes, edges)) == all_before(ordered.nodes, edges)


@given(st.dictionaries(st.tuples(st.integers(0, 7), st.integers(0, 7)), st.integers(0, 5)))
def test_only_edges_of_told_cycles_are_left_out_and_never_a_stronger_one(edges):
    ordered = in_reassembly_order([*range(8)], edges)
    left_out = {one.left_out for one in ordered.broken}
    for one, other in edges:
        assert (one, other) in left_out or ordered.nodes.index(one) < ordered.nodes.index(other)
    for cycle, out in ordered.broken:
        around = list(zip(cycle, [*cycle[1:], cycle[0]], strict=True))
        assert out in around
        assert set(around) <= set(edges)
        assert edges[out] == min(edges[one] for one in around)


def test_reading_does_not_depend_on_the_rules_of_order(vocabulary):
    without = vocabulary.model_copy(update={"order": (), "holds": ()})
    assert without.fingerprint == vocabulary.fingerprint
    assert without.seen_from("the fin is off") == vocabulary.seen_from("the fin is off")


def test_no_list_of_the_rules_is_without_reason_and_source(vocabulary):
    assert all(one.why and one.source for one in (*vocabulary.order, *vocabulary.holds))


def test_bolts_that_were_told_after_their_part_are_still_done_up_after_it_is_fitted(vocabulary):
    way = way_back([done("remove", "rudder", hour=1), done("undo", "rudder", hour=2)], vocabulary)
    assert way.cycles == ()
    assert comes_before(way, "fit-rudder", "secure-rudder")


def test_joint_of_two_parts_that_are_both_off_is_made_when_both_are_there(vocabulary):
    way = way_back([done("remove", "rear-fuselage", hour=1), done("remove", "centre-fuselage", hour=2)], vocabulary)
    assert way.cycles == ()
    assert comes_before(way, "fit-centre-fuselage", "fit-rear-fuselage", "secure-transport-joint")


def test_joint_that_was_undone_bit_by_bit_is_made_before_what_was_freed_in_between_is_connected(vocabulary):
    facts = [
        done("drill-out", "transport-joint", hour=0, count=12, of="rivet"),
        done("disconnect", "hydraulic-line", hour=1),
        done("undo", "transport-joint", hour=2, count=200, of="nut-and-bolt"),
    ]
    way = way_back(facts, vocabulary)
    connect = "connect-hydraulic-line"
    assert comes_before(way, "secure-transport-joint", next(one for one in way.order if one.startswith(connect)))


def spoken(words, hour, **more):
    one = done(more.pop("act", "disconnect"), "fuel-line", "port", hour)
    return one.model_copy(update={"said": words.partition(" at ")[0], "around": words})


def test_two_ends_of_a_line_are_two_connections_and_the_blank_of_one_is_not_the_others(vocabulary):
    facts = [
        spoken("Fuel line's disconnected at the fuel cock.", 1),
        spoken("Fuel line's blanked.", 1, act="blank"),
        spoken("Fuel line's disconnected at the firewall.", 48),
    ]
    way = way_back(facts, vocabulary)
    ends = {one.parted_at: one.blanked for one in way.steps if one.act == "connect"}
    assert ends == {"fuel cock": True, "firewall": False}
    assert "connect-fuel-line-port-at-firewall" in way.order
    again = way_back([*facts, spoken("Fuel line's connected at the firewall.", 96, act="connect")], vocabulary)
    done_again = {one.parted_at: one.done_on is not None for one in again.steps if one.act == "connect"}
    assert done_again == {"fuel cock": False, "firewall": True}


def test_line_told_of_on_another_day_without_a_joint_is_another_connection(vocabulary):
    facts = [spoken("Fuel line's disconnected.", 1), spoken("Fuel line's disconnected.", 48)]
    assert len([one for one in way_back(facts, vocabulary).steps if one.act == "connect"]) == 2
    same_day = [spoken("Fuel line's disconnected.", 1), spoken("Fuel line's disconnected.", 3)]
    assert len([one for one in way_back(same_day, vocabulary).steps if one.act == "connect"]) == 1


def test_elevator_cable_runs_across_no_aileron_joint():
    vocabulary = load_vocabulary(vocabulary_folders(""))
    for called, joint, may in (
        ("elevator cable", "aileron", False),
        ("elevator cable", "tailplane", True),
        ("aileron cable", "aileron", True),
        ("aileron cable", "tail-wheel", False),
        ("fire bottle cable", "rudder", False),
        ("", "aileron", True),
    ):
        assert may_cross(called, joint, vocabulary) == may, (called, joint)


def systems_tested(way: WayBack):
    return [(one.item, one.side, one.position) for one in way.hold_points if one.hold == "function-test"]


def test_one_engine_is_worked_through_once_whatever_side_of_it_its_parts_are_on(vocabulary):
    magnetos = [done("remove", "magneto", "port", 1), done("remove", "magneto", "starboard", 2)]
    assert systems_tested(way_back(magnetos, vocabulary)) == [("engine", None, "")]
    strut = done("remove", "interplane-strut", "port", 3).model_copy(update={"around": "Strut's off, port outboard."})
    assert ("engine", None, "") in systems_tested(way_back([*magnetos, strut], vocabulary))
    sided = [*magnetos, done("remove", "propeller", "port", 3)]
    found = systems_tested(way_back(sided, vocabulary))
    assert sorted(found) == [("engine", "port", ""), ("engine", "starboard", "")]


def test_each_engine_that_has_a_number_is_worked_through_by_itself(vocabulary):
    first = done("remove", "magneto", "port", 1).model_copy(
        update={"around": "The left magneto of number one is off."}
    )
    third = done("remove", "starter", None, 2).model_copy(update={"around": "The number three starter is off."})
    found = systems_tested(way_back([first, third], vocabulary))
    assert sorted(found) == [("engine", None, "number 1"), ("engine", None, "number 3")]


def test_bolts_of_a_mount_are_tight_and_locked_once_the_engine_is_said_to_be(vocabulary):
    off = [done("undo", "engine-mount", None, 1), done("remove", "engine", None, 2)]
    on = [done("fit", "engine", None, 5), done("tighten", "engine", None, 6)]
    steps = {step.item: step for step in way_back([*off, *on], vocabulary).steps if step.act == "secure"}
    assert steps["engine-mount"].questions == ("locking-not-told",)
    steps = {
        step.item: step
        for step in way_back([*off, *on, done("lock", "engine", None, 7)], vocabulary).steps
        if step.act == "secure"
    }
    assert steps["engine-mount"].done_on is not None


def test_supports_are_away_once_their_part_is_on_and_nothing_holds_it(vocabulary):
    hung = done("support", "engine", None, 1).model_copy(update={"around": "The engine hangs on the hoist."})
    off = [hung, done("remove", "engine", None, 2), done("lower", "engine", None, 3)]
    (release,) = [step for step in way_back(off, vocabulary).steps if step.act == "release"]
    assert release.done_on is None  # it is to be held up again as it goes back
    again = hung.model_copy(update={"at": off[-1].at + timedelta(hours=1), "entry": "e-4"})
    on = [*off, again, done("fit", "engine", None, 5)]
    (release,) = [step for step in way_back(on, vocabulary).steps if step.act == "release"]
    assert release.done_on is None  # it may hang there still
    away = [*on, done("tighten", "engine", None, 6)]
    (release,) = [step for step in way_back(away, vocabulary).steps if step.act == "release"]
    assert release.done_on == away[-1].at.date()
