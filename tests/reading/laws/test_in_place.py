"""What was fitted, told by where it is now."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _told(note_reader: NoteReader, text: str) -> list[tuple[str, str | None, str | None]]:
    return [(f.status, f.act, f.item) for f in note_reader.read(text)]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Morning all, the overhauled engine's gone into number two, at last.", "engine"),
        ("The new engine has gone back into number four.", "engine"),
        ("Grommet's in the bulkhead.", "grommet"),
        ("Gasket is in the port sump.", "gasket"),
        ("Port leg's back on, and split pinned. Fresh bush in the end of the torque link.", "bush"),
    ],
)
def test_what_went_into_its_place_was_fitted(note_reader: NoteReader, text: str, item: str) -> None:
    told = _told(note_reader, text)
    assert ("done", "fit", item) in told
    assert not [one for one in told if one[1] in ("remove", "store")]


@pytest.mark.parametrize(
    "text",
    [
        "The engine hasn't gone into number two yet.",
        "Once the engine's gone into number two we'll rig it.",
        "If the engine has gone into number two we can rig it.",
        "The engine's gone into number two stand.",
        "The old engine's gone into the container.",
        "Is the new grommet in the bulkhead?",
        "The grommet is in the firewall, it stops the loom chafing.",
        "Bush is in box nine.",
        "New grommet isn't in the bulkhead.",
        "Wanted for Sunday. New bush in the torque link.",
        "New bush in the torque link wants ordering.",
    ],
)
def test_what_is_kept_elsewhere_asked_or_to_come_was_not_fitted(note_reader: NoteReader, text: str) -> None:
    assert not [one for one in _told(note_reader, text) if one[:2] == ("done", "fit")]
