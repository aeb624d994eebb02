"""Services and controls that were parted, and what became of them."""

from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest

from pipeline.lists.disconnections import disconnections
from pipeline.lists.logged import LoggedFact
from pipeline.reading.fact import Fact, Place
from pipeline.reading.vocabulary import Joint, Part, Vocabulary

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)


def part(notation, kind, chapter="", **more):
    return Part(notation=notation, preferred=notation.replace("-", " "), kind=kind, chapter=chapter, **more)


VOCABULARY = Vocabulary(
    parts=(
        part("control-cable", "controls", "27"),
        part("control-rod", "controls", "27"),
        part("rudder-control-rod", "controls", "27", broader="control-rod"),
        part("engine-control-rod", "controls", "76"),
        part("fuel-line", "fuel", "28"),
        part("hydraulic-line", "hydraulic", "29"),
        part("oxygen-line", "oxygen", "35"),
        part("pitot-static-line", "instruments", "34"),
        part("pneumatic-line", "pneumatic", "36"),
        part("wiring-loom", "electrical", "24"),
        part("fuel-tank", "fuel", "28"),
        part("connecting-rod", "powerplant", "85"),
        part("harness", "safety", "25"),
        part("aileron", "control-surface", "27"),
        part("wing-joint", "structure", "57"),
        part("transport-joint", "structure", "53"),
    ),
    joints=(
        Joint(part="wing-joint", services=("control-cable", "fuel-line", "wiring-loom")),
        Joint(part="transport-joint", services=("control-cable", "wiring-loom")),
    ),
)


def logged(*facts, day=0, entry="e-1", around=""):
    return [
        LoggedFact(at=SATURDAY + timedelta(days=day), entry=entry, fact=fact, said="…", around=around)
        for fact in facts
    ]


def done(act, item=None, side=None, **more):
    return Fact(status="done", act=act, item=item, side=side, **more)


def asked(line):
    return [(one.kind, *(day.isoformat() for day in one.days)) for one in line.questions]


def lines(facts):
    return disconnections(facts, VOCABULARY)


def test_line_tells_when_it_was_parted_blanked_labelled_and_connected_again():
    facts = logged(done("disconnect", "fuel-line", "port"), done("tag", "fuel-line", "port", tag="P-0107"))
    facts += logged(
        done("blank", "fuel-line", "port"), day=1, entry="e-2", around="The pipe's capped with a red bung."
    )
    facts += logged(done("connect", "fuel-line", "port"), day=9, entry="e-3")
    (line,) = lines(facts)
    assert line.disconnected_on == SATURDAY.date()
    assert (line.tag, line.blanked_on.day, line.blanked_with, line.connected_on.day) == (
        "P-0107",
        15,
        "a red bung",
        23,
    )
    assert [move.entry for move in line.moves] == ["e-1", "e-1", "e-2", "e-3"]
    assert line.questions == ()


@pytest.mark.parametrize("service", ["fuel-line", "hydraulic-line", "oxygen-line", "pitot-static-line"])
def test_open_line_without_a_blank_is_a_question(service):
    (line,) = lines(logged(done("disconnect", service)))
    assert asked(line) == [("not-blanked", "2026-02-14")]
    assert lines(logged(done("disconnect", service), done("blank", service)))[0].questions == ()
    assert lines(logged(done("disconnect", service), done("connect", service)))[0].questions == ()


@pytest.mark.parametrize("service", ["wiring-loom", "control-cable", "pneumatic-line"])
def test_wires_cables_and_air_lines_need_no_blank(service):
    assert lines(logged(done("disconnect", service)))[0].questions == ()


def test_blank_without_a_name_is_of_what_was_opened_last_in_that_entry():
    facts = logged(done("disconnect", "fuel-line"), done("disconnect", "hydraulic-line"), done("blank"))
    assert [line.blanked_on is not None for line in lines(facts)] == [False, True]
    assert lines(facts[:1] + logged(done("blank"), entry="e-2", day=1))[0].blanked_on is None


@pytest.mark.parametrize("act", ["remove", "open"])
def test_taking_out_or_opening_a_pipe_cable_rod_or_loom_disconnects_it(act):
    items = ["fuel-line", "control-rod", "wiring-loom"]
    assert [line.item for line in lines(logged(*(done(act, item) for item in items)))] == items
    assert lines(logged(done(act, "fuel-tank"), done(act, "connecting-rod"), done(act, "harness"))) == ()


def test_what_is_taken_out_after_it_was_disconnected_is_one_line():
    (line,) = lines(logged(done("disconnect", "control-rod", "port"), done("remove", "control-rod", "port")))
    assert [move.what for move in line.moves] == ["disconnect", "remove"]


