from pathlib import Path

import pytest

from pipeline.errors import WrongCommand
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.shipped import shipped

PARTS = "notation,preferred,alternatives,kind,gloss,broader,zone,chapter,symmetrical,set\n"


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"])


def folder(tmp_path: Path, **files: str) -> Path:
    for name, text in files.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    return tmp_path


def refused(tmp_path: Path, **files: str) -> str:
    with pytest.raises(WrongCommand) as caught:
        load_vocabulary([folder(tmp_path, **files)])
    return str(caught.value)


def test_shipped_vocabulary_has_a_gloss_for_every_part(vocabulary: Vocabulary) -> None:
    assert len(vocabulary.parts) >= 180
    assert [part.notation for part in vocabulary.parts if not part.gloss] == []


def test_every_act_on_fasteners_is_an_act_itself(vocabulary: Vocabulary) -> None:
    acts = {act.notation for act in vocabulary.acts}
    assert {act.on_fasteners for act in vocabulary.acts if act.on_fasteners} <= acts


def test_part_is_found_with_its_gloss_and_what_it_belongs_to(vocabulary: Vocabulary) -> None:
    assert vocabulary.preferred("tail-oleo") == "tail oleo"
    assert vocabulary.gloss("tail-oleo").startswith("The spring leg")
    assert vocabulary.is_a("tail-oleo", "tail-wheel")
    assert not vocabulary.is_a("tail-wheel", "tail-oleo")
    assert vocabulary.part("no-such-part") is None
    assert vocabulary.preferred("no-such-part") == "no such part"


def test_names_hold_hangar_words_with_their_notation(vocabulary: Vocabulary) -> None:
    said = {(name.text, name.notation) for name in vocabulary.names()}
    assert {
        ("yoke", "control-column"),
        ("cotter pin", "split-pin"),
        ("take off", "remove"),
        ("rust", "corrosion"),
    } <= said


def test_type_pack_knows_where_its_frames_are(vocabulary: Vocabulary) -> None:
    inches = {(point.scheme, point.at): point.inches for point in vocabulary.stations}
    assert inches["frame", "12"] < inches["frame", "22"]


def test_later_folder_takes_the_place_of_an_earlier_line(tmp_path: Path) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    for place, name in ((first, "gizmo plate"), (second, "gizmo panel")):
        place.mkdir()
        (place / "parts.csv").write_text(PARTS + f"gizmo,{name},,structure,,,,,,\n", encoding="utf-8")
    assert load_vocabulary([first, second]).preferred("gizmo") == "gizmo panel"


def test_fingerprint_is_of_content_and_not_of_comments_or_order(tmp_path: Path) -> None:
    a, b, c = (tmp_path / name for name in "abc")
    for place in (a, b, c):
        place.mkdir()
    one, two = "gizmo,gizmo,,structure,,,,,,\n", "widget,widget,,structure,,,,,,\n"
    (a / "parts.csv").write_text(PARTS + one + two, encoding="utf-8")
    (b / "parts.csv").write_text("# ours\n" + PARTS + two + "# and\n" + one, encoding="utf-8")
    (c / "parts.csv").write_text(PARTS + one + two.replace(",widget,", ",widgets,"), encoding="utf-8")
    marks = [load_vocabulary([place]).fingerprint for place in (a, b, c)]
    assert marks[0] == marks[1] != marks[2]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("gizmo,,,structure,,,,,,\n", "line 2: the column 'preferred' is empty"),
        (",gizmo,,structure,,,,,,\n", "line 2: the column 'notation' is empty"),
        ("gizmo,gizmo,,gadget,,,,,,\n", "'gadget' in the column 'kind'"),
        ("gizmo,gizmo,,structure,,,,99,,\n", "'99' is not a system chapter"),
        ("gizmo,gizmo,,structure,,,,,,none\n", "'none' in the column 'set'"),
        ("gizmo,gizmo,,structure,,nothing,,,,\n", "the broader part 'nothing' is in no parts.csv"),
        ("Gizmo Plate,gizmo,,structure,,,,,,\n", "small letters"),
        (
            "a,a,thing,structure,,,,,,\nb,b,thing,structure,,,,,,\n",
            "line 3: the name 'thing' of 'b' already belongs to 'a'",
        ),
        ("a,a,,structure,,b,,,,\nb,b,,structure,,a,,,,\n", "go round in a loop"),
        ("a,a,,structure,,,,,,\na,b,,structure,,,,,,\n", "line 3: 'a' is already on line 2"),
        ("a,a,,structure,what, then,,any,53,no,4\n", "put a text that has a comma"),
    ],
)
def test_wrong_line_is_refused_with_file_and_line(tmp_path: Path, text: str, says: str) -> None:
    message = refused(tmp_path, parts=PARTS + text)
    assert "parts.csv, line" in message
    assert says in message


