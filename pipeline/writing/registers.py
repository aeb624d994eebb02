"""The registers as CSV that opens cleanly in a spreadsheet.

RFC 4180 with a header line and CRLF; UTF-8 with a byte order mark, without which common spreadsheets read accents and
"lbf·ft" wrongly; ISO dates; no cell can start a formula.
"""

import csv
import io
from collections.abc import Iterable, Sequence

from pipeline.records import FindingLine, Lists, PartOff, Records, SetAside, ToDo
from pipeline.writing.english import capital
from pipeline.writing.measures import measure_text
from pipeline.writing.plain_text import cell
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import FINDINGS, act_words, counted, part_text, place_text, stowage_text


def register_files(records: Records, terms: Terms) -> dict[str, bytes]:
    """Return every register by its place in ``out/``."""
    lists: Lists = records.lists
    return {
        "registers/parts-off.csv": parts_off(lists.parts_off, terms),
        "registers/findings.csv": findings(lists.findings, terms),
        "registers/to-do.csv": to_do(lists.to_do, terms),
        "set-aside.csv": set_aside(records.set_aside),
    }


def parts_off(lines: Iterable[PartOff], terms: Terms) -> bytes:
    """Return the register of parts that came off: when, what held them, where they are, what is still to be asked."""
    header = [
        "part",
        "notation",
        "side",
        "place",
        "tag",
        "removed on",
        "held by",
        "stowed",
        "condition",
        "refitted on",
        "entries",
        "questions",
    ]
    return table(
        header,
        (
            (
                term(terms, line.item),
                line.item,
                line.side,
                place_text(line.place),
                line.tag,
                line.removed_on,
                line.held_by,
                stowage_text(line.stowage),
                "; ".join(line.condition),
                line.refitted_on,
                " ".join(dict.fromkeys(move.entry for move in line.moves)),
                " ".join(line.questions),
            )
            for line in lines
        ),
    )


def findings(lines: Iterable[FindingLine], terms: Terms) -> bytes:
    """Return the register of conditions that were looked at."""
    header = [
        "seen on",
        "part",
        "notation",
        "side",
        "place",
        "finding",
        "present",
        "grade",
        "measure",
        "count",
        "entry",
        "photos",
    ]
    return table(
        header,
        (
            (
                line.on,
                term(terms, line.item) if line.item else "",
                line.item,
                line.side,
                place_text(line.place),
                _finding_name(line.finding),
                "no" if line.absent else "yes",
                line.grade,
                "; ".join(measure_text(one) for one in line.measure or ()),
                counted(line.count, line.of, terms) if line.count is not None and line.of else line.count,
                line.entry,
                len(line.photos),
            )
            for line in lines
        ),
    )


def to_do(lines: Iterable[ToDo], terms: Terms) -> bytes:
    """Return the register of what was said to be planned or not done, and has not been done since."""
    header = ["said on", "state", "work", "part", "notation", "side", "place", "in the speaker's words", "entry"]
    return table(
        header,
        (
            (
                line.said_on,
                line.status.replace("-", " "),
                capital(f"{act_words(line.act).order} {part_text(line.item, line.side, line.place, terms)}".strip()),
                term(terms, line.item) if line.item else "",
                line.item,
                line.side,
                place_text(line.place),
                line.words,
                line.entry,
            )
            for line in lines
        ),
    )


def set_aside(lines: Iterable[SetAside]) -> bytes:
    """Return the list of files that could not be used, and why."""
    return table(("file", "why"), ((line.path, line.why) for line in lines))


def table(header: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """Return rows as CSV bytes; every cell is one line and harmless.

    Source: RFC 4180, section 2.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows([cell(value) for value in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def _finding_name(finding: str) -> str:
    known = FINDINGS.get(finding)
    return known.seen.rstrip(":") if known else finding.replace("-", " ")
