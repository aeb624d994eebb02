"""What was sent to a firm."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "status", "item", "side"),
    [
        ("Propeller has gone to Breaker Airscrews for the sheath.", "done", "propeller", None),
        ("Magnetos go to Tregarrow Ignition on Tuesday.", "planned", "magneto", None),
        ("The port brake unit's off. It's gone to Marrow Brakes for relining.", "done", "brake-unit", "port"),
        (
            "Starboard magneto is off and the two nuts are in bag 4. It's gone to Calder Ignition.",
            "done",
            "magneto",
            "starboard",
        ),
        ("Wheel's off, tagged the axle nut. It's going to Marsh Tyres on Friday.", "planned", "wheel", None),
    ],
)
def test_what_goes_to_a_firm_is_moved(
    note_reader: NoteReader, text: str, status: str, item: str, side: str | None
) -> None:
    (fact,) = [fact for fact in note_reader.read(text) if fact.act == "move"]
    assert (fact.status, fact.item, fact.side) == (status, item, side)


@pytest.mark.parametrize(
    "text",
    ["The rudder hasn't gone to Breaker yet.", "If it's bad the magneto goes to Tregarrow.", "Alice went to London."],
)
def test_what_does_not_go_stays(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.act == "move"]
