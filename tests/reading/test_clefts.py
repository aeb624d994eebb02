"""Which of two it is, told by denying the other: read as it was meant, and told of the words as they were said."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "kind", "item", "side"),
    [
        ("It isn't the oil tank that leaks, it's the oil cooler.", "leak", "oil-cooler", None),
        ("It's not the port oleo that's leaking, it's the starboard oleo.", "leak", "main-oleo", "starboard"),
        ("It wasn't the rear spar that was cracked. It was the front spar.", "crack", "front-spar", None),
        ("It wasn't the starter we took off, it was the generator.", "remove", "generator", None),
        ("It wasn't the port aileron I took off, it was the starboard.", "remove", "aileron", "starboard"),
    ],
)
def test_part_that_is_meant_is_told_and_not_the_one_denied(
    note_reader: NoteReader, text: str, kind: str, item: str, side: str | None
) -> None:
    (fact,) = note_reader.read(text)
    assert (fact.act or fact.finding, fact.item, fact.side, fact.absent) == (kind, item, side, None)
    assert 0 <= fact.words[0] < fact.words[1] <= len(text)


def test_words_of_a_fact_after_it_are_those_that_were_said(note_reader: NoteReader) -> None:
    text = "It isn't the oil tank that leaks, it's the oil cooler. We took the spinner off."
    (_, off) = note_reader.read(text)
    assert text[slice(*off.words)] in "We took the spinner off"


@pytest.mark.parametrize(
    "text", ["It isn't the rudder that worries me.", "It's not the spinner that we came for, it's a nice day."]
)
def test_where_nothing_is_named_instead_nothing_is_told(note_reader: NoteReader, text: str) -> None:
    assert note_reader.read(text) == ()
