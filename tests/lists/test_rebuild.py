"""What the lists make of a rebuild: bags that are split, new parts that wait, what is on and not fast."""

from pipeline.reading.fact import Stowage
from pipeline.records import FactRecord
from tests.lists.test_adding_up import did, lists_of, saw

A_DAY = 24 * 60
WEEK = 7 * A_DAY


def did_not(act, item, said, **more):
    return FactRecord(status="not-done", act=act, item=item, said=said, utterances=(), **more)


def bag(number, of, said, count=None, **more):
    return did("bag", of, said, count=count, of=of if count else None, stowage=Stowage(bag=number), **more)


def lists(*entries):
    """The lists of entries, each (days after the start, its words, its facts)."""
    return lists_of(*((f"e-{at}", at * A_DAY, words, facts) for at, (words, facts) in enumerate(entries))).lists


def asked(line):
    return [one.kind for one in line.questions]


# bags and counts


FLAP_OFF = (
    "Port flap's off, fifteen screws, bag 21.",
    [
        did("remove", "flap", "Port flap's off", side="port", count=15, of="screw"),
        bag("21", "screw", "bag 21", 15, side="port"),
    ],
)


def test_screws_that_went_to_another_bag_are_counted_once():
    moved = [bag("30", "screw", "Five of the flap screws", 5), bag("21", "screw", "the other ten", 10)]
    words = "Five of the flap screws have gone into bag 30, the other ten are in bag 21 still."
    (line,) = lists(FLAP_OFF, (words, moved)).fasteners
    assert (line.undone, line.bagged, line.bags, line.questions) == (15, 15, ("21", "30"), ())
    rest = [bag("30", "screw", "Five of the flap screws", 5), bag("21", "screw", "the rest")]
    words = "Five of the flap screws have gone into bag 30, the rest are in bag 21."
    (line,) = lists(FLAP_OFF, (words, rest)).fasteners
    assert (line.bagged, line.bags) == (15, ("21", "30"))


def test_more_screws_than_came_out_stay_a_question():
    more = [bag("30", "screw", "Five more flap screws", 5)]
    (line,) = lists(FLAP_OFF, ("Five more flap screws are in bag 30.", more)).fasteners
    assert (line.bagged, asked(line)) == (20, ["more-bagged-than-undone"])


def test_number_that_was_one_too_many_is_put_right_in_the_bag_too():
    fewer = [did("undo", "flap", "counted the flap screws", count=14, of="screw", side="port")]
    (line,) = lists(FLAP_OFF, ("We counted the flap screws, fourteen, not fifteen.", fewer)).fasteners
    assert (line.undone, line.bagged, line.not_bagged) == (14, 14, 0)
    (part,) = lists(FLAP_OFF, ("We counted the flap screws, fourteen, not fifteen.", fewer)).parts_off
    assert [(one.count, one.of) for one in part.held] == [(14, "screw")]
    more = [did("undo", "flap", "counted the flap screws", count=16, of="screw", side="port")]
    (line,) = lists(FLAP_OFF, ("We counted the flap screws, sixteen, not fifteen.", more)).fasteners
    assert (line.undone, line.bagged, line.not_bagged) == (16, 15, 1)


def test_nuts_that_are_bagged_in_one_breath_with_their_bolts_are_of_the_same_part():
    undone = [did("undo", "generator", "Undid the generator bolts", count=3, of="bolt")]
    bags = [bag("8", "bolt", "bolts in bag 8"), bag("9", "nut", "three nuts in bag 9", 3)]
    words = "Generator bolts in bag 8 and the three nuts in bag 9."
    told = lists(("Undid the generator bolts.", undone), (words, bags)).fasteners
    assert [(line.item, line.of, line.bags, line.questions) for line in told] == [
        ("generator", "bolt", ("8",), ()),
        ("generator", "nut", ("9",), ()),
    ]
    apart = lists(("Undid the generator bolts.", undone), ("Three nuts in bag 9.", bags[1:])).fasteners
    assert [line.item for line in apart] == ["generator", None]


