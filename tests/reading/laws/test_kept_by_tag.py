"""Where something is kept that only its tag names."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("T-0044 is in box four.", (None, "T-0044", {"box": "4"})),
        ("P-0201's been moved to rack nine.", (None, "P-0201", {"rack": "9"})),
        ("We've put P-0032 on rack two, top shelf.", (None, "P-0032", {"rack": "2", "shelf": "top"})),
        ("Tag T-0103 is now in the container, box four.", (None, "T-0103", {"box": "4", "room": "container"})),
        (
            "Took the starboard magneto off, it's tagged D-0044. We swept the floor. D-0044 went into box six.",
            ("magneto", "D-0044", {"box": "6"}),
        ),
    ],
)
def test_part_is_where_its_tag_is_said_to_be(note_reader: NoteReader, text: str, told: tuple[object, ...]) -> None:
    kept = [
        (fact.item, fact.tag, fact.stowage.model_dump(exclude_none=True))
        for fact in note_reader.read(text)
        if fact.stowage
    ]
    assert kept == [told]


@pytest.mark.parametrize(
    "text", ["T-0044 isn't in box four.", "T-0044 goes in box four tomorrow.", "Is T-0044 in box four?"]
)
def test_what_is_not_said_to_be_there_is_not(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.status == "done"]
