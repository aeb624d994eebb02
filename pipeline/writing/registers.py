"""The registers as CSV that opens cleanly in a spreadsheet.

RFC 4180 with a header line and CRLF; UTF-8 with a byte order mark; ISO dates; no cell can start a formula. The mark
is there because a volunteer opens these files by a double click: without it a spreadsheet on Windows takes them for
the machine's old code page, and "lbf·ft" becomes nonsense. A program reads them as "utf-8-sig", and has
``plain_text.without_guard`` to take the apostrophe before a formula's sign away.
"""

import csv
import io
from collections.abc import Iterable, Sequence

from pipeline.plain_text import cell
from pipeline.records import (
    DisconnectionLine,
    FastenerLine,
    FindingLine,
    Lists,
    PartOff,
    Records,
    SetAside,
    SupportLine,
    ToDo,
)
from pipeline.writing.part_wording import (
    attached_text,
    condition_text,
    entries_of,
    held_text,
    kept_text,
    question_text,
)
from pipeline.writing.standing_registers import disconnection_rows, fastener_rows, finding_rows, to_do_rows
from pipeline.writing.standing_wording import name_text
from pipeline.writing.support_wording import gear_text
from pipeline.writing.support_wording import question_text as support_question
from pipeline.writing.terms import Terms
from pipeline.writing.wording import act_words, part_text, place_text


def register_files(records: Records, terms: Terms) -> dict[str, bytes]:
    """Return every register by its place in ``out/``."""
    lists: Lists = records.lists
    return {
        "registers/parts-off.csv": parts_off(lists.parts_off, terms),
        "registers/fasteners.csv": fasteners(lists.fasteners, terms),
        "registers/disconnections.csv": disconnections(lists.disconnections, terms),
        "registers/findings.csv": findings(lists.findings, terms),
        "registers/to-do.csv": to_do(lists.to_do, terms),
        "registers/holding-up.csv": holding_up(lists.holding_up, terms),
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
        "state",
        "attached to",
    ]
    return table(
        header,
        (
            (
                part_text(line.item, None, None, terms, article=False, position=line.position, called=line.called),
                line.item,
                line.side,
                place_text(line.place),
                line.tag,
                line.removed_on,
                held_text(line.held, terms),
                kept_text(line),
                condition_text(line.life),
                line.refitted_on,
                " ".join(entries_of(line)),
                " ".join(question_text(one, terms) for one in line.questions),
                line.state,
                attached_text(line, terms),
            )
            for line in lines
        ),
    )


def fasteners(lines: Iterable[FastenerLine], terms: Terms) -> bytes:
    """Return the register of what holds each joint, and what has become of it."""
    return table(*fastener_rows(lines, terms))


def disconnections(lines: Iterable[DisconnectionLine], terms: Terms) -> bytes:
    """Return the register of services and controls that were parted, to be connected again."""
    return table(*disconnection_rows(lines, terms))


def findings(lines: Iterable[FindingLine], terms: Terms) -> bytes:
    """Return the register of conditions that were looked at."""
    return table(*finding_rows(lines, terms))


def to_do(lines: Iterable[ToDo], terms: Terms) -> bytes:
    """Return the register of what was said to be planned or not done, and has not been done since."""
    return table(*to_do_rows(lines, terms))


def holding_up(lines: Iterable[SupportLine], terms: Terms) -> bytes:
    """Return the register of what was held up, by what, since when and until when."""
    header = ["held", "notation", "side", "place", "by", "how", "since", "until", "ended by", "entries", "questions"]
    return table(
        header,
        (
            (
                name_text(line, terms),
                line.item,
                line.side,
                place_text(line.place),
                gear_text(line, terms),
                {"support": "stands on it", "lift": "hangs from it"}[line.how],
                line.since.isoformat(timespec="minutes"),
                line.until.isoformat(timespec="minutes") if line.until else "",
                act_words(line.ended_by).past if line.ended_by else "",
                " ".join(dict.fromkeys(move.entry for move in line.moves)),
                " ".join(support_question(one) for one in line.questions),
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
