"""Which days go into which volume of the logbook, and what the records hold of those days."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from itertools import groupby, pairwise
from typing import NamedTuple, TypeVar

from pipeline.records import Caution, EntryRecord, Lists, MediaRecord, Record, Records, WayBack
from pipeline.settings import Person
from pipeline.values import Clock
from pipeline.writing.dated_by import day_known
from pipeline.writing.day_parts import at_keys, at_places, places_by
from pipeline.writing.entry_about import Speakers

MOST_PHOTOS = 100
"""Photos in one volume. It is set anew with each new thing of its days: with more, each week's run would be long."""
MOST_ENTRIES = 75
"""Entries in one volume: setting so many takes a second or two."""
MOST_UTTERANCES = 1000
"""Utterances in one volume: setting one takes up to a third of a megabyte of memory."""
IN_A_DAY = 2
"""A day is cut only if it holds more than twice as much as that."""
_T = TypeVar("_T")


def _quarter(day: date) -> str:
    return f"logbook-{day.year}-q{(day.month + 2) // 3}"


_NAMES: tuple[Callable[[date], str], ...] = (
    lambda day: "logbook",
    lambda day: f"logbook-{day:%Y}",
    _quarter,
    lambda day: f"logbook-{day:%Y-%m}",
    lambda day: f"logbook-{day}",
)


@dataclass(frozen=True)
class Volume:
    """One PDF: its name without ending, and its first and last day, both included.

    Of a day that is too large for one, ``part`` counts from 1: it goes from ``begins`` until before ``ends``, None
    for the day's own beginning and end. One that is ``alone`` is set for itself, and others tell nothing beside it.
    """

    name: str
    first: date
    last: date
    part: int = 0
    begins: datetime | None = None
    ends: datetime | None = None
    alone: bool = False

    def holds(self, at: datetime) -> bool:
        """Tell whether an instant of its days is in it."""
        return (self.begins is None or at >= self.begins) and (self.ends is None or at < self.ends)


def volumes(records: Records, zone: tzinfo) -> tuple[Volume, ...]:
    """Return the volumes of a book: one, or one for each year, quarter, month, day or part of a day where need be.

    A volume holds at most ``MOST_PHOTOS`` photos, ``MOST_ENTRIES`` entries and ``MOST_UTTERANCES`` utterances, or it
    is of a single day: then twice as much, or it is a single entry with all that goes with it.
    """
    return tuple(_cut(_by_day(records, zone), 0))


class _Load(NamedTuple):
    """How much goes into a volume of each kind, from an instant on."""

    at: datetime
    photos: int = 0
    entries: int = 0
    utterances: int = 0


class _Day(NamedTuple):
    """A day on which something happened, how much, and what happened on it."""

    day: date
    whole: _Load
    loads: Sequence[_Load]


def _cut(days: Sequence[_Day], level: int) -> Iterator[Volume]:
    if not days:
        return
    first, last, name = days[0].day, days[-1].day, _NAMES[level]
    if level == len(_NAMES) - 1:
        yield from _parts(days[0], name(first))
    elif _fits(_all(one.whole for one in days)):
        yield Volume(name(first), first, last)
    else:
        for _, part in groupby(days, lambda one: _NAMES[level + 1](one.day)):
            yield from _cut(list(part), level + 1)


def _fits(held: _Load, times: int = 1) -> bool:
    return (
        held.photos <= MOST_PHOTOS * times
        and held.entries <= MOST_ENTRIES * times
        and held.utterances <= MOST_UTTERANCES * times
    )


def _all(loads: Iterable[_Load]) -> _Load:
    """Return how much some loads are together, from the first's instant on."""
    instants, photos, entries, utterances = zip(*loads, strict=True)
    return _Load(instants[0], sum(photos), sum(entries), sum(utterances))


def _parts(whole: _Day, name: str) -> Iterator[Volume]:
    """Yield the parts of a day, each as full as it may be; what begins in the same instant is kept together."""
    if _fits(whole.whole, IN_A_DAY):
        yield Volume(name, whole.day, whole.day)
        return
    parts: list[_Load] = []
    loads = sorted(whole.loads, key=lambda one: one.at.timestamp())
    for _, together in groupby(loads, lambda one: one.at):
        more = _all(together)
        if parts and _fits(_all((parts[-1], more)), IN_A_DAY):
            parts[-1] = _all((parts[-1], more))
        else:
            parts.append(more)
    edges = [None, *(part.at for part in parts[1:]), None]
    for number, (begins, ends) in enumerate(pairwise(edges), start=1):
        cut = len(parts) > 1
        yield Volume(
            f"{name}-part-{number}" if cut else name, whole.day, whole.day, number if cut else 0, begins, ends
        )


