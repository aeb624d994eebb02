"""What was drained of fuel and coolant, and of what not."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader


def _drained(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.item) for fact in note_reader.read(text) if fact.act == "drain"]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("The battery's out and the fuel was drained.", "fuel-tank"),
        ("Took the battery out after we'd drained the fuel.", "fuel-tank"),
        ("The elevator's off. Fuel drained.", "fuel-tank"),
        ("Drained all the petrol.", "fuel-tank"),
        ("Coolant's drained off.", "coolant-radiator"),
        ("The battery's been drained.", "battery"),
        ("The fuel was drained from the starboard tank.", "fuel-tank"),
    ],
)
def test_fluid_was_drained_from_what_holds_it(note_reader: NoteReader, text: str, item: str) -> None:
    assert _drained(note_reader, text) == [("done", item)]


def test_how_much_was_drained_and_on_which_side_is_kept(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Coolant drained, both sides, eleven gallons.")
    assert (fact.item, fact.side, [(one.value, one.unit) for one in fact.measure or ()]) == (
        "coolant-radiator", "both", [(11, "gal")],
    )  # fmt: skip
    assert dict(fact.inferred)["item"] == "what holds coolant"


@pytest.mark.parametrize(
    ("text", "status"),
    [
        ("We'll drain the fuel tomorrow.", "planned"),
        ("I want the fuel drained by Monday.", "planned"),
        ("The fuel's not been drained yet.", "not-done"),
        ("Nobody's drained the fuel.", "not-done"),
    ],
)
def test_fuel_that_is_still_to_be_drained_was_not(note_reader: NoteReader, text: str, status: str) -> None:
    assert _drained(note_reader, text) == [(status, "fuel-tank")]


@pytest.mark.parametrize(
    "text",
    [
        "Was the fuel drained?",
        "The fuel should be drained before you start.",
        "If the fuel's drained you can crack the union.",
        "The last owner drained the fuel.",
        "The radio's out and the oil was drained.",
    ],
)
def test_what_was_only_asked_or_supposed_and_oil_of_no_engine_drain_nothing(
    note_reader: NoteReader, text: str
) -> None:
    assert not _drained(note_reader, text)


@pytest.mark.parametrize("text", ["The seat's been made safe and taken out.", "The turret's made safe."])
def test_only_what_holds_a_pressure_is_drained_when_made_safe(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.act in ("drain", "make")]
    assert _drained(note_reader, "The air bottle's made safe.") == [("done", "air-bottle")]


@pytest.mark.parametrize(
    ("text", "item", "side"),
    [
        ("The fuel's out of the tank.", "fuel-tank", None),
        ("The oil's out of the engine.", "engine", None),
        ("Got the petrol out of both tanks.", "fuel-tank", "both"),
        ("Fuel's out, both sides.", "fuel-tank", "both"),
    ],
)
def test_fluid_that_is_out_was_drained(note_reader: NoteReader, text: str, item: str, side: str | None) -> None:
    assert ("done", item, side) in [(f.status, f.item, f.side) for f in note_reader.read(text) if f.act == "drain"]


@pytest.mark.parametrize(
    "text", ["The fuel's out of date.", "Going to get the fuel out tomorrow.", "The oil isn't out of the engine yet."]
)
def test_fluid_that_is_not_out_was_not_drained(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.act == "drain" and fact.status == "done"]


def test_half_a_litre_that_is_out_takes_no_gearbox_out(note_reader: NoteReader) -> None:
    acts = [fact.act for fact in note_reader.read("T/R gearbox drained, half litre out, blanked.")]
    assert acts == ["drain", "blank"]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("Fuel drained, lines off.", "fuel-line"),
        ("Coolant drained, lines off, radiator out.", "coolant-line"),
        ("Oil drained, pipes off, cooler out.", "oil-line"),
    ],
)
def test_lines_off_are_those_of_what_was_drained(note_reader: NoteReader, text: str, line: str) -> None:
    lines = [(f.act, f.item) for f in note_reader.read(text) if (f.item or "").endswith("-line")]
    assert lines == [("disconnect", line)]
