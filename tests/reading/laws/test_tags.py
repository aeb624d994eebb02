"""Tags that were read out."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "item", "tag"),
    [
        ("The axle tag is D-0101.", "axle", "D-0101"),
        ("Axle off, axle tag D0101.", "axle", "D-0101"),
        ("The port magneto came off. Tag D-01-04.", "magneto", "D-0104"),
        ("The rudder, P-0142, has a dent in the leading edge.", "rudder", "P-0142"),
        ("Aileron off, P-0311. Tag on the elevator is P-0312.", "elevator", "P-0312"),
    ],
)
def test_tag_that_is_read_out_is_on_its_part(note_reader: NoteReader, text: str, item: str, tag: str) -> None:
    assert [fact.item for fact in note_reader.read(text) if fact.tag == tag] == [item]


def test_two_tags_of_a_pair_are_both_kept(note_reader: NoteReader) -> None:
    facts = note_reader.read("Both flying wires are off. They're tag-d, 0102 and D, 0103.")
    assert sorted(fact.tag for fact in facts if fact.tag) == ["D-0102", "D-0103"]


@pytest.mark.parametrize(
    ("text", "item", "tag"),
    [
        ("The instrument panel's out, put a tag on it, number 47.", "instrument-panel", "47"),
        ("The rudder's off, tagged it 14.", "rudder", "14"),
        ("The generator's off with a tag on it, 0032.", "generator", "0032"),
        ("The rudder's off, tag 19, on rack 2.", "rudder", "19"),
        ("Hung a tag on the starter, 112.", "starter", "112"),
        ("Label on the carburettor says 0456.", "carburettor", "0456"),
    ],
)
def test_bare_number_that_is_read_off_a_tag_is_the_tag(
    note_reader: NoteReader, text: str, item: str, tag: str
) -> None:
    assert [fact.item for fact in note_reader.read(text) if fact.tag == tag] == [item]


@pytest.mark.parametrize("text", ["We tagged the rudder bolts, eight.", "We tagged the rudder, two of us did."])
def test_number_that_counts_is_no_tag(note_reader: NoteReader, text: str) -> None:
    assert not [fact.tag for fact in note_reader.read(text) if fact.tag]


def test_second_tag_of_one_tagging_is_kept(note_reader: NoteReader) -> None:
    facts = note_reader.read("Capped both hydraulic lines and tagged them J-0211 and J-0212.")
    assert [(fact.act, fact.item, fact.tag) for fact in facts if fact.tag] == [
        ("tag", "hydraulic-line", "J-0211"),
        ("tag", "hydraulic-line", "J-0212"),
    ]