def test_sides_are_lines_of_their_own_and_connecting_one_leaves_the_other():
    facts = logged(done("disconnect", "control-cable", "both")) + logged(
        done("connect", "control-cable", "port"), day=1, entry="e-2"
    )
    assert [(line.side, line.connected_on is not None) for line in lines(facts)] == [
        ("port", True),
        ("starboard", False),
    ]


def test_connected_without_a_side_where_two_are_open_is_asked_and_closes_neither():
    facts = logged(done("disconnect", "control-cable", "both")) + logged(
        done("connect", "control-cable"), day=1, entry="e-2"
    )
    for line in lines(facts):
        assert line.connected_on is None
        assert asked(line) == [("which-was-connected", "2026-02-15")]


def test_connected_without_a_place_where_two_are_open_is_asked_and_closes_neither():
    frames = [(Place(scheme="frame", at=at),) for at in ("11", "15")]
    facts = logged(*(done("disconnect", "control-cable", place=place) for place in frames))
    facts += logged(done("connect", "control-cable"), day=1, entry="e-2")
    assert [line.connected_on for line in lines(facts)] == [None, None]


def test_parted_again_after_it_was_connected_is_a_new_line():
    facts = logged(done("disconnect", "fuel-line"), done("connect", "fuel-line"), done("disconnect", "fuel-line"))
    assert [line.connected_on is None for line in lines(facts)] == [False, True]


def test_other_places_are_other_lines():
    frames = [(Place(scheme="frame", at=at),) for at in ("11", "15")]
    facts = logged(*(done("disconnect", "wiring-loom", place=place) for place in frames))
    facts += logged(done("connect", "wiring-loom", place=frames[1]), day=1, entry="e-2")
    assert [line.connected_on is None for line in lines(facts)] == [True, False]


def test_joint_is_the_one_told_in_the_entry_that_the_service_crosses_and_is_marked_as_inferred():
    facts = logged(done("undo", "wing-joint", "port"), done("disconnect", "control-cable", "port"))
    assert (lines(facts)[0].joint, lines(facts)[0].joint_inferred) == ("wing-joint", True)
    other_side = logged(done("undo", "wing-joint", "starboard"), done("disconnect", "control-cable", "port"))
    assert (lines(other_side)[0].joint, lines(other_side)[0].joint_inferred) == (None, False)
    assert lines(logged(done("undo", "aileron"), done("disconnect", "fuel-line")))[0].joint is None


@pytest.mark.parametrize(
    ("item", "why"),
    [
        ("control-cable", "flight controls"),
        ("rudder-control-rod", "flight controls"),
        ("engine-control-rod", "engine controls"),
        ("wiring-loom", ""),
        ("fuel-line", ""),
    ],
)
def test_flight_and_engine_controls_are_marked_for_a_second_inspection(item, why):
    assert lines(logged(done("disconnect", item)))[0].inspect_independently == why


def test_connected_or_blanked_and_never_parted_is_a_question():
    connected, blanked = lines(logged(done("connect", "control-rod"), done("blank", "fuel-line")))
    assert asked(connected) == [("connected-not-parted",)]
    assert connected.inspect_independently == "flight controls"
    assert asked(blanked) == [("blanked-not-parted",)]


def test_connected_as_a_kind_closes_what_is_of_that_kind():
    facts = logged(done("disconnect", "rudder-control-rod")) + logged(done("connect", "control-rod"), day=1)
    assert [line.connected_on is None for line in lines(facts)] == [False]


@pytest.mark.parametrize("status", ["planned", "not-done", "explained"])
def test_what_was_not_done_parts_nothing(status):
    assert lines(logged(Fact(status=status, act="disconnect", item="fuel-line"))) == ()


def test_order_of_intake_changes_nothing():
    days = [
        logged(done("disconnect", "fuel-line", "both"), done("disconnect")),
        logged(done("blank", "fuel-line", "port"), entry="e-2", day=1),
        logged(done("connect", "fuel-line", "port"), entry="e-3", day=2),
    ]
    first = lines([one for day in days for one in day])
    for order in permutations(days):
        assert lines([one for day in order for one in day]) == first


def said(act, words, *, day=0, entry="e-1", item="fuel-line", **more):
    fact = done(act, item, "port", **more)
    spoken, _, _ = words.partition(" at ")
    return [LoggedFact(at=SATURDAY + timedelta(days=day), entry=entry, fact=fact, said=spoken, around=words)]


def ends(facts):
    return [(line.parted_at, line.blanked_on and line.blanked_on.day) for line in lines(facts)]


FIRST_END = [
    *said("disconnect", "Fuel line's disconnected at the fuel cock, both ends blanked."),
    *said("blank", "Fuel line's disconnected at the fuel cock, both ends blanked."),
]


