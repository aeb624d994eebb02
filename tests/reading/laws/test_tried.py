"""What was tried and would not come."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "act", "item", "side"),
    [
        ("We had a go at the undercarriage bolt, couldn't shift it.", "undo", "main-undercarriage", None),
        ("Two of us on the bar on the propeller nut and it still wouldn't budge.", "undo", "propeller", None),
        ("Had a pull at the starboard axle, it's not for moving.", "remove", "axle", "starboard"),
        ("Gave the port magneto a good pull. Couldn't budge it at all.", "remove", "magneto", "port"),
        ("Three of the drain plugs came out and the fourth wouldn't.", "remove", "drain-plug", None),
    ],
)
def test_what_would_not_come_is_not_lost(
    note_reader: NoteReader, text: str, act: str, item: str, side: str | None
) -> None:
    (fact,) = [fact for fact in note_reader.read(text) if fact.status == "not-done"]
    assert (fact.act, fact.item, fact.side) == (act, item, side)


@pytest.mark.parametrize(
    "text", ["If it won't budge put some heat on the axle.", "You pull the axle till it won't budge."]
)
def test_what_might_not_come_is_no_try(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.status == "not-done"]
