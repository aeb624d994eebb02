"""Fasteners that are counted beside the work on a part, and told of nothing."""

import pytest

from pipeline.reading.laws.case import Case
from pipeline.reading.laws.counts_unclaimed import with_counted_work
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


@pytest.mark.parametrize(
    ("text", "act", "count", "about"),
    [
        ("we drilled out the rivets about fifty and lifted the doubler off", "drill-out", 50, True),
        ("Undid the screws, about thirty, and the panel fell off.", "undo", 30, True),
        (
            "Took the starboard skin panel off aft of the door, port side, frame 8. Fifty-two rivets, and six of "
            "them were loose.",
            "remove",
            52,
            None,
        ),
    ],
)
def test_fasteners_counted_beside_the_work_are_its_own(
    note_reader: NoteReader, text: str, act: str, count: int, about: bool | None
) -> None:
    (fact,) = [fact for fact in note_reader.read(text) if fact.act == act]
    assert (fact.count, fact.about) == (count, about)


def test_fasteners_that_are_told_of_something_count_once(note_reader: NoteReader) -> None:
    facts = note_reader.read("The port rudder is off. Two bolts are still in the bracket.")
    assert [fact.count for fact in facts if fact.act == "remove"] == [None]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Undid the bolts on the port fin root, six of them.", ("undo", "fin", 6, "bolt")),
        (
            "Torqued the ten root bolts on the left wing to forty-five foot pounds.",
            ("tighten", "mainplane", 10, "bolt"),
        ),
    ],
)
def test_counted_work_on_a_named_part_that_only_the_rules_read_is_kept(
    note_reader: NoteReader, text: str, told: tuple[object, ...]
) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    (fact,) = with_counted_work(Case(reader.lexicon, one), [])
    assert (fact.act, fact.item, fact.count, fact.of) == told
    assert fact.doubts
    assert [(f.act, f.item, f.count, f.of) for f in note_reader.read(text)] == [told]


def test_holes_drilled_for_new_rivets_are_no_counted_work(note_reader: NoteReader) -> None:
    assert not note_reader.read("We drilled the new doubler for eight rivets.")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Rivets drilled out on the port side of the keel doubler, ninety-six of them.", ("drill-out", 96, "rivet")),
        ("Nipped up the nuts on the oil pipes, two of them.", ("tighten", 2, "nut")),
    ],
)
def test_so_many_of_them_are_the_fasteners_named_before(
    note_reader: NoteReader, text: str, told: tuple[str, int, str]
) -> None:
    assert [(fact.act, fact.count, fact.of) for fact in note_reader.read(text)] == [told]


def test_a_number_behind_what_is_in_a_bag_counts_it(note_reader: NoteReader) -> None:
    facts = note_reader.read("Bag 12, the old bolts, twelve. Bag 13, spare nuts, nine.")
    assert [(fact.item, fact.count) for fact in facts] == [("bolt", 12), ("nut", 9)]


def test_all_so_many_at_the_end_are_the_fasteners_named_before(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The engine mount bolts are at one hundred and ten foot pounds, all eight.")
    assert (fact.act, fact.count, fact.of) == ("tighten", 8, "bolt")