def test_bolts_for_what_is_called_by_its_last_word_are_of_that_and_not_of_what_comes_off_next():
    off = ("Oil cooler's off, three bolts, bag 40.", [
        did("remove", "oil-cooler", "Oil cooler's off", count=3, of="bolt"), bag("40", "bolt", "bag 40", 3)
    ])  # fmt: skip
    words = "Bolts for the cooler have gone into bag 45, bag 40 had a hole in it. Rudder's off."
    moved = [bag("45", "bolt", "into bag 45"), did("remove", "rudder", "Rudder's off")]
    (line,) = lists(off, (words, moved)).fasteners
    assert (line.item, line.bagged, line.bags) == ("oil-cooler", 3, ("45",))


def test_some_of_those_that_nobody_counted_went_to_another_bag():
    off = ("Spinner's off, nine screws, screws in bag 4.", [
        did("remove", "spinner", "Spinner's off", count=9, of="screw"), bag("4", "screw", "screws in bag 4")
    ])  # fmt: skip
    some = ("Two of the spinner screws are in bag 7 now.", [bag("7", "screw", "Two of the spinner screws", 2)])
    (line,) = lists(off, some).fasteners
    assert (line.bagged, line.uncounted, line.bags, line.questions) == (None, ("bagged",), ("4", "7"), ())


# on, and not fast


def test_what_was_nipped_up_and_not_torqued_is_not_tight():
    off = ("Engine's off, four bolts.", [did("remove", "engine", "Engine's off", count=4, of="bolt")])
    on = [
        did("fit", "engine", "Engine's on", count=4, of="bolt"),
        did("tighten", "engine", "run up finger tight", count=4, of="bolt"),
        did_not("tighten", "engine", "not torqued", count=4, of="bolt"),
    ]
    told = lists(off, ("Engine's on, four bolts run up finger tight, not torqued.", on))
    (line,) = told.fasteners
    assert (line.fitted, line.tightened) == (4, None)
    assert [(one.act, one.item) for one in told.to_do] == [("tighten", "engine")]
    (line,) = lists(off, ("Engine's on, four bolts torqued.", on[:2])).fasteners
    assert line.tightened == 4
    said_later = ("The engine bolts still aren't torqued.", [on[2]])
    (line,) = lists(off, ("Engine's on, four bolts run up.", on[:2]), said_later).fasteners
    assert line.tightened is None
    torqued_since = ("Engine bolts torqued.", [did("tighten", "engine", "torqued", count=4, of="bolt")])
    (line,) = lists(off, ("Engine's on.", on), torqued_since).fasteners
    assert line.tightened == 4


def test_part_whose_bolts_are_finger_tight_for_now_is_on():
    rack = did("store", "fin", "on rack six", stowage=Stowage(rack="6"))
    off = ("Fin's off, five bolts, it's on rack six.", [did("remove", "fin", "Fin's off", count=5, of="bolt"), rack])
    up = ("Fin's up, five bolts in, finger tight for now.", [did("fit", "fin", "Fin's up", count=5, of="bolt")])
    (line,) = lists(off, up).parts_off
    assert (line.state, line.stowage) == ("refitted", None)
    hung = ("Fin's up for now, five bolts in.", [did("fit", "fin", "Fin's up", count=5, of="bolt")])
    (line,) = lists(off, hung).parts_off
    assert (line.state, line.kept_in_words) == ("off", "Fin's up for now, five bolts in.")


def test_others_of_one_joint_that_are_not_tight_leave_those_that_are():
    told = [
        did("tighten", "fin", "four are torqued", count=4, of="bolt"),
        did_not("tighten", "fin", "two aren't", count=2, of="bolt"),
    ]
    (line,) = lists(("Of the fin bolts four are torqued and two aren't.", told)).fasteners
    assert line.tightened == 4


def test_part_that_is_in_and_said_not_to_be_connected_is_open_and_asks_nothing():
    off = ("Generator's disconnected and out.", [
        did("disconnect", "generator", "Generator's disconnected"), did("remove", "generator", "out")
    ])  # fmt: skip
    on = did("fit", "generator", "Generator's in")
    for later in (
        [("Generator's in, cables not connected.", [on, did_not("connect", "generator", "not connected")])],
        [("Generator's in.", [on]), ("Generator's not connected yet.", [did_not("connect", "generator", "not")])],
    ):
        (line,) = lists(off, *later).disconnections
        assert (line.connected_on, line.questions) == (None, ())
    joined = ("Generator's connected.", [did("connect", "generator", "Generator's connected")])
    (line,) = lists(off, *later, joined).disconnections
    assert line.connected_on is not None


