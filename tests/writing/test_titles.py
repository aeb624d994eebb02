from datetime import UTC

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.records import FactRecord, UnplacedPhoto
from pipeline.writing.fact_names import FactNames
from pipeline.writing.logbook_index import day_lines
from pipeline.writing.titles import entry_title
from pipeline.writing.wording import fact_text
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


def test_a_title_names_the_control_and_the_engine_that_the_words_name() -> None:
    facts = (_done("connect", "engine-control-rod"), _done("fit", "engine"))
    entry = records().entries[0].model_copy(update={"facts": facts, "photos": ()})
    names = (FactNames(called="throttle rod"), FactNames(position="number 3"))
    assert entry_title(entry, vocabulary(), names) == "Throttle rod and number 3 engine"
    two = (FactNames(called="throttle rod"), FactNames())
    again = entry.model_copy(update={"facts": (_done("connect", "engine-control-rod"),) * 2})
    assert entry_title(again, vocabulary(), two) == "Throttle rod"
    assert entry_title(again, vocabulary(), (*two[:1], FactNames(called="mixture rod"))) == "Engine control rods"


def test_a_days_line_names_each_part_once_and_entries_without_a_part_only_where_there_is_none() -> None:
    book, day = records(), records().entries[0].at.date()
    first = book.entries[0].model_copy(update={"facts": (_done("remove", "aileron", "port"),)})
    bare = book.entries[0].model_copy(update={"facts": (), "id": "e-bare"})
    for entries, about in (
        ((first, bare, first), ("Port aileron",)),
        ((bare, bare), (entry_title(bare, vocabulary()),)),
    ):
        some = book.model_copy(update={"entries": entries})
        (line,) = day_lines(some, vocabulary(), UTC, [day])
        assert (line.entries, line.about, line.more) == (len(entries), about, False)
    photo = UnplacedPhoto(media=book.media[0].id, why="nothing was said")
    alone = book.model_copy(update={"entries": (), "unplaced_photos": (photo,)})
    (line,) = day_lines(alone, vocabulary(), UTC, [book.media[0].taken_at.date()])
    assert (line.photos, line.about) == (1, ("Photos alone, nothing said",))


@pytest.mark.parametrize(
    ("told", "text"),
    [
        (_done("lock", "wing-joint"), "Locked the fastenings of the wing joint"),
        (_done("tighten", "control-cable"), "Tightened the control cable"),
        (_done("lock", "canopy"), "Locked the canopy"),
        (_done("tighten", "wing-joint", count=4, of="bolt"), "Tightened 4 bolts at the wing joint"),
    ],
)
def test_what_holds_a_part_is_tightened_and_locked_and_not_the_part(told: FactRecord, text: str) -> None:
    assert fact_text(told, vocabulary()) == text
