"""An "on" or "off" that tells something else than a part fitted or removed."""

import pytest

from pipeline.reading.laws.on_and_off import MAY_BE_SHUT
from pipeline.reading.note_reader import NoteReader


def _acts(note_reader: NoteReader, text: str) -> list[tuple[str | None, str | None]]:
    return [(f.act, f.item) for f in note_reader.read(text) if f.act]


@pytest.mark.parametrize(
    "text",
    [
        "The battery's off charge.",
        "The propeller is off limits.",
        "The rudder's off centre.",
        "The engine's off song.",
    ],
)
def test_what_is_off_charge_or_off_limits_came_off_nothing(note_reader: NoteReader, text: str) -> None:
    assert _acts(note_reader, text) == []


def test_what_is_off_is_still_removed(note_reader: NoteReader) -> None:
    assert _acts(note_reader, "The battery's off, and on charge.")[:1] == [("remove", "battery")]


def test_cock_that_is_off_may_only_be_shut(note_reader: NoteReader) -> None:
    off = note_reader.read("The fuel cock is off.")
    assert [MAY_BE_SHUT in fact.doubts for fact in off if fact.act == "remove"] == [True]
    taken = note_reader.read("The fuel cock's off, two bolts, it's in box 3.")
    assert [MAY_BE_SHUT in fact.doubts for fact in taken if fact.act == "remove"] == [False]


def test_magnetos_beside_switches_are_switched_off(note_reader: NoteReader) -> None:
    assert _acts(note_reader, "Magnetos off, switches off, fuel off.") == []


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("We got the boom on first thing.", "tail-boom"),
        ("We had the boom on by ten.", "tail-boom"),
        ("We got the port aileron on before lunch.", "aileron"),
    ],
)
def test_part_that_we_got_on_is_fitted(note_reader: NoteReader, text: str, item: str) -> None:
    assert _acts(note_reader, text) == [("fit", item)]


@pytest.mark.parametrize(
    "text",
    ["I got the boom on the trestles.", "We've got the cowling on the bench.", "We got the boom on padded stands."],
)
def test_part_that_we_got_on_something_is_not_fitted(note_reader: NoteReader, text: str) -> None:
    assert "fit" not in [act for act, _item in _acts(note_reader, text)]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Oil pipes are on at the tank, both.", "oil-line"),
        ("The fuel line's on at the pump.", "fuel-line"),
        ("The rudder cable's back on at the horn.", "control-cable"),
    ],
)
def test_pipe_that_is_on_at_one_end_is_connected_there(note_reader: NoteReader, text: str, item: str) -> None:
    assert ("connect", item) in _acts(note_reader, text)


@pytest.mark.parametrize(
    "text", ["The fuel line isn't on at the pump.", "Once the fuel line's on at the pump we'll run it."]
)
def test_pipe_that_is_not_on_yet_is_not_connected(note_reader: NoteReader, text: str) -> None:
    assert [f for f in note_reader.read(text) if f.status == "done"] == []
