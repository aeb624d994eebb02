from pathlib import Path

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.errors import WrongCommand
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.trade.adding import NewPart, add_part, row_of
from pipeline.trade.check import check_vocabulary
from tests.trade.folders import lists_in


@pytest.fixture(scope="module")
def shipped() -> Vocabulary:
    return load_vocabulary(shipped_vocabulary())


def test_added_part_is_read_back_and_passes_the_check(tmp_path: Path, shipped: Vocabulary) -> None:
    new = NewPart("Gizmo Plate", broader="fuselage", alternatives=("gizmo cover, small",))
    file, line, notation = add_part(tmp_path / "vocab", shipped, new)
    part = load_vocabulary([*shipped_vocabulary(), file.parent]).part(notation)
    assert part is not None
    assert (part.notation, part.preferred, part.broader) == ("gizmo-plate", "Gizmo Plate", "fuselage")
    assert (part.kind, part.chapter, part.gloss) == ("structure", "53", "A part of the fuselage.")
    assert part.alternatives == ("gizmo cover, small",)
    assert file.read_text(encoding="utf-8").splitlines()[line - 1].startswith("gizmo-plate,")
    assert check_vocabulary([*shipped_vocabulary(), file.parent]).faults == ()


def test_second_part_goes_below_the_first_and_follows_the_lists_own_columns(
    tmp_path: Path, shipped: Vocabulary
) -> None:
    head = "# ours\npreferred,notation,kind,gloss,broader,zone,chapter,symmetrical\n"
    own = lists_in(tmp_path, parts=head + "Wotsit,wotsit,structure,A.,,,,")
    with pytest.raises(WrongCommand, match="There is a part 'wotsit' already"):
        add_part(own, load_vocabulary([*shipped_vocabulary(), own]), NewPart("wotsit", gloss="A."))
    file, line, _ = add_part(own, shipped, NewPart("gizmo", gloss="A gizmo.", symmetrical=True))
    assert file.read_text(encoding="utf-8").splitlines()[2:] == [
        "Wotsit,wotsit,structure,A.,,,,", "gizmo,gizmo,structure,A gizmo.,,any,,yes",
    ]  # fmt: skip
    assert line == 4


@pytest.mark.parametrize(
    ("new", "says"),
    [
        (NewPart("airscrews", gloss="A."), "belongs to the part 'propeller'"),
        (NewPart("gizmo", gloss="A.", alternatives=("propeller",)), "belongs to the part 'propeller'"),
        (NewPart("rudder", gloss="A."), "There is a part 'rudder' already"),
        (NewPart("unit", gloss="A."), "is a short name for"),
        (NewPart("gizmo", broader="hinge bracket"), "may be aileron-hinge, elevator-hinge, rudder-hinge, flap"),
        (NewPart("bag", gloss="A."), '"bag" is what things are kept in'),
        (NewPart("gizmo", gloss="A.", alternatives=("trays",)), '"trays" is what things are kept in'),
        (NewPart("starboard", gloss="A."), "is a side"),
        (NewPart("gizmo", broader="nothing"), "There is no part 'nothing'"),
        (NewPart("gizmo"), "Say what"),
        (NewPart("gizmo", gloss="A.", kind="gadget"), "'gadget' is not a kind of part"),
        (NewPart("gizmo", gloss="A.", zone="moon"), "'moon' is not a zone"),
        (NewPart("gizmo", gloss="A.", chapter="99"), "'99' is not a system chapter"),
        (NewPart("a|b", gloss="A."), "cannot be a name"),
        (NewPart("  ", gloss="A."), "cannot be a name"),
        (NewPart("…", gloss="A."), "no letters or figures"),
    ],
)
def test_part_that_cannot_be_is_refused_and_nothing_is_written(
    tmp_path: Path, shipped: Vocabulary, new: NewPart, says: str
) -> None:
    with pytest.raises(WrongCommand) as refused:
        add_part(tmp_path, shipped, new)
    assert says in str(refused.value)
    assert list(tmp_path.iterdir()) == []


