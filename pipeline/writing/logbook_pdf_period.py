"""Which days go into which volume of the logbook, and what the records hold of those days."""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import NamedTuple, TypeVar

from pipeline.records import Lists, MediaRecord, Record, Records, WayBack
from pipeline.values import Clock
from pipeline.writing.day_parts import at_keys, places_by

MOST_PHOTOS = 200
"""Photos in one volume. It is set anew with each new thing of its days: with more, each week's run would be long."""
MOST_ENTRIES = 150
"""Entries in one volume: setting so many takes two or three seconds."""
MOST_UTTERANCES = 2000
"""Utterances in one volume: setting one takes up to a third of a megabyte of memory."""
_T = TypeVar("_T")
_NAMES = ("logbook", "logbook-%Y", "logbook-%Y-%m", "logbook-%Y-%m-%d")


@dataclass(frozen=True)
class Volume:
    """One PDF: its name without ending, and its first and last day, both included."""

    name: str
    first: date
    last: date


def volumes(records: Records, zone: tzinfo) -> tuple[Volume, ...]:
    """Return the volumes of a book: one, or one for each year, month or day where it holds too much.

    A volume holds at most ``MOST_PHOTOS`` photos, ``MOST_ENTRIES`` entries and ``MOST_UTTERANCES`` utterances, or it
    is a single day.
    """
    return tuple(_cut(_by_day(records, zone), 0))


class _Load(NamedTuple):
    """A day on which something happened, and how much of each kind it puts into a volume."""

    day: date
    photos: int
    entries: int
    utterances: int


def _cut(loads: Sequence[_Load], level: int) -> Iterator[Volume]:
    if not loads:
        return
    fits = (
        sum(one.photos for one in loads) <= MOST_PHOTOS
        and sum(one.entries for one in loads) <= MOST_ENTRIES
        and sum(one.utterances for one in loads) <= MOST_UTTERANCES
    )
    if fits or level == len(_NAMES) - 1:
        yield Volume(loads[0].day.strftime(_NAMES[level]), loads[0].day, loads[-1].day)
        return
    parts: dict[str, list[_Load]] = {}
    for one in loads:
        parts.setdefault(one.day.strftime(_NAMES[level + 1]), []).append(one)
    for part in parts.values():
        yield from _cut(part, level + 1)


def _by_day(records: Records, zone: tzinfo) -> list[_Load]:
    """Return each day on which something happened, in order."""
    taken_at = {one.id: one.taken_at for one in records.media}
    photos: Counter[date] = Counter()
    for entry in records.entries:
        photos[entry.at.astimezone(zone).date()] += len(entry.photos)
    photos.update(taken_at[one.media].astimezone(zone).date() for one in records.unplaced_photos)
    entries = Counter(entry.at.astimezone(zone).date() for entry in records.entries)
    utterances = Counter(one.start_at.astimezone(zone).date() for one in records.utterances)
    rest = {at.astimezone(zone).date() for at in taken_at.values()}
    days = sorted({*photos, *entries, *utterances, *rest})
    return [_Load(day, photos[day], entries[day], utterances[day]) for day in days]


def records_of(records: Records, first: date, last: date, zone: tzinfo) -> Records:
    """Return what the records hold of a period, both days included; see ``Periods.of``."""
    return Periods(records, zone).of(first, last)


