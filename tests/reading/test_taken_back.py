"""What is taken back in the next breath, sentence or utterance: both readings read it as it was meant."""

from typing import Any

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader
from pipeline.reading.taken_back import DOUBT

Either = Reader | NoteReader


@pytest.fixture(scope="module", params=["by rules alone", "by rules and marked notes"])
def either(request: pytest.FixtureRequest, reader: Reader, note_reader: NoteReader) -> Either:
    """Both readers: what was taken back is in neither."""
    return reader if request.param == "by rules alone" else note_reader


def _key(fact: Fact) -> tuple[Any, ...]:
    return (fact.status, fact.act or fact.finding, fact.item, fact.side, fact.count)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        (
            "We took the rudder off, six bolts. No, hang on, eight bolts, it's eight.",
            ("done", "remove", "rudder", None, 8),
        ),
        ("Undid six bolts on the fin. Sorry, eight.", ("done", "undo", "fin", None, 8)),
        (
            "And then the starboard magneto came off. No, I tell a lie, it's the port magneto, port.",
            ("done", "remove", "magneto", "port", None),
        ),
        ("The port aileron is off. No, sorry, the starboard one.", ("done", "remove", "aileron", "starboard", None)),
        (
            "The port aileron is off. No, I tell a lie, it's the port elevator.",
            ("done", "remove", "elevator", "port", None),
        ),
        (
            "The starboard magneto came off. No, I tell a lie, the port magneto came off.",
            ("done", "remove", "magneto", "port", None),
        ),
    ],
)
def test_what_is_put_right_after_a_full_stop_is_read_right(either: Either, text: str, key: tuple[Any, ...]) -> None:
    assert [_key(fact) for fact in either.read(text)] == [key]


@pytest.mark.parametrize("join", [". ", " "])
def test_what_is_put_right_in_the_next_utterance_is_read_right(either: Either, join: str) -> None:
    first = f"We took the cowling off, six bolts{join}"
    (fact,) = either.read(f"{first}No, hang on, eight bolts.", [len(first)])
    assert (fact.act, fact.item, fact.count) == ("remove", "cowling", 8)


def test_sizes_places_stores_and_tags_are_put_right(reader: Reader) -> None:
    (torque,) = reader.read("We torqued the fin bolts to thirty foot pounds. No, thirteen.")
    assert [(one.value, one.unit) for one in torque.measure or ()] == [(13.0, "lbf·ft")]
    (crack,) = reader.read("The keel has a crack at frame twelve. No, sorry, frame fourteen.")
    assert [place.at for place in crack.place or ()] == ["14"]
    (kept,) = reader.read("The rudder's on shelf 3. Correction, shelf 4.")
    assert kept.stowage is not None
    assert kept.stowage.shelf == "4"
    (tagged,) = reader.read("The rudder's tagged P-0142. Sorry, P-0143.")
    assert tagged.tag == "P-0143"


def test_fact_that_was_put_right_says_so_and_points_at_both(note_reader: NoteReader) -> None:
    text = "Before that, tea. Undid six bolts on the fin. Sorry, eight. Then the rudder came off."
    undone, off = note_reader.read(text)
    assert text[slice(*undone.words)] == "Undid six bolts on the fin. Sorry, eight"
    assert ("count", "put right by the speaker") in undone.inferred
    assert text[slice(*off.words)].endswith("rudder came off")
    assert off.inferred == ()


def test_words_after_several_corrections_are_those_that_were_said(note_reader: NoteReader) -> None:
    text = (
        "We took the fin off, six bolts. No, hang on, eight bolts, it's eight. The starboard magneto came off. "
        "No, I tell a lie, it's the port magneto, port. The rudder is cracked. The elevator is bent."
    )
    said = {fact.item: text[slice(*fact.words)] for fact in note_reader.read(text)}
    assert said["fin"] == "took the fin off, six bolts. No, hang on, eight bolts, it's eight"
    assert said["magneto"] == "The starboard magneto came off. No, I tell a lie, it's the port magneto, port"
    assert "rudder is cracked" in said["rudder"]
    assert "elevator is bent" in said["elevator"]


