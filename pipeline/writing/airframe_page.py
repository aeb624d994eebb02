"""The airframe at a glance: a page and a drawing, and a small drawing for each day of the logbook."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, tzinfo

from markupsafe import Markup

from pipeline.english import capital
from pipeline.lists.airframe import STATES, Airframe, DatedFact, State, Thing, airframe, days_work
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import EntryRecord, Records
from pipeline.writing.airframe_views import Drawing, views
from pipeline.writing.airframe_words import (
    LEGEND,
    STATE_NAMES,
    counts_of,
    counts_text,
    description,
    thing_text,
    worst_text,
    zone_text,
)
from pipeline.writing.airframe_zooms import Zoom, zooms
from pipeline.writing.entry_links import Link, entry_links
from pipeline.writing.pages import page
from pipeline.writing.terms import Terms
from pipeline.writing.wording import part_text

PAGE, DRAWING = "airframe.html", "airframe.svg"
_MOST_LINKS = 4
_MOST_NAMES = 4
_COLUMN_PX, _TOP_PX, _GAP_PX, _HEAD_PX = 490.0, 96.0, 22.0, 26.0
_LINE_PX = 20.0


@dataclass(frozen=True)
class ThingLine:
    """One thing in words; ``number`` is its mark's on the drawing, 0 for none; ``first``: of those of one mark."""

    state: State
    name: str
    hollow: bool
    number: int
    first: bool
    text: str
    links: tuple[Link, ...]
    more: int


@dataclass(frozen=True)
class Zone:
    """A zone with its numbers and its lines."""

    id: str
    name: str
    told: str
    counts: Mapping[State, int]
    worst: str
    counted: bool
    lines: tuple[ThingLine, ...]


@dataclass(frozen=True)
class Block:
    """A piece of the sheet, and where it stands on it."""

    kind: str
    title: str
    of: object
    x: float
    y: float


def airframe_files(records: Records, terms: Terms, zone: tzinfo) -> dict[str, str]:
    """Return the page, and the drawing where the type's outlines are known, by their places in ``out/``."""
    words = _with_outlines(terms)
    if words is None:
        return {}
    frame = airframe(records.lists, _told(records.entries, zone), words)
    drawn, near = views(frame, words.stations), zooms(frame, words)
    numbers = {thing: mark.number for one in drawn for mark in one.marks for thing in mark.things}
    zones = _zones(frame, terms, numbers, entry_links(records, zone, "logbook/"))
    text = description(frame, terms)
    shown = {"book": records.book, "description": text, "zones": zones}
    files = {
        PAGE: page(
            "airframe/page.html",
            **shown,
            views=drawn,
            zooms=near,
            legend=[(state, LEGEND[state]) for state in STATES],
            drawing=DRAWING if drawn else "",
        )
    }
    if drawn:
        blocks, height = _sheet(drawn, near, zones)
        files[DRAWING] = page("airframe/sheet.svg", **shown, blocks=blocks, width=980, height=height, page=PAGE)
    return files


def has_page(terms: Terms) -> bool:
    """Tell whether there is a page of the airframe to link to."""
    return _with_outlines(terms) is not None


def day_drawing(entries: Iterable[EntryRecord], terms: Terms, day: date, zone: tzinfo) -> Markup:
    """Return a small drawing of one day's work, as a piece of a page; nothing where no outline is known.

    Args:
        entries: those of the day, and maybe more.
        terms: the vocabulary.
        day: which day.
        zone: the book's time zone, in which days begin and end.
    """
    words = _with_outlines(terms)
    told = _told((one for one in entries if one.at.astimezone(zone).date() == day), zone)
    if words is None or not words.outline or not told:
        return Markup()
    frame = days_work(told, words)
    if not frame.things:
        return Markup()
    named = [(state, _names(frame, state, terms)) for state in STATES]
    made = page(
        "airframe/day.html",
        views=views(frame, (), numbered=False),
        description=description(frame, terms),
        told=[(state, text) for state, text in named if text],
        page=PAGE,
    )
    return Markup(made)


