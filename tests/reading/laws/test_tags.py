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


@pytest.mark.parametrize(
    ("text", "tags"),
    [
        ("Tagged the carb 16 and the starter 17.", [("carburettor", None, "16"), ("starter", None, "17")]),
        ("Tagged the port magneto 21, starboard 22.", [("magneto", "port", "21"), ("magneto", "starboard", "22")]),
        ("Tags 4 to 6 on the port cowlings.", [("cowling", "port", one) for one in ("4", "5", "6")]),
        ("Pitch links off, tags 51 and 52.", [("pitch-link", None, "51"), ("pitch-link", None, "52")]),
        ("The aileron is tag 12 and the flap is tag 13.", [("aileron", None, "12"), ("flap", None, "13")]),
        (
            "The port aileron is off, tag 12, and the port flap, tag 13.",
            [("aileron", "port", "12"), ("flap", "port", "13")],
        ),
    ],
)
def test_each_of_several_tags_is_on_its_own_part(
    note_reader: NoteReader, text: str, tags: list[tuple[str, str | None, str]]
) -> None:
    told = [(fact.item, fact.side, fact.tag) for fact in note_reader.read(text) if fact.tag]
    assert sorted(told, key=str) == sorted(tags, key=str)


def test_tags_that_are_to_go_on_tomorrow_are_on_nothing_yet(note_reader: NoteReader) -> None:
    facts = note_reader.read("Tags 4 to 9 go on the cowlings tomorrow.")
    assert not [fact for fact in facts if fact.tag and fact.status == "done"]


def test_neither_of_two_tags_is_lost_where_the_word_is_said_twice(note_reader: NoteReader) -> None:
    facts = note_reader.read("Tag P zero zero zero two and tag P zero zero zero three on the magnetos.")
    assert [(fact.act, fact.item, fact.tag) for fact in facts] == [
        ("tag", "magneto", "P-0002"),
        ("tag", "magneto", "P-0003"),
    ]


@pytest.mark.parametrize(
    ("text", "item", "tag"),
    [
        ("Tag on number three engine is P-0210. Four bolts in bag eighteen.", "engine", "P-0210"),
        ("The tag on the starboard aileron is P-0031, six screws in bag 3.", "aileron", "P-0031"),
    ],
)
def test_tag_is_on_what_it_is_said_to_be_on(note_reader: NoteReader, text: str, item: str, tag: str) -> None:
    assert [(fact.item, fact.tag) for fact in note_reader.read(text) if fact.tag] == [(item, tag)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Took both magnetos off number two, port one's tagged K-0101, starboard one's K-0102.",
            {("port", "K-0101"), ("starboard", "K-0102")},
        ),
        ("Port leg's tag is L-0110 now. Starboard leg's back on, three bolts.", {("port", "L-0110")}),
    ],
)
def test_tag_is_on_the_side_that_was_said_with_it(
    note_reader: NoteReader, text: str, told: set[tuple[str, str]]
) -> None:
    assert {(fact.side, fact.tag) for fact in note_reader.read(text) if fact.tag} == told
