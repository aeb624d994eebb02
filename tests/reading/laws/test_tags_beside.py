"""Tags read out beside what they are on."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "P-0412 for the port elevator and P-0413 for the starboard one.",
            [("elevator", "port", "P-0412"), ("elevator", "starboard", "P-0413")],
        ),
        (
            "P-0412 is on the starboard elevator and P-0413 on the port.",
            [("elevator", "starboard", "P-0412"), ("elevator", "port", "P-0413")],
        ),
        (
            "Tags: rudder R-12, fin R-13, trim tab R-14.",
            [("rudder", None, "R-12"), ("fin", None, "R-13"), ("trim-tab", None, "R-14")],
        ),
        (
            "Port aileron is on P-0300, starboard one on P-0301.",
            [("aileron", "port", "P-0300"), ("aileron", "starboard", "P-0301")],
        ),
    ],
)
def test_a_tag_is_that_of_the_part_named_beside_it(
    note_reader: NoteReader, text: str, told: list[tuple[object, ...]]
) -> None:
    assert [(fact.item, fact.side, fact.tag) for fact in note_reader.read(text)] == told


def test_a_tag_still_to_be_put_on_is_not_told_as_done(note_reader: NoteReader) -> None:
    facts = note_reader.read("P-0412 will go on the port elevator tomorrow.")
    assert all(fact.status != "done" for fact in facts)


def test_one_figure_is_a_tag_beside_the_word_tag_alone(note_reader: NoteReader) -> None:
    assert [fact.tag for fact in note_reader.read("Tagged the fin K-9.")] == ["K-9"]
    assert all(fact.tag is None for fact in note_reader.read("Fitted the T-3 bolts to the fin, four of them."))


def test_a_part_whose_tag_came_off_is_not_off(note_reader: NoteReader) -> None:
    facts = note_reader.read("P-0220 came off the fin, it's got P-0221 instead.")
    assert all(fact.act == "tag" for fact in facts)
    assert all(fact.act == "tag" for fact in note_reader.read("P-0220 fell off the port elevator."))
    assert [fact.act for fact in note_reader.read("The fin, P-0220, came off the fuselage.")] == ["remove"]
