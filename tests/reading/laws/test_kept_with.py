"""What is kept with something else."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The hanger bearing's in box seven with the shims.", {("hanger-bearing", None), ("shim", None)}),
        ("The carburettor's in box two along with its four nuts.", {("carburettor", None), ("nut", 4)}),
    ],
)
def test_both_are_in_the_store(note_reader: NoteReader, text: str, told: set[tuple[str, int | None]]) -> None:
    kept = [fact for fact in note_reader.read(text) if fact.stowage]
    assert {(fact.item, fact.count) for fact in kept} == told
    assert len({fact.stowage for fact in kept}) == 1


def test_lid_that_is_on_is_not_in_the_box(note_reader: NoteReader) -> None:
    facts = note_reader.read("The rudder pedal's in box seven with the cover on.")
    assert {fact.item for fact in facts if fact.stowage} == {"rudder-pedal"}
