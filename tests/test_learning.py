"""Notes made ready for fitting: nothing is lost or moved from its place on the way."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from learning.lacking import lacking
from learning.ready import Marked, joined, made_ready, marked, places_told, versions
from learning.talked import talks
from pipeline.reading.learnt.prepared import SLOTS
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.shipped import shipped

NOTES = sorted((Path(__file__).parent.parent / "learning" / "notes").glob("*.jsonl"))
TEXT = "Right, took the port flap off, 2.5 mm of play in it. The starboard one's next; left outer door's shut."


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader(load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"]))


def _versions(reader: Reader, text: str):
    return list(versions(text, next(reader.read_by_rule([(text, ())])).pieces))


def test_note_is_taken_bare_and_with_its_sides_changed_about(reader):
    plain, bare, turned, turned_bare = _versions(reader, TEXT)
    assert plain.text == TEXT
    assert bare.text.startswith("right took the port flap off 2.5 mm of play in it the starboard one's next")
    assert "took the starboard flap off" in turned.text and "The port one's next; right outer door" in turned.text
    assert turned.text.startswith("Right, took")
    assert "took the starboard flap off 2.5 mm" in turned_bare.text


@pytest.mark.parametrize("word", ["flap", "2.5", "play", "next", "door"])
def test_every_word_is_found_where_it_went(reader, word):
    start = TEXT.index(word)
    for version in _versions(reader, TEXT):
        assert version.text[version.moved[start] : version.moved[start + len(word)]].lower() == word


def test_facts_are_told_where_their_words_stand_one_after_the_other():
    facts = [{"told": "off"}, {"told": "off"}, {"told": "gone"}, {}]
    assert places_told("flap off, tab off", facts) == [(5, 8), (5, 8), None, None]
    assert places_told("flap off, tab off", [{"told": "tab"}, {"told": "off"}]) == [(10, 13), (14, 17)]


@given(st.lists(st.text("ab ", min_size=1, max_size=40), max_size=12))
def test_joined_notes_are_all_there_in_order_and_still_told_at_their_places(texts):
    notes = [Marked(str(at), text, ({"n": at},), ((0, len(text)),)) for at, text in enumerate(texts)]
    talk = list(joined(notes, words=10))
    told = [(one.text[slice(*at)], fact["n"]) for one in talk for at, fact in zip(one.told, one.facts, strict=True)]
    assert told == [(text, at) for at, text in enumerate(texts)]


def test_marked_notes_have_known_items_and_tell_each_fact_by_words_of_their_text(reader):
    ids = []
    parts = {part.notation for part in reader.vocabulary.parts} | {one.notation for one in reader.vocabulary.counted}
    for path in NOTES:
        for line in path.read_text(encoding="utf-8").splitlines():
            note = json.loads(line)
            ids.append(note["id"])
            assert all(fact["told"] in note["text"] for fact in note["facts"]), note["id"]
            assert {fact["item"] for fact in note["facts"] if "item" in fact} <= parts, note["id"]
    assert len(ids) == len(set(ids)) > 12_000


def without_marks(text: str) -> str:
    return "".join(letter for letter in text.lower() if letter not in ",.?!")


def test_made_talk_tells_each_fact_in_order_and_names_each_part_before_what_is_told_of_it(reader):
    made = talks(reader.vocabulary, seed=3)
    assert made == talks(reader.vocabulary, seed=3) != talks(reader.vocabulary, seed=4)
    assert len({fact["item"] for one in made for fact in one["facts"]}) > 300
    for one in made:
        told = places_told(one["text"], one["facts"])
        assert None not in told and told == sorted(told), one["id"]
        for fact, (first, _) in zip(one["facts"], told, strict=True):
            if fact.get("act") != "bag":  # of which the item is what was undone
                part = reader.vocabulary.part(fact["item"])
                before = without_marks(one["text"][:first])
                assert any(without_marks(name) in before for name in (part.preferred, *part.alternatives)), one["id"]


def test_note_made_ready_keeps_facts_and_sides_together(reader):
    note = {"id": "a", "text": "The port flap is off.", "facts": [
        {"status": "done", "act": "remove", "item": "flap", "side": "port", "told": "off"}
    ]}  # fmt: skip
    (ways,) = made_ready(reader, marked(note), with_rules=True)
    assert [way["facts"][0]["side"] for way in ways] == ["port", "port", "starboard", "starboard"]
    assert [way["rules"][0]["side"] for way in ways] == ["port", "port", "starboard", "starboard"]
    assert all(way["text"][slice(*way["told"][0])] == "off" for way in ways)
    assert all("told" not in way["facts"][0] for way in ways)
    assert made_ready(reader, marked(note), with_rules=False)[0][0]["rules"] == []


def test_long_note_comes_in_stretches_and_every_fact_is_told_in_one(reader):
    sentence = "The port flap is off. Tea was late and nobody had swept the floor under the bench again. "
    fact = {"status": "done", "act": "remove", "item": "flap", "side": "port", "told": "off"}
    note = {"id": "a", "text": (sentence * 12).strip(), "facts": [dict(fact) for _ in range(12)]}
    stretches = [way for (way,) in made_ready(reader, marked(note), with_rules=True)]
    assert len(stretches) > 4
    assert all(way["text"][slice(*at)].lower() == "off" for way in stretches for at in way["told"])
    assert sum(len(way["facts"]) for way in stretches) >= 24  # as it stands and bare


def test_what_nothing_can_fill_is_counted(reader):
    note = {"id": "a", "text": "Nine screws are out of the port flap.", "facts": [
        {"status": "done", "act": "undo", "item": "flap", "side": "port", "count": 9, "of": "screw", "told": "out"},
        {"status": "done", "act": "undo", "item": "rudder", "count": 8, "of": "screw", "told": "out"},
    ]}  # fmt: skip
    (ways,) = made_ready(reader, marked(note), with_rules=False)
    counted, lacks = lacking(ways[:1], SLOTS)
    assert (counted, lacks) == ({"item": 2, "count": 2}, {"item": 1, "count": 1})
