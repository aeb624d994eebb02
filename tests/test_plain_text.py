import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.plain_text import cell, file_name, letters_and_figures, visible, without_guard
from pipeline.writing.registers import table


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "＝1", " =1"])  # noqa: RUF001
def test_no_cell_starts_a_formula(start: str) -> None:
    assert not cell(start).startswith(("=", "+", "-", "@", "\t", "＝"))  # noqa: RUF001


@pytest.mark.parametrize(
    "said",
    ["=1+1", "'tis fine", "''", '"=1+1"', "“＝1", "bolts; =1", "bolts;'=1", "-2 degC", "\u200b@SUM(A1)"],  # noqa: RUF001
)
def test_a_guard_is_taken_away_again(said: str) -> None:
    assert cell(said) != said
    assert cell(said).replace("'", "") == said.replace("'", ""), "nothing but apostrophes is added"
    assert without_guard(cell(said)) == said


def test_a_value_that_a_semicolon_would_cut_off_cannot_start_a_formula_either() -> None:
    assert cell('ok; =HYPERLINK("x")') == 'ok; \'=HYPERLINK("x")'


@given(st.text(alphabet=st.sampled_from("=+-@;'\" \t\r\nab＝\u200b")))  # noqa: RUF001
def test_any_guarded_cell_is_read_back(said: str) -> None:
    assert without_guard(cell(said)) == " ".join(said.split())


def test_a_plain_cell_stays_as_it_is() -> None:
    assert cell("Port aileron, 1.25 in (32 mm)") == "Port aileron, 1.25 in (32 mm)"
    assert cell(None) == ""


def test_text_that_turns_the_direction_is_shown_by_its_number() -> None:
    assert visible("photo\u202egpj.exe") == "photo⟨U+202E⟩gpj.exe"
    assert visible("\x00a\x1b[31m") == "⟨U+0000⟩a⟨U+001B⟩[31m"


@given(st.lists(st.lists(st.text(max_size=20), min_size=2, max_size=2), max_size=5))
def test_a_table_reads_back_with_one_line_a_row(rows: list[list[str]]) -> None:
    text = table(("one", "two"), rows).decode("utf-8-sig")
    read = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert read == [["one", "two"], *([cell(value) for value in row] for row in rows)]
    assert text.count("\r\n") == len(rows) + 1


def test_a_file_is_called_by_its_name_whichever_way_its_folders_are_parted() -> None:
    for path in ("media/camera/IMG_1.jpg", r"D:\media\IMG_1.jpg", "IMG_1.jpg"):
        assert file_name(path) == "IMG_1.jpg"


def test_a_tag_is_the_same_however_it_was_written() -> None:
    assert letters_and_figures("P-0142") == letters_and_figures("p 0142.") == "p0142"
