"""The airframe at a glance: states and spots, at the end of the twelve days and in small books."""

from datetime import timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.book import shipped_vocabulary, vocabulary_folders
from pipeline.lists.airframe import Airframe, DatedFact, airframe, days_work, outlines
from pipeline.lists.airframe_spots import Spots
from pipeline.lists.logged import same_side
from pipeline.reading.fact import Fact, Place
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import DisconnectionLine, FastenerLine, Lists, Move, PartEvent, PartOff
from tests.lists.test_twelve_days import lists, lists_of
from tests.lists.twelve_days import DAYS, all_facts, facts_of
from tests.trade.folders import lists_in

D1 = min(DAYS)


@cache
def vocabulary() -> Vocabulary:
    return load_vocabulary(vocabulary_folders("crew-trainer"))


def told(facts) -> list[DatedFact]:
    return [DatedFact(one.at.date(), one.entry, one.fact) for one in facts]


@cache
def at_the_end() -> Airframe:
    return airframe(lists(), told(all_facts()), vocabulary())


def named(frame: Airframe, state: str) -> list[tuple]:
    return [(one.item, one.side) for one in frame.things if one.state == state]


def place(scheme: str, at: str) -> tuple[Place, ...]:
    return (Place(scheme=scheme, at=at),)  # type: ignore[arg-type]


def spots() -> Spots:
    return Spots(vocabulary())


def test_end_of_the_twelve_days_shows_by_zone_what_was_worked_out_by_hand():
    # off: as PARTS in twelve_days_lists.py; open: its DISCONNECTIONS that nobody connected again, and the joint's
    # fasteners (nuts and bolts, rivets); found: its FINDINGS, without what is good or was looked for in vain
    counted = {
        zone: tuple(
            sum(one.state == state for one in at_the_end().in_zone(zone)) for state in ("off", "open", "found")
        )
        for zone in ("nose", "front", "centre", "rear", "tail", "wing", "nacelle", "gear", "any")
    }
    assert {zone: numbers for zone, numbers in counted.items() if any(numbers)} == {
        "rear": (0, 8, 1),
        "tail": (8, 8, 6),
        "wing": (0, 0, 1),
        "any": (3, 0, 1),
    }


def test_end_of_the_twelve_days_shows_off_what_was_worked_out_by_hand():
    assert sorted(map(str, named(at_the_end(), "off"))) == sorted(
        str((item, side))
        for item, sides in {
            "fin": ("port", "starboard"),
            "rudder": ("port", "starboard"),
            "elevator": ("port", "starboard"),
            "fillet-panel": ("port", "starboard"),
            "tailplane": (None,),
            "trim-tab": ("port",),
            "tail-oleo": (None,),
        }.items()
        for side in sides
    )
    drawn = {(one.outline.shape, one.side) for one in at_the_end().drawn if one.off}
    assert drawn == {
        *((f"plan-{part}", side) for part in ("fin", "rudder", "elevator") for side in ("port", "starboard")),
        ("plan-tailplane", None),
        *(("side-fin", "port"), ("side-rudder", "port"), ("side-tailplane", None), ("side-tail-oleo", None)),
    }


def test_transport_joint_shows_how_many_of_its_fasteners_are_undone_at_frame_15():
    (joint,) = [one for one in at_the_end().things if one.what == ("nut-and-bolt",)]
    assert (joint.state, joint.count, joint.of_all, joint.about) == ("open", 237, 240, True)
    assert joint.spot is not None
    assert (joint.spot.view, joint.spot.aft) == ("side", 226)


def test_crack_at_frame_23_is_found_there_with_work_on_it_since_and_the_mended_corrosion_at_24_is_not():
    found = [(one.place, one.since) for one in at_the_end().things if one.state == "found" and one.item == "frame"]
    assert found == [(place("frame", "23"), True)]
    (crack,) = [one for one in at_the_end().things if one.state == "found" and one.item == "frame"]
    assert crack.spot is not None
    assert (crack.zone, crack.spot.aft) == ("rear", 354)
    (done,) = [one for one in at_the_end().things if one.state == "done" and one.place == place("frame", "24")]
    assert done.what == ("clean", "prime")


def test_refitted_aileron_is_worked_on_and_neither_off_nor_open():
    states = {one.state for one in at_the_end().things if one.item == "aileron"}
    assert states == {"found", "done"}


def test_what_holds_it_up_at_the_end_is_there_and_what_was_taken_away_is_not():
    held = [(one.item, one.place, one.what) for one in at_the_end().things if one.state == "support"]
    assert held == [
        ("centre-fuselage", place("spar", "front"), ("jack",)),
        ("rear-fuselage", place("frame", "21"), ("trestle",)),
    ]