def test_unknown_column_list_and_cue_are_refused(tmp_path: Path) -> None:
    for name in "123":
        (tmp_path / name).mkdir()
    assert "unknown column 'colour'" in refused(tmp_path / "1", parts="notation,colour\n")
    assert "is not a list that is known" in refused(tmp_path / "2", gadgets="notation\n")
    assert "'perchance'" in refused(tmp_path / "3", cues="cue,means\nperchance,perchance\n")


@pytest.mark.parametrize("parts", [";", "\t"])
def test_list_that_a_spreadsheet_parted_otherwise_is_read(tmp_path: Path, parts: str) -> None:
    text = PARTS + 'gizmo,"gizmo",gadget|widget,structure,,,,,,\n,,,,\n'
    (tmp_path / "parts.csv").write_text(text.replace(",", parts), encoding="utf-8")
    (part,) = load_vocabulary([tmp_path]).parts
    assert (part.notation, part.preferred, part.alternatives) == ("gizmo", "gizmo", ("gadget", "widget"))


def test_too_many_cells_are_told_with_the_mark_that_parts_them(tmp_path: Path) -> None:
    message = refused(tmp_path, parts=(PARTS + "a,a,,structure,what, then,,any,53,no,4\n").replace(",", ";"))
    assert "put a text that has a semicolon in it between quotes" in message


def test_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WrongCommand, match="no such vocabulary folder"):
        load_vocabulary([tmp_path / "nowhere"])


def test_lists_are_read_again_as_soon_as_they_hold_something_else_or_are_gone(tmp_path: Path) -> None:
    place = tmp_path / "own"
    place.mkdir()
    for name in ("gizmo plate", "gizmo panel", "gizmo plate"):
        (place / "parts.csv").write_text(PARTS + f"gizmo,{name},,structure,,,,,,\n", encoding="utf-8")
        assert load_vocabulary([place]).preferred("gizmo") == name
    (place / "parts.csv").write_text(PARTS + "gizmo,,,structure,,,,,,\n", encoding="utf-8")
    assert "'preferred' is empty" in refused(place)
    (place / "parts.csv").unlink()
    assert load_vocabulary([place]) == Vocabulary()
    place.rmdir()
    with pytest.raises(WrongCommand, match="no such vocabulary folder"):
        load_vocabulary([place])


def test_names_and_hash_of_equal_vocabularies_are_equal(tmp_path: Path) -> None:
    one = load_vocabulary([shipped("vocab") / "base"])
    made = [Vocabulary(**{name: getattr(one, name) for name in Vocabulary.model_fields}) for _ in range(2)]
    assert made[0] is not made[1] and made[0] == made[1]
    assert hash(made[0]) == hash(made[1]) and made[0].names() == made[1].names()


def test_copy_with_other_parts_knows_those_alone(vocabulary: Vocabulary) -> None:
    assert vocabulary.part("tail-oleo") and vocabulary.names() and vocabulary.fingerprint
    none = vocabulary.model_copy(update={"parts": ()})
    assert none.part("tail-oleo") is None and none.gloss("tail-oleo") == ""
    assert none.fingerprint != vocabulary.fingerprint and len(none.names()) < len(vocabulary.names())


def test_list_that_is_not_text_is_refused(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").write_bytes(b"\xff\xfe\x00bad")
    with pytest.raises(WrongCommand, match="not saved as UTF-8"):
        load_vocabulary([tmp_path])
