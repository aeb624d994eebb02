"""What stays where it is and is owed to nobody."""

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import RULE
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader
from pipeline.reading.stays_there import without_what_stays


def _owed(act: str, item: str, words: tuple[int, int]) -> Fact:
    return Fact(status="not-done", act=act, item=item, side="starboard", words=words, rule=RULE)


@pytest.mark.parametrize(
    "text",
    [
        "The starboard engine is still on its stand.",
        "The starboard engine is still on the two trestles.",
        "The starboard engine is still in the cradle.",
    ],
)
def test_part_that_is_still_on_its_stand_is_not_owed_off(note_reader: NoteReader, text: str) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    owed = _owed("remove", "engine", (24, 32))
    assert without_what_stays(reader.lexicon, one, [owed]) == []


def test_part_that_is_still_on_is_owed_off(note_reader: NoteReader) -> None:
    told = [(fact.status, fact.act, fact.item) for fact in note_reader.read("The cowling is still on.")]
    assert told == [("not-done", "remove", "cowling")]


@pytest.mark.parametrize(
    "text",
    [
        "We glued the ribs into the port elevator and left the clamps on.",
        "We glued eleven ribs into the port elevator and left the clamps on.",
        "We repaired the port elevator and left the weights on.",
    ],
)
def test_clamps_left_on_what_was_glued_owe_nothing(note_reader: NoteReader, text: str) -> None:
    assert [fact for fact in note_reader.read(text) if fact.status == "not-done"] == []


@pytest.mark.parametrize(
    ("text", "owed"),
    [
        ("We took the leading edge off and left the pitot head on.", ("remove", "pitot-head")),
        ("We took the port aileron off and left the bolts in.", ("undo", "aileron")),
    ],
)
def test_part_or_fasteners_left_on_are_not_undone(note_reader: NoteReader, text: str, owed: tuple[str, str]) -> None:
    assert owed in [(fact.act, fact.item) for fact in note_reader.read(text) if fact.status == "not-done"]
