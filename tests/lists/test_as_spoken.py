"""What the lists make of sentences as people say them: "they", "the leg", "it's on the trolley", one of three."""

from pipeline.reading.fact import Place, Stowage
from pipeline.records import FactRecord
from tests.lists.test_adding_up import did, lists_of, saw

A_DAY = 24 * 60


def carried(fact, key="item"):
    """A fact whose part, or side, was carried on from the sentence before."""
    return fact.model_copy(update={"inferred": ((key, "as told before"),)})


def parts(*entries):
    """Of each part its side, whether it is off, its stowage and the words for it."""
    return [(line.side, line.state, line.stowage, line.kept_in_words) for line in lists_of(*entries).lists.parts_off]


# parts that are off


OFF = did("remove", "battery", "Both batteries are out", side="both")
STORE, RACK = Stowage(room="battery store"), Stowage(rack="6")


def test_they_are_both_where_both_came_off():
    words = "Both batteries are out. They're in the battery store."
    stored = did("store", "battery", "in the battery store", stowage=STORE)
    there = [(side, "off", STORE, "") for side in ("port", "starboard")]
    assert parts(("e-1", 0, words, [OFF, stored])) == there
    moved = did("store", "battery", "batteries have gone to rack six", stowage=RACK)
    later = ("e-2", A_DAY, "The batteries have gone to rack six.", [moved])
    assert [one[2] for one in parts(("e-1", 0, words, [OFF, stored]), later)] == [RACK, RACK]
    on = ("e-2", A_DAY, "The batteries are back in.", [did("fit", "battery", "The batteries are back in")])
    assert [one[1] for one in parts(("e-1", 0, words, [OFF, stored]), on)] == ["refitted", "refitted"]
    one = did("store", "battery", "The battery has gone to rack six", stowage=RACK)
    one_of_them = ("e-2", A_DAY, "The battery has gone to rack six.", [one])
    assert [one[2] for one in parts(("e-1", 0, words, [OFF, stored]), one_of_them)] != [RACK, RACK]


def test_where_a_part_stands_is_known_by_the_sentence_in_which_it_came_off():
    for words in ("Engine's out, it's on the trolley.", "Engine's out and it's standing on the floor by the door."):
        assert parts(("e-1", 0, words, [did("remove", "engine", "Engine's out")])) == [(None, "off", None, words)]
    (asked,) = lists_of(("e-1", 0, "Engine's out.", [did("remove", "engine", "Engine's out")])).lists.parts_off
    assert (asked.kept_in_words, [one.kind for one in asked.questions]) == ("", ["not-stowed"])
    bad = "Rudder's off, it's in a bad way."
    assert parts(("e-1", 0, bad, [did("remove", "rudder", "Rudder's off")])) == [(None, "off", None, "")]


def test_part_that_was_put_on_a_cradle_once_it_was_off_is_there():
    off = ("e-1", 0, "Rudder's off, it's on rack six.", [
        did("remove", "rudder", "Rudder's off"), did("store", "rudder", "on rack six", stowage=RACK)
    ])  # fmt: skip
    cradle = ("e-2", A_DAY, "Rudder's in the cradle.", [did("support", "rudder", "Rudder's in the cradle")])
    assert parts(off, cradle) == [(None, "off", None, "Rudder's in the cradle.")]
    held = ("e-0", 0, "Trestle under the rudder.", [did("support", "rudder", "Trestle under the rudder")])
    assert parts(held) == []  # it is on still


def test_what_was_seen_of_a_part_without_a_place_is_not_of_one_that_came_off_at_a_place():
    place = (Place(scheme="frame", at="6"),)
    off = (
        "e-1",
        0,
        "The door at frame 6 is off.",
        [did("remove", "door", "The door at frame 6 is off", place=place)],
    )
    broken = ("e-2", 60, "The side door is broken.", [saw("broken", "door", "The side door is broken")])
    (line,) = lists_of(off, broken).lists.parts_off
    assert [event.finding for event in line.life] == [None]
    here = ("e-1", 0, "The door at frame 6 is off. It's broken.", [*off[3], saw("broken", "door", "It's broken")])
    (line,) = lists_of(here).lists.parts_off
    assert [event.finding for event in line.life] == [None, "broken"]