class Periods:
    """The records of one book by their days, so that a volume takes as long as its own days and not as the book."""

    def __init__(self, records: Records, zone: tzinfo) -> None:
        """Sort what the records hold by the day on which it was made, in the book's time zone."""
        self._all, self._zone = records, zone
        self._days = [one.day for one in _by_day(records, zone)]
        at = {one.id: one.taken_at for one in records.media}
        self._media = self._on(records.media, lambda one: one.taken_at)
        self._entries = self._on(records.entries, lambda one: one.at)
        self._utterances = self._on(records.utterances, lambda one: one.start_at)
        self._silent = self._on(records.not_understood, lambda one: at[one.media] + timedelta(seconds=one.start_s))
        self._photos = self._on(records.unplaced_photos, lambda one: at[one.media])
        self._clocks_end = [one.until.astimezone(zone).date() if one.until else None for one in records.clocks]
        self._media_at = {one.id: place for place, one in enumerate(records.media)}
        self._utterance_at = {one.id: place for place, one in enumerate(records.utterances)}
        self._speech_of = places_by(records.unplaced_speech, lambda one: (one.utterance,))
        self._unlisted_of = places_by(records.unlisted, lambda one: one.utterances)
        self._cautions_of = places_by(records.cautions, lambda one: one.entries)
        self._lines_of = {
            name: places_by(getattr(records.lists, name), _entries_in)
            for name in type(records.lists).model_fields
            if isinstance(getattr(records.lists, name), tuple)
        }

    def of(self, first: date, last: date) -> Records:
        """Return what the records hold of a period, both days included.

        A line of a list stays if one of its entries is of the period; it stands as it is at the end of the book, but
        for the age of owed work, which is that of the period's end. A stretch of a device's clock is told in the
        period in which it ends: how it is judged changes with every photo until then. The way back and the files
        that were set aside belong to the end of the book, and are left out of a period before it. A book that lies
        within the period is returned as it is.
        """
        if not self._days or (first <= self._days[0] and self._days[-1] <= last):
            return self._all
        days = self._days[bisect_left(self._days, first) : bisect_right(self._days, last)]
        entries = at_keys(self._all.entries, self._entries, days)
        told = [self._utterance_at[one] for entry in entries for one in entry.utterances if one in self._utterance_at]
        utterances = at_keys(self._all.utterances, self._utterances, days, told)
        silent = at_keys(self._all.not_understood, self._silent, days)
        used = {one.media for one in entries} | {link.media for one in entries for link in one.photos}
        used |= {one.media for one in utterances} | {one.media for one in silent}
        spoken, ids, ends = {one.id for one in utterances}, {one.id for one in entries}, self._days[-1] <= last
        return self._all.model_copy(
            update={
                "clocks": self._clocks_of(first, None if ends else last),
                "media": self._media_with_films(days, used),
                "utterances": utterances,
                "entries": entries,
                "unplaced_speech": at_keys(self._all.unplaced_speech, self._speech_of, spoken),
                "not_understood": silent,
                "unplaced_photos": at_keys(self._all.unplaced_photos, self._photos, days),
                "unlisted": at_keys(self._all.unlisted, self._unlisted_of, spoken),
                "cautions": at_keys(self._all.cautions, self._cautions_of, ids),
                "set_aside": self._all.set_aside if ends else (),
                "lists": self._lists(ids, None if ends else last),
            }
        )

    def _on(self, records: Sequence[_T], at: Callable[[_T], datetime]) -> dict[date, list[int]]:
        return places_by(records, lambda one: (at(one).astimezone(self._zone).date(),))

    def _media_with_films(self, days: Sequence[date], used: Iterable[str]) -> tuple[MediaRecord, ...]:
        media = self._all.media
        found = at_keys(media, self._media, days, [self._media_at[one] for one in used if one in self._media_at])
        films = [self._media_at[one.still_of] for one in found if one.still_of and one.still_of in self._media_at]
        return at_keys(media, self._media, days, [*films, *(self._media_at[one.id] for one in found)])

    def _clocks_of(self, first: date, last: date | None) -> tuple[Clock, ...]:
        """Return the stretches of clocks that end in a period, or since the day of work before it.

        ``last`` is None for the period in which the book ends. What ended before all work belongs to the first.
        """
        before = self._days[: bisect_left(self._days, first)][-1:] or [date.min]
        return tuple(
            one
            for one, day in zip(self._all.clocks, self._clocks_end, strict=True)
            if (day > before[0] and (last is None or day <= last) if day else last is None)
        )

    def _lists(self, entries: Iterable[str], last: date | None) -> Lists:
        lists = self._all.lists
        ids = list(entries)
        kept: dict[str, object] = {
            name: at_keys(getattr(lists, name), places, ids) for name, places in self._lines_of.items()
        }
        found = lists.model_copy(update=kept)
        if last is None:
            return found
        to_do = (one.model_copy(update={"age_days": max(0, (last - one.said_on).days)}) for one in found.to_do)
        return found.model_copy(update={"to_do": tuple(to_do), "way_back": WayBack()})


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