# parts


def test_new_one_that_waits_in_a_box_moves_the_old_one_nowhere():
    rack = did("store", "oil-cooler", "on rack six", stowage=Stowage(rack="6"))
    off = ("Old oil cooler's off, on rack six.", [did("remove", "oil-cooler", "oil cooler's off"), rack])
    came = did("store", "oil-cooler", "it's in box eight", stowage=Stowage(box="8"))
    new = ("A new oil cooler has come, it's in box eight.", [came])
    old, waiting = lists(off, new).parts_off
    assert (old.state, old.stowage) == ("off", Stowage(rack="6"))
    assert (waiting.called, waiting.stowage, waiting.questions) == ("new oil cooler", Stowage(box="8"), ())
    back = lists(off, new).way_back
    assert [(one.id, one.stowage) for one in back.steps if one.act == "fit"] == [
        ("fit-oil-cooler-new-oil-cooler", Stowage(box="8"))
    ]
    on = ("The new oil cooler's on.", [did("fit", "oil-cooler", "The new oil cooler's on")])
    assert [(line.state, line.stowage) for line in lists(off, new, on).parts_off] == [
        ("replaced", Stowage(rack="6")),
        ("refitted", None),
    ]
    moved = ("The old oil cooler's gone to box two.", [
        did("store", "oil-cooler", "The old oil cooler's gone to box two", stowage=Stowage(box="2"))
    ])  # fmt: skip
    assert [line.stowage for line in lists(off, new, moved).parts_off] == [Stowage(box="2"), Stowage(box="8")]


def test_old_part_with_a_new_tag_is_no_new_part():
    off = ("Starter's off.", [did("remove", "starter", "Starter's off")])
    words = "New tag on the starter, it's in box two."
    (line,) = lists(off, (words, [did("store", "starter", "in box two", stowage=Stowage(box="2"))])).parts_off
    assert (line.called, line.stowage) == ("", Stowage(box="2"))
    words = "A new label for starter, it's in box two."
    (line,) = lists(off, (words, [did("store", "starter", "in box two", stowage=Stowage(box="2"))])).parts_off
    assert (line.called, line.stowage) == ("", Stowage(box="2"))


def test_part_that_lost_its_tag_is_the_same_part():
    off = ("Rudder's off, tagged P-0041.", [
        did("remove", "rudder", "Rudder's off"), did("tag", "rudder", "tagged", tag="P-0041")
    ])  # fmt: skip
    anew = ("The rudder's label blew off, it's P-0077 now.", [did("tag", "rudder", "it's P-0077 now", tag="P-0077")])
    (line,) = lists(off, anew).parts_off
    assert (line.tag, line.former_tags) == ("P-0077", ("P-0041",))
    other = ("Rudder's tagged P-0077.", [did("tag", "rudder", "Rudder's tagged", tag="P-0077")])
    assert len(lists(off, other).parts_off) == 2


def test_part_that_was_made_and_lies_in_a_bag_came_off_nothing():
    made = ("We turned up a new bush, it's in bag four.", [
        did("make", "bush", "turned up a new bush"), bag("4", "bush", "in bag four")
    ])  # fmt: skip
    told = lists(made)
    assert [(line.stowage, line.questions) for line in told.parts_off] == [(Stowage(bag="4"), ())]
    assert [step.questions for step in told.way_back.steps] == [()]
    (found,) = lists(("There's a bush in bag four.", [bag("4", "bush", "in bag four")])).parts_off
    assert asked(found) == ["not-removed"]