def test_two_ends_parted_at_two_joints_are_two_lines_and_only_the_blanked_one_looks_blanked():
    other = said("disconnect", "Fuel line's disconnected at the firewall.", day=15, entry="e-2")
    first, second = lines([*FIRST_END, *other])
    assert (first.parted_at, first.blanked_on.day, first.questions) == ("fuel cock", 14, ())
    assert (second.parted_at, second.disconnected_on.day, second.blanked_on) == ("firewall", 1, None)
    assert asked(second) == [("not-blanked", "2026-03-01")]


def test_two_joints_in_one_sentence_of_one_entry_are_two_lines():
    both = said("disconnect", "The fuel line's off at the firewall.") + said(
        "disconnect", "It's off at the fuel cock."
    )
    assert [line.parted_at for line in lines(both)] == ["firewall", "fuel cock"]


def test_end_told_of_on_another_day_without_a_joint_is_a_line_that_asks_whether_it_is_another():
    other = said("disconnect", "Fuel line's disconnected.", day=15, entry="e-2")
    first, second = lines([*FIRST_END, *other])
    assert (first.blanked_on.day, second.blanked_on) == (14, None)
    assert asked(second) == [("another-end", "2026-02-14"), ("not-blanked", "2026-03-01")]


def test_same_joint_told_again_on_another_day_is_one_line():
    again = said("disconnect", "The fuel line's disconnected at the fuel cock now.", day=15, entry="e-2")
    assert ends([*FIRST_END, *again]) == [("fuel cock", 14)]


def test_told_again_on_the_same_day_is_one_line_and_takes_on_the_joint():
    facts = said("disconnect", "The fuel line's disconnected.")
    facts += said("disconnect", "So that fuel line's disconnected at the firewall.", entry="e-2")
    assert ends(facts) == [("firewall", None)]


def test_blank_of_one_of_two_open_ends_that_nobody_names_is_asked_and_covers_neither():
    facts = said("disconnect", "It's disconnected at the fuel cock.")
    facts += said("disconnect", "It's disconnected at the firewall.", entry="e-2")
    facts += said("blank", "The fuel line's blanked.", day=1, entry="e-3")
    found = lines(facts)
    assert [line.blanked_on for line in found] == [None, None]
    assert all(("which-was-blanked", "2026-02-15") in asked(line) for line in found)
    named = said("blank", "The fuel line's blanked at the firewall.", day=1, entry="e-3")
    assert ends([*facts[:2], *named]) == [("fuel cock", None), ("firewall", 15)]


def test_connecting_one_of_two_ends_by_its_joint_leaves_the_other_open():
    facts = said("disconnect", "It's disconnected at the fuel cock.")
    facts += said("disconnect", "It's disconnected at the firewall.", entry="e-2")
    facts += said("connect", "The fuel line's connected at the firewall.", day=1, entry="e-3")
    assert [line.connected_on is not None for line in lines(facts)] == [False, True]


def test_taking_the_pipe_out_is_told_of_both_its_ends_and_opens_no_third():
    facts = said("disconnect", "It's disconnected at the fuel cock.")
    facts += said("disconnect", "It's disconnected at the firewall.", day=1, entry="e-2")
    facts += said("remove", "The fuel line's out.", day=2, entry="e-3")
    assert [[move.what for move in line.moves] for line in lines(facts)] == [["disconnect", "remove"]] * 2


@pytest.mark.parametrize(
    ("words", "at"),
    [
        ("Throttle rod's disconnected at the bellcrank, and tagged.", "bellcrank"),
        ("Throttle rod's disconnected from the carburettor lever and tied up.", "carburettor lever"),
        ("Throttle rod's disconnected at the moment.", ""),
        ("Throttle rod's disconnected at about ten past three.", ""),
        ("Throttle rod's disconnected at the frame twelve bracket.", ""),
        ("Throttle rod's disconnected and we stopped at the gate.", ""),
        ("Throttle rod's disconnected, the cowl was off at the back.", ""),
    ],
)
def test_joint_is_shown_as_it_was_said_and_times_and_other_talk_are_no_joint(words, at):
    fact = done("disconnect", "engine-control-rod")
    spoken = "Throttle rod's disconnected"
    (line,) = lines([LoggedFact(at=SATURDAY, entry="e-1", fact=fact, said=spoken, around=words)])
    assert line.parted_at == at


def test_joint_that_was_said_takes_the_place_of_the_one_that_is_inferred():
    facts = logged(done("undo", "wing-joint", "port")) + said("disconnect", "Fuel line's off at the firewall.")
    assert (lines(facts)[0].joint, lines(facts)[0].parted_at) == (None, "firewall")
    named = logged(done("undo", "transport-joint")) + said("disconnect", "Fuel line's off at the wing joint.")
    assert (lines(named)[0].joint, lines(named)[0].joint_inferred) == ("wing-joint", False)


