"""Inspections told as nouns."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _inspected(note_reader: NoteReader, text: str) -> list[tuple[str, str | None]]:
    return [(fact.status, fact.item) for fact in note_reader.read(text) if fact.act == "inspect"]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Second inspection on the aileron circuit still outstanding.", "aileron"),
        ("Second inspection of the rudder is outstanding.", "rudder"),
        ("Duplicate on the ailerons is still owed.", "aileron"),
        ("The duplicate on the rudder isn't done.", "rudder"),
    ],
)
def test_an_inspection_that_is_outstanding_was_not_done(note_reader: NoteReader, text: str, item: str) -> None:
    assert _inspected(note_reader, text) == [("planned", item)]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Duplicate inspection of the elevator circuit done, Wilf first, Ottoline second.", "elevator"),
        ("Rudder duplicate done.", "rudder"),
        ("The elevator's had its duplicate.", "elevator"),
        ("Duplicate inspection on the port aileron carried out by Ottoline.", "aileron"),
    ],
)
def test_a_duplicate_that_was_done_is_an_inspection(note_reader: NoteReader, text: str, item: str) -> None:
    assert _inspected(note_reader, text) == [("done", item)]


@pytest.mark.parametrize(
    "text",
    [
        "If the duplicate on the rudder is done we can close up.",
        "Is the duplicate done on the rudder?",
        "Nobody's done the duplicate on the rudder.",
        "The rudder inspection panel's off, ten screws.",
        "The inspection lamp's broken, we're done.",
    ],
)
def test_no_other_inspection_is_made_up(note_reader: NoteReader, text: str) -> None:
    assert _inspected(note_reader, text) == []


@pytest.mark.parametrize(
    "text",
    [
        "The duplicate on the rudder will be done Monday.",
        "The duplicate on the rudder gets done on Monday.",
        "The duplicate on the rudder can be done once the pins are in.",
        "The rudder's duplicate has to be done.",
        "We'll get the duplicate on the rudder done.",
    ],
)
def test_an_inspection_still_to_come_is_never_done(note_reader: NoteReader, text: str) -> None:
    assert all(fact.status != "done" for fact in note_reader.read(text))
