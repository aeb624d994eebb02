"""The records of a book day by day: of each day what its pages may look at, and nothing else.

A day's pages are worked out from its part alone. So the fingerprint of the part tells whether they still stand, and
nothing that a page shows can be forgotten in it.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import cached_property
from typing import TypeVar

from pipeline.records import EntryRecord, Lists, NotUnderstood, Records
from pipeline.values import Kind
from pipeline.writing.dated_by import day_known

_T = TypeVar("_T")
_K = TypeVar("_K", bound=Hashable)
_NOT_OF_WORDS = ("media", "clocks", "unplaced_speech", "not_understood", "unplaced_photos")
_OF_WORDS = ("utterances", "entries", "unlisted", "cautions")


def lists_alone(records: Records) -> Records:
    """Return what the registers may look at: the lists, and the files that were set aside."""
    return records.model_copy(update={**dict.fromkeys(_NOT_OF_WORDS, ()), **dict.fromkeys(_OF_WORDS, ())})


def without_photos(records: Records) -> Records:
    """Return what pages may look at that tell of words alone, so that most of them stand when a photo comes in.

    An entry that a person decided on or signed has its photos: they are part of what was decided.
    """
    bare = {"photos": (), "version": ""}
    entries = (one if one.decided or one.signed else one.model_copy(update=bare) for one in records.entries)
    findings = tuple(one.model_copy(update={"photos": ()}) for one in records.lists.findings)
    return records.model_copy(
        update={
            **dict.fromkeys(_NOT_OF_WORDS, ()),
            "entries": tuple(entries),
            "lists": records.lists.model_copy(update={"findings": findings}),
        }
    )


class DayParts:
    """One book's records, sorted by day in one pass."""

    def __init__(self, records: Records, zone: tzinfo) -> None:
        """Sort what the records hold by the day on which it was made, in the book's time zone."""
        self._all, self._zone = records, zone
        self._media_at = {one.id: place for place, one in enumerate(records.media)}
        self._said_at = {one.id: place for place, one in enumerate(records.utterances)}
        self._media = self._on(records.media, lambda one: one.taken_at)
        self._said = self._on(records.utterances, lambda one: one.start_at)
        self._entries = self._on(records.entries, lambda one: one.at)
        self._silent = self._on(records.not_understood, self._silence_at)
        self._said_in = places_by(records.utterances, lambda one: (one.media,))
        self._silent_in = places_by(records.not_understood, lambda one: (one.media,))
        self._stands_in = places_by(records.entries, _told_in)
        self._no_entry = places_by(records.unplaced_speech, lambda one: (one.utterance,))
        self._no_words = places_by(records.unplaced_photos, lambda one: (one.media,))
        self._advice = places_by(records.cautions, lambda one: one.entries)

    @cached_property
    def logbook_days(self) -> Sequence[date]:
        """The days on which something was said or photographed, in order: those that the logbook tells of.

        A photo of which nobody knows the day makes none.
        """
        photos = (self._all.media[self._media_at[one.media]] for one in self._all.unplaced_photos)
        taken = {self._day(one.taken_at) for one in photos if day_known(one)}
        said = (self._said_at[one.utterance] for one in self._all.unplaced_speech)
        spoken = {self._day(self._all.utterances[place].start_at) for place in said}
        return sorted({*self._entries, *self._silent, *taken, *spoken})

    def of(self, day: date) -> Records:
        """Return what the pages of one day may look at: records of that day, and those that they lead to.

        Whatever is told of the whole book is left out: clocks, lists, files that were set aside.
        """
        media = {*self._media.get(day, ()), *self._runs_into.get(day, ())}
        said = set(self._said.get(day, ()))
        entries = {*self._entries.get(day, ()), *self._stand_in(media, said)}
        self._add_behind(day, entries, media, said)
        shown, seen = at_places(self._all.entries, entries), at_places(self._all.media, media)
        # who speaks, and until when a recording runs, is told by all that was said in it
        said |= {place for one in seen if one.kind != Kind.PHOTO for place in self._said_in.get(one.id, ())}
        heard, ids = at_places(self._all.utterances, said), [one.id for one in seen]
        update = {
            "media": seen,
            "clocks": (),
            "utterances": heard,
            "entries": shown,
            "unplaced_speech": at_keys(self._all.unplaced_speech, self._no_entry, [one.id for one in heard]),
            "not_understood": at_keys(self._all.not_understood, self._silent_in, ids),
            "unplaced_photos": at_keys(self._all.unplaced_photos, self._no_words, ids),
            "unlisted": (),
            "cautions": at_keys(self._all.cautions, self._advice, [one.id for one in shown]),
            "set_aside": (),
            "lists": Lists(),
        }
        return self._all.model_copy(update=update)

    def _stand_in(self, media: Iterable[int], said: Iterable[int]) -> Iterator[int]:
        """Yield the entries, of whatever day, in which some photos or words stand."""
        shown, heard = at_places(self._all.media, media), at_places(self._all.utterances, said)
        for one in (*(photo.id for photo in shown), *(words.id for words in heard)):
            yield from self._stands_in.get(one, ())

    def _add_behind(self, day: date, entries: Iterable[int], media: set[int], said: set[int]) -> None:
        """Add the media and the words that the entries come from, and the media behind those of the day."""
        ids = [one.media for one in at_keys(self._all.not_understood, self._silent, (day,))]
        for entry in at_places(self._all.entries, entries):
            ids += (entry.media, *(link.media for link in entry.photos))
            said |= {self._said_at[one] for one in entry.utterances if one in self._said_at}
        ids += (one.media for one in at_places(self._all.utterances, said))
        media |= {self._media_at[one] for one in ids if one in self._media_at}
        films = [one.still_of for one in at_places(self._all.media, media) if one.still_of]
        media |= {self._media_at[one] for one in films if one in self._media_at}

    @cached_property
    def _runs_into(self) -> Mapping[date, Sequence[int]]:
        """Which media that began on an earlier day are still running on a day."""
        ends: dict[str, float] = {}
        for said in self._all.utterances:
            ends[said.media] = max(ends.get(said.media, 0.0), said.end_s)
        found: dict[date, list[int]] = {}
        for place, one in enumerate(self._all.media):
            if one.kind == Kind.PHOTO:
                continue
            day = self._day(one.taken_at)
            length = timedelta(seconds=one.duration_s or ends.get(one.id, 0.0))
            last = self._day(one.taken_at.astimezone(UTC) + length)
            while day < last:
                day += timedelta(days=1)
                found.setdefault(day, []).append(place)
        return found

    def _day(self, at: datetime) -> date:
        return at.astimezone(self._zone).date()

    def _on(self, records: Sequence[_T], at: Callable[[_T], datetime]) -> dict[date, list[int]]:
        found: dict[date, list[int]] = {}
        for place, one in enumerate(records):
            found.setdefault(self._day(at(one)), []).append(place)
        return found

    def _silence_at(self, one: NotUnderstood) -> datetime:
        return self._all.media[self._media_at[one.media]].taken_at + timedelta(seconds=one.start_s)


def places_by(records: Iterable[_T], keys_of: Callable[[_T], Iterable[_K]]) -> dict[_K, list[int]]:
    """Return at which places in their order the records with each key stand."""
    found: dict[_K, list[int]] = {}
    for place, one in enumerate(records):
        for key in dict.fromkeys(keys_of(one)):
            found.setdefault(key, []).append(place)
    return found


def at_keys(records: Sequence[_T], places: Mapping[_K, Sequence[int]], keys: Iterable[_K]) -> tuple[_T, ...]:
    """Return the records that have one of the keys, in their order."""
    return at_places(records, (place for key in keys for place in places.get(key, ())))


def at_places(records: Sequence[_T], *places: Iterable[int]) -> tuple[_T, ...]:
    """Return the records that stand at any of these places, each once, in their order."""
    return tuple(records[place] for place in sorted(set[int]().union(*places)))


def _told_in(entry: EntryRecord) -> tuple[str, ...]:
    return (*entry.utterances, *(link.media for link in entry.photos))
