"""The index of words: brought up to date row by row, it finds what one finds that is made from nothing."""

from pathlib import Path

import pytest

from pipeline import search
from pipeline.reading.fact import Stowage
from pipeline.records import FactRecord, Records
from pipeline.search import find, index
from pipeline.store import Store
from tests.writing.a_weekend import records, vocabulary

ASKED = (["bolt"], ["aileron"], ["rack", "2"], ["the"], ["hydraulic", "oil"], ["undercarriage"])


def _all_rows(store: Store) -> list[tuple[str, ...]]:
    return sorted(store.connection.execute("SELECT kind, id, day, at, text, also FROM words"))


def _with_other_words(book: Records) -> Records:
    first = book.utterances[0].model_copy(update={"read": "The bolts of the rudder are in the oil."})
    return book.model_copy(update={"utterances": (first, *book.utterances[1:])})


def _with_less(book: Records) -> Records:
    lists = book.lists.model_copy(update={"parts_off": book.lists.parts_off[1:]})
    return book.model_copy(update={"utterances": book.utterances[2:], "entries": book.entries[1:], "lists": lists})


@pytest.mark.parametrize("changed", [_with_other_words, _with_less])
def test_index_that_was_brought_up_to_date_is_as_one_that_is_made_from_nothing(tmp_path: Path, changed) -> None:
    with Store(tmp_path / "grown.db") as grown, Store(tmp_path / "new.db") as new:
        for book in (records(), changed(records()), records(), changed(records())):
            index(grown, book, vocabulary())
        index(new, changed(records()), vocabulary())
        assert _all_rows(grown) == _all_rows(new)
        for words in ASKED:
            assert find(grown, words) == find(new, words)
        assert find(grown, ["aileron"])


def test_only_what_changed_is_written(tmp_path: Path) -> None:
    with Store(tmp_path / "book.db") as store:
        index(store, records(), vocabulary())
        before = store.connection.total_changes
        index(store, records(), vocabulary())
        assert store.connection.total_changes == before


def test_numbers_are_looked_for_in_new_words_alone_and_in_all_by_another_program(tmp_path: Path, monkeypatch) -> None:
    looked_in: list[str] = []
    really = search.find_numbers
    monkeypatch.setattr(search, "find_numbers", lambda text: looked_in.append(text) or really(text))
    with Store(tmp_path / "book.db") as store:
        index(store, records(), vocabulary())
        every = len(looked_in)
        index(store, _with_other_words(records()), vocabulary())
        assert looked_in[every:] == ["The bolts of the rudder are in the oil."]
        monkeypatch.setattr("pipeline.search.made_by", lambda: "another program")
        index(store, records(), vocabulary())
        assert len(looked_in) == 2 * every + 1


def test_index_of_an_older_program_is_made_anew(tmp_path: Path) -> None:
    with Store(tmp_path / "book.db") as store:
        store.connection.executescript(
            "CREATE VIRTUAL TABLE words USING fts5(kind UNINDEXED, id UNINDEXED, day UNINDEXED, text, also);"
            "INSERT INTO words VALUES ('speech', '', '', 'zeppelin', '');"
        )
        index(store, records(), vocabulary())
        assert find(store, ["zeppelin"]) == []
        assert find(store, ["aileron"])


def test_speech_is_found_by_the_bag_and_the_tag_that_it_tells_in_whatever_words(tmp_path: Path) -> None:
    book = records()
    first = book.entries[0]
    said = first.utterances[0]
    fact = FactRecord(
        status="done", act="bag", item="bolt", stowage=Stowage(bag="11"), said="bag eleven", utterances=(said,)
    )
    changed = first.model_copy(update={"facts": (fact,)})
    with Store(tmp_path / "book.db") as store:
        index(store, book.model_copy(update={"entries": (changed, *book.entries[1:])}), vocabulary())
        assert [hit.entry for hit in find(store, ["bag", "11"])] == [first.id]


def _says(text: str) -> Records:
    book = records()
    first = book.utterances[0].model_copy(update={"read": text, "heard": text})
    return book.model_copy(update={"utterances": (first, *book.utterances[1:])})


@pytest.mark.parametrize("said", ["The engine is in bay seventeen.", "The engine is in bay 17."])
@pytest.mark.parametrize("asked", [["bay", "seventeen"], ["bay 17"], ["seventeen", "bay"]])
def test_number_is_found_in_words_and_in_figures(tmp_path: Path, said: str, asked: list[str]) -> None:
    with Store(tmp_path / "book.db") as store:
        index(store, _says(said), vocabulary())
        assert [hit.text for hit in find(store, asked)] == [said]
        assert find(store, ["bay", "eighteen"]) == []


def test_number_of_several_words_is_found_by_them_and_by_its_figures(tmp_path: Path) -> None:
    with Store(tmp_path / "book.db") as store:
        index(store, _says("Panel two had thirty-six screws."), vocabulary())
        for asked in (["thirty-six", "screws"], ["36 screws"], ["thirty", "six"]):
            assert len(find(store, asked)) == 1, asked
