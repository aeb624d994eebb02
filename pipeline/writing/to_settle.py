"""``out/to-settle.html``: all that a person must settle, to work through at the bench and to print."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from pipeline.english import capital
from pipeline.records import Records
from pipeline.writing.entry_links import Link, entry_links
from pipeline.writing.matters import Matter, matters
from pipeline.writing.pages import page
from pipeline.writing.standing_wording import ZONES
from pipeline.writing.terms import Terms, kind_and_zone
from pipeline.writing.wording import part_text

PAGE = "to-settle.html"
_KINDS = {
    "caution": "Advice",
    "to-check": "To check",
    "read-otherwise": "Read otherwise",
    "changed-since-signed": "Changed since signed",
    "unlisted": "In no list",
    "clock": "Which clock?",
    "takes-back": "Taken back",
    "not-stowed": "Where is it?",
    "moved-not-stowed": "Where is it?",
    "some-still-off": "Not all are back",
    "one-tag-two-parts": "Which tag?",
    "tag-read-elsewhere": "Which tag?",
    **dict.fromkeys(
        (
            "said-and-listed-differ",
            "more-than-expected",
            "off-with-some-left",
            "not-bagged",
            "more-bagged-than-undone",
            "fewer-back",
            "bagged-not-undone",
            "to-account-for",
        ),
        "Numbers differ",
    ),
    "holding-up": "Does it stand?",
}


_FIRST = 1
"""What presses so much comes first, wherever it is: what may hurt somebody, or leaves a joint or a control open."""
_FIRST_GROUP = "first"
_MOST_TO_CHECK = 200
"""How many readings to check of one part of the aircraft stand on the page: with many years' no browser opens it."""


@dataclass(frozen=True)
class Row:
    """One matter as it stands on the page: a number to speak of it by, its kind, its part, its text, its links."""

    number: int
    kind: str
    pressing: bool
    part: str
    tag: str
    text: str
    why: str
    entries: tuple[Link, ...]


@dataclass(frozen=True)
class Group:
    """The matters of one part of the aircraft, the most pressing first.

    ``older`` leads to the days on whose pages so many more readings to check stand (``not_shown``).
    """

    name: str
    title: str
    rows: tuple[Row, ...]
    older: tuple[Link, ...] = ()
    not_shown: int = 0


def to_settle_page(records: Records, terms: Terms, zone: tzinfo) -> str:
    """Return the page: what presses most, then matters by part of the aircraft, each with its entries.

    Of the readings to check of one part of the aircraft it has the newest, and leads to the days of the others.

    Args:
        records: everything that the book holds.
        terms: the vocabulary.
        zone: the book's time zone, in which days begin and end.
    """
    groups = _groups(matters(records, terms), terms, entry_links(records, zone, "logbook/"), _MOST_TO_CHECK)
    number = sum(len(one.rows) + one.not_shown for one in groups)
    return page("to-settle.html", book=records.book, groups=groups, number=number)


def groups_to_settle(records: Records, terms: Terms, links: Mapping[str, Link]) -> tuple[Group, ...]:
    """Return all that is to be settled: what presses most, wherever it is, then the rest by part of the aircraft.

    ``links`` lead to the entries by their ids.
    """
    return _groups(matters(records, terms), terms, links)


def _groups(
    found: Sequence[Matter], terms: Terms, links: Mapping[str, Link], most_to_check: int | None = None
) -> tuple[Group, ...]:
    by_zone: dict[str, list[Matter]] = {}
    for matter in found:
        if matter.pressing <= _FIRST:
            by_zone.setdefault(_FIRST_GROUP, []).append(matter)
            continue
        by_zone.setdefault(kind_and_zone(terms, matter.item)[1] or "any", []).append(matter)
    order = [_FIRST_GROUP, *ZONES, *sorted(set(by_zone) - {_FIRST_GROUP, *ZONES})]
    zones = sorted(by_zone, key=lambda name: (by_zone[name][0].pressing, order.index(name)))
    groups, number = [], 0
    for name in zones:
        older = {} if most_to_check is None else _older(by_zone[name], links, most_to_check)
        rows = []
        for matter in by_zone[name]:
            if matter not in older:
                number += 1
                rows.append(_row(number, matter, terms, links))
        title = "First of all" if name == _FIRST_GROUP else ZONES.get(name, capital(name))
        groups.append(Group(name, title, tuple(rows), _by_day(older.values()), len(older)))
    return tuple(groups)


def _older(told: Iterable[Matter], links: Mapping[str, Link], most: int) -> dict[Matter, Link]:
    """Return the readings to check but for the newest, in order of time, each with the link to its entry."""
    doubted = [one for one in told if one.kind == "to-check" and one.entries[0] in links]
    if len(doubted) <= most:
        return {}
    turn = {entry: number for number, entry in enumerate(links)}
    doubted.sort(key=lambda one: turn[one.entries[0]])
    return {one: links[one.entries[0]] for one in doubted[:-most]}


def _by_day(entries: Iterable[Link]) -> tuple[Link, ...]:
    """Return a link to each day's page, with how many of these entries' links lead there."""
    days = Counter((link.href.partition("#")[0], link.text.partition(" ")[0]) for link in entries)
    return tuple(Link(page, f"{day}: {number:,}") for (page, day), number in days.items())


def _row(number: int, matter: Matter, terms: Terms, links: Mapping[str, Link]) -> Row:
    position, called = matter.position, matter.called
    named = part_text(matter.item, matter.side, matter.place, terms, article=False, position=position, called=called)
    part = capital(named)
    return Row(
        number=number,
        kind=_KINDS.get(matter.kind, "Question"),
        pressing=matter.kind == "caution",
        part="" if matter.kind == "to-check" else part,
        tag=matter.tag or "",
        text=matter.text,
        why=matter.why,
        entries=tuple(links[one] for one in matter.entries if one in links),
    )