def test_panel_that_was_put_away_as_its_screws_came_out_came_off():
    out = did("undo", "access-panel", "Took out 42 screws from the belly panel", count=42, of="screw")
    shelf = did("store", "access-panel", "The panel's on rack six", stowage=RACK)
    words = "Took out 42 screws from the belly panel. The panel's on rack six."
    (line,) = lists_of(("e-1", 0, words, [out, shelf])).lists.parts_off
    assert (line.stowage, line.questions) == (RACK, ())
    (fit, *_) = lists_of(("e-1", 0, words, [out, shelf])).lists.way_back.steps
    assert (fit.id, fit.undone_on is not None, fit.questions) == ("fit-access-panel", True, ())
    later = ("e-2", A_DAY, "The panel's on rack six.", [shelf])
    (line,) = lists_of(("e-1", 0, "Took out 42 screws from the belly panel.", [out]), later).lists.parts_off
    assert [one.kind for one in line.questions] == ["not-removed"]


def test_part_that_is_on_as_well_is_on():
    off = ("e-1", 0, "Rudder's off.", [did("remove", "rudder", "Rudder's off")])
    for words in ("Rudder's on as well, four bolts.", "Rudder's on, four bolts."):
        on = ("e-2", A_DAY, words, [did("fit", "rudder", "Rudder's on", count=4, of="bolt")])
        assert [one[1] for one in parts(off, on)] == ["refitted"]
    bolts = ("e-2", A_DAY, "Four bolts are on in the rudder.", [did("fit", "rudder", "on", count=4, of="bolt")])
    assert [one[1] for one in parts(off, bolts)] == ["off"]


def test_part_that_is_told_on_in_short_is_on():
    off = ("e-1", 0, "Port brake unit's off.", [did("remove", "brake-unit", "Port brake unit's off", side="port")])
    fit = did("fit", "brake-unit", "Port brake unit on", side="port", count=6, of="bolt")
    assert parts(off, ("e-2", A_DAY, "Port brake unit on, six bolts.", [fit])) == [("port", "refitted", None, "")]
    assert parts(off, ("e-2", A_DAY, "Six bolts in the port brake unit.", [fit]))[0][1] == "off"


def test_wing_that_is_on_is_the_outer_wing_that_came_off():
    off = ("e-1", 0, "The starboard wing's off.", [did("remove", "outer-wing", "wing's off", side="starboard")])
    stored = did("store", "mainplane", "The wing's on rack six", stowage=RACK)
    assert parts(off, ("e-2", A_DAY, "The wing's on rack six.", [stored])) == [("starboard", "off", RACK, "")]
    on = ("e-2", A_DAY, "Starboard wing's on.", [did("fit", "mainplane", "Starboard wing's on", side="starboard")])
    assert parts(off, on) == [("starboard", "refitted", None, "")]
    port = ("e-2", A_DAY, "Port wing's on.", [did("fit", "mainplane", "Port wing's on", side="port")])
    assert [one[:2] for one in parts(off, port)] == [("starboard", "off"), ("port", "refitted")]


# services


LINES = (
    "Disconnected the hydraulic line at the port main leg. Disconnected the port brake hose at the brake unit.",
    [
        did("disconnect", "hydraulic-line", "Disconnected the hydraulic line", side="port"),
        did("disconnect", "hydraulic-line", "Disconnected the port brake hose", side="port"),
    ],
)


def connected(words, said, **more):
    """The days on which each line was connected, after one more sentence on the next day."""
    more = [did("connect", "hydraulic-line", said, **more)]
    lines = lists_of(("e-1", 0, *LINES), ("e-2", A_DAY, words, more)).lists.disconnections
    return [line.connected_on is not None for line in lines]


def test_line_is_connected_where_it_was_parted_in_shorter_words_or_by_what_it_is_called():
    assert connected("Connected the port hydraulic line at the leg.", "Connected the port hydraulic line") == [1, 0]
    assert connected("Brake hose connected on the port side.", "Brake hose connected", side="port") == [0, 1]
    assert connected("Port hydraulic line connected.", "Port hydraulic line connected", side="port") == [0, 0]


def test_strip_is_connected_on_the_side_where_it_was_parted_and_not_at_the_engine():
    at_engine = did("disconnect", "bonding-strip", "The bonding strip on the engine is disconnected")
    off = [
        did("disconnect", "control-rod", "Disconnected the port control rod", side="port"),
        carried(did("disconnect", "bonding-strip", "freed the bonding strip", side="port"), "side"),
        did("remove", "aileron", "the port aileron's off", side="port"),
    ]
    on = [
        did("fit", "aileron", "The port aileron went on", side="port"),
        carried(did("connect", "bonding-strip", "Bonding strip reconnected", side="port"), "side"),
    ]
    words = "Disconnected the port control rod and freed the bonding strip, the port aileron's off."
    told = lists_of(
        ("e-1", 0, "The bonding strip on the engine is disconnected.", [at_engine]),
        ("e-2", A_DAY, words, off),
        ("e-3", 2 * A_DAY, "The port aileron went on. Bonding strip reconnected.", on),
    ).lists
    strips = [line for line in told.disconnections if line.item == "bonding-strip"]
    assert [(line.side, line.parted_at, line.connected_on is not None) for line in strips] == [
        (None, "engine", False),
        ("port", "", True),
    ]
    steps = {step.id for step in told.way_back.steps if step.item == "bonding-strip"}
    assert steps == {"connect-bonding-strip-at-engine", "connect-bonding-strip-port-at-aileron"}