def _by_day(records: Records, zone: tzinfo) -> list[_Day]:
    """Return each day on which something happened, in order: an entry with its photos, and what is in none."""
    taken_at = _filed_at(records)
    loads = [_Load(one.at, len(one.photos), 1) for one in records.entries]
    loads += [_Load(taken_at[one.media], photos=1) for one in records.unplaced_photos]
    loads += [_Load(one.start_at, utterances=1) for one in records.utterances]
    loads += [_Load(at) for at in taken_at.values()]
    by_day: dict[date, list[_Load]] = {}
    for one in loads:
        by_day.setdefault(one.at.astimezone(zone).date(), []).append(one)
    return [_Day(day, _all(by_day[day]), by_day[day]) for day in sorted(by_day)]


def _filed_at(records: Records) -> dict[str, datetime]:
    """Return when each piece of media was made; what nobody knows the day of stands with the last that is known."""
    known = [one.taken_at for one in records.media if day_known(one)]
    last = max((*known, *(one.at for one in records.entries)), default=None)
    return {one.id: one.taken_at if last is None or day_known(one) else last for one in records.media}


def records_of(records: Records, first: date, last: date, zone: tzinfo) -> Records:
    """Return what the records hold of a period, both days included; see ``Periods.of``."""
    return Periods(records, zone).of(Volume("", first, last))


class Periods:
    """The records of one book by their days, so that a volume takes as long as its own days and not as the book."""

    def __init__(self, records: Records, zone: tzinfo, people: Sequence[Person] = ()) -> None:
        """Sort what the records hold by the day on which it was made, in the book's time zone.

        ``people``: the team, by whose names a speaker may be told.
        """
        self._all, self._zone, self._people = records, zone, people
        taken_at = _filed_at(records)
        self._media = self._on(list(taken_at.values()))
        self._entries = self._on([one.at for one in records.entries])
        self._utterances = self._on([one.start_at for one in records.utterances])
        silent = (taken_at[one.media] + timedelta(seconds=one.start_s) for one in records.not_understood)
        self._silent = self._on(list(silent))
        self._photos = self._on([taken_at[one.media] for one in records.unplaced_photos])
        sorted_by_day = (self._media, self._entries, self._utterances, self._photos)
        self._days = sorted({day for kind in sorted_by_day for day in kind.places})
        self._clocks_end = [one.until.astimezone(zone).date() if one.until else None for one in records.clocks]
        self._media_at = {one.id: place for place, one in enumerate(records.media)}
        self._utterance_at = {one.id: place for place, one in enumerate(records.utterances)}
        self._speech_of = places_by(records.unplaced_speech, lambda one: (one.utterance,))
        self._unlisted_of = _Lines.of(records.unlisted, lambda one: one.utterances, self._utterance_at)
        self._cautions_of = places_by(records.cautions, lambda one: one.entries)
        order = sorted((one.at.timestamp(), one.id) for one in records.entries)
        entry_at = {entry: place for place, (_, entry) in enumerate(order)}
        self._lines_of = {
            name: _Lines.of(getattr(records.lists, name), _entries_in, entry_at)
            for name in type(records.lists).model_fields
            if isinstance(getattr(records.lists, name), tuple)
        }

    def of(self, volume: Volume) -> Records:
        """Return what the records hold of a volume's days, or of its part of a day.

        A line of a list is told in the volume of its last entry, as it is at the end of the book, but for the age of
        owed work, which is that of the volume's last day. A stretch of a device's clock is told in the volume in
        which it ends, and advice in each of its entries' volumes, for those alone. So what the days to come bring
        changes no volume before them where it need not. The way back and the files that were set aside belong to the
        end of the book, and are left out of a volume before it. A book within the volume is returned as it is. A
        volume that is alone has each line that any of its entries tells.
        """
        first, last = volume.first, volume.last
        if not self._days or (first <= self._days[0] and self._days[-1] <= last and not volume.part):
            return self._all
        days = self._days[bisect_left(self._days, first) : bisect_right(self._days, last)]
        entries = at_places(self._all.entries, self._entries.of(days, volume))
        told = (self._utterance_at[one] for entry in entries for one in entry.utterances if one in self._utterance_at)
        utterances = at_places(self._all.utterances, self._utterances.of(days, volume), told)
        silent = at_places(self._all.not_understood, self._silent.of(days, volume))
        spoken, ids = {one.id for one in utterances}, {one.id for one in entries}
        if volume.part:
            utterances = at_places(
                self._all.utterances, (self._utterance_at[one] for one in spoken), self._who(entries)
            )
        used = {one.media for one in entries} | {link.media for one in entries for link in one.photos}
        used |= {one.media for one in utterances} | {one.media for one in silent}
        ends = self._days[-1] <= last and volume.ends is None
        return self._all.model_copy(
            update={
                "clocks": self._clocks_of(first, None if ends else last) if volume.ends is None else (),
                "media": self._media_with_films(self._media.of(days, volume), used),
                "utterances": utterances,
                "entries": entries,
                "unplaced_speech": at_keys(self._all.unplaced_speech, self._speech_of, spoken),
                "not_understood": silent,
                "unplaced_photos": at_places(self._all.unplaced_photos, self._photos.of(days, volume)),
                "unlisted": at_keys(self._all.unlisted, self._unlisted_of.of_volume(volume), spoken),
                "cautions": self._cautions(ids),
                "set_aside": self._all.set_aside if ends else (),
                "lists": self._lists(ids, None if ends else last, volume),
            }
        )

    def _on(self, instants: Sequence[datetime]) -> "_ByDay":
        return _ByDay(instants, places_by(instants, lambda at: (at.astimezone(self._zone).date(),)))

    def _who(self, entries: Sequence[EntryRecord]) -> Iterator[int]:
        """Yield where it is said who speaks in some entries, which may be in an earlier part of the day."""
        media = {one.media for one in entries}
        speakers = Speakers((one for one in self._all.utterances if one.media in media), self._people)
        told = (speakers.until(one.media, one.end_s)[1] for one in entries)
        return (self._utterance_at[one] for one in told if one)

    def _cautions(self, entries: Collection[str]) -> tuple[Caution, ...]:
        found = at_keys(self._all.cautions, self._cautions_of, entries)
        own = ([entry for entry in one.entries if entry in entries] for one in found)
        return tuple(one.model_copy(update={"entries": tuple(ones)}) for one, ones in zip(found, own, strict=True))

    def _media_with_films(self, own: Iterable[int], used: Iterable[str]) -> tuple[MediaRecord, ...]:
        media = self._all.media
        found = {*own, *(self._media_at[one] for one in used if one in self._media_at)}
        films = (media[place].still_of for place in found)
        return at_places(media, found, (self._media_at[one] for one in films if one in self._media_at))

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

    def _lists(self, entries: Iterable[str], last: date | None, volume: Volume) -> Lists:
        lists = self._all.lists
        ids = list(entries)
        kept: dict[str, object] = {
            name: at_keys(getattr(lists, name), lines.of_volume(volume), ids)
            for name, lines in self._lines_of.items()
        }
        found = lists.model_copy(update=kept)
        if last is None:
            return found
        to_do = (
            one.model_copy(update={"age_days": max(0, (last - (one.owed_since or one.said_on)).days)})
            for one in found.to_do
        )
        return found.model_copy(update={"to_do": tuple(to_do), "way_back": WayBack()})


