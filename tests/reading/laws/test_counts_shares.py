"""Numbers told as a share of others, or roughly."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "count", "of"),
    [
        ("All but one of the twelve screws on the access panel are undone.", 11, "screw"),
        ("All but two of the ten bolts are out of the wing joint.", 8, "bolt"),
        ("Half of the twenty screws in the fillet are undone.", 10, "screw"),
        ("Eleven clips along the oil pipe, we undid all but two.", 9, "clip"),
        ("Twelve screws round the inspection panel, all but three are out.", 9, "screw"),
    ],
)
def test_a_share_of_all_is_worked_out(note_reader: NoteReader, text: str, count: int, of: str) -> None:
    (fact,) = note_reader.read(text)
    assert (fact.count, fact.of) == (count, of)
    assert "count" in dict(fact.inferred)


def test_all_but_one_of_so_many_told_before_is_a_share_of_those(note_reader: NoteReader) -> None:
    facts = note_reader.read("The fin is held by six bolts. All but one of them are undone.")
    assert [(fact.act, fact.count, fact.of) for fact in facts] == [("held-by", 6, "bolt"), ("undo", 5, "bolt")]


def test_half_of_what_was_never_counted_has_no_number(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Half of the bolts are out of the wing joint.")
    assert (fact.act, fact.count) == ("undo", None)


def test_another_five_are_five_and_not_those_before(note_reader: NoteReader) -> None:
    facts = note_reader.read("Put three screws back in the access panel and there's another five to go in.")
    assert [(fact.status, fact.count, fact.of) for fact in facts] == [("done", 3, "screw"), ("planned", 5, "screw")]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Cowling: nine screws out, four to go on Sunday.", [(9, "screw"), (4, "screw")]),
        ("Two of the hinge bolts on the elevator are out, one to go.", [(2, "bolt"), (1, "bolt")]),
    ],
)
def test_what_is_still_to_go_is_counted(note_reader: NoteReader, text: str, told: list[tuple[int, str]]) -> None:
    assert [(fact.count, fact.of) for fact in note_reader.read(text)] == told


@pytest.mark.parametrize(
    ("text", "about"),
    [
        ("About sixty of the transport joint bolts are out.", True),
        ("We've got the forty bolts or so on the transport joint to undo next week.", True),
        ("We've drilled the rivets out of the bracket, about thirty.", True),
        ("We've drilled the rivets out of the bracket, thirty.", None),
        ("Drilled out say sixty rivets from the port doubler.", True),
        ("Two hundred and ten rivets drilled out of the gusset, give or take.", True),
        ("Forty-ish screws out of the belly panel.", True),
    ],
)
def test_what_is_told_roughly_is_marked_so(note_reader: NoteReader, text: str, about: bool | None) -> None:
    (fact,) = note_reader.read(text)
    assert fact.about is about


def test_all_but_one_of_nobody_knows_how_many_is_no_number(note_reader: NoteReader) -> None:
    assert [fact.count for fact in note_reader.read("All but one of the cowling screws are in.")] == [None]


def test_one_number_or_another_is_a_rough_one(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Nineteen or twenty screws out of the inspection panel.")
    assert (fact.count, fact.about) == (20, True)
