"""The files of each day: its page of the logbook, its timeline, and the captions of what was said.

They are worked out from the day's part of the records alone, and only where they were made from anything else before.
"""

import json
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta, tzinfo

from pipeline.digests import digest_of
from pipeline.records import MediaRecord, Records
from pipeline.settings import Person
from pipeline.writing.captions import caption_name, captioned, captions
from pipeline.writing.day_pages import FOLDER, Logbook, day_page
from pipeline.writing.day_parts import DayParts
from pipeline.writing.logbook_index import advice_links
from pipeline.writing.terms import Terms
from pipeline.writing.timeline import day_timeline
from pipeline.writing.timeline_days import Days, days_of
from pipeline.writing.timeline_moves import Move
from pipeline.writing.timeline_places import FOLDER as TIMELINE
from pipeline.writing.timeline_places import PAGE, UNDATED, day_place, on_one_page
from pipeline.writing.viewing_copies import Links, picture_copy, sound_copy


class DayFiles:
    """The files of the days of one book."""

    def __init__(
        self, records: Records, days: Days, terms: Terms, links: Links, zone: tzinfo, people: Sequence[Person]
    ) -> None:
        """Make ready.

        Args:
            records: everything that the book holds.
            days: the same, sorted by day for the timeline.
            terms: the vocabulary.
            links: where pictures, sound and originals are.
            zone: the book's time zone, in which days begin and end.
            people: the team, by whose names a speaker may be told.
        """
        self._records, self._terms, self._links, self._zone, self._people = records, terms, links, zone, people
        self._parts = DayParts(records, zone)
        self._one_page = on_one_page(records)
        self._whys = advice_links(records)
        self._drawn = [one.day for one in days.days]
        happened = [one for day in days.days for one in (day.drawn, day.uncertain)] + [days.undated]
        every = [(one.media.id, one.move) for each in happened for one in each.photos]
        every += [(one.media.id, one.move) for each in happened for one in each.runs]
        self._moves = {media: move for media, move in every if move is not None}
        self._captioned: dict[date, list[MediaRecord]] = {}
        for one in captioned(records):
            self._captioned.setdefault(one.taken_at.astimezone(zone).date(), []).append(one)

    @property
    def logbook(self) -> Sequence[date]:
        """The days that have a page of the logbook, in order."""
        return self._parts.logbook_days

    def days(self) -> list[date]:
        """Return every day that has files, in order."""
        return sorted({*self.logbook, *self._drawn, *self._captioned})

    def places(self, day: date) -> tuple[str, ...]:
        """Return where the files of a day lie in ``out/``."""
        return tuple(self._places(day))

    def _places(self, day: date) -> Iterator[str]:
        if _holds(self.logbook, day):
            yield f"{FOLDER}/{day}.html"
        if not self._one_page and _holds(self._drawn, day):
            yield from (day_place(day, one_page=False), f"{TIMELINE}/{day}.svg")
        yield from map(caption_name, self._captioned.get(day, ()))

    def made_from(self, day: date) -> str:
        """Return the fingerprint of what the files of a day are made from: its part, and what is told to them."""
        part = self._parts.of(day)
        copies = [copy for one in part.media for copy in (picture_copy(one.id), sound_copy(one.id))]
        told = [
            self.places(day),
            [datetime.combine(one, time.min, self._zone).isoformat() for one in (day, day + timedelta(days=1))],
            [str(one) for one in (*_beside(self.logbook, day), *_beside(self._drawn, day))],
            self._timeline(day),
            [self._whys[one] for one in part.cautions],
            [repr(move) for move in self._moves_of(part).values()],
            [copy for copy in copies if copy in self._links.copies],
            # a path that is not told from the book's folder is linked to from where the book lies
            [str(self._links.original_path(one)) for one in part.media if one.path.startswith(("/", "\\"))],
        ]
        return digest_of([part.model_dump_json(), json.dumps(told)])

    def make(self, day: date) -> dict[str, bytes]:
        """Return the files of a day by their places in ``out/``."""
        part = self._parts.of(day)
        made: dict[str, str] = {}
        if _holds(self.logbook, day):
            logbook = Logbook(part, self._terms, self._links, self._zone, self._people)
            timeline, whys = f"../{self._timeline(day)}", {one: self._whys[one] for one in part.cautions}
            made[f"{FOLDER}/{day}.html"] = day_page(logbook, day, *_beside(self.logbook, day), timeline, whys)
        if not self._one_page and _holds(self._drawn, day):
            moves = self._moves_of(part)
            days = days_of(part, self._zone, lambda one: moves.get(one.id)).days
            own = next(one for one in days if one.day == day)
            made |= day_timeline(part, own, self._links, self._zone, *_beside(self._drawn, day))
        for media in self._captioned.get(day, ()):
            said = [one for one in part.utterances if one.media == media.id]
            made[caption_name(media)] = captions(media, said)
        return {place: encoded(text) for place, text in made.items()}

    def _timeline(self, day: date) -> str:
        """Return where the timeline tells of a day, from ``out/``."""
        return day_place(day, self._one_page) if _holds(self._drawn, day) else f"{PAGE}#{UNDATED}"

    def _moves_of(self, part: Records) -> Mapping[str, Move]:
        """Return the moves of a day, without the whole of why: of a clock it counts photos of any day."""
        moved = ((one.id, self._moves.get(one.id)) for one in part.media)
        return {media: replace(move, reason="") for media, move in moved if move is not None}


def encoded(text: str) -> bytes:
    """Return a page's bytes; a file name that is not UTF-8 comes as lone surrogates, and is shown, not passed on."""
    return text.encode("utf-8", "backslashreplace")


def _holds(days: Sequence[date], day: date) -> bool:
    at = bisect_left(days, day)
    return at < len(days) and days[at] == day


def _beside(days: Sequence[date], day: date) -> tuple[date | None, date | None]:
    """Return the days before and after a day, None for none."""
    before, after = bisect_left(days, day), bisect_right(days, day)
    return (days[before - 1] if before else None), (days[after] if after < len(days) else None)
