"""What was seen at several places."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "finding", "places"),
    [
        ("The fairlead at frame 6 is worn and so is the one at frame 9.", "wear", ["6", "9"]),
        ("Fuel pipe at station 214 weeps, and so does the one at station 226.", "leak", ["214", "226"]),
        ("There's a crack in the keel at frame 3 and another at frame 5.", "crack", ["3", "5"]),
        ("A dent in the leading edge by rib 7, and another one outboard of rib 11.", "dent", ["7", "11"]),
        ("Three cracks in the skin, one at rib 2, one at rib 5 and one at rib 8.", "crack", ["2", "5", "8"]),
        ("One bolt at frame 3 is loose and one at frame 5.", "loose", ["3", "5"]),
        ("Frame 3 is cracked, frame 4 is cracked and frame 5 is sound.", "crack", ["3", "4"]),
    ],
)
def test_it_is_told_of_each_place(note_reader: NoteReader, text: str, finding: str, places: list[str]) -> None:
    seen = [[one.at for one in fact.place or ()] for fact in note_reader.read(text) if fact.finding == finding]
    assert sorted(seen, key=lambda at: int(at[0])) == [[place] for place in places]


def test_two_stringers_at_two_frames_are_two_findings(note_reader: NoteReader) -> None:
    facts = note_reader.read("Stringer four's cracked at frame 27 and stringer six at frame 28, both starboard.")
    assert [[(one.scheme, one.at) for one in fact.place or ()] for fact in facts] == [
        [("stringer", "4"), ("frame", "27")],
        [("stringer", "6"), ("frame", "28")],
    ]


def test_one_that_is_in_another_condition_is_not_the_same(note_reader: NoteReader) -> None:
    facts = note_reader.read("Pulley at frame 12 is seized, the one at frame 16 turns freely.")
    assert [[one.at for one in fact.place or ()] for fact in facts if fact.finding == "seized"] == [["12"]]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Starboard side, frame 12, three loose rivets. Frame 13, none. Frame 14, five.",
            [("starboard", "12", 3), ("starboard", "14", 5)],
        ),
        (
            "On the port side there are nine rivets loose at frame 4 and on the starboard side there are six.",
            [("port", "4", 9), ("starboard", "4", 6)],
        ),
        ("Eight rivets loose at rib 3. Rib 5, three.", [(None, "3", 8), (None, "5", 3)]),
    ],
)
def test_number_alone_counts_the_same_elsewhere(
    note_reader: NoteReader, text: str, told: list[tuple[str | None, str, int]]
) -> None:
    seen = [fact for fact in note_reader.read(text) if fact.finding == "loose" and not fact.absent]
    assert [(fact.side, fact.place[0].at, fact.count) for fact in seen if fact.place] == told


def test_number_of_other_things_elsewhere_is_no_finding(note_reader: NoteReader) -> None:
    facts = note_reader.read("Two nuts cracked on the port mount. On the starboard side, we've four trestles.")
    assert [fact.side for fact in facts if fact.finding] == ["port"]
