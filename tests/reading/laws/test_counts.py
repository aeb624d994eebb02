"""Numbers that are told of each of two, or are the sum of several."""

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.counts import of_both
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


@pytest.mark.parametrize(
    ("text", "counted"),
    [
        ("Both elevators came off as well, four bolts each.", (8, "bolt")),
        ("Both rudders are off, two hinge pins each.", (4, "pin")),
        ("Both wheels came off, six nuts apiece.", (12, "nut")),
        ("We took both rudders off before lunch, three hinge bolts each, so six bolts.", (6, "bolt")),
        ("Both elevators came off, eight bolts.", (8, "bolt")),
        ("The rudders came off, three pins a side.", (6, "pin")),
        ("The port elevator came off, four bolts.", (4, "bolt")),
    ],
)
def test_number_of_each_of_both_is_told_of_both(note_reader: NoteReader, text: str, counted: tuple[int, str]) -> None:
    assert [(fact.count, fact.of) for fact in note_reader.read(text) if fact.act == "remove"] == [counted]


def test_number_of_all_is_not_the_number_of_each(note_reader: NoteReader) -> None:
    text = "The two fuel lines and the oil line are disconnected, and all three are blanked."
    blanked = {fact.item: fact.count or 1 for fact in note_reader.read(text) if fact.act == "blank"}
    assert blanked == {"fuel-line": 2, "oil-line": 1}


def test_two_numbers_of_the_same_fasteners_add_up(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Hull panels two and three are back on, thirty-six screws and forty screws.")
    assert (fact.act, fact.item, fact.count, fact.of) == ("fit", "hull-panel", 76, "screw")


@pytest.mark.parametrize(
    ("text", "blanked"),
    [
        ("Two fuel lines are disconnected, and we blanked the one.", 1),
        ("Two fuel lines are disconnected, and we capped just the one.", 1),
        ("Two fuel lines are disconnected, and we blanked both.", 2),
    ],
)
def test_what_was_done_to_the_one_of_two_is_told_of_one(note_reader: NoteReader, text: str, blanked: int) -> None:
    (fact,) = [fact for fact in note_reader.read(text) if fact.act == "blank"]
    assert (fact.item, fact.count, fact.of) == ("fuel-line", blanked, "fuel-line")


@pytest.mark.parametrize(
    "text", ["Both elevators are off, four bolts each.", "Both elevators are off, four bolts a side."]
)
def test_number_of_each_and_number_a_side_come_to_the_same(note_reader: NoteReader, text: str) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    told = Fact(status="done", act="remove", item="elevator", side="both", words=(0, 22))
    for counted in ({}, {"count": 4, "of": "bolt"}):
        (fact,) = of_both(Case(reader.lexicon, one), [told.model_copy(update=counted)])
        assert (fact.count, fact.of) == (8, "bolt")


def test_what_is_bagged_of_both_is_the_number_of_both(note_reader: NoteReader) -> None:
    facts = note_reader.read("Both flaps are off, six bolts each, in bag thirteen.")
    assert [(fact.act, fact.count, fact.of) for fact in facts] == [("remove", 12, "bolt"), ("bag", 12, "bolt")]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Two trestles under each wing.", ("support", 4, "trestle")),
        ("Both panels are off, six screws in each.", ("remove", 12, "screw")),
        ("Both doors are off, two pins in each hinge.", ("remove", 2, "pin")),
    ],
)
def test_number_at_each_of_both_is_that_of_one(
    note_reader: NoteReader, text: str, told: tuple[str, int, str]
) -> None:
    assert [(fact.act, fact.count, fact.of) for fact in note_reader.read(text)] == [told]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Cylinders four and six are off, twelve nuts each, all twenty-four in tin six.", 24),
        ("Cylinders four and six are off, twelve nuts each.", 12),
        ("Cylinders four and six are off, twelve nuts each, seven lost.", 12),
    ],
)
def test_sum_that_is_said_outdoes_the_number_of_each(note_reader: NoteReader, text: str, count: int) -> None:
    assert [fact.count for fact in note_reader.read(text) if fact.act == "remove"] == [count]