def test_three_that_came_off_together_are_no_pair_and_one_of_them_is_back():
    off = ("Fairings next, top and both sides, all three are off. Nine screws, bag 2.", [
        did("remove", "fairing", "all three are off", side="both", count=3, of="fairing"),
        did("undo", "fairing", "Nine screws", side="both", count=9, of="screw"),
        bag("2", "screw", "bag 2", 9, side="both"),
        did("store", "fairing", "on rack two", side="both", stowage=Stowage(rack="2")),
    ])  # fmt: skip
    stored = ("They've gone to rack five.", [
        did("store", "fairing", "gone to rack five", side="both", stowage=Stowage(rack="5"))
    ])  # fmt: skip
    top = ("Top fairing's back on, three screws.", [
        did("fit", "fairing", "Top fairing's back on", count=3, of="screw")
    ])  # fmt: skip
    told = lists(off, stored, top)
    (line,) = told.parts_off
    assert (line.side, line.state, line.stowage) == (None, "off", Stowage(rack="5"))
    assert [(one.kind, one.numbers) for one in line.questions] == [("some-still-off", (2,))]
    assert [(one.side, one.undone, one.bagged, one.fitted) for one in told.fasteners] == [(None, 9, 9, 3)]
    assert [step.id for step in told.way_back.steps if step.act == "secure"] == ["secure-fairing"]


def test_one_of_several_is_counted_by_whatever_name_it_is_called():
    off = ("Three cowlings are off.", [did("remove", "cowling", "cowlings are off", count=3, of="cowling")])
    on = ("Bottom cowl's on.", [did("fit", "cowling", "Bottom cowl's on")])
    (line,) = lists(off, on).parts_off
    assert (line.state, line.questions[-1].kind, line.questions[-1].numbers) == ("off", "some-still-off", (2,))


def test_part_that_leans_against_something_is_there():
    for words, kept in (
        ("Port wheel's off, leaning against the back wall.", True),
        ("Port wheel's off, standing behind the compressor.", True),
        ("Port wheel's off, hanging on the hoist.", False),
    ):
        (line,) = lists((words, [did("remove", "wheel", "Port wheel's off", side="port")])).parts_off
        assert bool(line.kept_in_words) == kept, words


def test_what_was_put_away_without_a_side_is_the_one_that_is_off():
    off = ("Port magneto's off, starboard one stays on.", [
        did("remove", "magneto", "Port magneto's off", side="port"),
        did_not("remove", "magneto", "starboard one stays on", side="starboard"),
    ])  # fmt: skip
    words = "The magneto's lent to the other tug."
    (line,) = lists(off, (words, [did("move", "magneto", "The magneto's lent")])).parts_off
    assert (line.side, line.state, line.kept_in_words) == ("port", "off", words)
    assert line.life[-1].inferred


def test_part_that_was_lent_is_with_whoever_has_it():
    off = ("Compass is out, in box six.", [
        did("remove", "compass", "Compass is out"), did("store", "compass", "in box six", stowage=Stowage(box="6"))
    ])  # fmt: skip
    words = "The compass is on loan with the Tarn group."
    (line,) = lists(off, (words, [did("move", "compass", "The compass is on loan")])).parts_off
    assert (line.stowage, line.kept_in_words, line.questions) == (None, words, ())


# ends of services


def test_cables_and_wires_that_are_off_are_parted_and_not_taken_out():
    off = ("Elevator cables are off.", [did("remove", "control-cable", "Elevator cables are off")])
    told = lists(off)
    assert (told.parts_off, [line.act for line in told.disconnections]) == ((), ["disconnect"])
    assert [step.act for step in told.way_back.steps] == ["connect"]
    twice = [*off[1], did("disconnect", "control-cable", "cables")]
    (line,) = lists((off[0], twice)).disconnections
    assert len(line.moves) == 1
    for words, facts in (
        ("Took the elevator cables out.", [did("remove", "control-cable", "Took the elevator cables out")]),
        ("Elevator cables are off, on rack six.", [
            *off[1], did("store", "control-cable", "on rack six", stowage=Stowage(rack="6"))
        ]),
    ):  # fmt: skip
        assert [line.state for line in lists((words, facts)).parts_off] == ["off"]
    pipe = ("Oil line's off.", [did("remove", "hydraulic-line", "Oil line's off")])
    assert [line.state for line in lists(pipe).parts_off] == ["off"]


def test_cable_that_was_only_freed_is_connected_when_it_is_back_on():
    off = ("Rudder cables are off.", [did("remove", "control-cable", "Rudder cables are off", side="both")])
    on = ("Rudder cables are back on.", [did("fit", "control-cable", "Rudder cables are back on", side="both")])
    told = lists(off, on)
    assert (told.parts_off, [line.connected_on is not None for line in told.disconnections]) == ((), [True, True])
    new = ("New rudder cables are on.", [did("fit", "control-cable", "New rudder cables are on", side="both")])
    assert [line.state for line in lists(off, new).parts_off] == ["refitted", "refitted"]
    out = ("Took the rudder cables out.", [did("remove", "control-cable", "Took the rudder cables out", side="both")])
    assert [line.state for line in lists(out, on).parts_off] == ["refitted", "refitted"]