def test_everything_leads_to_an_entry_that_tells_of_it():
    entries = {one.entry for one in all_facts()}
    assert all(one.entries and set(one.entries) <= entries for one in at_the_end().things)


@settings(deadline=None, max_examples=20)
@given(st.permutations(sorted(DAYS)))
def test_order_of_intake_makes_no_difference(days):
    facts = [one for day in days for one in facts_of(day)]
    assert airframe(lists_of(facts), told(facts), vocabulary()) == at_the_end()


_ITEMS = st.sampled_from(("aileron", "outer-wing", "rudder", "tailplane", "engine", "wheel", "canopy", "bracket"))
_SIDES = st.sampled_from(("port", "starboard", "both", None))
_ACTS = st.sampled_from(("remove", "fit", "undo", "disconnect", "open", "repair", "inspect"))


@settings(deadline=None, max_examples=60)
@given(st.lists(st.tuples(_ACTS, _ITEMS, _SIDES), max_size=12))
def test_nothing_that_was_refitted_is_shown_off(moves):
    facts = [
        one.model_copy(
            update={
                "entry": f"e-{at:02d}",
                "fact": Fact(status="done", act=act, item=item, side=side),
                "said": f"{act} {item}",
                "around": "",
            }
        )
        for at, (act, item, side) in enumerate(moves)
        for one in facts_of(D1)[:1]
    ]
    added = lists_of(facts)
    frame = airframe(added, told(facts), vocabulary())
    back = {(one.item, one.side) for one in added.parts_off if one.state == "refitted"}
    assert back.isdisjoint(named(frame, "off"))
    for one in frame.drawn:
        if one.off:
            assert not any(item == one.outline.part and same_side(side, one.side) for item, side in back)


def test_day_shows_its_own_work_whatever_became_of_it_later():
    day = days_work(told(facts_of(D1)), vocabulary())
    assert ("aileron", "port") in named(day, "off")
    assert ("frame", None) in named(day, "found")
    assert ("fin", "port") not in named(day, "off")
    # undoing what came off the same day is no line of its own
    assert ("aileron", "port") not in named(day, "open")


def test_part_of_a_pair_without_its_side_has_no_spot_in_the_plan_and_is_not_drawn_off():
    assert spots().spot("aileron", None, None) is None
    assert not any(one.off for one in outlines(vocabulary(), [("aileron", None)]))
    (off,) = [one for one in outlines(vocabulary(), [("aileron", "starboard")]) if one.off]
    assert (off.outline.shape, off.side) == ("plan-aileron", "starboard")


def test_what_belongs_to_a_part_that_is_off_is_off_with_it():
    off = {
        one.outline.part for one in outlines(vocabulary(), [("outer-wing", "port")]) if one.off and one.side == "port"
    }
    assert off == {"outer-wing", "wing-tip", "aileron"}


@pytest.mark.parametrize(
    ("item", "side", "where", "expected"),
    [
        ("skin", "port", place("rib", "6"), ("plan", -164.0)),
        ("skin", "starboard", place("rib", "1-2"), ("plan", 83.0)),
        ("bracket", None, place("station", "178"), ("side", 178.0)),
        ("frame", None, place("frame", "11-12"), ("side", 169.0)),
        ("wheel", "starboard", None, ("plan", 60.0)),
        ("brake-lining", "port", None, ("plan", -60.0)),
    ],
)
def test_place_side_and_part_give_the_spot(item, side, where, expected):
    found = spots().spot(item, side, where)
    assert found is not None
    assert (found.view, found.across if found.view == "plan" else found.aft) == expected


@pytest.mark.parametrize(
    ("item", "side", "where"),
    [
        ("bracket", "port", None),  # anywhere
        ("frame", None, place("frame", "99")),  # this type has no such frame
        ("skin", None, place("rib", "6")),  # which wing?
        ("spar-cap", "port", place("spar", "rear")),  # how far out?
        ("altimeter", None, None),  # somewhere in the front fuselage
        (None, None, None),
    ],
)
def test_what_is_not_told_gets_no_spot(item, side, where):
    assert spots().spot(item, side, where) is None


def test_without_outlines_things_stand_in_their_zones_and_have_no_spot():
    bare = load_vocabulary(vocabulary_folders(""))
    frame = airframe(lists(), told(all_facts()), bare)
    assert frame.drawn == ()
    assert frame.things
    assert all(one.spot is None for one in frame.things)
    assert len(frame.in_zone("tail")) == len(at_the_end().in_zone("tail"))


