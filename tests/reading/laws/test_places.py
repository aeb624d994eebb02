"""Places that are no two places, or none."""

import pytest

from pipeline.reading.fact import Fact, Place
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.places import numbers_of_places
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


def test_ends_of_a_range_are_one_place(note_reader: NoteReader) -> None:
    text = "We've taken three bottom panels off the hull, on the port side, between frame eight and frame eleven."
    (fact,) = note_reader.read(text)
    assert (fact.act, fact.item, fact.count, fact.of) == ("remove", "hull-panel", 3, "hull-panel")
    assert [place.at for place in fact.place or ()] in ([], ["8-11"])


@pytest.mark.parametrize(
    ("text", "read", "meant"),
    [
        ("Found three cracked ribs, 4, 6 and 9, in the wing.", ["3", "4", "6-9"], ["4", "6", "9"]),
        ("Two ribs are cracked, between 6 and 9.", ["6-9"], ["6-9"]),
        ("Rib 3 is cracked in three places.", ["3"], ["3"]),
    ],
)
def test_number_that_counts_is_no_place_and_and_makes_no_range(
    note_reader: NoteReader, text: str, read: list[str], meant: list[str]
) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    places = tuple(Place(scheme="rib", at=at) for at in read)
    fact = Fact(status="seen", finding="crack", item="rib", words=(0, 5), place=places, count=3, of="rib")
    (told,) = numbers_of_places(Case(reader.lexicon, one), [fact])
    assert [place.at for place in told.place or ()] == meant
