"""What somebody said or asked and the speaker settles: denied, answered, or still as it was."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader


def _told(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(f.status, f.act or f.finding, f.absent, f.item, f.side) for f in note_reader.read(text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Colin told me the port battery had been disconnected, but it hasn't.",
            ("not-done", "disconnect", None, "battery", None),
        ),
        ("The lads reckoned the spinner was off. It wasn't.", ("not-done", "remove", None, "spinner", None)),
        ("Joan says the starboard axle is seized. It isn't.", ("seen", "seized", True, "axle", "starboard")),
        ("He'll tell you the tail cone is off. It is not off.", ("not-done", "remove", None, "tail-cone", None)),
    ],
)  # fmt: skip
def test_what_was_only_said_and_is_denied_is_not_so(
    note_reader: NoteReader, text: str, expected: tuple[Any, ...]
) -> None:
    told = _told(note_reader, text)
    assert [(one[0], one[1], one[2], one[3]) for one in told] == [expected[:4]]


def test_what_the_speaker_did_because_of_it_stands(note_reader: NoteReader) -> None:
    told = _told(note_reader, "Colin thought the spinner was cracked, so we took the spinner off. It isn't.")
    assert ("done", "remove", None, "spinner", None) in told


def test_what_the_speaker_did_stands_where_something_else_is_denied(note_reader: NoteReader) -> None:
    told = _told(note_reader, "I took the spinner off. Colin said it was loose. It isn't tagged.")
    assert ("done", "remove", None, "spinner", None) in told


@pytest.mark.parametrize(
    ("text", "act", "item"),
    [
        ("Have you disconnected the battery? I have.", "disconnect", "battery"),
        ("Did you take the tail cone off? We did.", "remove", "tail-cone"),
        ("Maureen asked whether the oil cooler had been removed. It has.", "remove", "oil-cooler"),
        ("He asked me if the rudder was off. It is.", "remove", "rudder"),
        ("Have you capped the fuel line? Yes, at the tank end.", "blank", "fuel-line"),
    ],
)
def test_what_was_asked_and_answered_is_done(note_reader: NoteReader, text: str, act: str, item: str) -> None:
    assert [(f.status, f.act, f.item) for f in note_reader.read(text)] == [("done", act, item)]


@pytest.mark.parametrize(
    "text",
    [
        "Have you disconnected the battery? I have not.",
        "Do you want the battery disconnected? I do.",
        "Would you take the tail cone off first? I would.",
        "Shall we take the tail cone off on Sunday? We shall.",
        "Maureen asked whether the oil cooler had been removed. It has a leak, she says.",
        "We take the spinner off if the hoist is free. It is.",
        "Have we got to disconnect the battery? We have.",
        "Did you want to drain the fuel tank? I did.",
        "Were you about to take the tail cone off? I was.",
        "Is the tail cone being removed on Sunday? It is.",
        "Maureen asked if we were going to remove the oil cooler. We are.",
    ],
)
def test_no_work_is_done_by_a_question_of_another_kind(note_reader: NoteReader, text: str) -> None:
    assert [f for f in note_reader.read(text) if f.status == "done"] == []


def test_part_that_was_to_be_off_and_is_still_on_did_not_come_off(note_reader: NoteReader) -> None:
    text = "Tail cone off today, that was the idea, only the screws are solid, so it's still on."
    assert [(f.status, f.act, f.item) for f in note_reader.read(text) if f.act] == [
        ("not-done", "remove", "tail-cone")
    ]


def test_one_of_several_that_is_still_on_leaves_the_others_off(note_reader: NoteReader) -> None:
    told = [(f.status, f.act, f.item) for f in note_reader.read("The port cowlings are off, one's still on.")]
    assert ("done", "remove", "cowling") in told


@pytest.mark.parametrize(
    ("text", "expected", "counts"),
    [
        ("Have the spark plugs been removed? Eighteen of them have.", ("remove", "spark-plug"), {18}),
        ("Were the control cables disconnected? Both of them were.", ("disconnect", "control-cable"), {None, 2}),
    ],
)
def test_so_many_answer_a_question(
    note_reader: NoteReader, text: str, expected: tuple[str, str], counts: set[int | None]
) -> None:
    (fact,) = note_reader.read(text)
    assert (fact.status, fact.act, fact.item) == ("done", *expected)
    assert fact.count in counts


@pytest.mark.parametrize(
    ("text", "act", "item"),
    [
        ("Is the hub nut locked? No.", "lock", "propeller-hub"),
        ("Is the rudder connected? Not yet.", "connect", "rudder"),
        ("Hub nut's on. Is it locked? It isn't.", "lock", "propeller-hub"),
        ("Has the fuel pump been tested? It hasn't.", "test", "fuel-pump"),
    ],
)
def test_what_was_asked_and_answered_no_was_not_done(note_reader: NoteReader, text: str, act: str, item: str) -> None:
    told = [(f.status, f.act, f.item) for f in note_reader.read(text)]
    assert ("not-done", act, item) in told
    assert ("done", act, item) not in told


@pytest.mark.parametrize(
    "text",
    [
        "Is the rudder loose? No.",
        "Is the tail cone to come off? No.",
        "Would you take the tail cone off first? No.",
        "Are you taking the tail cone off? No.",
        "Is the tail cone off? No idea.",
    ],
)
def test_no_to_a_question_of_another_kind_leaves_nothing_undone(note_reader: NoteReader, text: str) -> None:
    assert [f for f in note_reader.read(text) if f.status in ("done", "not-done") and f.act] == []
