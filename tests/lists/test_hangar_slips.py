"""What the lists make of what goes wrong in a hangar: off again, counted again, changed for another, robbed, lost."""

from datetime import timedelta

from pipeline.reading.fact import Measure, Place, Stowage
from pipeline.records import FactRecord
from tests.lists.test_adding_up import START, did, lists_of, saw

A_DAY = 24 * 60
STARBOARD, PORT = "starboard", "port"


def day(number, words, *facts):
    """What was told on one day, as one entry."""
    return (f"e-{number}", number * A_DAY, words, list(facts))


def on(number):
    return (START + timedelta(days=number)).date()


def bagged(bag, count, of, said, **more):
    return did("bag", of, said, count=count, of=of, stowage=Stowage(bag=bag), **more)


def owed(act, item, said, status="planned", **more):
    return FactRecord(status=status, act=act, item=item, said=said, utterances=(), **more)


def frame(at):
    return (Place(scheme="frame", at=at),)


def numbers(*entries):
    """Of each line of the fasteners its part and side; how many came out, were bagged, are in the bag, are back."""
    lines = lists_of(*entries).lists.fasteners
    return [(x.item, x.side, x.undone, x.bagged, x.in_bag, x.fitted) for x in lines]


# services


def test_pipe_that_was_told_to_be_capped_before_it_was_told_to_be_off_is_open():
    words = "Oil pipes off at the tank, both blanked."
    facts = did("blank", "oil-line", "Oil pipes off at the tank, both blanked"), did("disconnect", "oil-line", "off")
    (line,) = lists_of(day(0, words, *facts)).lists.disconnections
    assert (line.disconnected_on, line.blanked_on, line.parted_at, line.questions) == (on(0), on(0), "tank", ())


def test_rudder_cables_are_both_connected_where_both_were_parted_together():
    words = "Rudder cables are off at the rudder, both of them."
    off = day(0, words, did("disconnect", "control-cable", "Rudder cables are off", side="both"))

    def connected(words, **more):
        back = day(7, words, did("connect", "control-cable", words.rstrip("."), **more))
        return [line.connected_on for line in lists_of(off, back).lists.disconnections]

    assert connected("Rudder cables are connected.") == [on(7), on(7)]
    assert connected("One of the rudder cables is connected.") == [None, None]
    assert connected("The rudder cable is connected.") == [None, None]
    assert connected("Rudder cable's connected.", side=PORT) == [on(7), None]


def test_cable_that_was_taken_off_again_at_its_end_was_not_taken_out():
    words = "I've taken the trim cable off again at the starboard tab."
    lists = lists_of(day(0, words, did("remove", "control-cable", "taken the trim cable off", side=STARBOARD))).lists
    assert lists.parts_off == ()
    assert [line.parted_at for line in lists.disconnections] == ["starboard tab"]
    words = "I've taken the trim cable out."
    out = lists_of(day(0, words, did("remove", "control-cable", "taken the trim cable out", side=STARBOARD))).lists
    assert [line.state for line in out.parts_off] == ["off"]


def test_cable_that_is_called_after_the_propeller_is_inspected_as_an_engine_control():
    for words, inspected in (
        ("Propeller control cable's disconnected.", "engine controls"),
        ("Elevator cable's disconnected.", "flight controls"),
        ("Brake cable's disconnected.", ""),
    ):
        parted = did("disconnect", "control-cable", words.rstrip("."))
        (line,) = lists_of(day(0, words, parted)).lists.disconnections
        assert line.inspect_independently == inspected


# parts that are off


def test_dent_on_the_left_of_a_tail_cone_makes_no_port_tail_cone_of_it():
    off = day(0, "Tail cone's off.", did("remove", "tail-cone", "Tail cone's off"))
    dent = day(7, "Tail cone has a dent on the left.", saw("dent", "tail-cone", "Tail cone has a dent", side=PORT))
    treated = did("treat", "tail-cone", "Treated the tail cone", place=frame("30"))
    (line,) = lists_of(off, dent, day(8, "Treated the tail cone at frame 30.", treated)).lists.parts_off
    assert (line.side, line.place) == (None, None)


