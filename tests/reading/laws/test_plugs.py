"""Plugs that join wires, and those that are screwed in."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("I connected three plugs.", {"plug-and-socket"}),
        ("Three plugs are unplugged and taped.", {"plug-and-socket"}),
        ("The spark plugs are disconnected.", {"spark-plug"}),
        ("Plugs are out, all eighteen.", {"spark-plug"}),
    ],
)
def test_plugs_that_are_connected_or_parted_are_of_wires(note_reader: NoteReader, text: str, items: set[str]) -> None:
    assert {fact.item for fact in note_reader.read(text)} == items
