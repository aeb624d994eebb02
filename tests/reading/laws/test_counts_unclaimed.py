"""Fasteners that are counted beside the work on a part, and told of nothing."""

import pytest

from pipeline.reading.note_reader import NoteReader


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