def test_control_that_flies_nothing_is_inspected_by_nobody_else_and_stands_with_what_it_was_parted_at():
    cable = did("disconnect", "control-cable", "Tacho cable's off at the engine")
    back = lists(("Tacho cable's off at the engine.", [cable])).way_back
    assert [(step.called, step.assembly) for step in back.steps] == [("tacho cable", "engine")]
    assert "duplicate-inspection" not in {hold.hold for hold in back.hold_points}
    rudder = did("disconnect", "control-cable", "Rudder cable's off at the rudder")
    back = lists(("Rudder cable's off at the rudder.", [rudder])).way_back
    assert "duplicate-inspection" in {hold.hold for hold in back.hold_points}


def test_what_was_freed_as_a_part_came_off_is_not_of_a_joint_that_came_apart_on_another_day():
    strip = did("disconnect", "bonding-strip", "freed the bonding strip")
    wing = ("Freed the bonding strip, wing's off.", [strip, did("remove", "outer-wing", "wing's off")])
    rudder = ("Rudder's off.", [did("remove", "rudder", "Rudder's off")])
    back = lists(wing, rudder).way_back
    assert [one.joint for one in back.steps if one.act == "connect"] == [""]
    (test,) = [one for one in back.hold_points if one.id == "function-test"]
    assert test.item == "bonding-strip"  # it belongs to nothing larger, and is named itself
    alone = ("Freed the bonding strip.", [strip])
    assert [one.joint for one in lists(alone, rudder).way_back.steps if one.act == "connect"] == ["rudder"]


def test_pipe_that_was_parted_is_connected_again_and_joins_nothing():
    parted = did("separate", "fuel-line", "Fuel line parted")
    told = lists(("Fuel line parted at the tank first.", [parted]))
    assert [(line.parted_at, line.act) for line in told.disconnections] == [("tank", "separate")]
    assert [step.act for step in told.way_back.steps] == ["connect"]
    on = ("Fuel line connected at the tank.", [did("connect", "fuel-line", "Fuel line connected")])
    assert [step.done_on is not None for step in lists((f"{parted.said}.", [parted]), on).way_back.steps] == [True]


# findings


def test_part_that_is_put_back_as_it_was_is_not_mended_by_that():
    found = ("The starter's broken.", [saw("broken", "starter", "The starter's broken")])
    off = ("Starter's off.", [did("remove", "starter", "Starter's off")])
    back = ("Starter's back on.", [did("fit", "starter", "Starter's back on")])
    (line,) = lists(found, off, back).findings
    assert (line.done, asked(line)) == ((), ["put-back-not-mended"])
    new = ("A new starter's on.", [did("fit", "starter", "A new starter's on")])
    (line,) = lists(found, off, new).findings
    assert ([move.what for move in line.done], line.questions) == (["replace"], ())
    mended = ("Starter's been mended.", [did("repair", "starter", "Starter's been mended")])
    (line,) = lists(found, off, mended, back).findings
    assert ([move.what for move in line.done], line.questions) == (["repair"], ())


def test_new_bearings_of_the_nose_wheel_mend_those_that_were_worn_in_it():
    worn = ("Bearings in the nosewheel are worn.", [saw("wear", "wheel-bearing", "Bearings")])
    new = ("New bearings in the nosewheel.", [did("fit", "wheel-bearing", "New bearings")])
    (line,) = lists(worn, new).findings
    assert ([move.what for move in line.done], line.questions) == (["replace"], ())
    (line,) = lists(worn, ("New bearings in the tail wheel.", new[1])).findings
    assert line.done == ()


def test_what_was_seen_of_one_cable_is_not_of_another():
    rudder = saw("chafing", "control-cable", "The rudder cable's chafed")
    aileron = saw("chafing", "control-cable", "The aileron cable's chafed")
    told = lists(("The rudder cable's chafed.", [rudder]), ("The aileron cable's chafed.", [aileron])).findings
    assert sorted(line.called for line in told) == ["aileron cable", "rudder cable"]


