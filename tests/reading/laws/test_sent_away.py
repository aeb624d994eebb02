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
        ("The dynamo's gone to a chap in the village.", "done", "generator", None),
        ("The starboard wheel went off to the platers on Thursday.", "done", "wheel", "starboard"),
        ("The altimeter's on loan, it's lent to the museum in Orrin till May.", "done", "altimeter", None),
        ("The Orrin lot have borrowed the altimeter.", "done", "altimeter", None),
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
    [
        "The rudder hasn't gone to Breaker yet.",
        "If it's bad the magneto goes to Tregarrow.",
        "Alice went to London.",
        "I went to the man with the lorry about the rudder.",
    ],
)
def test_what_does_not_go_stays(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.act == "move"]


@pytest.mark.parametrize(
    "text",
    [
        "The starboard rudder's still away being covered.",
        "The generator's at the makers being tested.",
        "The seats are away being cleaned.",
    ],
)
def test_work_on_what_is_away_is_none_of_ours(note_reader: NoteReader, text: str) -> None:
    assert [fact for fact in note_reader.read(text) if fact.status == "done" and fact.act != "move"] == []


def test_part_that_went_out_to_a_room_is_kept_there(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The starboard wing's gone out to the container.")
    assert (fact.act, fact.side, fact.stowage and fact.stowage.room) == ("store", "starboard", "container")


@pytest.mark.parametrize(
    "text", ["Has the wing gone out to the container?", "The wing hasn't gone out to the container yet."]
)
def test_part_that_may_not_have_gone_is_not_kept_there(note_reader: NoteReader, text: str) -> None:
    assert [fact for fact in note_reader.read(text) if fact.status == "done"] == []


@pytest.mark.parametrize(
    "text",
    [
        "Propeller's been lent to the school for their open day.",
        "Did the propeller go to Hallow and Reeve? It did, Tuesday.",
        "The propeller came back, it's on the bench.",
        "The propeller's back from Hallow and Reeve.",
    ],
)
def test_what_went_or_came_back_was_moved(note_reader: NoteReader, text: str) -> None:
    assert ("done", "move", "propeller") in [(f.status, f.act, f.item) for f in note_reader.read(text)]


@pytest.mark.parametrize(
    "text",
    [
        "Did the propeller go to Hallow and Reeve? Not yet.",
        "Has the propeller gone to Hallow and Reeve?",
        "If the propeller comes back from Hallow and Reeve we'll hang it.",
        "The propeller's back on, eight bolts.",
    ],
)
def test_what_did_not_go_was_not_moved(note_reader: NoteReader, text: str) -> None:
    assert [f for f in note_reader.read(text) if f.act == "move"] == []