def test_starter_that_was_robbed_for_the_other_engine_is_off_its_own():
    words = "Starboard starter's off, two nuts. Port starter's off, two nuts."
    off = day(
        0,
        words,
        did("remove", "starter", "Starboard starter's off", side=STARBOARD, count=2, of="nut"),
        did("remove", "starter", "Port starter's off", side=PORT, count=2, of="nut"),
    )
    words = "Starboard starter's fitted to the port engine, two nuts."
    fitted = did("fit", "starter", "Starboard starter's fitted", side=STARBOARD, count=2, of="nut")
    lists = lists_of(off, day(7, words, fitted)).lists
    assert [(x.side, x.state, x.kept_in_words, x.replaced_on) for x in lists.parts_off] == [
        (STARBOARD, "off", words, None),
        (PORT, "replaced", "", on(7)),
    ]
    assert [(x.side, x.fitted) for x in lists.fasteners] == [(STARBOARD, None), (PORT, 2)]
    done = {x.id: x.done_on for x in lists.way_back.steps if x.act == "fit"}
    assert (done["fit-starter-port"], done["fit-starter-starboard"]) == (on(7), None)
    own = lists_of(off, day(7, "Starboard starter's fitted, two nuts, the port engine waits.", fitted)).lists
    assert [x.state for x in own.parts_off] == ["refitted", "off"]


def test_tin_in_which_its_nuts_lie_is_not_where_a_part_is():
    words = "Port starter's off as well, its two nuts are lying in a tin on the port wheel."
    (line,) = lists_of(day(0, words, did("remove", "starter", "Port starter's off", side=PORT))).lists.parts_off
    assert (line.kept_in_words, [one.kind for one in line.questions]) == ("", ["not-stowed"])
    words = "Port starter's off as well, two nuts, it's lying on the bench."
    (line,) = lists_of(day(0, words, did("remove", "starter", "Port starter's off", side=PORT))).lists.parts_off
    assert line.kept_in_words == words


# fasteners


MOUNT = did("undo", "engine-mount", "eight bolts", count=8, of="bolt", side=STARBOARD)


def test_bag_that_was_split_as_it_was_filled_holds_no_more_than_before():
    words = "Now the mount itself, eight bolts, bag 25. {} in bag 26."
    in_25 = bagged("25", 8, "bolt", "bag 25", side=STARBOARD)

    def mount(how):
        in_26 = bagged("26", 4, "bolt", "in bag 26", side=STARBOARD)
        (line,) = lists_of(day(0, words.format(how), MOUNT, in_25, in_26)).lists.fasteners
        return line.bagged, line.bags

    assert mount("I've put four of the eight") == (8, ("25", "26"))
    assert mount("I've put four of them") == (8, ("25", "26"))
    assert mount("Four more bolts") == (12, ("25", "26"))


def test_bolt_that_was_lost_leaves_so_many_in_the_bag():
    four = did("undo", "tailplane", "Four tailplane bolts out", count=4, of="bolt")
    in_6 = bagged("6", 4, "bolt", "bag 6")
    words = "Four tailplane bolts out, bag 6. One rolled down the drain, {}."
    for said in ("so we've three in the bag", "that leaves three in the bag", "only three in the bag now"):
        told = day(0, words.format(said), four, in_6, bagged("6", 3, "bolt", said))
        assert numbers(told) == [("tailplane", None, 4, 4, 3, None)]


def test_bolts_that_came_out_again_are_back_no_longer_and_came_out_once():
    undone = day(0, "Eight mount bolts undone.", MOUNT.model_copy(update={"said": "Eight mount bolts undone"}))
    fit = did("fit", "engine-mount", "Mount's back on", count=8, of="bolt", side=STARBOARD)
    again = did("undo", "engine-mount", "had those two out again", count=2, of="bolt", side=STARBOARD)
    wrong = day(7, "Mount's back on, eight bolts. I've had those two out again.", fit, again)
    assert numbers(undone, wrong) == [("engine-mount", STARBOARD, 8, None, None, 6)]
    everything = again.model_copy(update={"count": 8, "said": "had all eight out again"})
    wrong_all = day(7, "Mount's back on, eight bolts. I've had all eight out again.", fit, everything)
    assert numbers(undone, wrong_all) == [("engine-mount", STARBOARD, 8, None, None, None)]
    right = did("fit", "engine-mount", "Two mount bolts in", count=2, of="bolt", side=STARBOARD)
    assert numbers(undone, wrong, day(8, "Two mount bolts in.", right)) == [
        ("engine-mount", STARBOARD, 8, None, None, 8)
    ]