# advice


def test_engine_that_is_out_needs_no_support_as_its_mount_comes_off():
    out = ("Engine's out.", [did("remove", "engine", "Engine's out")])
    mount = ("Engine mount's off.", [did("remove", "engine-mount", "Engine mount's off")])

    def rules(*entries):
        told = ((f"e-{at}", at * A_DAY, words, facts) for at, (words, facts) in enumerate(entries))
        return [one.item for one in lists_of(*told).causes if one.rule == "support-before-undo"]

    assert rules(out, mount) == ["engine"]
    assert rules(mount) == ["engine-mount"]
    on = ("Engine's back in.", [did("fit", "engine", "Engine's back in")])
    assert rules(out, on, mount) == ["engine", "engine-mount"]


# work that is owed


def test_what_stays_where_it_is_is_not_owed():
    stays = did_not("remove", "oil-tank", "The oil tank stays")
    assert lists(("The oil tank stays where it is.", [stays])).to_do == ()
    later = lists(("The oil tank stays where it is until next week.", [stays])).to_do
    assert [line.act for line in later] == ["remove"]


# controls that have one name in the vocabulary


def test_new_down_cable_closes_no_other_cable():
    starter = (
        "We've pulled the starter cable off.",
        [did("remove", "control-cable", "pulled the starter cable off")],
    )
    new = FactRecord(
        status="done",
        act="fit",
        item="control-cable",
        said="New one's in",
        utterances=(),
        inferred=(("item", "one"),),
    )
    asked_of = ("What about the down cable? New one's in, forty-two pounds.", [new])
    (line,) = lists(starter, asked_of).disconnections
    assert (line.called, line.connected_on) == ("starter cable", None)
    back = ("What about the starter cable? New one's in.", [new])
    (line,) = lists(starter, back).disconnections
    assert line.connected_on is not None


def test_cable_that_is_scrap_is_the_one_that_was_named_last():
    slack = did_not("remove", "control-cable", "The rudder cables I've only slackened off")
    broken = saw("broken", "control-cable", "there's three broken wires")
    make = FactRecord(
        status="planned", act="make", item="control-cable", said="making a new one up", utterances=(),
        inferred=(("item", "one"),),
    )  # fmt: skip
    words = (
        "The rudder cables I've only slackened off. Elevator down cable, at the pulley, there's three broken wires. "
        "So that one's scrap, we'll be making a new one up."
    )
    told = lists((words, [slack, broken, make]))
    assert [line.called for line in told.findings] == ["elevator down cable"]
    assert [line.called for line in told.to_do if line.act == "make"] == ["elevator down cable"]


def test_up_cable_is_not_the_down_cable_and_either_is_the_elevators():
    down = (
        "Elevator down cable disconnected.",
        [did("disconnect", "control-cable", "Elevator down cable disconnected")],
    )
    for words, closed in (
        ("The up cable's connected.", False),
        ("Elevator up cable's connected.", False),
        ("The throttle cable's connected.", False),
        ("The down cable's connected.", True),
        ("Elevator cable's connected.", True),
    ):
        line = lists(down, (words, [did("connect", "control-cable", words[:-1])])).disconnections[0]
        assert (line.connected_on is not None) == closed, words


def test_bolt_that_goes_back_into_the_end_that_was_parted_connects_nothing():
    parted = did("disconnect", "retraction-jack", "Retraction jack disconnected", count=1, of="bolt")
    bolt = did("fit", "retraction-jack", "back", count=1, of="bolt")
    off = ("Retraction jack disconnected, that's one bolt, it's back in the jack end.", [parted, bolt])
    (line,) = lists(off).disconnections
    assert (line.connected_on, line.questions) == (None, ())
    on = ("Retraction jack's connected.", [did("connect", "retraction-jack", "Retraction jack's connected")])
    (line,) = lists(off, on).disconnections
    assert [move.what for move in line.moves] == ["disconnect", "connect"]


def test_tank_that_is_connected_connects_no_part_of_it_that_nobody_named():
    sender = ("Sender disconnected.", [did("disconnect", "fuel-gauge-sender", "Sender disconnected")])
    tank = ("Tank's connected.", [did("connect", "fuel-tank", "Tank's connected")])
    (line,) = lists(sender, tank).disconnections
    assert (line.connected_on, asked(line)) == (None, ["which-was-connected"])
    on = ("Sender's connected.", [did("connect", "fuel-gauge-sender", "Sender's connected")])
    (line,) = lists(sender, on).disconnections
    assert (line.connected_on is not None, line.questions) == (True, ())


