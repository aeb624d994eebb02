"""What is put on or in, told as shortly as can be."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


def _fitted(read: Reader | NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.item, fact.side) for fact in read.read(text) if fact.act == "fit"]


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("Engine on.", ["engine"]),
        ("Elevators on. Rudder on.", ["elevator", "rudder"]),
        ("Fin and rudder on, elevators on.", ["fin", "rudder", "elevator"]),
        ("Airbrakes on.", ["air-brake"]),
        ("Engine in, four bolts.", ["engine"]),
    ],
)
def test_part_that_is_only_said_to_be_on_is_fitted_without_a_doubt(
    note_reader: NoteReader, text: str, items: list[str]
) -> None:
    assert _fitted(note_reader, text) == [("done", item, None) for item in items]
    assert not any(fact.doubts for fact in note_reader.read(text))


def test_wing_on_and_struts_up_are_fitted(note_reader: NoteReader) -> None:
    told = _fitted(note_reader, "Port lower wing on, and the port upper. Struts up, wires on.")
    assert ("done", "lower-wing", "port") in told
    assert ("done", "interplane-strut", "port") in told


@pytest.mark.parametrize(
    "text",
    [
        "Rudder on tomorrow.",
        "Is the rudder on?",
        "Don't put the rudder on.",
        "With the rudder on, it's tight.",
        "She'll go out with the fin on, and the rudder on.",
        "If the rudder's on, we can do the tabs.",
        "Rudder not on.",
        "Rudder still on.",
        "Undercarriage up.",
        "Radio on.",
        "Trestles in.",
    ],
)
def test_what_is_not_on_yet_or_only_switched_on_is_not_fitted(reader: Reader, text: str) -> None:
    assert not [told for told in _fitted(reader, text) if told[0] == "done"]


def test_what_a_plan_lists_as_on_is_planned(reader: Reader) -> None:
    assert _fitted(reader, "Tomorrow: engine on, cowlings on.") == [
        ("planned", "engine", None),
        ("planned", "cowling", None),
    ]


def test_bolts_that_are_in_without_a_part_tell_of_none(note_reader: NoteReader) -> None:
    assert not _fitted(note_reader, "Bolts in, nuts on.")
    assert ("done", "mainplane", None) in _fitted(note_reader, "Wing pins in, both of them.")
