"""What is told by leaning on what was told before it."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader


def _told(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(f.status, f.act, f.item) for f in note_reader.read(text)]


@pytest.mark.parametrize(
    ("text", "acts", "items"),
    [
        ("The starter's disconnected and capped, both oil lines the same.", "disconnect blank", "starter oil-line"),
        ("The rudder's been inspected and photographed, and the fin's the same.", "inspect photograph", "rudder fin"),
        ("The spinner's been cleaned and primed, the tail cone likewise.", "clean prime", "spinner tail-cone"),
    ],
)
def test_all_that_was_done_to_one_part_is_done_to_the_one_that_is_the_same(
    note_reader: NoteReader, text: str, acts: str, items: str
) -> None:
    expected = [("done", act, item) for act in acts.split() for item in items.split()]
    assert sorted(_told(note_reader, text)) == sorted(expected)


def test_two_parts_that_are_alike_had_nothing_done(note_reader: NoteReader) -> None:
    assert _told(note_reader, "The rudder and the fin are the same.") == []


def test_part_after_but_that_was_done_is_done(note_reader: NoteReader) -> None:
    expected = [("not-done", "remove", "tailplane"), ("done", "remove", "elevator")]
    assert _told(note_reader, "We haven't had the tailplane off, but the elevator, yes.") == expected


def test_fasteners_named_next_are_those_of_the_part_after_but(note_reader: NoteReader) -> None:
    facts = note_reader.read("We have not removed the starter, but the generator, yes, three nuts.")
    assert [(f.status, f.item, f.count, f.of) for f in facts] == [
        ("not-done", "starter", None, None),
        ("done", "generator", 3, "nut"),
    ]


@pytest.mark.parametrize(
    ("text", "act", "count"),
    [
        ("I've tested four of the six lamps. The rest on Thursday.", "test", None),
        ("Took five of the eight bolts out of the tailplane. The other three tomorrow.", "undo", 3),
    ],
)
def test_rest_that_is_left_for_a_day_is_planned(
    note_reader: NoteReader, text: str, act: str, count: int | None
) -> None:
    planned = [(f.act, f.count) for f in note_reader.read(text) if f.status == "planned"]
    assert planned == [(act, count)]


def test_rest_of_something_else_plans_nothing(note_reader: NoteReader) -> None:
    told = note_reader.read("Took five of the eight bolts out of the tailplane. The rest of the team next week.")
    assert [f for f in told if f.status == "planned"] == []


@pytest.mark.parametrize(
    "text",
    [
        "We won't have the tailplane off on Sunday, but the elevator, yes.",
        "If the tailplane isn't off by then, but the elevator, yes.",
        "We're not taking the tailplane off, but the elevator, yes.",
        "We'll clean and prime the rudder, the fin the same.",
        "You clean and prime the rudder, the fin the same.",
        "The rudder hasn't been cleaned, the fin the same.",
    ],
)
def test_nothing_is_done_that_leans_on_what_was_not(note_reader: NoteReader, text: str) -> None:
    assert [fact for fact in note_reader.read(text) if fact.status == "done"] == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Four shims came out but it only wanted three going back, so there's one left.",
            [("done", "fit", 3), ("done", "remove", 4)],
        ),
        ("There were five shims out but it only needed two going back.", [("done", "fit", 2), ("done", "remove", 5)]),
        ("Four shims came out, it only needs three going back.", [("done", "remove", 4), ("planned", "fit", 3)]),
    ],
)
def test_fewer_go_back_than_came_out(
    note_reader: NoteReader, text: str, expected: list[tuple[str, str, int]]
) -> None:
    told = [(f.status, f.act, f.count) for f in note_reader.read(text) if f.item == "shim"]
    assert sorted(told) == sorted(expected)


def test_fasteners_that_came_out_are_undone_and_no_part_is_removed(note_reader: NoteReader) -> None:
    told = [(f.act, f.count) for f in note_reader.read("Six bolts came out, only five went back.")]
    assert ("remove", 6) not in told


def test_return_is_that_of_the_pipes_named_last(note_reader: NoteReader) -> None:
    text = "Fuel line blanked at the firewall. Both oil pipes are off. We haven't got a blank for the return."
    assert _told(note_reader, text)[-1] == ("not-done", "blank", "oil-line")
    text = "Oil line blanked at the tank. Both fuel pipes are off. We haven't got a blank for the return."
    assert ("not-done", "blank", "oil-line") not in _told(note_reader, text)


def test_new_one_is_another_of_the_faulty_fastener(note_reader: NoteReader) -> None:
    told = _told(note_reader, "The hinge pin's worn on the elevator, we'll make a new one.")
    assert ("planned", "make", "pin") in told
    assert ("planned", "make", "elevator") not in told
    told = _told(note_reader, "The gusset at frame six is cracked, we'll make a new one.")
    assert ("planned", "make", "gusset") in told


@pytest.mark.parametrize(
    ("text", "item", "side"),
    [
        ("The port tyre's perished. Wants a new one.", "tyre", "port"),
        ("The elevator cable's frayed. It needs a new one ordering.", "control-cable", None),
        ("The starboard pulley's worn, so we need a new one.", "pulley", "starboard"),
    ],
)
def test_new_one_is_owed_for_what_was_found_faulty(
    note_reader: NoteReader, text: str, item: str, side: str | None
) -> None:
    owed = [(f.act, f.item, f.side) for f in note_reader.read(text) if f.status == "planned"]
    assert owed == [("fit", item, side)]


@pytest.mark.parametrize(
    "text",
    [
        "The port tyre's sound. It doesn't need a new one.",
        "The port tyre's perished. Does it need a new one?",
        "If the port tyre's perished it needs a new one.",
        "The port tyre's perished. The kettle wants a new one.",
        "The port tyre's perished. New one's on order.",
    ],
)
def test_no_new_one_is_owed_that_is_asked_denied_or_of_something_else(note_reader: NoteReader, text: str) -> None:
    assert [f for f in note_reader.read(text) if f.status == "planned"] == []
