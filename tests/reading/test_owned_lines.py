"""Pipes named by what they belong to."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("fuel pump pipes", "fuel-line"),
        ("oil cooler pipes", "oil-line"),
        ("oil tank lines", "oil-line"),
        ("coolant radiator hoses", "coolant-line"),
        ("hydraulic reservoir pipes", "hydraulic-line"),
    ],
)
def test_pipes_of_a_part_are_lines_of_what_runs_through_it(note_reader: NoteReader, name: str, line: str) -> None:
    facts = note_reader.read(f"The {name} are off, both blanked.")
    assert {fact.item for fact in facts} == {line}
    assert any(fact.act == "blank" for fact in facts)


def test_an_owner_without_a_line_of_its_own_leaves_the_pipe_open(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The jack's pipe is capped.")
    assert any("not settled" in doubt for doubt in fact.doubts) or fact.item == "hydraulic-line"
