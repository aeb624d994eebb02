"""Twelve days of taking a tail off: every list on the last evening is exactly what was worked out by hand."""

from functools import cache
from itertools import chain

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.book import vocabulary_folders
from pipeline.lists.cautions import causes
from pipeline.lists.disconnections import disconnections
from pipeline.lists.fasteners import fasteners
from pipeline.lists.findings import findings
from pipeline.lists.holding_up import holding_up
from pipeline.lists.parts_off import parts_off
from pipeline.lists.to_do import to_do
from pipeline.lists.way_back import way_back
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import Lists, WayBack
from tests.lists import twelve_days_lists as by_hand
from tests.lists.twelve_days import DAYS, all_facts, facts_of


@cache
def vocabulary() -> Vocabulary:
    return load_vocabulary(vocabulary_folders("crew-trainer"))


def lists_of(facts) -> Lists:
    words = vocabulary()
    return Lists(
        parts_off=parts_off(facts, words),
        fasteners=fasteners(facts, words),
        disconnections=disconnections(facts, words),
        findings=findings(facts, words),
        to_do=to_do(facts, words),
        way_back=way_back(facts, words),
        holding_up=holding_up(facts, words),
    )


@cache
def lists() -> Lists:
    return lists_of(all_facts())


def kinds(line):
    return tuple(question.kind for question in line.questions)


def places(line):
    return ", ".join(f"{place.scheme} {place.at}" for place in line.place or ())


def test_twelve_days_tell_about_a_hundred_facts():
    assert len(DAYS) == 12
    assert 90 <= len(all_facts()) <= 130


def test_parts_off_are_as_worked_out_by_hand():
    told = [
        (
            *(line.item, line.side, line.state, line.removed_on, line.refitted_on, line.tag, line.former_tags),
            *(line.stowage, line.stowed_on, kinds(line)),
        )
        for line in lists().parts_off
    ]
    assert told == by_hand.PARTS


def test_fasteners_are_as_worked_out_by_hand():
    told = [
        (
            *(line.item, line.side, line.of, line.expected, line.expected_from, line.undone, line.drilled_out),
            *(line.bagged, line.bags, line.fitted, line.tightened, line.missing, line.left, line.not_bagged),
            tuple((question.kind, question.numbers) for question in line.questions),
        )
        for line in lists().fasteners
    ]
    assert told == by_hand.FASTENERS
    assert [line.uncounted for line in lists().fasteners if line.uncounted] == []


def test_disconnections_are_as_worked_out_by_hand():
    told = [
        (
            *(line.item, line.side, line.joint, line.disconnected_on, line.blanked_on, line.blanked_with),
            *(line.connected_on, line.inspect_independently),
            tuple((question.kind, *question.days) for question in line.questions),
        )
        for line in lists().disconnections
    ]
    assert told == by_hand.DISCONNECTIONS


def how_it_was(seen):
    return seen.measure[0].value if seen.measure else seen.grade


def test_findings_are_as_worked_out_by_hand():
    told = [
        (
            *(line.finding, line.item, line.side, line.place[0].at if line.place else None),
            tuple((one.on, how_it_was(one)) for one in line.seen),
            line.closed_on,
            *(tuple((move.on, move.what) for move in moves) for moves in (line.done, line.planned)),
        )
        for line in lists().findings
    ]
    assert told == by_hand.FINDINGS


def test_crack_that_was_15_mm_in_october_is_18_now_and_its_earlier_size_is_kept_as_earlier():
    (crack,) = [line for line in lists().findings if (line.finding, line.item) == ("crack", "frame")]
    assert how_it_was(crack) == 18
    assert [(how_it_was(one), one.earlier) for one in crack.seen] == [(15, ""), (15, "October"), (18, "")]
    assert crack.worst == 2


def test_holding_up_is_as_worked_out_by_hand():
    told = [
        (
            *(line.item, places(line), line.by, line.how, line.since.date(), line.until and line.until.date()),
            *(line.ended_by, line.questions),
        )
        for line in lists().holding_up
    ]
    assert told == by_hand.HOLDING_UP


def test_what_is_owed_is_as_worked_out_by_hand_and_what_was_done_since_is_not_there():
    told = [
        (
            *(line.status, line.act, line.item, line.side, line.said_on, line.age_days),
            tuple((wait.act, wait.item, wait.why) for wait in line.waits_for),
        )
        for line in lists().to_do
    ]
    assert told == by_hand.TO_DO