def test_part_that_was_on_and_came_off_again_in_one_breath_is_fitted_once():
    off = did("remove", "tailplane", "Tailplane's off", count=4, of="bolt")
    fit = did("fit", "tailplane", "Tailplane's on", count=4, of="bolt")
    again = did("remove", "tailplane", "Tailplane's off again")
    wrong = day(7, "Tailplane's on, four bolts. Tailplane's off again.", fit, again)
    first = day(0, "Tailplane's off, four bolts.", off)
    assert [one[-1] for one in numbers(first, wrong)] == [None]
    assert [one[-1] for one in numbers(first, wrong, day(8, "Tailplane's on, four bolts.", fit))] == [4]


def test_work_without_a_side_is_of_the_side_on_which_alone_it_came_off():
    off = did("remove", "generator", "Starboard generator's off", count=4, of="nut", side=STARBOARD)
    fit = did("fit", "generator", "Generator's back, fitted", count=4, of="nut")
    first = day(0, "Starboard generator's off, four nuts.", off)
    back = day(7, "Generator's back, fitted, four nuts.", fit)
    assert numbers(first, back) == [("generator", STARBOARD, 4, None, None, 4)]
    other = did("remove", "generator", "Port generator's off", count=4, of="nut", side=PORT)
    told = numbers(first, day(1, "Port generator's off, four nuts.", other), back)
    assert all(side is None for _, side, *_ in told)


def test_washer_that_is_short_is_of_what_its_bolts_held():
    four = did("undo", "tailplane", "Four tailplane bolts out", count=4, of="bolt")
    short = saw("missing", "washer", "one washer short", count=1, of="washer")
    told = day(0, "Four tailplane bolts out. That's one washer short.", four, short)
    assert [(x.item, x.of, x.missing) for x in lists_of(told).lists.fasteners][1:] == [("tailplane", "washer", 1)]
    rudder = did("undo", "rudder", "Two rudder bolts out", count=2, of="bolt")
    words = "Four tailplane bolts out. Two rudder bolts out. That's one washer short."
    (line,) = [x for x in lists_of(day(0, words, four, rudder, short)).lists.fasteners if x.of == "washer"]
    assert line.item is None


def test_bolts_in_a_sentence_that_begins_with_a_part_are_of_that():
    rod = did("disconnect", "control-rod", "push rod's disconnected", count=1, of="bolt")
    words = "Elevator push rod's disconnected, one bolt. Starboard elevator, three bolts, bag 5 also."
    told = day(0, words, rod, bagged("5", 3, "bolt", "bag 5", side=STARBOARD))
    assert [one[:2] + one[3:4] for one in numbers(told)] == [
        ("control-rod", None, None),
        ("elevator", STARBOARD, 3),
    ]


def test_two_screws_that_were_lost_since_are_no_question_of_fewer_back():
    panel = did("remove", "fillet-panel", "panel's off", count=14, of="screw", side=STARBOARD)
    back = did("fit", "fillet-panel", "panel's on", count=12, of="screw", side=STARBOARD)
    lost = saw("missing", "screw", "two screws missing", count=2, of="screw", side=STARBOARD)
    off = day(0, "Starboard fillet panel's off, fourteen screws.", panel)

    def asked(words, *facts):
        (line,) = lists_of(off, day(7, words, *facts)).lists.fasteners
        return "fewer-back" in [one.kind for one in line.questions]

    assert asked("Starboard fillet panel's on, twelve screws.", back)
    assert not asked("Starboard fillet panel's on, twelve screws, two screws missing.", back, lost)


def test_screws_that_are_missing_as_a_panel_goes_on_are_of_that_panel():
    panel = did("remove", "fillet-panel", "panel's off", count=14, of="screw", side=STARBOARD)
    off = day(0, "Starboard fillet panel's off, fourteen screws.", panel)
    words = "Starboard fillet panel's on with twelve, two screws missing."
    back = did("fit", "fillet-panel", "Starboard fillet panel's on", side=STARBOARD)
    lost = saw("missing", "screw", "two screws missing", count=2, of="screw", side=STARBOARD)
    lines = lists_of(off, day(7, words, back, lost)).lists.fasteners
    assert [(x.item, x.side, x.undone, x.missing) for x in lines] == [("fillet-panel", STARBOARD, 14, 2)]


