"""A list on standard output: a table on a terminal, one line with tabs for each elsewhere."""

import sys
from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from pipeline.plain_text import visible


def show_columns(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print rows under their heads; a row that repeats the first column of the row above leaves it out on a terminal.

    Args:
        heads: what each column is called.
        rows: the cells, foreign text included: it is made visible, and nothing in it is taken as a mark.
    """
    shown = [[visible(" ".join(cell.split())) for cell in row] for row in rows]
    if not sys.stdout.isatty():
        for row in (list(heads), *shown):
            print("\t".join(row))
        return
    table = Table(box=None, pad_edge=False, header_style="bold")
    for head in heads:
        table.add_column(head, overflow="fold")
    before = ""
    for row in shown:
        table.add_row(*(Text(cell) for cell in ("" if row[0] == before else row[0], *row[1:])))
        before = row[0]
    Console().print(table)
