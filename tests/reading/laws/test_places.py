"""Places that are no two places."""

from pipeline.reading.note_reader import NoteReader


def test_ends_of_a_range_are_one_place(note_reader: NoteReader) -> None:
    text = "We've taken three bottom panels off the hull, on the port side, between frame eight and frame eleven."
    (fact,) = note_reader.read(text)
    assert (fact.act, fact.item, fact.count, fact.of) == ("remove", "hull-panel", 3, "hull-panel")
    assert [place.at for place in fact.place or ()] in ([], ["8-11"])
