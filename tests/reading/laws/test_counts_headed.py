"""Numbers told of a heading, or out of a whole."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Cowling bolts: nine out, three to go.",
            [("done", "undo", "cowling", 9, "bolt"), ("planned", "undo", "cowling", 3, "bolt")],
        ),
        (
            "Pitch links, two off, one still to come.",
            [("done", "remove", "pitch-link", 2, "pitch-link"), ("planned", "remove", "pitch-link", 1, "pitch-link")],
        ),
        (
            "Hinge pins, two in, two still to find.",
            [("done", "fit", None, 2, "pin"), ("planned", "fit", None, 2, "pin")],
        ),
        ("Engine mount bolts: four of eight in.", [("done", "fit", "engine-mount", 4, "bolt")]),
    ],
)
def test_numbers_after_a_heading_are_told_of_it(
    note_reader: NoteReader, text: str, told: list[tuple[object, ...]]
) -> None:
    assert [(fact.status, fact.act, fact.item, fact.count, fact.of) for fact in note_reader.read(text)] == told


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("Twelve nuts of the sixteen are off the tail boom.", [12]),
        ("The wing joint. Ten bolts, six undone.", [6]),
        ("2 of 3 hinge bolts out, rudder.", [2]),
        ("Fitted the windscreen, eleven of the twenty screws are in.", [11]),
        ("Undid four bolts on the fin, then another four bolts.", [4, 4]),
        ("Both magnetos off. Three bolts each.", [6]),
        ("Four out of the six cowling screws are out.", [4]),
        ("Three out of four flap hinge bolts are undone.", [3]),
        ("Number one engine, eight bearer bolts, seven torqued.", [7]),
        ("Engine mount, eight bolts, six in.", [6]),
        ("Wire locked the turnbuckles, three of the four.", [3]),
        ("The last of the twelve cowling screws is in.", [1]),
        ("The leading edge is back on, port side. Sixty-four screws, sixty-two went in.", [62]),
        ("The cowl's on. Six screws, five went in.", [5]),
        ("The panel's off, eight screws. Eight screws, six went in.", [8]),
    ],
)
def test_part_of_a_whole_is_counted_and_only_once(note_reader: NoteReader, text: str, counts: list[int]) -> None:
    assert [fact.count for fact in note_reader.read(text) if fact.count] == counts


def test_what_is_in_one_panel_is_no_number_of_panels(note_reader: NoteReader) -> None:
    facts = note_reader.read("On the inspection panel sixteen are in, four to go.")
    assert [(fact.status, fact.count, fact.of) for fact in facts] == [
        ("done", 16, "fastener"),
        ("planned", 4, "fastener"),
    ]


def test_so_many_of_the_heading_may_stand_between_commas(note_reader: NoteReader) -> None:
    facts = note_reader.read("Root bolts, ten of them, in, castle nuts on finger tight.")
    assert ("fit", 10, "bolt") in [(fact.act, fact.count, fact.of) for fact in facts]


def test_only_so_many_of_all_were_torqued(note_reader: NoteReader) -> None:
    facts = note_reader.read("Starboard flap's on again, six bolts, only four torqued.")
    assert [(fact.act, fact.count) for fact in facts] == [("fit", 6), ("tighten", 4)]


def test_the_other_four_are_no_number_of_those_undone(note_reader: NoteReader) -> None:
    facts = note_reader.read("We've got two of the six engine mount bolts undone, the other four still in.")
    assert ("done", "undo", 2, "bolt") in [(f.status, f.act, f.count, f.of) for f in facts]
    assert all(fact.status != "done" or fact.count == 2 for fact in facts)


def test_parts_out_of_all_are_counted(note_reader: NoteReader) -> None:
    facts = note_reader.read("Five out of seven inspection covers are back, the two under the tail aren't.")
    assert [(f.status, f.count) for f in facts] == [("done", 5), ("not-done", 2)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Belly panel's back on. Ten screws. Eight in, two to go.",
            [("done", None), ("done", 8), ("planned", 2)],
        ),
        ("The rudder's off. Three bolts. So two in, one to come.", [("done", 2), ("planned", 1)]),
    ],
)
def test_a_sentence_of_numbers_alone_is_of_what_was_told_before(
    note_reader: NoteReader, text: str, told: list[tuple[str, int | None]]
) -> None:
    assert [(fact.status, fact.count) for fact in note_reader.read(text) if fact.act == "fit"] == told


def test_numbers_alone_of_nothing_told_before_tell_nothing(note_reader: NoteReader) -> None:
    assert note_reader.read("Two out, two in.") == ()


def test_what_went_in_is_fitted_once(note_reader: NoteReader) -> None:
    text = (
        "Mate, the whole leading edge is back on, port side. Sixty-four screws, sixty-two went in, two stripped "
        "their anchor nuts at rib 11. New anchor nuts are on order. I chucked a bit of sealant round the landing "
        "lamp and put that in too, eight screws."
    )
    fitted = [fact for fact in note_reader.read(text) if fact.act == "fit" and fact.item == "leading-edge"]
    assert [(fact.count, fact.of) for fact in fitted] == [(62, "screw")]