def test_narrower_part_takes_its_name_over_from_the_part_that_it_belongs_to(
    tmp_path: Path, shipped: Vocabulary
) -> None:
    folders = [*shipped_vocabulary(), tmp_path]
    add_part(tmp_path, shipped, NewPart("elevator cable", broader="control-cable"))
    file, _, notation = add_part(
        tmp_path, load_vocabulary(folders), NewPart("aileron cable", broader="control-cable", symmetrical=True)
    )
    known = {one.notation: one for one in load_vocabulary(folders).parts}
    assert check_vocabulary(folders).faults == ()
    assert [known[one].broader for one in ("elevator-cable", notation)] == ["control-cable"] * 2
    before = next(one for one in shipped.parts if one.notation == "control-cable")
    left = tuple(name for name in before.alternatives if name not in ("elevator cable", "aileron cable"))
    assert known["control-cable"] == before.model_copy(update={"alternatives": left})
    assert [line.partition(",")[0] for line in file.read_text(encoding="utf-8").splitlines()[2:]] == [
        "elevator-cable",
        "control-cable",
        "aileron-cable",
    ]


@pytest.mark.parametrize("name", ["control cable", "airscrew"])
def test_name_of_the_broader_part_itself_or_of_another_is_not_taken_over(
    tmp_path: Path, shipped: Vocabulary, name: str
) -> None:
    with pytest.raises(WrongCommand):
        add_part(tmp_path, shipped, NewPart(name, broader="control-cable"))


def test_list_without_a_needed_column_is_refused(tmp_path: Path, shipped: Vocabulary) -> None:
    own = lists_in(tmp_path, parts="notation,preferred,kind\n")
    with pytest.raises(WrongCommand, match="has no column 'gloss'"):
        add_part(own, shipped, NewPart("gizmo", gloss="A."))


def test_kind_zone_and_chapter_follow_from_the_broader_part(shipped: Vocabulary) -> None:
    row = row_of(shipped, NewPart("gizmo jack", broader="tail-wheel"))
    assert (row["kind"], row["zone"], row["chapter"]) == ("undercarriage", "tail", "32")


@pytest.mark.parametrize("broader", ["tail rotor shaft", "Tail Rotor Drive Shafts", "tail-rotor-shaft"])
def test_part_that_it_belongs_to_is_given_by_any_of_its_names(shipped: Vocabulary, broader: str) -> None:
    row = row_of(shipped, NewPart("gizmo sleeve", broader=broader))
    assert (row["broader"], row["gloss"]) == ("tail-rotor-shaft", "A part of the tail rotor drive shaft.")


def test_books_own_names_outrank_the_common_ones(tmp_path: Path, shipped: Vocabulary) -> None:
    folders = [*shipped_vocabulary(), tmp_path]
    new = NewPart("whirl plate", gloss="A.", alternatives=("airscrew", "damper"))
    file, line, notation = add_part(tmp_path, shipped, new)
    checked = check_vocabulary(folders)
    assert checked.faults == ()
    taken = [told for told in checked.warnings if told.startswith(f"{file}, line {line}: ") and "no more" in told]
    assert [told.split("'")[1] for told in taken] == ["airscrew", "damper"]
    mine = load_vocabulary(folders)
    assert "airscrew" not in next(part for part in mine.parts if part.notation == "propeller").alternatives
    told = NoteReader(mine).read("We took the damper off and put it in bag 6.")
    assert {fact.item for fact in told} == {notation}


def test_name_of_another_of_the_books_own_parts_is_refused(tmp_path: Path, shipped: Vocabulary) -> None:
    add_part(tmp_path, shipped, NewPart("whirl plate", gloss="A.", alternatives=("whirler",)))
    mine = load_vocabulary([*shipped_vocabulary(), tmp_path])
    with pytest.raises(WrongCommand, match="belongs to the part 'whirl-plate'"):
        add_part(tmp_path, mine, NewPart("gizmo", gloss="A.", alternatives=("whirler",)))