# findings


def test_engine_bolts_of_the_side_that_came_off_mend_nothing_on_the_other_engine():
    out = did("remove", "engine", "Starboard engine's out", count=6, of="bolt", side=STARBOARD)
    off = day(0, "Starboard engine's out, six bolts.", out)
    leak = day(1, "Found a leak on the port engine.", saw("leak", "engine", "leak on the port engine", side=PORT))
    torqued = did("tighten", "engine", "all six torqued", count=6, of="bolt")

    def done(*entries):
        return [[one.what for one in x.done] for x in lists_of(*entries).lists.findings]

    assert done(off, leak, day(7, "Last engine bolts, all six torqued.", torqued)) == [[]]
    assert done(leak, day(7, "Last engine bolts, all six torqued.", torqued)) == [["tighten"]]


def test_nut_that_is_told_of_as_the_seized_one_is_the_one_that_was_seized_before():
    first = day(0, "Number three stub nut is seized.", saw("seized", "nut", "nut is seized", count=1, of="nut"))

    def lines(words):
        told = saw("seized", "nut", "seized", count=1, of="nut")
        return len(lists_of(first, day(7, words, told)).lists.findings)

    assert lines("Had to split the seized nut, the others came off fine.") == 1
    assert lines("Had to split a seized nut, the others came off fine.") == 2


def test_top_hinge_and_bottom_hinge_are_two_and_a_bush_mends_the_one_that_it_is_in():
    size = (Measure(value=0.5, unit="mm"),)
    words = "Top rudder hinge is worn, half a millimetre. Bottom hinge looks fine."
    first = day(
        0,
        words,
        saw("wear", "rudder-hinge", "Top rudder hinge is worn", measure=size),
        saw("sound", "rudder-hinge", "Bottom hinge looks fine"),
    )
    bush = day(7, "Top rudder hinge: I pressed the new bush in.", did("fit", "bush", "pressed the new bush in"))
    worn = saw("wear", "rudder-hinge", "Bottom rudder hinge has a bit of wear", grade="light")
    last = day(14, "Bottom rudder hinge has a bit of wear after all.", worn)
    found = lists_of(first, bush, last).lists.findings
    assert sorted((x.called, x.finding, [(y.what, y.item) for y in x.done]) for x in found) == [
        ("lower rudder hinge", "sound", []),
        ("lower rudder hinge", "wear", []),
        ("upper rudder hinge", "wear", [("fit", "bush")]),
    ]


def test_old_bush_that_was_put_back_mends_no_wear():
    worn = day(0, "Top rudder hinge is worn.", saw("wear", "rudder-hinge", "Top rudder hinge is worn"))
    out = day(1, "Pressed the bush out of the top rudder hinge.", did("remove", "bush", "Pressed the bush out"))
    words = "Top rudder hinge: I pressed the bush back in."
    (line,) = lists_of(worn, out, day(7, words, did("fit", "bush", "pressed the bush back in"))).lists.findings
    assert (line.done, [one.kind for one in line.questions]) == ((), ["put-back-not-mended"])


def test_nut_that_was_seized_and_is_drilled_off_as_the_seized_nut_is_followed_up():
    seized = day(0, "Number three nut is seized.", saw("seized", "nut", "nut is seized", count=1, of="nut"))
    drilled = did("drill-out", "exhaust-stack", "drilled off the seized nut", count=1, of="nut")
    told = lists_of(seized, day(7, "Exhaust stack's off, drilled off the seized nut.", drilled)).lists.findings
    assert [[one.what for one in x.done] for x in told] == [["drill-out"]]
    drilled = did("drill-out", "exhaust-stack", "drilled off a nut", count=1, of="nut")
    told = lists_of(seized, day(7, "Exhaust stack's off, drilled off a nut.", drilled)).lists.findings
    assert [x.done for x in told] == [()]


LOST = day(
    0,
    "Four tailplane bolts out. One of the bolts rolled down the drain.",
    did("undo", "tailplane", "Four tailplane bolts out", count=4, of="bolt"),
    saw("missing", "bolt", "One of the bolts rolled down the drain", count=1, of="bolt"),
)


