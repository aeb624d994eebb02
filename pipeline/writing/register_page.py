"""The registers as a page: what came off, what was seen and what is owed, each line linked to its entries."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import repeat

from pipeline.english import capital, short_date
from pipeline.records import FindingLine, PartOff, Records, SupportLine
from pipeline.writing import standing_sections as sections
from pipeline.writing.entry_links import Link
from pipeline.writing.pages import page
from pipeline.writing.part_wording import (
    condition_text,
    entries_of,
    held_text,
    kept_text,
    part_name,
    question_text,
    tag_text,
)
from pipeline.writing.said_matters import unlisted
from pipeline.writing.standing_wording import found_text
from pipeline.writing.support_wording import ended_text, gear_text, supported_text
from pipeline.writing.support_wording import question_text as support_question
from pipeline.writing.terms import Terms

_BACK = "Back on, or replaced by another"
_LEADS_ON = re.compile(r":$| (?:in|on|from)$")  # "No cracks in": the part stands in a cell of its own


@dataclass(frozen=True)
class RegisterLine:
    """One line of a register: its cells, what is to be asked, its entries, and the heading that it stands under."""

    cells: tuple[str, ...]
    questions: tuple[str, ...]
    entries: tuple[Link, ...]
    group: str = ""


def registers_page(records: Records, terms: Terms, entries: Mapping[str, Link]) -> str:
    """Return the page of the registers.

    Args:
        records: everything that the book holds.
        terms: the vocabulary.
        entries: the link to each entry by its id.
    """
    return page(
        "logbook/registers.html",
        book=records.book,
        unlisted=[(name, text, _links(ids, entries)) for name, text, ids in unlisted(records)],
        notes=sections.NOTES,
        registers=register_lines(records, terms, entries),
    )


Register = tuple[str, str, tuple[str, ...], list[RegisterLine]]
"""A register: its name, its title, its columns, its lines."""


def register_lines(records: Records, terms: Terms, entries: Mapping[str, Link]) -> tuple[Register, ...]:
    """Return every register as lines, in the order in which a page shows them."""
    lists = records.lists
    known = repeat(terms)

    def drawn(lines: Iterable[sections.Section]) -> list[RegisterLine]:
        return [RegisterLine(one.cells, one.questions, _links(one.entries, entries), one.group) for one in lines]

    return (
        (
            "parts-off",
            "Parts off",
            ("Part", "Off on", "Held by", "Tag", "Kept", "Condition", "Refitted"),
            _parts_off(lists.parts_off, terms, entries),
        ),
        (
            "fasteners",
            "Fasteners",
            sections.FASTENERS,
            drawn(map(sections.fastener_line, lists.fasteners, known)),
        ),
        (
            "disconnections",
            "Disconnections",
            sections.DISCONNECTIONS,
            drawn(map(sections.disconnection_line, lists.disconnections, known)),
        ),
        ("findings", "Findings", sections.FINDINGS, drawn(sections.grouped(_findings(lists.findings, terms)))),
        ("to-do", "Still to do", sections.TO_DO, drawn(map(sections.to_do_line, lists.to_do, known))),
        (
            "holding-up",
            "Holding up",
            ("What is held", "By", "Since", "Until"),
            [_support(one, terms, entries) for one in lists.holding_up],
        ),
    )


def _parts_off(lines: Sequence[PartOff], terms: Terms, entries: Mapping[str, Link]) -> list[RegisterLine]:
    """Return the lines of parts: those that are off first, then under a heading those that are back or replaced."""
    replaced = {_which(one) for one in lines if one.state == "replaced"}
    drawn = [_part_off(one, _which(one) in replaced, terms, entries) for one in lines]
    return sorted(drawn, key=lambda line: line.group == _BACK)


def _which(one: PartOff) -> tuple[object, ...]:
    return one.item, one.side, one.place, one.position, one.called


def _part_off(one: PartOff, swapped: bool, terms: Terms, entries: Mapping[str, Link]) -> RegisterLine:
    """Return the line of a part; ``swapped`` tells that one of its name was replaced, which may be this one."""
    replaced = one.state == "replaced"
    new = swapped and one.state == "refitted" and one.removed_on is None
    return RegisterLine(
        (
            capital(part_name(one, terms)) + (" (the old one)" if replaced else " (the new one)" if new else ""),
            short_date(one.removed_on),
            held_text(one.held, terms),
            tag_text(one),
            kept_text(one),
            condition_text(one.life),
            f"replaced {short_date(one.replaced_on)}" if replaced else short_date(one.refitted_on),
        ),
        tuple(question_text(each, terms) for each in one.questions),
        _links(entries_of(one), entries),
        _BACK if one.state in ("refitted", "replaced") else "",
    )


def _findings(lines: Iterable[FindingLine], terms: Terms) -> list[sections.Section]:
    return [sections.finding_line(one, _LEADS_ON.sub("", found_text(one)), terms) for one in lines]


def _support(one: SupportLine, terms: Terms, entries: Mapping[str, Link]) -> RegisterLine:
    since = short_date(one.since.date())
    return RegisterLine(
        (supported_text(one, terms), gear_text(one, terms), since, ended_text(one, short_date)),
        tuple(support_question(each) for each in one.questions),
        _links([move.entry for move in one.moves], entries),
    )


def _links(ids: Sequence[str], entries: Mapping[str, Link]) -> tuple[Link, ...]:
    return tuple(entries[one] for one in dict.fromkeys(ids) if one in entries)
