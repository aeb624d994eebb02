"""What the speaker has from somebody else carries a doubt; what the speaker did, saw or reckons carries none."""

import pytest

from pipeline.reading.laws.hearsay import HEARSAY
from pipeline.reading.note_reader import NoteReader


def _told(note_reader: NoteReader, text: str) -> list[tuple[str | None, str | None, bool]]:
    return [(f.act or f.finding, f.item, HEARSAY in f.doubts) for f in note_reader.read(text)]


@pytest.mark.parametrize(
    ("text", "act", "item"),
    [
        ("Apparently the spinner's off.", "remove", "spinner"),
        ("The spinner's off, apparently.", "remove", "spinner"),
        ("The spinner's apparently off.", "remove", "spinner"),
        ("By all accounts the tail wheel came off on Tuesday.", "remove", "tail-wheel"),
        ("According to Maureen the generator has been removed.", "remove", "generator"),
        ("Colin reckons he's drained the oil tank.", "drain", "oil-tank"),
        ("Joan told me the battery's been disconnected.", "disconnect", "battery"),
        ("The lads say they drained the oil tank on Friday.", "drain", "oil-tank"),
        ("I'm told the generator is off.", "remove", "generator"),
        ("I heard the port elevator has been taken off.", "remove", "elevator"),
        ("The starboard magneto's been refitted, Wilf says.", "fit", "magneto"),
        ("The boss says there's no corrosion on the tailplane.", "corrosion", "tailplane"),
    ],
)
def test_what_others_told_of_is_to_be_checked(note_reader: NoteReader, text: str, act: str, item: str) -> None:
    assert _told(note_reader, text) == [(act, item, True)]


def test_what_the_speaker_did_about_it_is_not_in_doubt(note_reader: NoteReader) -> None:
    told = _told(note_reader, "Joan says the spinner's off, and I've bagged the bolts, bag four.")
    assert told == [("remove", "spinner", True), ("bag", "bolt", False)]
    told = _told(note_reader, "We took the elevator off, and apparently it's for sale.")
    assert told == [("remove", "elevator", False)]
    told = _told(note_reader, "The starboard magneto's been refitted, Wilf says. I took the starter off.")
    assert told == [("fit", "magneto", True), ("remove", "starter", False)]


@pytest.mark.parametrize(
    "text",
    [
        "I said the spinner's off, and it is.",
        "I reckon we took forty screws out of the cowling.",
        "Joan told me to take the spinner off and I did.",
        "Colin says to log that the spinner's off.",
        "The book says six bolts, six bolts out of the fin.",
        "Nobody told me it was heavy, so I took the spinner off.",
        "I heard it click so the tail wheel is locked.",
        "Colin and me took the spinner off.",
        "Colin says he's hungry. The spinner's off.",
        "I undid ten bolts of the fin, as Harald told me.",
        "The label says box nine and the starter's in box nine.",
    ],
)
def test_what_the_speaker_knows_is_no_hearsay(note_reader: NoteReader, text: str) -> None:
    told = _told(note_reader, text)
    assert told
    assert not any(hearsay for _, _, hearsay in told)


def test_part_that_is_off_to_somewhere_is_not_told_as_off(note_reader: NoteReader) -> None:
    told = _told(note_reader, "I heard the generator's off to the overhaul shop.")
    assert [one for one in told if one[0] == "remove"] == []
