"""The outlines of a type pack: read in inches, checked with file and line."""

import pytest

from pipeline.book import shipped_vocabulary
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.trade.check import check_vocabulary
from tests.trade.folders import lists_in

HEAD = "shape,view,kind,part,zone,symmetry,{}\n"


def pack(folder, rows, unit="inches"):
    return [*shipped_vocabulary()[:1], lists_in(folder / "pack", outline=HEAD.format(unit) + rows)]


def test_outline_in_millimetres_is_in_inches(tmp_path):
    words = load_vocabulary(pack(tmp_path, "body,side,,fuselage,centre,,0 0|254 25.4|508 -50.8\n", "mm"))
    (shape,) = words.outline
    assert [tuple(round(one, 6) for one in point) for point in shape.points] == [(0, 0), (10, 1), (20, -2)]
    assert (shape.kind, shape.symmetry) == ("area", "")


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        ("body,side,area,fuselage,cellar,,0 0|1 1|2 0", "'cellar' in the column 'zone'"),
        ("body,side,area,fuselage,any,,0 0|1 1|2 0", "'any' in the column 'zone'"),
        ("body,side,area,gizmo,centre,,0 0|1 1|2 0", "'gizmo' in the column 'part'"),
        ("body,front,area,fuselage,centre,,0 0|1 1|2 0", "'front' in the column 'view'"),
        ("body,side,area,fuselage,centre,,0 0|1 1", "needs at least 3 points"),
        ("body,side,area,fuselage,centre,,0 0|1 1|0 0", "needs at least 3 points"),
        ("body,side,hidden,fuselage,centre,,0 0|1 1", "needs at least 3 points"),
        ("body,side,line,fuselage,centre,,0 0", "needs at least 2 points"),
        ("body,side,area,fuselage,centre,,0 0|1 far|2 0", "'1 far' in the column 'inches' is not a point"),
        ("body,side,area,fuselage,centre,,0 0|1|2 0", "'1' in the column 'inches' is not a point"),
        ("body,side,area,fuselage,centre,,0 0|1 nan|2 0", "is not a point"),
        ("body,side,area,fuselage,centre,,0 0|1 inf|2 0", "is not a point"),
        ("body,side,area,fuselage,centre,,", "give the points either in the column 'inches'"),
        ("Body!,side,area,fuselage,centre,,0 0|1 1|2 0", "the notation 'Body!'"),
        ("body,side,area,fuselage,centre,twice,0 0|1 1|2 0", "'twice' in the column 'symmetry'"),
    ],
)
def test_fault_in_an_outline_is_told_with_file_and_line(tmp_path, row, fault):
    folders = pack(tmp_path, f"# a comment\n{row}\n")
    (told,) = check_vocabulary(folders).faults
    assert told.startswith(f"{folders[1] / 'outline.csv'}, line 3: ")
    assert fault in told


def test_outline_given_twice_is_a_fault_and_a_later_folder_replaces_it_whole(tmp_path):
    row = "body,side,area,fuselage,centre,,0 0|1 1|2 0\n"
    (told,) = check_vocabulary(pack(tmp_path, row + row)).faults
    assert "is already on line 2" in told
    later = lists_in(tmp_path / "own", outline=HEAD.format("inches") + "body,side,line,,nose,,5 5|6 6\n")
    (shape,) = load_vocabulary([*pack(tmp_path, row), later]).outline
    assert (shape.kind, shape.zone, shape.points) == ("line", "nose", ((5, 5), (6, 6)))


def test_nothing_is_read_again_for_an_outline(tmp_path):
    folders = pack(tmp_path, "body,side,area,fuselage,centre,,0 0|1 1|2 0\n")
    assert load_vocabulary(folders).fingerprint == load_vocabulary(folders[:1]).fingerprint
