import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.records import FactRecord
from pipeline.writing.titles import entry_title
from tests.writing.a_weekend import fact, records, vocabulary
from tests.writing.any_fact import FACTS


def _title(*facts: FactRecord, photos: bool = False) -> str:
    entry = records().entries[0].model_copy(update={"facts": facts})
    return entry_title(entry if photos else entry.model_copy(update={"photos": ()}), vocabulary())


def _done(act: str, item: str, side: str | None = None, **more: object) -> FactRecord:
    return fact("done", act=act, item=item, side=side, **more)


@pytest.mark.parametrize(
    ("facts", "title"),
    [
        ((_done("remove", "aileron", "port"),), "Port aileron"),
        ((_done("remove", "aileron", "both"),), "Ailerons"),
        ((_done("remove", "aileron", "port"), _done("store", "aileron", "starboard")), "Ailerons"),
        ((_done("undo", "flap"), _done("undo", "flap", "port")), "Port flap"),
        ((_done("undo", "flap", "port"), _done("undo", "aileron", "port")), "Port flap and aileron"),
        ((_done("undo", "flap", "port"), _done("undo", "bracket")), "Port flap and bracket"),
        ((_done("bag", "bolt", "port"), _done("remove", "flap")), "Flap"),
        ((_done("bag", "bolt"), _done("bag", "nut")), "Bolts and nuts"),
        ((_done("disconnect", "control-cable", count=2, of="control-cable"),), "Control cables"),
        ((fact("planned", act="treat", item="spar-cap"),), "To do: spar cap"),
        ((fact("explained", act="held-by", item="flap"),), "How it goes: flap"),
        ((), "Spoken note"),
    ],
)
def test_an_entry_is_called_by_the_parts_that_it_is_about(facts: tuple[FactRecord, ...], title: str) -> None:
    assert _title(*facts) == title


def test_of_many_parts_the_most_telling_three_are_named_in_the_order_told() -> None:
    facts = (
        _done("clean", "bracket"),
        _done("store", "fuel-line"),
        _done("undo", "aileron-hinge", "port"),
        _done("remove", "aileron", "port"),
        _done("remove", "flap", "port"),
    )
    assert _title(*facts) == "Bracket, port aileron and port flap"


def test_an_entry_without_facts_is_called_by_its_photos() -> None:
    assert _title(photos=True) == "Photos, with what was said"


@given(st.lists(FACTS, max_size=8))
def test_no_title_names_a_part_twice_or_more_than_three(facts: list[FactRecord]) -> None:
    title = _title(*facts)
    assert title and title[0].isupper()
    named = title.split(": ")[-1].lower().replace(" and ", ", ").split(", ")
    assert len(named) <= 3 and len(set(named)) == len(named)
