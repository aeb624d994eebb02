"""Tags that are read out side by side."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "item", "tags"),
    [
        (
            "The rotor blades are on rack one, tagged P-0411, P-0412 and P-0413.",
            "rotor-blade",
            ["P-0411", "P-0412", "P-0413"],
        ),
        (
            "The fillet panels are labelled T-0050 to T-0053.",
            "fillet-panel",
            ["T-0050", "T-0051", "T-0052", "T-0053"],
        ),
        ("Both magnetos off, K-0411 and K-0412.", "magneto", ["K-0411", "K-0412"]),
        ("Three seats off. Tags P-0101, P-0102, P-0103.", "seat", ["P-0101", "P-0102", "P-0103"]),
    ],
)
def test_each_of_them_is_on_the_part(note_reader: NoteReader, text: str, item: str, tags: list[str]) -> None:
    told = [(fact.item, fact.tag) for fact in note_reader.read(text) if fact.tag]
    assert sorted(told, key=str) == [(item, tag) for tag in tags]


def test_tags_of_two_parts_are_no_row(note_reader: NoteReader) -> None:
    facts = note_reader.read("Tagged the carburettor T-0007 and the starter T-0009.")
    assert {(fact.item, fact.tag) for fact in facts if fact.tag} == {("carburettor", "T-0007"), ("starter", "T-0009")}


def test_tag_after_a_name_that_may_be_several_parts_is_not_given_to_another(note_reader: NoteReader) -> None:
    facts = note_reader.read("Tagged the pump T-0007, the filter T-0008 and the starter T-0009.")
    assert "T-0008" in [fact.tag for fact in facts]
    assert {fact.item for fact in facts if fact.tag == "T-0008"} <= {None, "oil-filter", "fuel-filter"}