class _ByDay(NamedTuple):
    """Instants, and at which places those of each day stand."""

    instants: Sequence[datetime]
    places: Mapping[date, Sequence[int]]

    def of(self, days: Iterable[date], volume: Volume) -> Iterator[int]:
        """Yield the places of those instants of some days that a volume holds."""
        on = (place for day in days for place in self.places.get(day, ()))
        return on if not volume.part else (place for place in on if volume.holds(self.instants[place]))


class _Lines(NamedTuple):
    """At which places the lines of a list stand: by whatever each names, and by that of it which comes last."""

    by_any: Mapping[str, Sequence[int]]
    by_last: Mapping[str, Sequence[int]]

    @staticmethod
    def of(lines: Sequence[_T], names_in: Callable[[_T], Iterable[str]], order: Mapping[str, int]) -> "_Lines":
        """Sort lines by the names in them, of which ``order`` knows all that the book has."""
        named = [[name for name in names_in(one) if name in order] for one in lines]
        last = ([max(names, key=order.__getitem__)] if names else [] for names in named)
        return _Lines(places_by(named, lambda names: names), places_by(last, lambda names: names))

    def of_volume(self, volume: Volume) -> Mapping[str, Sequence[int]]:
        """Return by what a volume takes its lines."""
        return self.by_any if volume.alone else self.by_last


def _entries_in(record: Record) -> Iterator[str]:
    """Return the entries that a line names, in itself or in what it holds."""
    for name, held in record.__dict__.items():
        if isinstance(held, Record):
            yield from _entries_in(held)
        elif isinstance(held, tuple):
            for one in held:
                if isinstance(one, Record):
                    yield from _entries_in(one)
                elif name == "entries":
                    yield one
        elif name == "entry" and held is not None:
            yield held