def _with_outlines(terms: Terms) -> Vocabulary | None:
    return terms if isinstance(terms, Vocabulary) else None


def _told(entries: Iterable[EntryRecord], zone: tzinfo) -> list[DatedFact]:
    return [
        DatedFact(entry.at.astimezone(zone).date(), entry.id, fact)
        for entry in entries
        if entry.review != "rejected"
        for fact in entry.facts
    ]


def _names(frame: Airframe, state: State, terms: Terms) -> str:
    """Return what is in a state on one day: "Off: port fin and 2 more", "" for nothing."""
    own = [one for one in frame.things if one.state == state]
    if not own:
        return ""
    if state == "found":
        names = list(dict.fromkeys(thing_text(one, terms) for one in own))
    else:
        names = list(dict.fromkeys(part_text(one.item, one.side, one.place, terms, article=False) for one in own))
    kept = names[:_MOST_NAMES] if len(names) > _MOST_NAMES + 1 else names
    more = [f"{len(names) - len(kept)} more"] if len(kept) < len(names) else []
    return f"{capital(STATE_NAMES[state])}: {'; '.join(kept + more)}"


def _zones(
    frame: Airframe, terms: Terms, numbers: Mapping[Thing, int], links: Mapping[str, Link]
) -> tuple[Zone, ...]:
    made, seen = [], set[int]()
    for name in dict.fromkeys(one.zone for one in frame.things):
        things = frame.in_zone(name)
        supports = [one for one in frame.things if one.zone == name and one.state == "support"]
        lines = []
        for thing in (*things, *supports):
            number = numbers.get(thing, 0)
            lines.append(_line(thing, terms, number, number not in seen and number > 0, links))
            seen.add(number)
        counts = {state: 0 for state in STATES} | counts_of(things)
        told = counts_text((*things, *supports))
        made.append(
            Zone(
                id=f"zone-{name}",
                name=zone_text(name),
                told=told,
                counts=counts,
                worst=worst_text(things),
                counted=bool(things),
                lines=tuple(lines),
            )
        )
    return tuple(made)


def _line(thing: Thing, terms: Terms, number: int, first: bool, links: Mapping[str, Link]) -> ThingLine:
    found = [links[one] for one in thing.entries if one in links]
    return ThingLine(
        state=thing.state,
        name=STATE_NAMES[thing.state],
        hollow=thing.since,
        number=number,
        first=first,
        text=thing_text(thing, terms),
        links=tuple(found[:_MOST_LINKS]),
        more=len(found[_MOST_LINKS:]),
    )


def _sheet(drawn: Sequence[Drawing], near: Sequence[Zoom], zones: Sequence[Zone]) -> tuple[list[Block], int]:
    """Return the pieces of the drawing that stands alone: the plan at the left, all else at the right."""
    blocks, ends = [], []
    right: list[tuple[str, str, object, float]] = []
    left: list[tuple[str, str, object, float]] = []
    for one in drawn:
        title = "From above: port is below" if one.view == "plan" else "From the port side"
        (left if one.view == "plan" else right).append(("view", title, one, one.height))
    left.append(("legend", "Signs", [(state, LEGEND[state]) for state in STATES], (len(STATES) + 1) * _LINE_PX + 8))
    right += [("zoom", one.title, one, one.height) for one in near]
    counted = [one for one in zones if one.counted]
    right.append(("zones", "Zones", counted, len(counted) * _LINE_PX + 8))
    for x, column in ((20.0, left), (20.0 + _COLUMN_PX, right)):
        y = _TOP_PX
        for kind, title, of, height in column:
            blocks.append(Block(kind, title, of, x, y))
            y += _HEAD_PX + height + _GAP_PX
        ends.append(y)
    return blocks, round(max(ends))
