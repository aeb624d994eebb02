"""The registers as a page: what came off, what was seen and what is owed, each line linked to its entries."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from pipeline.records import FindingLine, PartOff, Records, ToDo
from pipeline.writing.english import capital, month
from pipeline.writing.measures import measure_text
from pipeline.writing.pages import page
from pipeline.writing.terms import Terms
from pipeline.writing.wording import act_words, finding_text, part_text, stowage_text

_LEADS_ON = re.compile(r":$| (?:in|on|from)$")  # "No cracks in": the part stands in a cell of its own


@dataclass(frozen=True)
class Link:
    """A link to an entry: its address, and the time that it shows."""

    href: str
    text: str


@dataclass(frozen=True)
class Line:
    """One line of a register: its cells, what is to be asked about it, and the entries that it comes from."""

    cells: tuple[str, ...]
    questions: tuple[str, ...]
    entries: tuple[Link, ...]


def registers_page(records: Records, terms: Terms, entries: Mapping[str, Link]) -> str:
    """Return the page of the registers.

    Args:
        records: everything that the book holds.
        terms: the vocabulary.
        entries: the link to each entry by its id.
    """
    lists = records.lists
    return page(
        "logbook/registers.html",
        book=records.book,
        unlisted=records.unlisted,
        registers=(
            (
                "parts-off",
                "Parts off",
                ("Part", "Off on", "Held by", "Tag", "Kept", "Condition", "Refitted"),
                [_part_off(one, terms, entries) for one in lists.parts_off],
            ),
            (
                "findings",
                "Findings",
                ("Part", "Seen on", "Finding", "Size"),
                [_finding(one, terms, entries) for one in lists.findings],
            ),
            (
                "to-do",
                "Still to do",
                ("Work", "Said on", "In the speaker\u2019s words"),
                [_to_do(one, terms, entries) for one in lists.to_do],
            ),
        ),
    )


def _part_off(one: PartOff, terms: Terms, entries: Mapping[str, Link]) -> Line:
    return Line(
        (
            capital(part_text(one.item, one.side, one.place, terms, article=False)),
            _day(one.removed_on),
            one.held_by,
            one.tag or "",
            stowage_text(one.stowage),
            "; ".join(one.condition),
            _day(one.refitted_on),
        ),
        one.questions,
        _links([move.entry for move in one.moves], entries),
    )


def _finding(one: FindingLine, terms: Terms, entries: Mapping[str, Link]) -> Line:
    found = finding_text(one.finding, absent=one.absent, grade=one.grade, count=one.count)
    return Line(
        (
            capital(part_text(one.item, one.side, one.place, terms, article=False)) or "(part not named)",
            _day(one.on),
            _LEADS_ON.sub("", found),
            ", ".join(measure_text(each) for each in one.measure or ()),
        ),
        (),
        _links([one.entry], entries),
    )


def _to_do(one: ToDo, terms: Terms, entries: Mapping[str, Link]) -> Line:
    work = f"{act_words(one.act).order} {part_text(one.item, one.side, one.place, terms)}".strip()
    return Line(
        (
            capital(work) + (" (left undone)" if one.status == "not-done" else ""),
            _day(one.said_on),
            f"\u201c{one.words}\u201d",
        ),
        (),
        _links([one.entry], entries),
    )


def _links(ids: Sequence[str], entries: Mapping[str, Link]) -> tuple[Link, ...]:
    return tuple(entries[one] for one in dict.fromkeys(ids) if one in entries)


def _day(day: date | None) -> str:
    return "" if day is None else f"{day.day} {month(day)[:3]} {day.year}"