# what holds it up


def test_trolley_onto_which_a_leg_came_down_is_empty_once_the_leg_is_on_again():
    down = did("lower", "main-undercarriage", "came down on to the cradle", side="port")
    off = did("remove", "main-undercarriage", "so the port leg's off", side="port")
    taken = ("She came down on to the cradle, so the port leg's off.", [down, off])
    (line,) = lists(taken).holding_up
    assert (line.until, line.questions) == (None, ())
    on = ("Port leg's back on.", [did("fit", "main-undercarriage", "Port leg's back on", side="port")])
    (line,) = lists(taken, on).holding_up
    assert line.ended_by == "fit"


def test_cable_that_is_tied_back_rests_on_nothing():
    tied = did("support", "throttle-cable", "tied it back to the firewall")
    assert lists(("Throttle cable's off, I've tied it back to the firewall.", [tied])).holding_up == ()
    hung = did("support", "fuel-tank", "strapped it up")
    assert len(lists(("We've strapped the fuel tank up.", [hung])).holding_up) == 1


def test_what_came_off_with_the_hoist_was_held():
    def rules(words):
        off = did("remove", "propeller", words[:-1])
        return [one.rule for one in lists_of(("e-1", 0, words, [off])).causes if one.rule == "support-before-undo"]

    assert rules("Propeller's off with the hoist.") == []
    assert rules("Propeller's off, it's on the stand.") == ["support-before-undo"]
    assert rules("Propeller's off on the stand.") == ["support-before-undo"]


def test_part_that_was_to_be_made_is_made_once_a_new_one_is_fitted():
    make = FactRecord(status="planned", act="make", item="bush", said="We'll make a new bush", utterances=())
    planned = ("We'll make a new bush.", [make])
    fitted = ("The new bush is in.", [did("fit", "bush", "The new bush is in")])
    assert lists(planned, fitted).to_do == ()
    old = ("The bush is back in.", [did("fit", "bush", "The bush is back in")])
    assert [line.act for line in lists(planned, old).to_do] == ["make"]


def test_what_is_not_back_yet_is_not_of_the_side_on_which_none_came_off():
    off = ("Starboard magneto's off.", [did("remove", "magneto", "Starboard magneto's off", side="starboard")])
    not_back = did_not("fit", "magneto", "isn't", side="port")
    (owed,) = lists(off, ("The port exhaust's here. The magneto isn't back yet.", [not_back])).to_do
    assert owed.side is None
    said = did_not("fit", "magneto", "The port magneto isn't", side="port")
    (owed,) = lists(off, ("The port magneto isn't back yet.", [said])).to_do
    assert owed.side == "port"
    both = ("Port magneto's off too.", [did("remove", "magneto", "Port magneto's off", side="port")])
    (owed,) = lists(off, both, ("The port exhaust's here. The magneto isn't back yet.", [not_back])).to_do
    assert owed.side == "port"


def test_trestle_of_a_part_that_was_off_for_a_week_may_be_gone():
    held = did("support", "outer-wing", "Trestle under the wing")
    off = ("Trestle under the wing. Wing's off.", [held, did("remove", "outer-wing", "Wing's off")])
    on = did("fit", "outer-wing", "Wing's back on")
    (line,) = lists(off, ("Wing's back on.", [on])).holding_up
    assert (line.until, line.questions) == (None, ("came-off",))
    (line,) = lists((f"{off[0]} Wing's back on.", [*off[1], on])).holding_up
    assert (line.until, line.questions) == (None, ())


def test_cable_that_was_slackened_is_held_by_nothing_that_is_counted():
    slack = did("undo", "control-cable", "The rudder cables I've slackened off")
    assert lists(("The rudder cables I've slackened off.", [slack])).fasteners == ()
    counted = did("undo", "control-cable", "Undid two bolts of the rudder cable", count=2, of="bolt")
    (line,) = lists(("Undid two bolts of the rudder cable.", [counted])).fasteners
    assert line.undone == 2
