"""The registers against what others wrote about CSV.

Sources: RFC 4180, "Common Format and MIME Type for Comma-Separated Values (CSV) Files", section 2, read here with
Python's ``csv`` module in its strict mode and by the RFC's own grammar, written out below; OWASP Foundation, "CSV
Injection" (owasp.org/www-community/attacks/CSV_Injection, from memory): no cell may begin with ``=``, ``+``, ``-``,
``@``, tab or carriage return, nor with a full-width form of these, also where a separator or a quote in the value
would begin another cell; a single quote goes in front of such a cell. That Unicode's compatibility forms of the signs
count as the signs is Unicode Standard Annex #15 (NFKC, by Python's ``unicodedata``).
"""

import csv
import io
import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.plain_text import visible, without_guard
from pipeline.records import SetAside
from pipeline.writing.registers import register_files, set_aside, table
from tests.writing.a_weekend import records, vocabulary
from tests.writing.test_day_pages import _hostile

BOM = "\ufeff"
# RFC 4180, section 2: file = [header CRLF] record *(CRLF record) [CRLF]; TEXTDATA is here any letter that is no
# separator, quote or line end, since the files are UTF-8 (RFC 4180 allows another character set, section 3)
_FIELD = r'(?:"(?:[^"]|"")*"|[^",\r\n]*)'
_RECORD = rf"{_FIELD}(?:,{_FIELD})*"
_FILE = re.compile(rf"{_RECORD}(?:\r\n{_RECORD})*(?:\r\n)?")
_NASTY = st.text(st.sampled_from("=+-@;,|'\"“” \t\r\n\u00a0\u200b\u3000＝＋－＠\ufe63ab9"), max_size=12)  # noqa: RUF001
_TEXT = st.one_of(st.text(max_size=20), _NASTY)


def _read(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True))


def _starts_a_formula(cell: str) -> bool:
    # what a spreadsheet may trim or a quote may hide is looked through; an apostrophe is the guard and stops it
    bare = re.sub(r'^[\s"“”„‘’‚`\u00ad\u180e\u200b-\u200d\u2060-\u2064]*', "", cell)  # noqa: RUF001
    return unicodedata.normalize("NFKC", bare[:1]) in ("=", "+", "-", "@") or cell[:1] in ("\t", "\r", "\n")


def _dangerous(cell: str) -> bool:
    return any(_starts_a_formula(part) for part in (cell, *cell.split(";")))


@pytest.mark.parametrize("hostile", [False, True])
def test_every_file_is_a_table_by_the_grammar_and_has_no_dangerous_cell(hostile: bool) -> None:
    book = _hostile(records()) if hostile else records()
    files = register_files(book, vocabulary())
    assert "set-aside.csv" in files and len(files) > 6
    for place, content in files.items():
        text = content.decode("utf-8")
        assert text.startswith(BOM), place
        assert _FILE.fullmatch(text.removeprefix(BOM)), place
        rows = _read(content)
        assert len({len(row) for row in rows}) == 1, f"{place}: every record has the same number of fields (2.4)"
        assert len(set(rows[0])) == len(rows[0]), f"{place}: every column has a name of its own"
        assert not [cell for row in rows for cell in row if _dangerous(cell)], place


def test_days_are_written_as_iso_8601_has_them() -> None:
    parted = register_files(records(), vocabulary())["registers/parts-off.csv"]
    header, *rows = _read(parted)
    days = [row[header.index("removed on")] for row in rows]
    assert days and all(re.fullmatch(r"\d{4}-\d{2}-\d{2}", day) for day in days)


@given(st.lists(st.tuples(_TEXT, _TEXT), max_size=4))
def test_any_values_make_a_harmless_table_that_reads_back(rows: list[tuple[str, str]]) -> None:
    content = table(("one", "two"), rows)
    assert _FILE.fullmatch(content.decode("utf-8").removeprefix(BOM))
    read = _read(content)[1:]
    assert [[without_guard(cell) for cell in row] for row in read] == [
        [visible(" ".join(value.split())) for value in row] for row in rows
    ]
    assert not [cell for row in read for cell in row if _dangerous(cell)]


@given(_TEXT, _TEXT)
def test_names_of_files_that_could_not_be_used_are_harmless_too(path: str, why: str) -> None:
    (_, row) = _read(set_aside([SetAside(path=path, why=why)]))
    assert not any(map(_dangerous, row))
