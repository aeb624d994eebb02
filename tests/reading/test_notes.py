"""The reader against notes that were written and marked for it, beside the ones that it was built on."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tests.reading.score_facts import key_of, read_notes, score, slot_of

KEPT_BACK = Path(__file__).parent / "kept_back.jsonl"
KEPT_BACK_TOO = Path(__file__).parent / "kept_back_too.jsonl"


def test_notes_that_nothing_was_tuned_on_are_read_as_they_were_marked() -> None:
    for kept in (KEPT_BACK, KEPT_BACK_TOO):
        total = score(read_notes(kept))
        assert total.keys.f1 >= 0.87
        assert total.keys.precision >= 0.88
        assert total.status.precision >= 0.97
        assert total.on_empty <= 3
        assert total.slots["place"].f1 >= 0.8
        assert total.slots["count"].f1 >= 0.85


def test_rules_alone_read_the_better_part() -> None:
    total = score(read_notes(KEPT_BACK, by_rules=True))
    assert total.keys.f1 >= 0.72
    assert total.keys.precision >= 0.77
    assert total.status.precision >= 0.95
    assert total.on_empty <= 5


def test_scorer_counts_a_fact_right_only_where_status_act_item_and_side_agree() -> None:
    marked: list[Mapping[str, Any]] = [
        {"status": "done", "act": "remove", "item": "fin"},
        {"status": "seen", "finding": "crack", "item": "fin", "absent": True},
    ]
    read: list[Mapping[str, Any]] = [
        {"status": "planned", "act": "remove", "item": "fin"},
        {"status": "seen", "finding": "crack", "item": "fin"},
    ]
    total = score([(marked, read)])
    assert (total.keys.right, total.keys.read, total.keys.marked) == (0, 2, 2)
    assert (total.status.right, total.status.marked) == (0, 1)


def test_scorer_counts_facts_on_notes_that_have_none() -> None:
    made_up: list[Mapping[str, Any]] = [{"status": "done", "act": "remove", "item": "fin"}]
    nothing: list[Mapping[str, Any]] = []
    total = score([(nothing, made_up), (nothing, nothing)])
    assert (total.on_empty, total.empty_notes) == (1, 2)


def test_scorer_compares_slots_whatever_their_order() -> None:
    one = {"status": "seen", "place": [{"scheme": "frame", "at": "12"}, {"scheme": "rib", "at": "A"}]}
    other = {"status": "seen", "place": [{"scheme": "rib", "at": "a"}, {"scheme": "frame", "at": "12"}]}
    assert slot_of(one, "place") == slot_of(other, "place")
    assert slot_of({"count": 4, "of": "bolt"}, "count") != slot_of({"count": 4, "of": "nut"}, "count")
    assert key_of({"status": "done", "act": "fit", "item": "fin"}) != key_of(
        {"status": "done", "act": "fit", "item": "fin", "side": "port"}
    )
