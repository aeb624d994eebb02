"""Torques told without a verb."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Elevator hinge bolts in, three a side, quarter inch, forty-five inch pounds, pinned.",
            ("elevator-hinge", "both", 6, 45, "lbf·in"),
        ),
        (
            "Starboard boom's on. Eight bolts, ninety foot pounds, locked.",
            ("tail-boom", "starboard", 8, 90, "lbf·ft"),
        ),
        ("Rudder's on, three bolts, sixty foot pounds, locked.", ("rudder", None, 3, 60, "lbf·ft")),
    ],
)
def test_a_torque_between_commas_tightens_what_was_fitted(
    note_reader: NoteReader, text: str, told: tuple[object, ...]
) -> None:
    facts = note_reader.read(text)
    tightened = [(f.item, f.side, f.count, f.measure[0].value, f.measure[0].unit) for f in facts if f.measure]
    assert tightened == [told]
    assert all(fact.act == "tighten" for fact in facts if fact.measure)


@pytest.mark.parametrize(
    "text",
    [
        "Fin's on, six bolts, eighty foot pounds to come.",
        "The fin's on, six bolts. They should be at eighty foot pounds.",
        "Undid the hub nut, it took three hundred foot pounds to shift.",
    ],
)
def test_a_torque_that_nobody_put_on_tightens_nothing(note_reader: NoteReader, text: str) -> None:
    assert all((fact.status, fact.act) != ("done", "tighten") for fact in note_reader.read(text))


def test_a_heading_in_numbers_takes_no_tightening_away(note_reader: NoteReader) -> None:
    facts = note_reader.read("Fin bolts, six of them, in and torqued, eighty foot pounds.")
    assert [(fact.act, fact.count) for fact in facts] == [("fit", 6), ("tighten", 6)]
