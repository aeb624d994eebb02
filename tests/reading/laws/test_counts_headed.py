"""Numbers told of a heading, or out of a whole."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Cowling bolts: nine out, three to go.",
            [("done", "undo", "cowling", 9, "bolt"), ("planned", "undo", "cowling", 3, "bolt")],
        ),
        (
            "Pitch links, two off, one still to come.",
            [("done", "remove", "pitch-link", 2, "pitch-link"), ("planned", "remove", "pitch-link", 1, "pitch-link")],
        ),
        (
            "Hinge pins, two in, two still to find.",
            [("done", "fit", None, 2, "pin"), ("planned", "fit", None, 2, "pin")],
        ),
        ("Engine mount bolts: four of eight in.", [("done", "fit", "engine-mount", 4, "bolt")]),
    ],
)
def test_numbers_after_a_heading_are_told_of_it(
    note_reader: NoteReader, text: str, told: list[tuple[object, ...]]
) -> None:
    assert [(fact.status, fact.act, fact.item, fact.count, fact.of) for fact in note_reader.read(text)] == told


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("Twelve nuts of the sixteen are off the tail boom.", [12]),
        ("The wing joint. Ten bolts, six undone.", [6]),
        ("2 of 3 hinge bolts out, rudder.", [2]),
        ("Fitted the windscreen, eleven of the twenty screws are in.", [11]),
        ("Undid four bolts on the fin, then another four bolts.", [4, 4]),
        ("Both magnetos off. Three bolts each.", [6]),
    ],
)
def test_part_of_a_whole_is_counted_and_only_once(note_reader: NoteReader, text: str, counts: list[int]) -> None:
    assert [fact.count for fact in note_reader.read(text) if fact.count] == counts


def test_what_is_in_one_panel_is_no_number_of_panels(note_reader: NoteReader) -> None:
    facts = note_reader.read("On the inspection panel sixteen are in, four to go.")
    assert [(fact.status, fact.count, fact.of) for fact in facts] == [
        ("done", 16, "fastener"),
        ("planned", 4, "fastener"),
    ]


def test_so_many_of_the_heading_may_stand_between_commas(note_reader: NoteReader) -> None:
    facts = note_reader.read("Root bolts, ten of them, in, castle nuts on finger tight.")
    assert ("fit", 10, "bolt") in [(fact.act, fact.count, fact.of) for fact in facts]


def test_only_so_many_of_all_were_torqued(note_reader: NoteReader) -> None:
    facts = note_reader.read("Starboard flap's on again, six bolts, only four torqued.")
    assert [(fact.act, fact.count) for fact in facts] == [("fit", 6), ("tighten", 4)]
