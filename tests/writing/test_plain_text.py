import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.writing.plain_text import cell, visible
from pipeline.writing.registers import table


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "＝1", " =1"])  # noqa: RUF001
def test_no_cell_starts_a_formula(start: str) -> None:
    assert not cell(start).startswith(("=", "+", "-", "@", "\t", "＝"))  # noqa: RUF001


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