def test_places_in_the_text_as_meant_lead_back_to_the_text_as_said(reader: Reader) -> None:
    text = "Undid six bolts on the fin. Sorry, twelve. Tea then, and cake."
    (one,) = reader.read_by_rule([(text, ())])
    meant = one.meant
    assert meant.text == "Undid twelve bolts on the fin. Tea then, and cake."
    assert meant.as_said(0, 5) == (0, 5)
    assert text[slice(*meant.as_said(6, 12))] == "six"
    assert text[slice(*meant.as_said(31, 34))] == "Tea"
    assert text[slice(*meant.as_said(41, len(meant.text)))] == "and cake."


@pytest.mark.parametrize(
    "text",
    [
        "Any cracks in the fin? No, four bolts were fine.",
        "The port wheel is off. No nuts were missing. The starboard one is still on.",
        "The port magneto is off. No, the starboard one is staying on.",
        "The fin is off, six bolts. Wait, the rudder is cracked.",
        "Hydraulics again, sorry. The pipe at frame 11 was weeping.",
        "The gusset has a crack, 8 mm, no, hang on, my glasses.",
        "The fin is held by four bolts and no two of them the same length.",
        "All eight torqued to thirty-two foot pounds. No wait, two of them are in the wrong way round.",
        "Ten screws, nine actually in the panel.",
    ],
)
def test_other_words_take_nothing_back(reader: Reader, text: str) -> None:
    (one,) = reader.read_by_rule([(text, ())])
    assert one.meant.text == text
    assert not one.meant.mended


def test_what_is_taken_back_and_not_put_right_is_to_be_checked(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("We took the rudder off. Scrap that. Then we had tea.")
    assert DOUBT in fact.doubts


def test_what_is_put_right_more_than_once_is_read_as_it_was_said_last(note_reader: NoteReader) -> None:
    text = (
        "Right, so the starboard aileron, no, sorry, the port aileron, that's off, eight screws, no, ten, "
        "tell a lie, twelve screws, and it's on rack 3, no, rack 4."
    )
    removed, stored = note_reader.read(text)
    assert (removed.act, removed.item, removed.side, removed.count) == ("remove", "aileron", "port", 12)
    assert stored.stowage is not None
    assert (stored.act, stored.side, stored.stowage.rack) == ("store", "port", "4")
    assert text[slice(*removed.words)].endswith("twelve screws")


def test_same_part_on_the_other_side_takes_back_the_first(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("We drained the left tank, hang on, the right tank, about nine gallons.")
    assert (fact.act, fact.side) == ("drain", "starboard")
    sides = {f.side for f in note_reader.read("We took off the left tank, wait, the right tank is still on.")}
    assert sides == {"port", "starboard"}


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("A crack along the port chine, from frame four to frame five, no, frame six.", "4-6"),
        ("Corrosion on the skin between frames 4 and 5, no, 6.", "4-6"),
        ("Corrosion on the skin at frames 4 to 6, no, frames 5 to 7.", "5-7"),
        ("Corrosion on the skin at frame 4, no, frame 6.", "6"),
    ],
)
def test_one_number_puts_the_end_of_a_range_right(note_reader: NoteReader, text: str, at: str) -> None:
    (fact,) = note_reader.read(text)
    assert fact.place is not None
    assert [place.at for place in fact.place] == [at]


@pytest.mark.parametrize(
    "text",
    [
        "The cover panel's on, ten screws, nine actually.",
        "The cover panel's on, ten screws, no, nine actually, one's missing.",
    ],
)
def test_what_it_actually_was_takes_the_place_of_the_number_before(note_reader: NoteReader, text: str) -> None:
    assert [fact.count for fact in note_reader.read(text) if fact.act == "fit"] == [9]
