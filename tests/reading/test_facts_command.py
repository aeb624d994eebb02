import json

import pytest

from pipeline.errors import WrongCommand
from pipeline.reading import facts_command
from pipeline.reading.facts_command import read_lines
from pipeline.reading.note_reader import NoteReader


def test_lines_of_notes_become_lines_of_facts(note_reader: NoteReader) -> None:
    lines = ['{"id": "a", "text": "The fin is off."}\n', "\n", '{"id": "b", "text": "Lovely day."}\n']
    read = [json.loads(line) for line in read_lines(lines, note_reader, "notes.jsonl")]
    assert read == [
        {"id": "a", "facts": [{"status": "done", "act": "remove", "item": "fin"}]},
        {"id": "b", "facts": []},
    ]


def test_explained_facts_carry_words_rule_and_what_was_inferred(note_reader: NoteReader) -> None:
    line = '{"id": "a", "text": "Port engine. The magneto is off."}'
    (read,) = [json.loads(out) for out in read_lines([line], note_reader, "notes.jsonl", explain=True)]
    (fact,) = read["facts"]
    assert fact["span"] == "The magneto is off"
    assert fact["words"] == [13, 31]
    assert fact["rule"]
    assert "side" in fact["inferred"]
    assert 0.5 < fact["confidence"] <= 1
    assert fact["check"] == []


def test_fact_with_two_readings_is_marked_for_checking(note_reader: NoteReader) -> None:
    texts = ("Put the rudder on rack 4.", "The pump's weeping.")
    for text in texts:
        line = json.dumps({"id": "a", "text": text})
        (read,) = [json.loads(out) for out in read_lines([line], note_reader, "notes.jsonl", explain=True)]
        assert all(fact["check"] for fact in read["facts"]) and read["facts"], text


def test_pauses_are_taken_from_the_line(note_reader: NoteReader) -> None:
    note = {"id": "a", "text": "the fin is off the rudder we left on", "pauses": [15]}
    (read,) = [json.loads(out) for out in read_lines([json.dumps(note)], note_reader, "notes.jsonl")]
    assert [fact["status"] for fact in read["facts"]] == ["done", "not-done"]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{", "it is no JSON"),
        ("[]", "it is no object in braces"),
        ('{"id": "a"}', '"text" is missing'),
        ('{"id": 3.5, "text": "x"}', '"id" is neither words in quotes nor a whole number'),
        ('{"id": true, "text": "x"}', '"id" is neither words in quotes nor a whole number'),
        ('{"id": "a", "text": 7}', '"text" is not in quotes'),
        ('{"id": "a", "text": "x", "pauses": ["y"]}', '"pauses"'),
    ],
)
def test_line_that_is_no_note_is_named(note_reader: NoteReader, line: str, says: str) -> None:
    with pytest.raises(WrongCommand, match=r"notes\.jsonl, line 2") as caught:
        list(read_lines(['{"id": "a", "text": ""}', line], note_reader, "notes.jsonl"))
    assert says in str(caught.value)


def test_a_fault_of_json_names_the_files_line_and_no_other(note_reader):
    with pytest.raises(WrongCommand, match=r"line 2: it is no JSON: [^.]*, column 2\.") as caught:
        list(read_lines(['{"id": "a", "text": ""}', "{bad"], note_reader, "notes.jsonl"))
    assert "line 1" not in str(caught.value)


def test_a_whole_number_as_id_is_given_back_as_one(note_reader):
    lines = ['{"id": 21, "text": "The fin is off."}', '{"id": "21", "text": "The fin is off."}']
    assert [json.loads(out)["id"] for out in read_lines(lines, note_reader, "notes.jsonl")] == [21, "21"]


def test_half_a_letter_that_an_escape_tells_costs_no_note(note_reader):
    lines = [r'{"id": "a", "text": "The fin is off. \ud83d The port rudder is off. \ud83d\ude00"}']
    (read,) = [json.loads(out) for out in read_lines(lines, note_reader, "notes.jsonl")]
    assert {fact["item"] for fact in read["facts"]} == {"fin", "rudder"}


def test_many_notes_shared_out_over_processes_give_the_same_lines(note_reader, monkeypatch):
    lines = [json.dumps({"id": str(at), "text": f"We took {at} bolts out of the fin."}) for at in range(2, 9)]
    alone = list(read_lines(lines, note_reader, "notes.jsonl", explain=True))
    monkeypatch.setattr(facts_command, "WORTH_A_PROCESS", 2)
    monkeypatch.setattr(facts_command, "SHARE", 3)
    assert list(read_lines(lines, note_reader, "notes.jsonl", explain=True, jobs=2)) == alone


def test_what_seems_a_part_and_stands_in_no_list_is_named_apart_and_is_no_item(note_reader):
    line = json.dumps({"id": "a", "text": "The gizmo plate is off. The port rudder is off."})
    (read,) = [json.loads(out) for out in read_lines([line], note_reader, "notes.jsonl", explain=True)]
    assert read["unlisted"] == ["gizmo plate"]
    assert {fact["item"] for fact in read["facts"]} == {"rudder"}


def test_a_part_number_is_no_count(note_reader):
    line = json.dumps({"id": "a", "text": "We took two AN4-12A bolts out of the fin."})
    (read,) = [json.loads(out) for out in read_lines([line], note_reader, "notes.jsonl")]
    assert [(fact["act"], fact["item"], fact["count"], fact["of"]) for fact in read["facts"]] == [
        ("undo", "fin", 2, "bolt")
    ]
