"""Damage that was mended."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _told(note_reader: NoteReader, text: str) -> list[tuple[object, ...]]:
    facts = note_reader.read(text)
    return [(fact.status, fact.act or fact.finding, fact.item, fact.side) for fact in facts]


@pytest.mark.parametrize(
    ("text", "item", "side"),
    [
        ("The crack has been welded on the engine mount.", "engine-mount", None),
        ("The hole's been patched in the port aileron fabric.", "wing-fabric", "port"),
        ("The split in the rib 6 has been glued.", "rib", None),
        ("The crack at frame 12 is stop drilled and a patch riveted over it.", "frame", None),
        ("The gouge in the starboard door has been filled.", "door", "starboard"),
        ("The dent is out.", None, None),
    ],
)
def test_damage_that_was_mended_is_a_repair_of_what_bears_it_and_not_seen(
    note_reader: NoteReader, text: str, item: str | None, side: str | None
) -> None:
    assert _told(note_reader, text) == [("done", "repair", item, side)]


@pytest.mark.parametrize(
    "text",
    ["The crack in the bracket isn't welded yet.", "The crack in the bracket is to be welded.", "The dent is deep."],
)
def test_damage_that_is_not_mended_is_repaired_by_nobody(note_reader: NoteReader, text: str) -> None:
    assert ("done", "repair") not in [told[:2] for told in _told(note_reader, text)]


def test_crack_that_was_found_and_then_welded_is_seen_and_repaired(note_reader: NoteReader) -> None:
    told = _told(note_reader, "Rudder: crack found at the lower hinge, it's been welded up now.")
    assert [one[:3] for one in told] == [("seen", "crack", "rudder"), ("done", "repair", "rudder")]


def test_fasteners_in_a_bag_bear_no_damage_that_was_filled(note_reader: NoteReader) -> None:
    text = "There's a gash in the starboard flap. Bagged the two bolts. The gash has been filled."
    assert [fact.item for fact in note_reader.read(text) if fact.act == "repair"] == [None]
