"""The logbook's first page, which leads to everything, and the links to its entries."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, tzinfo

from pipeline.english import long_date
from pipeline.plain_text import file_name
from pipeline.records import Caution, EntryRecord, Records
from pipeline.spans import clock_text
from pipeline.values import Clock
from pipeline.writing.airframe_page import has_page
from pipeline.writing.captions import caption_name, captioned
from pipeline.writing.dated_by import day_known
from pipeline.writing.day_views import AdviceView
from pipeline.writing.entry_links import Link
from pipeline.writing.fact_names import names_told
from pipeline.writing.logbook_pdf_period import volumes
from pipeline.writing.pages import page
from pipeline.writing.terms import Terms
from pipeline.writing.titles import NO_PART, entry_title

_MOST_ENTRIES = 6
_PHOTOS_ALONE = "Photos alone, nothing said"
_MOST_LOOKED_AT = 24  # of a day's entries, for its line


@dataclass(frozen=True)
class DayLine:
    """A day of the logbook on one line: how many entries and photos it has, and what its first entries are about."""

    day: date
    title: str
    entries: int
    photos: int
    about: tuple[str, ...]
    more: bool


def day_lines(records: Records, terms: Terms, zone: tzinfo, days: Iterable[date]) -> list[DayLine]:
    """Return a line for each of some days.

    Args:
        records: everything that the book holds.
        terms: the vocabulary.
        zone: the book's time zone, in which days begin and end.
        days: the days of the logbook.
    """
    taken = {one.id: one.taken_at for one in records.media if day_known(one)}
    loose: dict[date, int] = {}
    for photo in (one for one in records.unplaced_photos if one.media in taken):
        day = taken[photo.media].astimezone(zone).date()
        loose[day] = loose.get(day, 0) + 1
    read = {one.id: one.read for one in records.utterances}
    entries: dict[date, list[EntryRecord]] = {}
    for entry in sorted(records.entries, key=lambda one: (one.at, one.id)):
        entries.setdefault(entry.at.astimezone(zone).date(), []).append(entry)
    return [_line(day, entries.get(day, ()), loose.get(day, 0), read, terms) for day in days]


def _line(day: date, entries: Sequence[EntryRecord], loose: int, read: Mapping[str, str], terms: Terms) -> DayLine:
    titles = {entry_title(one, terms, names_told(one, read, terms)): None for one in entries[:_MOST_LOOKED_AT]}
    about = [one for one in titles if one not in NO_PART] or list(titles)
    return DayLine(
        day=day,
        title=long_date(day),
        entries=len(entries),
        photos=sum(len(one.photos) for one in entries) + loose,
        about=tuple(about[:_MOST_ENTRIES]) if entries or not loose else (_PHOTOS_ALONE,),
        more=len(about) > _MOST_ENTRIES or len(entries) > _MOST_LOOKED_AT,
    )


def advice_links(records: Records) -> dict[Caution, str]:
    """Return the link from a day's page to each piece of advice."""
    return {one: f"index.html#advice-{number}" for number, one in enumerate(records.cautions, start=1)}


def index_page(
    records: Records, terms: Terms, days: Sequence[DayLine], entries: Mapping[str, Link], zone: tzinfo
) -> str:
    """Return the logbook's first page.

    Args:
        records: everything that the book holds.
        terms: the vocabulary.
        days: a line for each day.
        entries: the link to each entry by its id.
        zone: the book's time zone.
    """
    loose = {one.media for one in records.unplaced_photos}
    return page(
        "logbook/index.html",
        book=records.book,
        days=days,
        undated=_told_apart([one.path for one in records.media if one.id in loose and not day_known(one)]),
        printed=[one.name for one in volumes(records, zone)],
        clocks=[(one, _clock_words(one), "yes" if one.sure else "not enough to tell") for one in records.clocks],
        cautions=[_advice(one, entries) for one in records.cautions],
        set_aside=records.set_aside,
        lists=records.lists,
        airframe=has_page(terms),
        captions=[
            (file_name(one.path), f"../{caption_name(one)}", long_date(one.taken_at.date()))
            for one in captioned(records)
        ],
    )


def _told_apart(paths: Sequence[str]) -> list[str]:
    """Return files by name, with the folder where two have the same: "1998 winter/slide 11.tif"."""
    often = Counter(map(file_name, paths))
    return sorted(
        one if often[file_name(one)] == 1 else _with_folder(path) for path in paths if (one := file_name(path))
    )


def _with_folder(path: str) -> str:
    return "/".join(path.replace("\\", "/").split("/")[-2:])


def _advice(caution: Caution, entries: Mapping[str, Link]) -> AdviceView:
    links = [entries[one] for one in caution.entries if one in entries]
    return AdviceView(caution, tuple(links[:_MOST_ENTRIES]), len(links[_MOST_ENTRIES:]))


def _clock_words(clock: Clock) -> str:
    if not clock.sure and not clock.anchors:
        return "not known"
    if abs(clock.offset_s) < 0.5:
        return "right"
    return clock_text(clock.offset_s)