@pytest.fixture(scope="module")
def four_engined_biplane(tmp_path_factory) -> Vocabulary:
    pack = lists_in(
        tmp_path_factory.mktemp("four-engined-biplane"),
        outline="shape,view,kind,part,zone,symmetry,mm\n"
        "lower,plan,area,lower-wing,wing,pair,2000 500|2200 9000|4000 9000|4200 500\n"
        "upper,plan,area,upper-wing,wing,halves,1500 0|1700 9500|3500 9500|3700 0\n"
        "body,plan,area,fuselage,centre,halves,0 0|500 500|8000 200|8000 0\n"
        "engine-inner,plan,area,engine,nacelle,pair,1000 2000|1000 2600|2000 2600|2000 2000\n"
        "engine-outer,plan,area,engine,nacelle,pair,1000 5000|1000 5600|2000 5600|2000 5000\n"
        "nacelle-outer,plan,area,nacelle,nacelle,pair,2000 5000|2000 5600|3000 5600|3000 5000\n",
        stations="scheme,at,mm,from\nrib,5,3000,centre-line\nrib,6,9300,centre-line\n",
    )
    return load_vocabulary([*shipped_vocabulary()[:1], pack])


def test_biplane_with_four_engines_gives_its_own_outline(four_engined_biplane):
    where = Spots(four_engined_biplane)
    upper, lower = (where.spot(item, "starboard", place("rib", "5")) for item in ("upper-wing", "lower-wing"))
    assert upper is not None
    assert lower is not None
    assert upper.aft < lower.aft
    assert upper.across == lower.across == pytest.approx(3000 / 25.4)
    assert where.spot("skin", "port", place("rib", "5")) is None  # of which wing?
    # only the upper wing reaches so far out
    assert where.spot("skin", "port", place("rib", "6")) is not None
    # two engines a side, and nobody told which
    assert where.spot("engine", "port", None) is None
    off = outlines(four_engined_biplane, [("engine", "port"), ("lower-wing", "both")])
    assert {(one.outline.shape, one.side) for one in off if one.off} == {("lower", "port"), ("lower", "starboard")}


def lately(act, item, side=None, day=0):
    fact = Fact(status="done", act=act, item=item, side=side)
    return DatedFact(D1 + timedelta(days=day), f"e-{day}", fact)


def worked(lists, *facts):
    frame = airframe(lists, facts, vocabulary())
    return {(one.state, one.side): one.what for one in frame.things}


def test_work_told_without_a_side_goes_with_the_only_side_that_was_told():
    one = (lately("fit", "engine"), lately("test", "engine", "starboard", day=1))
    assert worked(Lists(), *one) == {("done", "starboard"): ("fit", "test")}
    assert worked(Lists(), *one, lately("clean", "engine", "port")) == {
        ("done", None): ("fit",),
        ("done", "starboard"): ("test",),
        ("done", "port"): ("clean",),
    }


def test_part_that_the_lists_have_off_is_not_shown_fitted_too():
    off = PartOff(item="propeller", side="starboard", state="off", removed_on=D1)
    facts = [lately(act, "propeller", "starboard", day=1) for act in ("fit", "lock", "clean")]
    assert worked(Lists(parts_off=(off,)), *facts) == {("off", "starboard"): (), ("done", "starboard"): ("clean",)}


def test_line_is_shown_as_the_register_has_it():
    line = DisconnectionLine(item="oil-line", side="starboard", disconnected_on=D1, blanked_on=D1)
    facts = (lately("blank", "oil-line", "starboard"), lately("connect", "oil-line", "starboard", day=1))
    assert worked(Lists(disconnections=(line,)), *facts) == {
        ("open", "starboard"): ("disconnect",),
        ("done", "starboard"): ("blank",),
    }
    connected = line.model_copy(update={"connected_on": D1})
    assert worked(Lists(disconnections=(connected,)), *facts) == {("done", "starboard"): ("connect",)}


def test_thing_is_named_as_the_list_names_it():
    event = PartEvent(on=D1, what="refitted", entry="e-0", act="fit")
    tight = Move(on=D1, what="tighten 8", entry="e-0")
    known = Lists(
        parts_off=(
            PartOff(item="control-cable", called="starter cable", state="off", removed_on=D1),
            PartOff(item="propeller", position="number 3", state="refitted", removed_on=D1, life=(event,)),
        ),
        fasteners=(FastenerLine(item="propeller-hub", of="nut", position="number 3", moves=(tight,)),),
    )
    facts = (lately("fit", "propeller"), lately("tighten", "propeller-hub"), lately("clean", "propeller", day=1))
    frame = airframe(known, facts, vocabulary())
    assert {(one.item, one.position, one.called, one.what) for one in frame.things} == {
        ("control-cable", "", "starter cable", ()),
        ("propeller", "number 3", "", ("fit",)),
        ("propeller-hub", "number 3", "", ("tighten",)),
        ("propeller", "", "", ("clean",)),
    }