def test_bolt_that_was_lost_is_in_again_once_as_many_are_in_as_came_out():
    def back(count):
        fitted = did("fit", "tailplane", "Tailplane's on", count=count, of="bolt")
        (line,) = lists_of(LOST, day(7, f"Tailplane's on, {count} bolts.", fitted)).lists.findings
        return [one.what for one in line.done]

    assert (back(4), back(3)) == (["fit"], [])


# work that is owed


def test_new_bolt_that_was_wanted_for_a_part_is_owed_until_that_is_on_with_its_bolts():
    wanted = day(0, "We need a new tailplane bolt.", owed("fit", "bolt", "need a new tailplane bolt"))
    fitted = did("fit", "tailplane", "Tailplane's on", count=4, of="bolt")
    assert lists_of(wanted, day(7, "Tailplane's on, four bolts.", fitted)).lists.to_do == ()
    rudder = did("fit", "rudder", "Rudder's on", count=3, of="bolt")
    assert len(lists_of(wanted, day(7, "Rudder's on, three bolts.", rudder)).lists.to_do) == 1


def test_what_was_left_on_the_cables_is_not_owed():
    left = owed("remove", "turnbuckle", "turnbuckles left", status="not-done")
    words = "Rudder cables are off, turnbuckles left on the cables."
    off = did("disconnect", "control-cable", "Rudder cables are off", side="both")
    assert lists_of(day(0, words, off, left)).lists.to_do == ()
    later = "Rudder cables are off, turnbuckles left for next week."
    assert len(lists_of(day(0, later, off, left)).lists.to_do) == 1


# holding up


TRESTLE = day(
    0,
    "Trestle under the rear fuselage at frame 19.",
    did("support", "rear-fuselage", "Trestle under the rear fuselage", place=frame("19")),
)


def held(*entries):
    return [(x.by, x.place[0].at, x.until is None) for x in lists_of(TRESTLE, *entries).lists.holding_up]


def test_support_that_was_changed_for_another_leaves_the_other_there():
    jack = did("support", "rear-fuselage", "a jack under frame 20", place=frame("20"))
    both = [(("trestle",), "19", False), (("jack",), "20", True)]
    for words in (
        "We changed the trestle at frame 19 for a jack under frame 20, so the trestle's gone.",
        "We swapped the trestle for a jack under frame 20.",
        "The trestle's been replaced by a jack under frame 20.",
    ):
        assert held(day(7, words, jack)) == both
    assert held(day(7, "There's a jack under frame 20 as well.", jack)) == [(("trestle",), "19", True), both[1]]


def test_support_in_place_of_one_that_is_gone_stands_there():
    jack = did("support", "rear-fuselage", "put a jack under frame 20", place=frame("20"))
    words = "We put a jack under frame 20 in place of the trestle, which is gone."
    assert held(day(7, words, jack))[-1] == (("jack",), "20", True)


# what a stranger's book had wrong


def steps(*entries):
    return [x.id for x in lists_of(*entries).lists.way_back.steps]


def test_wing_that_came_off_has_no_strut_and_no_wire_that_nobody_told_of():
    off = day(7, "The port wing's off.", did("remove", "mainplane", "The port wing's off", side=PORT))
    assert not [one for one in steps(off) if "strut" in one or "wire" in one]
    strut = day(
        0, "Took the lift strut's paint off.", did("strip-finish", "lift-strut", "Took the lift strut's paint")
    )
    assert "secure-lift-strut-port" in steps(strut, off)


def test_brake_that_was_bled_is_not_to_be_filled_again():
    for words, refilled in (
        ("Starboard brake bled.", False),
        ("Starboard brake drained.", True),
        ("Starboard brake bled down.", True),
        ("Starboard brake drained by its bleed screw.", True),
    ):
        drained = did("drain", "brake-unit", words.rstrip("."), side=STARBOARD)
        assert ("refill-brake-unit-starboard" in steps(day(0, words, drained))) == refilled


PANEL = day(
    0,
    "Access panel's off, thirty-two screws, two of them drilled out. Thirty screws in bag 7.",
    did("remove", "access-panel", "Access panel's off", count=32, of="screw"),
    did("drill-out", "access-panel", "two of them drilled out", count=2, of="screw"),
    bagged("7", 30, "screw", "in bag 7"),
)
ON_WITH_FOUR = "Access panel's on with four screws, just to keep the mice out."