def told(act, words, item, side=None, *, day=0, entry="e-1", status="done", own="", **more):
    fact = Fact(status=status, act=act, item=item, side=side, **more)
    at = SATURDAY + timedelta(days=day)
    return LoggedFact(at=at, entry=entry, fact=fact, said=own or words.rstrip("."), around=words)


BOTH_RODS = told(
    "disconnect",
    "I've disconnected the throttle rod and the mixture rod.",
    "engine-control-rod",
    own="disconnected the throttle rod",
)


def test_two_controls_of_one_name_are_two_lines_and_each_is_closed_by_its_own():
    throttle = told("connect", "The throttle rod is connected.", "engine-control-rod", day=9, entry="e-2")
    not_yet = told(
        "connect", "The mixture rod isn't connected.", "engine-control-rod", day=9, entry="e-2", status="not-done"
    )
    mixture = told("connect", "The mixture rod is connected.", "engine-control-rod", day=20, entry="e-3")
    assert [
        (line.called, line.connected_on and line.connected_on.day) for line in lines([BOTH_RODS, throttle, not_yet])
    ] == [
        ("throttle rod", 23),
        ("mixture rod", None),
    ]
    assert [line.connected_on.day for line in lines([BOTH_RODS, throttle, not_yet, mixture])] == [23, 6]


def test_rod_that_was_not_connected_in_the_same_entry_leaves_a_line_open_that_can_be_its_own():
    parted = told("disconnect", "The engine control rod is disconnected.", "engine-control-rod")
    throttle = told("connect", "The throttle rod is connected.", "engine-control-rod", day=9, entry="e-2")
    not_yet = told(
        "connect", "The other isn't connected.", "engine-control-rod", day=9, entry="e-2", status="not-done"
    )
    (line,) = lines([parted, throttle, not_yet])
    assert line.connected_on is None
    assert asked(line) == [("which-was-connected", "2026-02-23")]
    assert lines([parted, throttle])[0].connected_on is not None


def test_both_sides_close_the_lines_with_a_side_and_leave_the_one_without():
    facts = [
        *logged(done("disconnect", "wiring-loom", "both"), done("disconnect", "wiring-loom")),
        *logged(done("connect", "wiring-loom", "both"), day=9, entry="e-2"),
    ]
    assert [(line.side, line.connected_on is not None) for line in lines(facts)] == [
        ("port", True),
        ("starboard", True),
        (None, False),
    ]


def test_aileron_cables_of_both_sides_close_while_the_elevator_cable_stays_open():
    facts = [
        told("disconnect", "The aileron cables are disconnected, port and starboard.", "control-cable", "both"),
        told("disconnect", "The elevator cable is disconnected.", "control-cable"),
        told("connect", "The aileron wires are connected.", "control-cable", "both", day=9, entry="e-2"),
    ]
    assert [(line.called, line.connected_on is not None) for line in lines(facts)] == [
        ("aileron cable", True),
        ("aileron cable", True),
        ("elevator cable", False),
    ]


def test_one_of_two_pipes_connected_closes_no_line_of_two():
    facts = logged(done("disconnect", "wiring-loom", count=2, of="wiring-loom"))
    one = logged(done("connect", "wiring-loom", count=1, of="wiring-loom"), day=9, entry="e-2")
    two = logged(done("connect", "wiring-loom", count=2, of="wiring-loom"), day=9, entry="e-2")
    assert lines(facts + one)[0].connected_on is None
    assert lines(facts + two)[0].connected_on is not None


def test_engines_tag_and_its_fitting_are_not_its_pipes():
    oil_line = part("oil-line", "powerplant", "79", broader="engine")
    vocabulary = Vocabulary(parts=(part("engine", "powerplant", "71"), oil_line))
    parted = logged(done("disconnect", "oil-line"))
    engine = logged(done("remove", "engine", tag="T-0120"), done("fit", "engine"), day=1, entry="e-2")
    (line,) = disconnections(parted + engine, vocabulary)
    assert (line.tag, line.tagged_on, line.connected_on) == (None, None, None)
    assert {move.entry for move in line.moves} == {"e-1"}


def test_cable_that_flies_nothing_is_no_flight_control():
    bottle = logged(done("disconnect", "control-cable"), around="Fire bottle cable disconnected.")
    elevator = logged(done("disconnect", "control-cable"), around="Elevator cable disconnected.", entry="e-2")
    lines = disconnections(bottle + elevator, VOCABULARY)
    assert [line.inspect_independently for line in lines] == ["", "flight controls"]
