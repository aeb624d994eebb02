"""Laws that hold of fasteners, disconnections, findings and owed work whatever is said."""

from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.lists.disconnections import disconnections
from pipeline.lists.fasteners import fasteners
from pipeline.lists.findings import findings
from pipeline.lists.logged import LoggedFact
from pipeline.lists.to_do import to_do
from pipeline.reading.fact import Fact, Measure, Place, Stowage
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import Lists

VOCAB = Path(__file__).parents[2] / "vocab"
START = datetime(2026, 2, 14, 10, tzinfo=UTC)
ITEMS = [None, "wing-joint", "tailplane", "transport-joint", "bolt", "fuel-line", "control-cable", "rib", "gone"]
ACTS = [
    *("undo", "drill-out", "remove", "fit", "tighten", "bag", "store"),
    *("held-by", "disconnect", "connect", "blank", "tag"),
]
FACTS = st.builds(
    Fact,
    status=st.sampled_from(["done", "planned", "not-done", "explained", "seen"]),
    act=st.sampled_from(
        [
            None,
            "undo",
            "drill-out",
            "remove",
            "fit",
            "bag",
            "store",
            "held-by",
            "disconnect",
            "connect",
            "blank",
            "tag",
        ]
    ),
    item=st.sampled_from(ITEMS),
    side=st.sampled_from([None, "port", "starboard", "both"]),
    place=st.sampled_from([None, (Place(scheme="rib", at="6"),), (Place(scheme="rib", at="4-9"),)]),
    count=st.sampled_from([None, 0, 1, 7, 240]),
    of=st.sampled_from([None, "bolt", "nut-and-bolt", "person", "hole", "rib"]),
    about=st.sampled_from([None, True]),
    measure=st.sampled_from([None, (Measure(value=15, unit="mm"),), (Measure(value=2, unit="psi"),)]),
    finding=st.sampled_from([None, "crack", "missing", "sound", "corrosion"]),
    absent=st.sampled_from([None, True]),
    stowage=st.sampled_from([None, Stowage(bag="14"), Stowage(rack="3")]),
)


@cache
def vocabulary():
    return load_vocabulary((VOCAB / "base", VOCAB / "crew-trainer"))


def added_up(facts):
    words = vocabulary()
    return Lists(
        fasteners=fasteners(facts, words),
        disconnections=disconnections(facts, words),
        findings=findings(facts, words),
        to_do=to_do(facts, words),
    )


def told(entries):
    return [
        LoggedFact(
            at=START + timedelta(days=day), entry=f"e-{day}", fact=fact, said="…", around="once the fin is off"
        )
        for day, facts in enumerate(entries)
        for fact in facts
    ]


@settings(deadline=None, max_examples=150)
@given(st.lists(st.lists(FACTS, max_size=4), max_size=6))
def test_lists_are_the_same_in_any_order_of_intake_and_read_back_the_same(entries):
    facts = told(entries)
    lists = added_up(facts)
    backwards = sorted(facts, key=lambda one: one.at, reverse=True)
    assert added_up(backwards) == lists
    assert Lists.model_validate_json(lists.model_dump_json(by_alias=True)) == lists


@settings(deadline=None, max_examples=150)
@given(st.lists(st.lists(FACTS, max_size=4), max_size=6))
def test_every_line_leads_to_entries_that_were_told(entries):
    facts = told(entries)
    known = {one.entry for one in facts}
    lists = added_up(facts)
    for line in (*lists.fasteners, *lists.disconnections):
        assert line.moves
        assert {move.entry for move in line.moves} <= known
    for line in lists.findings:
        assert {one.entry for one in (*line.seen, *line.done, *line.planned)} <= known
    for line in lists.to_do:
        assert {line.entry, *(one.entry for one in line.waits_for)} <= known
        assert line.age_days >= 0


@settings(deadline=None, max_examples=150)
@given(st.lists(st.lists(FACTS, max_size=4), max_size=6))
def test_numbers_are_never_negative_and_differences_only_of_what_is_known(entries):
    for line in added_up(told(entries)).fasteners:
        assert (line.left or 0) >= 0 and (line.not_bagged or 0) >= 0
        if line.left is not None:
            assert line.expected is not None and not {"undone", "drilled_out"} & set(line.uncounted)
        if line.not_bagged is not None:
            assert line.undone is not None
