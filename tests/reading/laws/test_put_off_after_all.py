"""Work told without a verb, and kept for another day in the next sentence, was not done."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    "text",
    [
        "Wheel off, new bearing in. That's next week's job.",
        "Rudder off, three pins. That's for Saturday.",
        "Rudder off, cables off. We'll do that on Saturday.",
        "Rudder off, then the fin. So that's tomorrow.",
    ],
)
def test_what_is_put_off_in_the_next_breath_is_planned(note_reader: NoteReader, text: str) -> None:
    assert {fact.status for fact in note_reader.read(text) if fact.act} == {"planned"}


@pytest.mark.parametrize(
    "text",
    [
        "Rudder's off. We'll do the fin on Saturday.",
        "We took the rudder off. That's it till Saturday.",
        "Rudder off, three pins. That's a good day's work.",
    ],
)
def test_what_is_off_stays_off_where_something_else_is_put_off(note_reader: NoteReader, text: str) -> None:
    assert ("done", "remove", "rudder") in [(f.status, f.act, f.item) for f in note_reader.read(text)]


def test_order_that_is_put_off_is_planned(note_reader: NoteReader) -> None:
    text = (
        "The weep is at the drain cock, it wants a new washer. Drain it down, two minutes job, washer in. "
        "We'll do it next week."
    )
    assert {fact.status for fact in note_reader.read(text) if fact.act} == {"planned"}
