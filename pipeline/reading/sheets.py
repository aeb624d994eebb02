"""Lists of the vocabulary as sheets: CSV with comments, read into rows that know their line."""

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from pipeline.errors import WrongCommand

_PARTS = ",;\t"
_CALLED = {",": "comma", ";": "semicolon", "\t": "tab"}


class Row(NamedTuple):
    """One line of a list: where it stands, and its cells by column."""

    file: Path
    line: int
    cells: dict[str, str]

    def wrong(self, what: str) -> WrongCommand:
        """Return the fault to raise for this line; ``what`` says what is wrong and what to do."""
        return WrongCommand(f"{self.file}, line {self.line}: {what}")


def read_sheet(file: Path, columns: tuple[str, ...]) -> Iterator[Row]:
    """Yield the rows of a list in order.

    Args:
        file: a CSV file in UTF-8, its cells parted as in its first line by commas, semicolons or tabs, as
            spreadsheets of different countries save it; lines that start with "#" and empty lines are passed over.
        columns: every column that the list may have; the first must be there and must not be empty.

    Raises:
        WrongCommand: the file cannot be read as text, has an unknown or missing column, a line with too many cells,
            or an empty first cell.
    """
    try:
        lines = file.read_text(encoding="utf-8-sig").splitlines()
    except UnicodeDecodeError as bad:
        raise WrongCommand(f"{file}: is not saved as UTF-8; save it again as 'CSV UTF-8'") from bad
    except OSError as bad:
        raise WrongCommand(f"{file}: cannot be read ({bad.strerror}); check the file's permissions") from bad
    head: list[str] | None = None
    parts = ","
    for number, line in enumerate(lines, start=1):
        if not line.strip().strip(_PARTS) or line.lstrip().lstrip('"').startswith("#"):
            continue
        if head is None:
            parts = max(_PARTS, key=line.count)
        cells = [cell.strip() for cell in next(csv.reader([line], delimiter=parts))]
        if head is None:
            head = [cell for cell in cells if cell]
            _check_head(file, number, head, columns)
            continue
        if any(cells[len(head) :]):
            raise WrongCommand(
                f"{file}, line {number}: has {len(cells)} cells for {len(head)} columns; "
                f"put a text that has a {_CALLED[parts]} in it between quotes"
            )
        row = Row(file, number, dict.fromkeys(columns, "") | dict(zip(head, cells, strict=False)))
        if not row.cells[columns[0]]:
            raise row.wrong(f"the column '{columns[0]}' is empty; fill it in or delete the line")
        yield row
    if head is None:
        raise WrongCommand(f"{file}: has no line of column names; the first line should be {','.join(columns)}")


def _check_head(file: Path, number: int, head: list[str], columns: tuple[str, ...]) -> None:
    known = ", ".join(columns)
    for name in head:
        if name not in columns:
            raise WrongCommand(f"{file}, line {number}: unknown column '{name}'; this list has {known}")
        if head.count(name) > 1:
            raise WrongCommand(f"{file}, line {number}: the column '{name}' is there twice; delete one")
    if columns[0] not in head:
        raise WrongCommand(f"{file}, line {number}: the column '{columns[0]}' is missing; this list has {known}")
