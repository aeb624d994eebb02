"""Which days go into which volume of the logbook, and what the records hold of those days."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from pipeline.records import Lists, MediaRecord, Record, Records, WayBack

MOST_PHOTOS = 300
"""Photos in one volume: with so many, setting needs about 700 MB of memory."""
MOST_ENTRIES = 400
"""Entries in one volume: the words and lines of so many need about 700 MB."""
_NAMES = ("logbook", "logbook-%Y", "logbook-%Y-%m", "logbook-%Y-%m-%d")


@dataclass(frozen=True)
class Volume:
    """One PDF: its name without ending, and its first and last day, both included."""

    name: str
    first: date
    last: date


def volumes(records: Records, zone: tzinfo) -> tuple[Volume, ...]:
    """Return the volumes of a book: one, or one for each year, month or day where it holds too much.

    A volume holds at most ``MOST_PHOTOS`` photos and ``MOST_ENTRIES`` entries, or it is a single day.
    """
    return tuple(_cut(_by_day(records, zone), 0))


def _cut(loads: Sequence[tuple[date, int, int]], level: int) -> Iterator[Volume]:
    if not loads:
        return
    fits = sum(one[1] for one in loads) <= MOST_PHOTOS and sum(one[2] for one in loads) <= MOST_ENTRIES
    if fits or level == len(_NAMES) - 1:
        yield Volume(loads[0][0].strftime(_NAMES[level]), loads[0][0], loads[-1][0])
        return
    parts: dict[str, list[tuple[date, int, int]]] = {}
    for one in loads:
        parts.setdefault(one[0].strftime(_NAMES[level + 1]), []).append(one)
    for part in parts.values():
        yield from _cut(part, level + 1)


def _by_day(records: Records, zone: tzinfo) -> list[tuple[date, int, int]]:
    """Return each day on which something happened, with its number of photos and of entries."""
    media = {one.id: one for one in records.media}
    photos: dict[date, int] = {}
    entries: dict[date, int] = {}
    for entry in records.entries:
        day = entry.at.astimezone(zone).date()
        photos[day] = photos.get(day, 0) + len(entry.photos)
        entries[day] = entries.get(day, 0) + 1
    for one in records.unplaced_photos:
        day = media[one.media].taken_at.astimezone(zone).date()
        photos[day] = photos.get(day, 0) + 1
    rest = {utterance.start_at.astimezone(zone).date() for utterance in records.utterances}
    rest |= {one.taken_at.astimezone(zone).date() for one in records.media}
    return [(day, photos.get(day, 0), entries.get(day, 0)) for day in sorted({*photos, *entries, *rest})]


def records_of(records: Records, first: date, last: date, zone: tzinfo) -> Records:
    """Return what the records hold of a period, both days included.

    A line of a list stays if one of its entries is of the period; it stands as it is at the end of the book. The way
    back and the files that were set aside belong to the end of the book, and are left out of a period before it. A
    book that lies within the period is returned as it is.
    """

    def within(at: datetime) -> bool:
        return first <= at.astimezone(zone).date() <= last

    days = [day for day, _, _ in _by_day(records, zone)]
    if not days or (first <= days[0] and days[-1] <= last):
        return records
    entries = tuple(one for one in records.entries if within(one.at))
    told = {one for entry in entries for one in entry.utterances}
    utterances = tuple(one for one in records.utterances if one.id in told or within(one.start_at))
    spoken = {one.id for one in utterances}
    at = {one.id: one.taken_at for one in records.media}
    silent = tuple(one for one in records.not_understood if within(at[one.media] + timedelta(seconds=one.start_s)))
    ids = {one.id for one in entries}
    used = {one.media for one in entries} | {link.media for one in entries for link in one.photos}
    used |= {one.media for one in utterances} | {one.media for one in silent}
    ends = days[-1] <= last
    return records.model_copy(
        update={
            "media": tuple(_media(records.media, used, within)),
            "utterances": utterances,
            "entries": entries,
            "unplaced_speech": tuple(one for one in records.unplaced_speech if one.utterance in spoken),
            "not_understood": silent,
            "unplaced_photos": tuple(one for one in records.unplaced_photos if within(at[one.media])),
            "unlisted": tuple(one for one in records.unlisted if spoken & set(one.utterances)),
            "cautions": tuple(one for one in records.cautions if ids & set(one.entries)),
            "set_aside": records.set_aside if ends else (),
            "lists": _lists(records.lists, ids, ends),
        }
    )


def _media(media: Sequence[MediaRecord], used: set[str], within: Callable[[datetime], bool]) -> Iterator[MediaRecord]:
    found = [one for one in media if one.id in used or within(one.taken_at)]
    films = {one.still_of for one in found if one.still_of}
    ids = {one.id for one in found} | films
    return (one for one in media if one.id in ids)


def _lists(lists: Lists, entries: set[str], ends: bool) -> Lists:
    kept: dict[str, object] = {
        name: tuple(line for line in getattr(lists, name) if entries & set(_entries_in(line)))
        for name in type(lists).model_fields
        if isinstance(getattr(lists, name), tuple)
    }
    return lists.model_copy(update={**kept, "way_back": lists.way_back if ends else WayBack()})


def _entries_in(value: object) -> Iterator[str]:
    """Return the entries that a line names, in itself or in what it holds."""
    if isinstance(value, Record):
        for name in type(value).model_fields:
            held = getattr(value, name)
            if name == "entry" and isinstance(held, str):
                yield held
            elif name == "entries" and isinstance(held, tuple):
                yield from held
            else:
                yield from _entries_in(held)
    elif isinstance(value, tuple):
        for one in value:
            yield from _entries_in(one)
