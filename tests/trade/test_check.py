from pathlib import Path

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.errors import WrongCommand
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.trade.check import check_vocabulary
from tests.trade.folders import PARTS, lists_in


def faults(tmp_path: Path, **lists: str) -> str:
    return "\n".join(check_vocabulary([lists_in(tmp_path / "own", **lists)]).faults)


def test_shipped_vocabulary_comes_out_clean() -> None:
    assert check_vocabulary(shipped_vocabulary()).faults == ()


def test_one_name_for_two_parts_is_told_with_both_lines(tmp_path: Path) -> None:
    told = faults(tmp_path, parts=PARTS + "a,gizmo,thing,structure,A.,,,,,\nb,widget,Things,structure,B.,,,,,\n")
    assert "parts.csv, line 3: the name 'things' of 'b' already belongs to 'a' (parts.csv, line 2)" in told


def test_name_taken_from_the_common_base_is_a_warning_on_the_books_own_line(tmp_path: Path) -> None:
    own = lists_in(tmp_path, parts="# ours\n" + PARTS + "gizmo,gizmo,airscrew,structure,A.,,,,,\n")
    checked = check_vocabulary([*shipped_vocabulary(), own])
    assert checked.faults == ()
    (told,) = [warning for warning in checked.warnings if "gizmo" in warning]
    assert told.startswith(
        f"{own / 'parts.csv'}, line 3: 'airscrew' is a name of 'gizmo' now, and no more of 'propeller'"
    )


def test_book_whose_part_the_common_base_has_learnt_since_still_loads(tmp_path: Path) -> None:
    parts = "ours,hanger bearing,,structure,A.,,,,,\nmine,altimeter,,instruments,A.,,,,,\n"
    folders = [*shipped_vocabulary(), lists_in(tmp_path, parts=PARTS + parts)]
    vocabulary = load_vocabulary(folders)
    assert check_vocabulary(folders).faults == ()
    called = [vocabulary.preferred(one) for one in ("ours", "hanger-bearing", "mine", "altimeter")]
    assert called == ["hanger bearing", "shaft hanger bearing", "altimeter", "altimeter (common list)"]
    (told,) = NoteReader(vocabulary).read("The hanger bearing is off.")
    assert told.item == "ours"


def test_names_of_the_books_own_part_are_other_names_of_none_of_the_bases(tmp_path: Path) -> None:
    own = lists_in(tmp_path, parts=PARTS + "jet-tube,jet pipe,jetpipes,powerplant,A pipe.,engine,nacelle,78,yes,\n")
    vocabulary = load_vocabulary([*shipped_vocabulary(), own])
    tail_pipe = vocabulary.part("tail-pipe")
    assert tail_pipe is not None and "tailpipe" in tail_pipe.alternatives
    assert {"jet pipe", "jetpipe"}.isdisjoint(tail_pipe.alternatives)
    (told,) = NoteReader(vocabulary).read("We took the jet pipe off.")
    assert told.item == "jet-tube"


def test_line_that_takes_the_place_of_the_bases_line_clashes_with_nothing(tmp_path: Path) -> None:
    own = lists_in(
        tmp_path, parts=PARTS + "propeller,airscrew,propeller,powerplant,What pulls.,engine,nacelle,61,yes,4\n"
    )
    assert check_vocabulary([*shipped_vocabulary(), own]).faults == ()


def test_every_fault_is_told_and_not_only_the_first(tmp_path: Path) -> None:
    told = faults(
        tmp_path,
        parts=PARTS
        + "a,a,,gadget,A.,,,,,\nb,b,,structure,,,,,,\nc,c,,structure,C.,nope,,,,\nd,d,,structure,D.,,moon,,,\n"
        "e,e,,structure,E.,,,99,,\n",
        shorts="name,may_be\nbit,a|nobody\n",
        joints="part,joins,fasteners,count,about,services,held_up\na,a|b,glue,,,,\nz,,,,,,\n",
        sets="part,number,of\nb,none,aircraft\nc,2,fleet\n",
        stations="scheme,at,inches,from,note\nframe,1,far,,\nframe,2,3,moon,\n",
        gadgets="notation\n",
    )
    for expected in (
        "parts.csv, line 2: 'gadget' in the column 'kind'",
        "parts.csv, line 3: the column 'gloss' is empty",
        "parts.csv, line 4: the broader part 'nope' is in no parts.csv",
        "parts.csv, line 5: 'moon' in the column 'zone'",
        "parts.csv, line 6: '99' is not a system chapter",
        "shorts.csv, line 2: 'nobody' in the column 'may_be' is in no parts.csv",
        "joints.csv, line 2: 'glue' in the column 'fasteners' is in no counted.csv",
        "joints.csv, line 3: 'z' in the column 'part' is in no parts.csv",
        "sets.csv, line 2: 'none' in the column 'number' is not a whole number",
        "sets.csv, line 3: 'fleet' in the column 'of' is in no parts.csv",
        "stations.csv, line 2: 'far' in the column 'inches' is not a number",
        "stations.csv, line 3: 'moon' in the column 'from'",
        "gadgets.csv: is not a list that is known",
    ):
        assert expected in told, expected


def test_loop_in_broader_is_told_once(tmp_path: Path) -> None:
    loop = "a,a,,structure,A.,b,,,,\nb,b,,structure,B.,c,,,,\nc,c,,structure,C.,b,,,,\n"
    told = check_vocabulary([lists_in(tmp_path, parts=PARTS + loop)]).faults
    assert [fault for fault in told if "loop" in fault] == [
        f"{tmp_path / 'parts.csv'}, line 3: the broader parts go round in a loop: b > c > b; break it"
    ]


def test_file_that_cannot_be_read_does_not_hide_what_is_wrong_in_others(tmp_path: Path) -> None:
    (tmp_path / "acts.csv").write_bytes(b"\xff\xfe")
    told = "\n".join(check_vocabulary([lists_in(tmp_path, parts=PARTS + "a,a,,structure,,,,,,\n")]).faults)
    assert "acts.csv: is not saved as UTF-8" in told
    assert "parts.csv, line 2: the column 'gloss' is empty" in told


def test_names_that_sound_alike_are_warned_of_and_are_no_fault(tmp_path: Path) -> None:
    parts = (
        "sill,door sill,,structure,A.,,,,,\nseal,door seal,,structure,B.,,,,,\npump,door pump,,structure,C.,,,,,\n"
    )
    checked = check_vocabulary([lists_in(tmp_path, parts=PARTS + parts)])
    assert checked.faults == ()
    (warning,) = checked.warnings
    assert warning.startswith(f"{tmp_path / 'parts.csv'}, line 3: 'door seal' sounds like 'door sill' of 'sill'")


def test_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WrongCommand, match="no such vocabulary folder"):
        check_vocabulary([tmp_path / "nowhere"])
