"""Results are read only where somebody asks for them, and their digests tell of every change."""

import pytest

from pipeline.results import Given, Results, digests_of, values_of
from pipeline.store import Store
from pipeline.values import Codes


@pytest.fixture
def store(tmp_path):
    with Store(tmp_path / "book.db") as opened:
        yield opened


def results(store, **tags):
    digests = {
        item: store.keep("codes", item, "key", Codes(tags=one).model_dump_json()) for item, one in tags.items()
    }
    return Results(store, "codes", Codes, digests)


def test_values_are_read_when_they_are_asked_for_and_come_in_the_order_of_their_items(store, monkeypatch):
    asked = []
    really = Store.value
    monkeypatch.setattr(Store, "value", lambda self, *what: asked.append(what) or really(self, *what))
    found = results(store, b=("P-0002",), a=("P-0001",))
    assert list(found) == ["a", "b"] and len(found) == 2 and "c" not in found
    assert asked == []
    assert found["b"].tags == ("P-0002",)
    assert asked == [("codes", "b")]
    assert [(item, one.tags) for item, one in found.each()] == [("a", ("P-0001",)), ("b", ("P-0002",))]
    with pytest.raises(KeyError):
        found["c"]


def test_what_the_stage_once_made_of_an_item_that_is_no_more_is_not_among_the_results(store):
    results(store, a=(), gone=())
    assert [item for item, _ in results(store, a=()).each()] == ["a"]


def test_digest_of_all_results_changes_with_every_item_and_every_value(store):
    every = [results(store, **tags).digest for tags in ({"a": ()}, {"a": ("P-1",)}, {"b": ()}, {"a": (), "b": ()})]
    assert len(set(every)) == 4
    assert results(store, a=()).digest == every[0]


def test_a_task_is_given_one_items_result_or_all_of_a_stage(store):
    made = {"codes": results(store, a=("P-0001",), b=())}
    given = (Given("codes", "a"), Given("codes"))
    assert values_of(made, given) == [Codes(tags=("P-0001",)), made["codes"]]
    assert digests_of(made, given) == [made["codes"].digests["a"], made["codes"].digest]


def test_only_values_that_are_not_the_usual_one_are_read(store, monkeypatch):
    found = results(store, a=("P-0001",), b=(), c=("P-0003",))
    asked = []
    really = Store.value
    monkeypatch.setattr(Store, "value", lambda self, *what: asked.append(what) or really(self, *what))
    assert [(item, one.tags) for item, one in found.each_but(Codes())] == [("a", ("P-0001",)), ("c", ("P-0003",))]
    assert asked == [("codes", "a"), ("codes", "c")]
