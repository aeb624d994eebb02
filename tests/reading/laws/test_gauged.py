"""What a gauge showed of cables, wires, tyres and oleos."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _measured(note_reader: NoteReader, text: str) -> list[tuple[object, ...]]:
    facts = [fact for fact in note_reader.read(text) if fact.act == "measure"]
    return [(f.item, f.side, [(m.value, m.unit) for m in f.measure or ()]) for f in facts]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Rudder cable tension forty-two pounds on the left and forty-two on the right.",
            [("control-cable", "port", [(42, "lb")]), ("control-cable", "starboard", [(42, "lb")])],
        ),
        (
            "Rudder cable tension: left thirty-eight, right thirty-six. Limits are thirty-five to forty-five pounds.",
            [("control-cable", "port", [(38, "lb")]), ("control-cable", "starboard", [(36, "lb")])],
        ),
        (
            "The up cable came to fifty-five pounds, down cable fifty.",
            [("control-cable", None, [(55, "lb")]), ("control-cable", None, [(50, "lb")])],
        ),
        ("Elevator cables are on. Tension's thirty-five pounds.", [("control-cable", None, [(35, "lb")])]),
        (
            "Cable tensions: rudder thirty-five, elevator forty pounds.",
            [("control-cable", None, [(35, "lb")]), ("control-cable", None, [(40, "lb")])],
        ),
        ("Flying wire tension four hundred pounds on the port.", [("flying-wire", "port", [(400, "lb")])]),
        (
            "Port oleo charged, four hundred and fifty psi. Starboard four thirty.",
            [("main-oleo", "port", [(450, "psi")]), ("main-oleo", "starboard", [(430, "psi")])],
        ),
        (
            "Tyre pressures: port thirty-two, starboard thirty-one.",
            [("tyre", "port", [(32, "psi")]), ("tyre", "starboard", [(31, "psi")])],
        ),
    ],
)
def test_what_a_gauge_shows_is_measured_though_no_verb_says_so(
    note_reader: NoteReader, text: str, told: list[tuple[object, ...]]
) -> None:
    assert _measured(note_reader, text) == told


def test_an_up_cable_lifts_no_elevator(note_reader: NoteReader) -> None:
    facts = note_reader.read("Elevator up cable, forty-five pounds.")
    assert [(fact.act, fact.item) for fact in facts] == [("measure", "control-cable")]


@pytest.mark.parametrize(
    "text",
    [
        "Cable tension should be forty pounds.",
        "The book says forty pounds for the rudder cables.",
        "If the rudder cable reads forty pounds, leave it.",
        "The rudder cable has to be at forty pounds.",
        "The rudder cable is to be forty pounds.",
        "The rudder cable will be at forty pounds.",
        "The tyre needs to be at thirty psi.",
    ],
)
def test_what_it_should_be_was_not_measured(note_reader: NoteReader, text: str) -> None:
    assert _measured(note_reader, text) == []


def test_cables_tensioned_to_so_much_are_told_once(note_reader: NoteReader) -> None:
    facts = note_reader.read("We tensioned the rudder cables to forty pounds.")
    assert [(fact.act, fact.item) for fact in facts] == [("tighten", "control-cable")]
    facts = note_reader.read("We tightened the rudder cable, it came to forty pounds.")
    assert [(fact.act, fact.item) for fact in facts] == [("tighten", "control-cable")]


def test_tension_without_a_unit_is_given_none(note_reader: NoteReader) -> None:
    assert _measured(note_reader, "Rudder cable tension: left thirty-eight, right thirty-six.") == []
