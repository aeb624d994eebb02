"""Where lines and marks go: nothing overlaps, port is below, and the frames stand in their order."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.lists.airframe import Airframe, Thing, outlines
from pipeline.lists.airframe_spots import Spot
from pipeline.writing.airframe_views import spread, views
from pipeline.writing.airframe_zooms import zooms
from tests.lists.test_airframe import at_the_end, vocabulary


def thing(state: str, view: str, aft: float, across: float, entry: str = "e", item: str = "skin") -> Thing:
    return Thing(state, item, None, None, "rear", Spot(view, aft, across), (entry,), what=("crack",))  # type: ignore[arg-type]


def frame_of(*things: Thing) -> Airframe:
    return Airframe(things, outlines(vocabulary(), []))


def drawn(frame: Airframe) -> dict:
    return {one.view: one for one in views(frame, vocabulary().stations)}


@given(st.lists(st.floats(0, 500), max_size=40), st.floats(5, 40))
def test_numbers_at_the_edge_keep_their_order_and_distance_within_the_bounds(wanted, apart):
    wanted.sort()
    places = spread(wanted, apart, (10.0, 490.0))
    room = min(apart, 480 / max(1, len(wanted) - 1))
    assert len(places) == len(wanted)
    assert all(after - before >= room - 0.11 for before, after in pairwise(places))
    assert all(9.8 <= one <= 490.2 for one in places)


def test_number_alone_stands_where_it_is_wanted():
    assert spread([120.0], 25, (10, 490)) == [120.0]


@given(
    st.lists(
        st.tuples(
            st.sampled_from(("found", "off", "open", "done")),
            st.sampled_from(("side", "plan")),
            st.floats(0, 392),
            st.floats(-300, 300),
        ),
        max_size=80,
    )
)
def test_no_two_numbers_cover_each_other_and_everything_is_in_one_mark(placed):
    things = [thing(*one, entry=f"e{at}") for at, one in enumerate(placed)]
    for view in views(frame_of(*things), vocabulary().stations):
        spots = [(mark.x, mark.y) for mark in view.marks]
        for at, (x, y) in enumerate(spots):
            assert all(abs(x - other) > 21 or abs(y - lower) > 21 for other, lower in spots[:at])
        held = [one for mark in view.marks for one in mark.things]
        assert sorted(one.entries for one in held) == sorted(
            one.entries for one in things if one.spot is not None and one.spot.view == view.view
        )
        assert all(0 < mark.x < view.width and 0 < mark.y < view.height for mark in view.marks)
        for glyph in (one for mark in view.marks for one in mark.glyphs):
            written = 7 + 8 * len(str(glyph.count)) if glyph.count > 1 else 5
            assert 5 <= glyph.x <= view.width - written
        assert all(0 < glyph.y < view.height for mark in view.marks for glyph in mark.glyphs)


def test_things_at_one_spot_share_a_mark_with_their_numbers():
    things = [thing("found", "side", 300, 0, f"e{at}") for at in range(3)] + [thing("open", "side", 302, 1)]
    (mark,) = drawn(frame_of(*things))["side"].marks
    assert [(one.state, one.count) for one in mark.glyphs] == [("open", 1), ("found", 3)]
    assert mark.sign.state == "found"


def test_port_is_below_and_the_nose_is_left_in_the_plan():
    things = [thing("open", "plan", 100, -200, "port"), thing("open", "plan", 380, 80, "starboard")]
    marks = {mark.things[0].entries[0]: mark.sign for mark in drawn(frame_of(*things))["plan"].marks}
    assert marks["port"].y > marks["starboard"].y
    assert marks["port"].x < marks["starboard"].x


def test_frames_stand_in_their_order_and_the_strong_ones_are_marked():
    ticks = drawn(frame_of())["side"].ticks
    assert [one.x for one in ticks] == sorted(one.x for one in ticks)
    assert len(ticks) == 24
    assert [one.label for one in ticks if one.label] == ["12", "21"]


def test_mark_whose_every_finding_was_worked_on_is_hollow():
    aileron = [one for one in at_the_end().things if one.item == "aileron"]
    (mark,) = drawn(frame_of(*aileron))["plan"].marks
    assert (mark.sign.state, mark.sign.hollow) == ("found", True)


def test_bar_of_frames_reaches_from_the_joint_to_the_strong_frames_and_to_what_was_found():
    (bar,) = zooms(at_the_end(), vocabulary())
    assert bar.title == "Transport joint at frame 15"
    assert [one.label for one in bar.stops][:3] == ["10", "11", "12"]
    assert bar.stops[-1].label == "24"
    assert [one.label for one in bar.stops if one.strong] == ["12", "21"]
    assert [one.label for one in bar.stops if one.joint] == ["15"]
    assert [one.label for one in bar.stops if one.held] == ["21"]
    signs = {one.label: [(glyph.state, glyph.count) for glyph in one.glyphs] for one in bar.stops if one.glyphs}
    assert signs == {"15": [("open", 8)], "23": [("done", 1), ("found", 1)], "24": [("done", 1)]}
    assert "Transport joint: 237 of about 240 nuts and bolts undone" in bar.notes


def test_nothing_told_at_frames_or_ribs_gives_no_near_view():
    assert zooms(frame_of(), vocabulary()) == ()


@pytest.mark.parametrize("things", [(), (thing("off", "side", 100, 0),)])
def test_small_drawing_has_no_numbers(things):
    assert all(not mark.number for one in views(frame_of(*things), (), numbered=False) for mark in one.marks)
