"""The appendices of the printed logbook: registers, questions, check sheets, clocks, every medium with its hash."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import tzinfo

from pipeline.plain_text import cut_short, file_name
from pipeline.records import Caution, Records
from pipeline.spans import clock_text, span_text
from pipeline.values import Clock
from pipeline.writing.captions import captioned
from pipeline.writing.dated_by import DATED_BY
from pipeline.writing.entry_links import Link
from pipeline.writing.register_page import RegisterLine, register_lines
from pipeline.writing.standing_sections import NOTES
from pipeline.writing.terms import Terms
from pipeline.writing.to_settle import groups_to_settle
from pipeline.writing.way_back_page import Circle, Sheet, SheetLine, hold_kinds, way_back_sheets
from pipeline.writing.way_back_words import AUTHORISED, HOW_TO_READ

_MOST_LINKS = 6
_LONGEST_PATH = 90
# How wide the columns are, one to another; the last is that of the entries. By eye.
_WIDTHS = {
    "parts-off": (2.4, 1.25, 1.7, 1.1, 1.5, 1.9, 1.25, 1.2),
    "fasteners": (2.2, 1.6, 1.2, 1, 1, 1.3, 1.1, 1, 1.3, 1.5),
    "disconnections": (2.2, 1.5, 1.2, 1.5, 1, 1.2, 1.5, 1.2),
    "findings": (2.2, 1.2, 1.7, 1.3, 1.7, 1.9, 1.2),
    "to-do": (2.6, 1.2, 0.9, 1.9, 3.2, 1.3),
    "holding-up": (3, 2.6, 1.2, 2, 1.2),
}


def appendices(records: Records, terms: Terms, zone: tzinfo, entries: Mapping[str, Link]) -> list[dict[str, object]]:
    """Return the appendices that are tables, each with its title, a note, its columns and its rows.

    Args:
        records: those of the volume.
        terms: the vocabulary.
        zone: the book's time zone.
        entries: where each entry of the volume stands.
    """
    tables = [
        _table(
            title, NOTES.get(name, ""), (*columns, "Entries"), _WIDTHS[name], [_register_row(one) for one in lines]
        )
        for name, title, columns, lines in register_lines(records, terms, entries)
    ]
    return [
        *tables,
        _to_settle(records, terms, entries),
        _advice(records.cautions, entries),
        _clocks(records.clocks),
        _set_aside(records),
        _unlisted(records),
        _media(records, zone),
    ]


def check_sheets(records: Records, terms: Terms, zone: tzinfo) -> dict[str, object]:
    """Return the way back: a check sheet for each assembly, with hold points to sign, and where reasons disagree."""
    sheets, circles = way_back_sheets(records, terms, zone)
    return {
        "sheets": [_sheet(one) for one in sheets],
        "circles": [_circle(one) for one in circles],
        "how_to_read": HOW_TO_READ,
        "holds": [asdict(one) for one in hold_kinds(records.lists.way_back)],
        "authorised": AUTHORISED,
    }


def _table(
    title: str, note: str, columns: Sequence[str], widths: Sequence[float], rows: list[dict[str, object]]
) -> dict[str, object]:
    return {"title": title, "note": note, "columns": columns, "widths": widths, "rows": rows}


def _row(
    cells: Sequence[str],
    *,
    asks: Sequence[str] = (),
    group: str = "",
    links: Sequence[Link] | None = None,
    mono: int = -1,
) -> dict[str, object]:
    shown = [{"anchor": one.href, "text": one.text} for one in (links or ())[:_MOST_LINKS]]
    more = len(links or ()) - len(shown)
    return {
        "cells": cells,
        "asks": asks,
        "group": group,
        "links": None if links is None else shown,
        "more": max(0, more),
        "mono": mono,
    }


def _register_row(line: RegisterLine) -> dict[str, object]:
    return _row(line.cells, asks=line.questions, group=line.group, links=line.entries)


def _to_settle(records: Records, terms: Terms, entries: Mapping[str, Link]) -> dict[str, object]:
    rows = [
        _row(
            (str(row.number), row.kind, "\n".join(filter(None, (row.part, row.tag))), row.text, ""),
            group=group.title,
            links=row.entries,
        )
        for group in groups_to_settle(records, terms, entries)
        for row in group.rows
    ]
    note = "What the words and the photos do not settle, the most pressing first. Write down how it was settled."
    return _table(
        "To settle", note, ("No", "Kind", "Part", "What", "Settled: how, by, on", "Entries"), _SETTLE_WIDTHS, rows
    )


_SETTLE_WIDTHS = (0.5, 1.2, 1.7, 4.4, 2.2, 1.1)


def _advice(cautions: Iterable[Caution], entries: Mapping[str, Link]) -> dict[str, object]:
    rows = [
        _row(
            (
                one.text,
                " ".join(filter(None, (one.reason, f"Source: {one.source}." if one.source else ""))),
                f"{one.answer.who}: {one.answer.reason}" if one.answer else "",
            ),
            links=[entries[each] for each in one.entries if each in entries],
        )
        for one in cautions
    ]
    note = (
        "What nobody told of, and what usually goes with such work. For people to judge: it approves nothing and "
        "forbids nothing."
    )
    return _table("Advice", note, ("Advice", "Why", "Answer", "Entries"), (3.4, 3.4, 2, 1.1), rows)


def _clocks(clocks: Iterable[Clock]) -> dict[str, object]:
    rows = [
        _row((one.device, _clock(one), str(one.anchors), "yes" if one.sure else "not enough to tell", one.why))
        for one in clocks
    ]
    note = (
        "Fast: the device showed a later time than the true one. Times in this book have been put right by it. Where "
        "the logbook has several volumes, a clock is in the one in which its time between two settings ends."
    )
    columns = ("Device", "Its clock was", "Anchors", "Sure", "Why")
    return _table("Clocks", note, columns, (2, 1.7, 0.8, 1.2, 4.4), rows)


def _clock(clock: Clock) -> str:
    if not clock.sure and not clock.anchors:
        return "not known"
    return "right" if abs(clock.offset_s) < 0.5 else clock_text(clock.offset_s)


def _set_aside(records: Records) -> dict[str, object]:
    rows = [_row((cut_short(one.path, _LONGEST_PATH), one.why)) for one in records.set_aside]
    return _table("What could not be used", "", ("File", "Why"), (3, 4), rows)


def _unlisted(records: Records) -> dict[str, object]:
    rows = [_row((one.name, str(len(one.utterances)))) for one in records.unlisted]
    note = "What was said of these is in the speaker’s words only, until the vocabulary has the part."  # noqa: RUF001
    return _table("Parts that no list has", note, ("Name", "Times said"), (4, 1), rows)


def _media(records: Records, zone: tzinfo) -> dict[str, object]:
    spoken = {one.id for one in captioned(records)}
    rows = []
    for one in sorted(records.media, key=lambda one: (one.taken_at, one.id)):
        at = one.taken_at.astimezone(zone)
        length = f", {span_text(one.duration_s)}" if one.duration_s else ""
        kind = "still" if one.still_of else str(one.kind)
        rows.append(
            _row(
                (
                    at.isoformat(sep=" ", timespec="seconds"),
                    f"{kind}{length}{' (captions attached)' if one.id in spoken else ''}",
                    cut_short(file_name(one.path), _LONGEST_PATH),
                    f"{one.device or 'device not known'}; {DATED_BY[one.time_source]}, "
                    f"within {span_text(one.time_error_s)}",
                    one.id.removeprefix("sha256:"),
                ),
                mono=4,
            )
        )
    note = "By time. The SHA-256 of a file proves that it is the one that this book was made from."
    columns = ("Taken at", "Kind", "File", "Device; dated by", "SHA-256")
    return _table("Media", note, columns, (1.7, 1.5, 2, 2.4, 2.5), rows)


def _sheet(sheet: Sheet) -> dict[str, object]:
    left = f"{sheet.left} step{'' if sheet.left == 1 else 's'} left" if sheet.left else "no steps left"
    return {"title": sheet.title, "left": left, "lines": [_step(one) for one in sheet.lines]}


def _step(line: SheetLine) -> dict[str, object]:
    whys = [
        f"After {', '.join(first.text for first in one.firsts)}{f': {one.why}' if one.why else '.'}"
        for one in sorted(line.whys, key=lambda one: one.why != "")
        if one.firsts
    ]
    return {
        "number": str(line.number),
        "text": line.text,
        "hold": line.hold,
        "twice": line.text.startswith("Duplicate"),
        "done": line.done,
        "notes": [*line.notes, *whys],
        "entries": ", ".join(one.text for one in line.entries),
    }


def _circle(circle: Circle) -> dict[str, object]:
    return {
        "text": circle.text,
        "reasons": [{"what": what, "why": why, "out": out} for what, why, out in circle.reasons],
    }
