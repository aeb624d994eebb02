"""Numbers of which the noun or the sum was left unsaid."""

import pytest

from pipeline.reading.note_reader import NoteReader


def _counted(note_reader: NoteReader, text: str, act: str) -> list[tuple[int | None, str | None]]:
    return [(fact.count, fact.of) for fact in note_reader.read(text) if fact.act == act]


def test_what_is_undone_is_counted_in_bolts_and_not_in_joints(note_reader: NoteReader) -> None:
    text = "Starboard wing joint. Of the ten bolts on the front spar, six are undone and four are still to do."
    assert (6, "bolt") in _counted(note_reader, text, "undo")
    assert "wing-joint" not in {of for _, of in _counted(note_reader, text, "undo")}


def test_another_six_at_another_place_are_of_the_same_fasteners(note_reader: NoteReader) -> None:
    text = (
        "i undid the screws on the inspection panel under the right wing there were ten at rib 4 and another six at "
        "rib 7 and then it came off"
    )
    assert _counted(note_reader, text, "undo") == [(10, "screw"), (6, "screw")]


def test_what_is_still_to_do_is_of_the_same_fasteners(note_reader: NoteReader) -> None:
    text = "Port wing joint. Of the ten bolts on the front spar, six are undone and four are still to do."
    assert _counted(note_reader, text, "undo") == [(6, "bolt"), (4, "bolt")]
    text = "Of the eight bolts on the fin, five are undone and three are to do."
    assert _counted(note_reader, text, "undo") == [(5, "bolt"), (3, "bolt")]


def test_holes_that_are_oval_are_counted_as_holes(note_reader: NoteReader) -> None:
    text = "Gauged the six bolt holes in the port rear spar. Three of them are oval."
    found = [(fact.count, fact.of) for fact in note_reader.read(text) if fact.finding == "elongated-hole"]
    assert found == [(3, "hole")]


def test_what_is_put_away_has_no_number_of_a_sentence_before(note_reader: NoteReader) -> None:
    text = "Took four oxygen bottles out of bay 2. They are in the gas store."
    assert _counted(note_reader, text, "store") == [(None, None)]
    assert _counted(note_reader, "Took the oxygen bottles out. Four of them are in the gas store.", "store") == [
        (4, "oxygen-bottle")
    ]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Both fairings are off, four screws, two a side.", 4),
        ("The fin fairings are held by six screws a side, twelve altogether.", 12),
        ("Took the cowl panel off, ten screws along the top and eight down the side, so eighteen.", 18),
        ("The fairing is off, twenty screws, plus one that was hiding under the paint, so twenty-one.", 21),
    ],
)
def test_sums_are_told_once(note_reader: NoteReader, text: str, count: int) -> None:
    facts = [fact for fact in note_reader.read(text) if fact.of == "screw"]
    assert [fact.count for fact in facts] == [count]


def test_new_bolts_of_a_part_make_no_new_part(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The bolts of the starboard float have been replaced by six new ones.")
    assert (fact.act, fact.item, fact.count, fact.of) == ("fit", "float", 6, "bolt")


def test_a_number_behind_its_verb_counts_what_the_verb_is_done_to(note_reader: NoteReader) -> None:
    text = "The nine fuel pipes are off and I've blanked seven the other two are still open."
    blanked = [
        (fact.count, fact.of) for fact in note_reader.read(text) if (fact.status, fact.act) == ("done", "blank")
    ]
    assert blanked == [(7, "fuel-line")]
    text = "Sixteen bolts in the cowling and we undid nine before tea."
    assert _counted(note_reader, text, "undo") == [(9, "bolt")]


def test_a_number_that_may_be_a_name_counts_nothing(note_reader: NoteReader) -> None:
    text = "Ribs 10 and 12 in the port wing. I've cleaned 10."
    assert _counted(note_reader, text, "clean") == [(None, None)]


@pytest.mark.parametrize(
    "text",
    [
        "Undid six bolts of the tail skid. We stopped there because of the rain. The tail skid's last two we undo on "
        "Sunday.",
        "Undid six bolts of the tail skid. We stopped because of the rain. The tail skid has two not undone yet.",
    ],
)
def test_a_number_without_noun_counts_the_fasteners_told_before(note_reader: NoteReader, text: str) -> None:
    assert _counted(note_reader, text, "undo") == [(6, "bolt"), (2, "bolt")]


def test_what_is_fitted_later_is_counted_in_the_same_screws(note_reader: NoteReader) -> None:
    text = "Fitted five screws to the port fillet. On the fillet there's another seven to be fitted."
    assert _counted(note_reader, text, "fit") == [(5, "screw"), (7, "screw")]


@pytest.mark.parametrize(
    "text",
    [
        "The hatch is held by eight screws, so undo those and lift it away.",
        "The hatch is held by eight screws and none of them has been undone.",
    ],
)
def test_what_holds_a_part_is_counted_once(note_reader: NoteReader, text: str) -> None:
    assert _counted(note_reader, text, "held-by") == [(8, "screw")]
    assert _counted(note_reader, text, "undo") == [(None, None)]


def test_what_was_undone_of_what_holds_a_part_keeps_its_number(note_reader: NoteReader) -> None:
    text = "The up lock is held by three bolts. I undid all three."
    assert _counted(note_reader, text, "undo") == [(3, "bolt")]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The starboard fillet panel's on with twelve, two screws missing.", ("fit", 12, "screw")),
        ("Drilled out two brackets on the port side, so twelve rivets.", ("drill-out", 12, "rivet")),
    ],
)
def test_number_of_a_part_is_of_the_fasteners_counted_beside_it(
    note_reader: NoteReader, text: str, told: tuple[str, int, str]
) -> None:
    assert told in [(fact.act, fact.count, fact.of) for fact in note_reader.read(text)]


def test_several_parts_are_counted_though_fasteners_stand_beside(note_reader: NoteReader) -> None:
    (fact,) = [f for f in note_reader.read("The fairleads, three are in, two screws each.") if f.act == "fit"]
    assert fact.count != 3 or fact.of != "screw"


def test_parts_that_are_counted_by_their_own_name_are_no_fasteners(note_reader: NoteReader) -> None:
    facts = note_reader.read("The fin is off, six bolts. Four electric plugs parted and taped.")
    assert [(fact.count, fact.of) for fact in facts if fact.act == "separate"] == [(4, "plug-and-socket")]