# work that is owed


def test_inspection_of_one_pair_of_cables_is_owed_when_another_pair_was_inspected():
    cable = did("connect", "control-cable", "Connected the rudder cables")
    owed = FactRecord(status="planned", act="inspect", item="control-cable", said="need an inspection", utterances=())
    looked = did("inspect", "control-cable", "inspected the elevator cables")
    planned = ("e-1", 0, "Connected the rudder cables. They still need an inspection.", [cable, carried(owed)])
    (line,) = lists_of(planned, ("e-2", 9, "Idris inspected the elevator cables.", [looked])).lists.to_do
    assert (line.act, line.called) == ("inspect", "rudder cable")
    own = did("inspect", "control-cable", "inspected the rudder cables")
    assert lists_of(planned, ("e-2", 9, "Idris inspected the rudder cables.", [own])).lists.to_do == ()


def test_one_of_a_part_that_is_owed_is_not_counted():
    made = FactRecord(
        status="planned", act="make", item="drain-plug", count=1, of="drain-plug", said="make", utterances=()
    )
    (line,) = lists_of(("e-1", 0, "We'll make a drain plug.", [made])).lists.to_do
    assert (line.count, line.of) == (None, None)
    (line,) = lists_of(("e-1", 0, "We'll make two drain plugs.", [made.model_copy(update={"count": 2})])).lists.to_do
    assert (line.count, line.of) == (2, "drain-plug")


# holding up


def test_one_of_three_jacks_that_came_away_leaves_the_aircraft_on_the_others():
    three = ("e-1", 0, "She's on three jacks.", [did("support", "fuselage", "She's on three jacks")])
    nose = ("e-2", A_DAY, "The nose jack came away.", [did("remove", "jack", "The nose jack came away")])
    (line,) = lists_of(three, nose).lists.holding_up
    assert (line.until, line.questions) == (None, ("gear-moved",))
    all_gone = ("e-2", A_DAY, "The jacks came away.", [did("remove", "jack", "The jacks came away")])
    (line,) = lists_of(three, all_gone).lists.holding_up
    assert line.until is not None
    only_one = ("e-1", 0, "She's on a jack.", [did("support", "fuselage", "She's on a jack")])
    (line,) = lists_of(only_one, nose).lists.holding_up
    assert line.until is not None


def test_trestle_that_took_the_place_of_a_jack_stands_there():
    words = "The nose jack came away, there's a trestle under the nose now."
    told = [did("remove", "jack", "came away"), did("support", "front-fuselage", "trestle under the nose")]
    (line,) = lists_of(("e-1", 0, words, told)).lists.holding_up
    assert (line.item, line.by, line.until) == ("front-fuselage", ("trestle",), None)
    gone = "The trestle under the nose is gone."
    (*_, line) = lists_of(
        ("e-1", 0, words, told), ("e-2", A_DAY, gone, [did("support", "front-fuselage", "trestle under the nose")])
    ).lists.holding_up
    assert line.until is not None


def test_what_hung_in_a_sling_is_out_of_it_once_it_is_said_to_be_on_its_trolley():
    hung = did("support", "engine", "Sling's on the engine")
    out = did("remove", "engine", "Engine's out")
    words = "Sling's on the engine. Engine's out, it's on the trolley."
    (line,) = lists_of(("e-1", 0, words, [hung, out])).lists.holding_up
    assert (line.ended_by, line.questions) == ("remove", ())
    (line,) = lists_of(("e-1", 0, "Sling's on the engine. Engine's out.", [hung, out])).lists.holding_up
    assert (line.until, line.questions) == (None, ("came-off",))


def test_part_that_is_off_stays_on_its_trestles_when_what_it_belongs_to_is_lowered():
    pipe = [
        did("remove", "tail-pipe", "Jet pipe's off"),
        did("support", "tail-pipe", "The jet pipe's on two trestles"),
    ]
    off = ("e-1", 0, "Jet pipe's off. The jet pipe's on two trestles.", pipe)
    down = ("e-2", A_DAY, "Lowered the engine onto its stand.", [did("lower", "engine", "Lowered the engine")])
    (line, *_) = lists_of(off, down).lists.holding_up
    assert (line.item, line.until) == ("tail-pipe", None)


