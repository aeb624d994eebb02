"""A side that was only carried on does not name a part that came off without one."""

from datetime import UTC, datetime, timedelta

import pytest

from pipeline.book import vocabulary_folders
from pipeline.lists.disconnections import disconnections
from pipeline.lists.logged import LoggedFact
from pipeline.lists.parts_off import parts_off
from pipeline.lists.slipped_sides import without_slipped_sides
from pipeline.lists.way_back import way_back
from pipeline.reading.fact import Fact
from pipeline.reading.vocabulary import load_vocabulary

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
VOCABULARY = load_vocabulary(vocabulary_folders("crew-trainer"))
CARRIED = (("side", "carried on from what was said before"),)
OFF = [("remove", "propeller", None, (), "took the propeller off")]
ON = [
    ("fit", "magneto", "port", (), "Port magneto's on"),
    ("fit", "propeller", "port", CARRIED, "Prop's on"),
    ("lock", "propeller", "port", (("item", "the part being talked of"),), "wire locked"),
]


def days(*told, around=""):
    return [
        LoggedFact(
            at=SATURDAY + timedelta(days=day),
            entry=f"e-{day}",
            fact=Fact(status="done", act=act, item=item, side=side, inferred=inferred),
            said=said,
            around=around or said,
        )
        for day, facts in enumerate(told)
        for act, item, side, inferred, said in facts
    ]


def settled(facts):
    return without_slipped_sides(facts, VOCABULARY)


def test_propeller_stays_one_line_without_a_side_and_comes_back_when_it_is_told_as_fitted():
    lines = [one for one in parts_off(settled(days(OFF, ON)), VOCABULARY) if one.item == "propeller"]
    assert [(one.side, one.state) for one in lines] == [(None, "refitted")]


def test_way_back_is_the_same_whatever_side_slipped_in_later():
    before = way_back(settled(days(OFF)), VOCABULARY)
    after = way_back(settled(days(OFF, ON[2:])), VOCABULARY)
    assert [(one.id, one.assembly) for one in before.steps] == [(one.id, one.assembly) for one in after.steps]
    assert before.order == after.order


@pytest.mark.parametrize(
    "around",
    [
        "Port magneto's on and prop, torqued.",
        "Port magnetos and prop on, torqued.",
        "Prop and port magneto, torqued.",
    ],
)
def test_side_that_nobody_said_of_it_in_the_sentence_slipped_in_though_it_is_not_marked_as_carried(around):
    facts = days(OFF, [("tighten", "propeller", "port", (), "torqued")], around=around)
    assert [one.fact.side for one in settled(facts)] == [None, None]


@pytest.mark.parametrize("around", ["The port propeller is torqued.", "The prop is torqued on the port side."])
def test_side_that_stands_beside_the_name_in_the_sentence_was_said(around):
    facts = days(OFF, [("tighten", "propeller", "port", (), "torqued")], around=around)
    assert [one.fact.side for one in settled(facts)] == [None, "port"]


def test_side_that_was_said_counts_and_so_do_those_that_are_carried_on_from_it():
    said = [
        ("store", "propeller", "port", (), "port propeller"),
        ("clean", "propeller", "port", CARRIED, "cleaned it"),
    ]
    assert [one.fact.side for one in settled(days(OFF, said))] == [None, "port", "port"]


def test_carried_side_of_a_part_that_never_came_off_without_one_counts():
    assert [one.fact.side for one in settled(days([ON[1]]))] == ["port"]


def test_battery_that_was_disconnected_without_a_side_is_connected_without_one():
    parted = [("disconnect", "battery", None, (), "The batteries are disconnected")]
    back = [
        ("fit", "cowling", "starboard", (), "The starboard cowling's back on"),
        ("connect", "battery", "starboard", CARRIED, "The batteries are connected"),
    ]
    facts = settled(days(parted, back))
    assert [one.fact.side for one in facts] == [None, "starboard", None]
    (line,) = disconnections(facts, VOCABULARY)
    assert (line.side, line.connected_on) == (None, (SATURDAY + timedelta(days=1)).date())


def test_another_line_that_was_disconnected_on_a_carried_side_keeps_it():
    first = [("disconnect", "fuel-line", None, (), "The fuel line is disconnected")]
    other = [("disconnect", "fuel-line", "port", CARRIED, "The fuel line is disconnected")]
    assert [one.fact.side for one in settled(days(first, other))] == [None, "port"]


def test_blank_on_the_other_wing_closes_no_end_of_this_one_nor_the_one_without_a_side():
    bare = [("disconnect", "fuel-line", None, (), "Fuel line disconnected at the pump")]
    port = [("disconnect", "fuel-line", "port", CARRIED, "Fuel line's disconnected at the tank")]
    blanked = [("blank", "fuel-line", "starboard", CARRIED, "Fuel line's blanked with a plastic cap")]
    lines = disconnections(settled(days(bare, port, blanked)), VOCABULARY)
    assert [(one.side, one.blanked_on) for one in lines] == [(None, None), ("port", None)]
    assert ["which-was-blanked" in [question.kind for question in one.questions] for one in lines] == [True, False]