def test_work_not_done_is_owed_for_a_week_and_not_after():
    days = sorted(DAYS)

    def owed_after(number):
        facts = list(chain.from_iterable(facts_of(day) for day in days[:number]))
        return [(line.act, line.item) for line in to_do(facts, vocabulary()) if line.status == "not-done"]

    assert [owed_after(number) for number in (2, 3)] == [[("remove", "trim-tab")], []]
    assert [owed_after(number) for number in (5, 6)] == [[("undo", "tailplane")], []]
    assert [owed_after(number) for number in (9, 10)] == [[("separate", "transport-joint")], []]


def is_in_order(way: WayBack, steps) -> bool:
    turns = [way.order.index(step) for step in steps]
    return turns == sorted(turns)


def test_tail_goes_back_from_the_joint_outwards():
    assert is_in_order(lists().way_back, by_hand.BACK_IN_ORDER)


def test_refitted_part_closes_its_lines_and_no_other_is_closed():
    done = {step.id: step.done_on for step in lists().way_back.steps if step.done_on}
    assert done == by_hand.DONE_AGAIN


def test_what_the_trade_does_first_comes_out_whatever_else_was_told():
    # common practice, no source: rudder before fin, fins and elevators before tailplane, tail oleo before tailplane,
    # services free before a joint is parted, a section supported before its bolts are undone
    way = lists().way_back
    rules = {rule.rule: rule.source for rule in vocabulary().order}
    for rule, pairs in by_hand.TRADE.items():
        assert rules[rule] == "common practice, no source"
        for pair in pairs:
            assert is_in_order(way, pair), pair
            (edge,) = [one for one in way.edges if (one.before, one.after) == pair]
            assert rule in [reason.rule for reason in edge.reasons if reason.kind == "rule"]
            assert not edge.left_out


def test_section_that_was_supported_before_its_bolts_were_undone_gives_no_caution():
    def rules_for(facts):
        lines = holding_up(facts, vocabulary())
        found = causes(facts, lines, vocabulary())
        return [one.item for one in found if one.rule == "support-before-undo" and one.item == "transport-joint"]

    assert rules_for(all_facts()) == []
    bare = [one for one in all_facts() if one.fact.act != "support"]
    assert rules_for(bare) == ["transport-joint"]


@settings(deadline=None, max_examples=25)
@given(st.permutations(sorted(DAYS)))
def test_days_taken_in_in_any_order_give_the_very_same_lists(days):
    assert lists_of(list(chain.from_iterable(map(facts_of, days)))) == lists()


@settings(deadline=None, max_examples=25)
@given(st.permutations(sorted({logged.entry for logged in all_facts()})))
def test_entries_taken_in_in_any_order_give_the_very_same_lists(entries):
    assert lists_of([one for entry in entries for one in all_facts() if one.entry == entry]) == lists()


def moves_of(lists: Lists):
    """Yield (entry, day, act or finding) of all that stands on any line, and of every line at least one."""
    for part in lists.parts_off:
        yield [(one.entry, one.on, one.finding or one.act) for one in part.life]
    for line in (*lists.fasteners, *lists.disconnections, *lists.holding_up):
        yield [(one.entry, one.on, one.what.split()[0]) for one in line.moves]
    for finding in lists.findings:
        seen = [(one.entry, one.on, finding.finding) for one in finding.seen]
        yield [*seen, *((one.entry, one.on, one.what) for one in (*finding.done, *finding.planned))]
    for owed in lists.to_do:
        yield [(owed.entry, owed.said_on, owed.act)]


def test_every_line_leads_back_to_what_was_done_on_its_day_and_to_the_entry_that_says_who():
    # What a line of a maintenance record must hold: a description of the work done, the date of its completion, and
    # the name of the person who did it. Source: 14 CFR 43.9(a)(1), (2), (3); UK CAA CAP 562 asks for the same (from
    # memory). A list names nobody: its lines lead to the entry, and who spoke stands there
    # (tests/outside/test_maintenance_record.py).
    told = {(one.entry, one.at.date(), one.fact.finding or one.fact.act) for one in all_facts()}
    lines = list(moves_of(lists()))
    assert len(lines) == sum(
        len(one)
        for one in (
            *(by_hand.PARTS, by_hand.FASTENERS, by_hand.DISCONNECTIONS),
            *(by_hand.HOLDING_UP, by_hand.FINDINGS, by_hand.TO_DO),
        )
    )
    for line in lines:
        assert line
        assert set(line) <= told
    entries = {one.entry for one in all_facts()}
    assert all(step.entries and set(step.entries) <= entries for step in lists().way_back.steps)