# findings


def test_leak_that_is_said_to_be_cured_is_mended_by_whatever_was_fitted():
    leak = ("e-1", 0, "Found a leak at the hydraulic pump.", [saw("leak", "hydraulic-pump", "a leak")])
    seal = did("fit", "gasket", "new seal")
    (line,) = lists_of(leak, ("e-2", A_DAY, "The leak is cured, new seal in the union.", [seal])).lists.findings
    assert [(move.what, move.item) for move in line.done] == [("fit", "gasket")]
    (line,) = lists_of(leak, ("e-2", A_DAY, "The leak is still there, new seal.", [seal])).lists.findings
    assert line.done == ()
    other = ("e-0", 0, "There's a leak at the oil cooler.", [saw("leak", "oil-cooler", "a leak")])
    cured = ("e-2", A_DAY, "The leak is cured, new seal in the union.", [seal])
    assert [line.done for line in lists_of(other, leak, cured).lists.findings] == [(), ()]


def test_seized_bolts_that_were_drilled_out_are_followed_up():
    stuck = saw("seized", "bolt", "Two of the fin bolts are seized", count=2, of="bolt")
    seen = ("e-1", 0, "Two of the fin bolts are seized.", [stuck])
    drilled = did("drill-out", "fin", "fin bolts were drilled out", count=2, of="bolt")
    (line,) = lists_of(seen, ("e-2", A_DAY, "The fin bolts were drilled out.", [drilled])).lists.findings
    assert [move.what for move in line.done] == ["drill-out"]
    rudder = did("drill-out", "rudder", "rudder bolts were drilled out", count=2, of="bolt")
    (line,) = lists_of(seen, ("e-2", A_DAY, "The rudder bolts were drilled out.", [rudder])).lists.findings
    assert line.done == ()


# the way back


def steps(*entries):
    """The way back in order: what each step is, hold points aside."""
    back = lists_of(*entries).lists.way_back
    known = {step.id for step in back.steps}
    return [one for one in back.order if one in known]


def test_engine_that_came_off_by_the_bolts_of_its_mount_is_made_fast_by_these_alone():
    undone = did("undo", "engine-mount", "Undid four engine mount bolts", count=4, of="bolt")
    out = did("remove", "engine", "Engine's out")
    told = ("e-1", 0, "Undid four engine mount bolts. Engine's out.", [undone, out])
    assert steps(told) == ["fit-engine", "secure-engine-mount"]
    hinge = did("undo", "rudder-hinge", "Undid four rudder hinge bolts", count=4, of="bolt")
    off = [hinge, did("remove", "rudder", "rudder's off"), did("remove", "fin", "fin's off")]
    both = steps(("e-1", 0, "Undid four rudder hinge bolts, rudder's off, fin's off.", off))
    assert {"secure-fin", "secure-rudder-hinge"} <= set(both) and "secure-rudder" not in both
    other_day = ("e-2", A_DAY, "Engine's out.", [out])
    assert "secure-engine" in steps(("e-1", 0, "Undid four engine mount bolts.", [undone]), other_day)


def test_part_that_came_off_again_when_another_was_back_waits_for_it_no_less():
    elevator, tailplane = did("remove", "elevator", "Elevator's off"), did("remove", "tailplane", "Tailplane's off")
    off = (("e-1", 0, "Elevator's off.", [elevator]), ("e-2", A_DAY, "Tailplane's off.", [tailplane]))
    on = [did("fit", "tailplane", "Tailplane's back on"), did("fit", "elevator", "Elevator's back on")]
    back = ("e-3", 2 * A_DAY, "Tailplane's back on. Elevator's back on.", on)
    again = ("e-4", 2 * A_DAY + 60, "Elevator's off again.", [did("remove", "elevator", "Elevator's off again")])
    order = [one for one in steps(*off, back, again) if one.startswith("fit")]
    assert order == ["fit-tailplane", "fit-elevator"]
    assert lists_of(*off, back, again).lists.way_back.cycles == ()


def test_order_that_was_told_in_one_breath_yields_to_a_rule_without_a_circle():
    undone = did("undo", "wing-joint", "Undid twelve bolts at the wing joint", count=12, of="bolt", side="port")
    off = did("remove", "outer-wing", "The port wing's off", side="port")
    freed = did("disconnect", "control-cable", "I disconnected the aileron cable", side="port")
    words = "Undid twelve bolts at the wing joint. The port wing's off. Before that I disconnected the aileron cable."
    told = ("e-1", 0, words, [undone, off, freed])
    assert [one.partition("-")[0] for one in steps(told)] == ["fit", "secure", "connect"]
    assert lists_of(told).lists.way_back.cycles == ()