def test_panel_that_was_on_for_now_with_some_of_its_screws_is_held_by_all_of_them():
    (line,) = lists_of(PANEL).lists.parts_off
    assert [(one.of, one.count) for one in line.held] == [("screw", 32)]
    on_for_now = day(7, ON_WITH_FOUR, did("fit", "access-panel", "Access panel's on", count=4, of="screw"))
    (line,) = lists_of(PANEL, on_for_now).lists.parts_off
    assert line.state == "off"
    off = did("remove", "access-panel", "Access panel's off again", count=4, of="screw")
    again = day(14, "Access panel's off again, four screws.", off)
    lists = lists_of(PANEL, on_for_now, again).lists
    assert [(one.of, one.count) for one in lists.parts_off[0].held] == [("screw", 32)]
    assert [(x.bagged, x.bags, x.fitted) for x in lists.fasteners] == [(30, ("7",), None)]


def test_part_that_comes_off_again_uncounted_is_held_as_before():
    off = day(0, "Tailplane's off, four bolts.", did("remove", "tailplane", "Tailplane's off", count=4, of="bolt"))
    on_again = day(7, "Tailplane's back on.", did("fit", "tailplane", "Tailplane's back on"))
    (line,) = lists_of(
        off, on_again, day(8, "Tailplane's off.", did("remove", "tailplane", "Tailplane's off"))
    ).lists.parts_off
    assert [(one.told, one.count) for one in line.held] == [("undone", 4)]


def test_bolts_that_are_told_off_without_their_kind_are_those_counted_in_that_talk():
    ten = did("undo", "cowl-gill", "ten bolts round the ring", count=10, of="bolt")
    off = did("undo", "cowl-gill", "They're off")
    words = "Then it's ten bolts round the ring. They're off, both halves. Bolts is in bag 4."
    in_4 = did("bag", "bolt", "Bolts is in bag 4", stowage=Stowage(bag="4"))
    (line,) = lists_of(day(0, words, ten, off, in_4)).lists.fasteners
    assert (line.of, line.undone, line.bags, line.uncounted) == ("bolt", 10, ("4",), ("bagged",))
    (first, then) = lists_of(day(0, words, ten), day(7, "They're off.", off)).lists.fasteners
    assert (first.of, then.of) == ("bolt", "")


def test_bolt_in_a_bag_is_of_what_was_just_disconnected_or_of_nothing_and_never_of_last_winter():
    strut = did("remove", "jury-strut", "jury strut's out", side=PORT)
    jack = did("disconnect", "wing-fold-jack", "Fold jack port, disconnected", side=PORT)
    in_6 = bagged("6", 1, "bolt", "The bolt I put in bag 6", side=PORT)
    words = "The jury strut's out. Fold jack port, disconnected. The bolt I put in bag 6."
    assert [one[0] for one in numbers(day(0, words, strut, jack, in_6))] == ["wing-fold-jack"]
    undone = day(
        0, "Fold jack's off, one bolt.", did("undo", "wing-fold-jack", "Fold jack's off", count=1, of="bolt")
    )
    pivot = "Pivot bolt's in bag 8."
    later = day(60, pivot, bagged("8", 1, "bolt", "Pivot bolt's in bag 8"))
    assert [one[0] for one in numbers(undone, later)] == ["wing-fold-jack", None]


def test_part_that_is_still_on_is_not_owed_and_a_new_one_waits_for_nothing_to_come_off():
    still = owed("remove", "brake-unit", "brake unit's still on the axle", status="not-done")
    assert lists_of(day(0, "The brake unit's still on the axle.", still)).lists.to_do == ()
    left = owed("remove", "cowl-gill", "not taken the gills off", status="not-done")
    priming = owed("prime", "cowl-gill", "they want priming")
    first = day(0, "I've not taken the gills off yet.", left)
    for words, waits in (("Two new gills are made, they want priming.", 0), ("Gills, they want priming.", 1)):
        lines = lists_of(first, day(7, words, priming)).lists.to_do
        assert [len(x.waits_for) for x in lines if x.act == "prime"] == [waits]


def test_number_of_a_cowl_is_no_engine_where_nobody_spoke_of_a_numbered_engine():
    words = "Number four's still with the panel beater. Eight screws undone in the cowling."
    undone = did("undo", "cowling", "Eight screws undone in the cowling", count=8, of="screw")
    assert [x.position for x in lists_of(day(0, words, undone)).lists.fasteners] == [""]
    engine = f"We're on the number four engine. {words}"
    assert [x.position for x in lists_of(day(0, engine, undone)).lists.fasteners] == ["number 4"]


