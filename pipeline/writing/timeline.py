"""The timeline: what was said and what was seen, by time, with where each device's own clock had put it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from pipeline.english import long_date, short_date
from pipeline.records import Records
from pipeline.writing.pages import page
from pipeline.writing.timeline_days import Day, Days
from pipeline.writing.timeline_drawing import draw
from pipeline.writing.timeline_list import DayList, Row, row_id
from pipeline.writing.timeline_marks import Drawing
from pipeline.writing.timeline_places import DRAWING, FOLDER, PAGE, day_place, on_one_page
from pipeline.writing.timeline_summary import Answer, Summary, answers, summary
from pipeline.writing.viewing_copies import Links

_STEP_MIN = 5


@dataclass(frozen=True)
class DayView:
    """A day as it is written. ``uncertain`` are lines of what is not drawn."""

    day: date
    title: str
    answers: tuple[Answer, ...]
    drawing: Drawing | None
    rows: tuple[Row, ...]
    uncertain: tuple[Row, ...]


@dataclass(frozen=True)
class Strip:
    """A day on one line, in minutes since midnight: (from, length) of words, photos, and photos with no words."""

    day: date
    title: str
    short: str
    href: str
    answers: tuple[Answer, ...]
    said: tuple[tuple[int, int], ...]
    seen: tuple[tuple[int, int], ...]
    loose: tuple[tuple[int, int], ...]


def timeline_files(records: Records, days: Days, links: Links, zone: tzinfo) -> dict[str, str]:
    """Return the timeline of a whole book by its place in ``out/``: a page and a drawing.

    With up to 1,500 photos and utterances everything is on them; with more, each day has a page of its own
    (``day_timeline``) and ``timeline.html`` leads to them.

    Args:
        records: everything that the book holds.
        days: the same, sorted by day.
        links: where pictures, sound and originals are.
        zone: the book's time zone, in which days begin and end.
    """
    if on_one_page(records):
        lists = DayList(records, links, zone, "")
        views, strips = tuple(_view(day, lists, zone) for day in days.days), tuple[Strip, ...]()
        told = summary(records, days, zone, lambda day, row: f"#{row}")
    else:
        views, strips = (), tuple(_strip(day) for day in days.days)
        told = summary(records, days, zone, _place)
    return {
        PAGE: _front(records, links, zone, days, told, views, strips),
        DRAWING: _alone(records, views, PAGE, strips),
    }


def day_timeline(
    records: Records, day: Day, links: Links, zone: tzinfo, before: date | None, after: date | None
) -> dict[str, str]:
    """Return one day's page and drawing by their places in ``out/``.

    Args:
        records: those of the day, or of more.
        day: the same, sorted.
        links: where pictures, sound and originals are.
        zone: the book's time zone.
        before: the day before it in the timeline, None for none.
        after: the day after it.
    """
    view = _view(day, DayList(records, links, zone, FOLDER), zone)
    shown = page("timeline/day.html", book=records.book, up="../", day=view, before=before, after=after)
    return {
        day_place(day.day, one_page=False): shown,
        f"{FOLDER}/{day.day}.svg": _alone(records, (view,), f"{day.day}.html"),
    }


def _place(day: date | None, row: str) -> str:
    return f"{day_place(day, one_page=False) if day else ''}#{row}"


def _front(
    records: Records,
    links: Links,
    zone: tzinfo,
    days: Days,
    told: Summary,
    views: Sequence[DayView],
    strips: Sequence[Strip],
) -> str:
    return page(
        "timeline/timeline.html",
        book=records.book,
        up="",
        days=views,
        strips=strips,
        hours=_hours(strips),
        summary=told,
        undated=DayList(records, links, zone, "").uncertain(days.undated),
        set_aside=len(records.set_aside),
    )


def _alone(records: Records, views: Sequence[DayView], words: str, strips: Sequence[Strip] = ()) -> str:
    """Return the drawing as a file of its own; ``words`` is the page that tells the same in words."""
    return page(
        "timeline/timeline.svg", book=records.book, days=views, strips=strips, hours=_hours(strips), page=words
    )


def _hours(strips: Sequence[Strip]) -> tuple[int, int]:
    """Return the hours, both even, between which something happened on any day."""
    minutes = [at for one in strips for at, length in (*one.said, *one.seen) for at in (at, at + length - 1)]
    if not minutes:
        return 0, 24
    return min(minutes) // 120 * 2, max(minutes) // 120 * 2 + 2


def _view(day: Day, lists: DayList, zone: tzinfo) -> DayView:
    drawing = draw(day, zone, row_id)
    return DayView(
        day=day.day,
        title=long_date(day.day),
        answers=answers(day),
        drawing=drawing,
        rows=lists.rows(day.drawn, drawing.gaps if drawing else (), day.two_offsets),
        uncertain=lists.uncertain(day.uncertain),
    )


def _strip(day: Day) -> Strip:
    return Strip(
        day=day.day,
        title=long_date(day.day),
        short=short_date(day.day),
        href=day_place(day.day, one_page=False),
        answers=answers(day),
        said=_steps(one.at for one in day.drawn.words),
        seen=_steps(one.at for one in day.drawn.photos),
        loose=_steps(one.at for one in day.drawn.photos if one.loose),
    )


def _steps(moments: Iterable[datetime]) -> tuple[tuple[int, int], ...]:
    """Return the steps of five minutes in which something happened, those that follow one another as one."""
    found: list[tuple[int, int]] = []
    for step in sorted({(at.hour * 60 + at.minute) // _STEP_MIN * _STEP_MIN for at in moments}):
        if found and sum(found[-1]) == step:
            found[-1] = (found[-1][0], found[-1][1] + _STEP_MIN)
        else:
            found.append((step, _STEP_MIN))
    return tuple(found)