def test_what_an_engine_has_is_of_the_engine_that_was_named_once():
    two = did("undo", "engine-mount", "two of the mount bolts undone", count=2, of="bolt")
    four = did("undo", "engine-mount", "four mount bolts undone", count=4, of="bolt", side=STARBOARD)
    first, then = day(0, "We've two of the mount bolts undone.", two), day(7, "Other four mount bolts undone.", four)
    assert [one[:3] for one in numbers(first, then)] == [("engine-mount", STARBOARD, 6)]
    port = day(8, "Port mount, six bolts.", did("undo", "engine-mount", "six bolts", count=6, of="bolt", side=PORT))
    assert len(numbers(first, then, port)) == 3


def test_engine_that_is_on_is_no_propeller():
    off = day(0, "Propeller's off.", did("remove", "propeller", "Propeller's off"))
    lines = lists_of(off, day(7, "Engine's on.", did("fit", "engine", "Engine's on"))).lists.parts_off
    assert [(x.item, x.state, [one.kind for one in x.questions]) for x in lines] == [
        ("propeller", "off", ["not-stowed"]),
        ("engine", "refitted", ["not-removed-but-refitted"]),
    ]


def test_trestle_that_a_wing_was_fitted_on_to_stands_there():
    off = day(0, "The port wing's off.", did("remove", "mainplane", "The port wing's off", side=PORT))
    support = did("support", "mainplane", "Trestle under the port wing", side=PORT)
    wing = did("fit", "mainplane", "The port wing's on", side=PORT)

    def standing(*days):
        return [x.until is None for x in lists_of(off, *days).lists.holding_up]

    words = "Trestle under the port wing. The port wing's on."
    assert standing(day(7, words, support, wing)) == [True]
    assert standing(day(1, words, support), day(7, words, wing)) == [False]  # on which it was kept


def test_cable_of_the_prop_is_the_propellers():
    left = owed("connect", "control-cable", "Prop control cable I've left", status="not-done")
    done = did("connect", "control-cable", "Propeller control cable's connected")
    words = "Propeller control cable's connected."
    assert lists_of(day(0, "Prop control cable I've left.", left), day(7, words, done)).lists.to_do == ()
    words = "Throttle cable's connected."
    throttle = did("connect", "control-cable", "Throttle cable's connected")
    assert len(lists_of(day(0, "Prop control cable I've left.", left), day(7, words, throttle)).lists.to_do) == 1


def test_bolts_that_are_told_twice_to_be_tight_are_counted_once_and_all_are_all():
    ten = did("undo", "engine-mount", "Ten mount bolts undone", count=10, of="bolt")
    eight = did("tighten", "engine-mount", "Eight are torqued", count=8, of="bolt")
    again = did("tighten", "engine-mount", "Eight torqued, two to do", count=8, of="bolt")
    words = "Eight are torqued. Eight torqued, two to do."
    told = day(0, "Ten mount bolts undone.", ten), day(7, words, eight, again)
    assert [x.tightened for x in lists_of(*told).lists.fasteners] == [8]
    all_ten = did("tighten", "engine-mount", "All ten torqued", count=10, of="bolt")
    assert [x.tightened for x in lists_of(*told, day(8, "All ten torqued.", all_ten)).lists.fasteners] == [10]
    four = did("tighten", "engine-mount", "four torqued", count=4, of="bolt")
    more = day(8, "Four more in, all four torqued.", four)
    assert [x.tightened for x in lists_of(*told, more).lists.fasteners] == [12]
    both = day(7, "Four front ones torqued, another four torqued.", four, four)
    assert [x.tightened for x in lists_of(told[0], both).lists.fasteners] == [8]
    two = did("tighten", "engine-mount", "Last two torqued", count=2, of="bolt")
    assert [x.tightened for x in lists_of(*told, day(8, "Last two torqued.", two)).lists.fasteners] == [10]


def test_aircraft_that_is_off_its_jacks_is_no_part_that_was_put_away():
    words = "She's off the jacks since Tuesday, she's on her wheels."
    lowered = did("lower", "fuselage", "off the jacks")
    assert lists_of(day(0, words, lowered)).lists.parts_off == ()
