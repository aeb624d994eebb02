"""The supporters' reports of months: which of them still stand as they were written, and which are made anew.

A month's report is left alone if all that it is made from is what it was: this is in one fingerprint, kept as part of
the name of the report's group of files. Its files must hold the bytes that were written, no viewing copy may have
been changed since, and nothing in it may by now be a name of a file or a device, or a caution. A report of which
anything was held back because of the whole book, and one with a fault, has no fingerprint: each run makes it again.
"""

import hashlib
import json
import os
import re
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from pathlib import Path

from pydantic import BaseModel

from pipeline.digests import add_to, digest_of
from pipeline.records import EntryRecord, MediaRecord, Records, ToDo
from pipeline.settings import Settings
from pipeline.writing.made_from import made_by
from pipeline.writing.supporters.public_files import texts_of
from pipeline.writing.supporters.report import make_report
from pipeline.writing.supporters.withheld import Watch
from pipeline.writing.terms import Terms
from pipeline.writing.viewing_copies import PICTURES, Makers, picture_copy
from pipeline.writing.written_files import Written, files_in, groups, place_files, written_hashes, written_in

_A_MONTH = re.compile(r"(supporters/\d{4}-\d{2})(?: ([0-9a-f]{64}))?")
_TOLD_AROUND = timedelta(minutes=1)  # words begun soon after a photo tell what it shows; see ``moments``


@dataclass(frozen=True)
class Month:
    """A calendar month in which something was done: its name, and the first and the last day with an entry."""

    name: str
    first: date
    last: date


def bring_months(records: Records, settings: Settings, terms: Terms, out: Path, makers: Makers) -> Written:
    """Bring one report for each calendar month in which something was done up to date; the others go.

    ``makers``: as for ``make_report``.
    """
    book = _Book(records, settings, terms, out)
    by_folder: dict[str, list[str]] = {}
    for group in groups(out):
        if found := _A_MONTH.fullmatch(group):
            by_folder.setdefault(found[1], []).append(group)
    done = Written()
    for month in book.months:
        done += _bring(book, month, by_folder.pop(f"supporters/{month.name}", []), makers)
    for group in (one for of_month in by_folder.values() for one in of_month):
        done += place_files(out, group, {})
    return done


def _bring(book: "_Book", month: Month, before: Sequence[str], makers: Makers) -> Written:
    """Leave a month's report as it is, or make it and clear what is no longer part of it."""
    until = book.until(month)
    key = book.key(month, until)
    wanted = f"supporters/{month.name} {key}"
    if wanted in before and (places := book.standing(month, wanted)):
        done, kept = Written(unchanged=places), wanted
    else:
        records, settings, terms, out = book.told_by(until), book.settings, book.terms, book.out
        done, kept = make_report(records, settings, terms, out, month.first, month.last, makers, month.name, key)
        if kept == wanted:  # later than every copy that it was made from, though its bytes may be what they were
            book.page_of(month).touch()
    for group in before:
        if group != kept:
            done += place_files(book.out, group, {})
    return done


class _Book:
    """What the reports of months are made from, sorted so that each month's part is soon found."""

    def __init__(self, records: Records, settings: Settings, terms: Terms, out: Path) -> None:
        self.settings, self.terms, self.out = settings, terms, out
        self._records = records
        self._entries = sorted(records.entries, key=lambda one: (one.at, one.id))
        self._by_id = {one.id: one for one in self._entries}
        self._days = [one.at.astimezone(settings.zone).date() for one in self._entries]
        self._said = sorted(records.utterances, key=lambda one: (one.start_at, one.id))
        self._starts = [one.start_at for one in self._said]
        self._start_of = {one.id: one.start_at for one in self._said}
        self._media: dict[str, MediaRecord] = {one.id: one for one in records.media}

    @property
    def months(self) -> Iterator[Month]:
        """The months in which something was done, in order."""
        by_name: dict[str, list[date]] = {}
        for day in self._days:
            by_name.setdefault(f"{day:%Y-%m}", []).append(day)
        return (Month(name, days[0], days[-1]) for name, days in by_name.items())

    def until(self, month: Month) -> datetime:
        """Return up to when what was said can be in a report: to the month's end, or to the last that is its own."""
        own = self._own(month)
        ends = datetime.combine(month.last, time.max, self.settings.zone)
        told = (one for entry in (*own, *self._behind(self._owed(month))) for one in entry.utterances)
        said = (self._start_of[one] for one in told if one in self._start_of)
        taken = (self._media[one].taken_at for one in self._photos(own))
        return max((ends, *said, *taken)) + _TOLD_AROUND

    def told_by(self, until: datetime) -> Records:
        """Return the records with what was said by then: a report quotes nothing that was said later."""
        return self._records.model_copy(update={"utterances": tuple(self._said[: self._number_said(until)])})

    def key(self, month: Month, until: datetime) -> str:
        """Return the fingerprint of all that a month's report is made from, "" of a vocabulary that has none."""
        if not isinstance(self.terms, BaseModel):
            return ""
        own = self._own(month)
        photos = self._photos(own)
        parts = [
            *self._whole,
            f"{month}",
            self._told_before[self._first_of(month)],
            *(one.model_dump_json() for one in own),
            self._said_so_far[self._number_said(until)],
            *self._of_lists(month),
            *(self._media[one].model_dump_json() for one in photos),
            *(f"{self._hashes.get(copy, '')} {self._size(copy)}" for copy in map(picture_copy, photos)),
        ]
        return digest_of(parts)

    def page_of(self, month: Month) -> Path:
        """Return where a month's page is."""
        return self.out / "supporters" / month.name / "report.html"

    def standing(self, month: Month, group: str) -> tuple[str, ...]:
        """Return a report's places if its files are as they were written and may still go out, none otherwise."""
        places = written_in(self.out, group)
        files: dict[str, bytes] = {}
        for place, digest in places.items():
            path = self.out / place
            content = path.read_bytes() if path.is_file() else b""
            if hashlib.sha256(content).hexdigest() != digest:
                return ()
            files[place.removeprefix(f"{group.partition(' ')[0]}/")] = content
        if self._changed_since(month):
            return ()
        return () if any(map(self._watch.may_be_of_the_book, texts_of(files))) else tuple(sorted(places))

    def _changed_since(self, month: Month) -> bool:
        """Tell whether a viewing copy was changed by hand since the month's page was made."""
        made_ns = self.page_of(month).stat().st_mtime_ns
        copies = (self._copies.get(_name(picture_copy(one))) for one in self._photos(self._own(month)))
        return any(copy.st_mtime_ns > made_ns for copy in copies if copy is not None)

    def _own(self, month: Month) -> list[EntryRecord]:
        return self._entries[self._first_of(month) : bisect_right(self._days, month.last)]

    def _first_of(self, month: Month) -> int:
        return bisect_left(self._days, month.first)

    def _photos(self, entries: Iterable[EntryRecord]) -> list[str]:
        return sorted({link.media for entry in entries for link in entry.photos if link.media in self._media})

    def _number_said(self, until: datetime) -> int:
        return bisect_right(self._starts, until)

    def _owed(self, month: Month) -> list[ToDo]:
        return [one for one in self._records.lists.to_do if month.first <= one.said_on <= month.last]

    def _behind(self, owed: Iterable[ToDo]) -> list[EntryRecord]:
        return [self._by_id[one] for one in dict.fromkeys(one.entry for one in owed) if one in self._by_id]

    def _of_lists(self, month: Month) -> Iterator[str]:
        """Yield what the planner takes from the lists: the month's owed work, findings on it, and what was off."""
        lists, owed = self._records.lists, self._owed(month)
        items = {one.item for one in owed}
        # its age is that of the book, and no report tells it
        yield from (one.model_dump_json(exclude={"age_days"}) for one in owed)
        yield from (one.model_dump_json() for one in self._behind(owed))
        yield from (
            json.dumps([one.item, one.side, one.absent, one.finding]) for one in lists.findings if one.item in items
        )
        for part in lists.parts_off:
            life = [one.model_dump_json() for one in part.life if one.on <= month.last]
            if life:
                yield json.dumps([part.item, part.side, life])

    @cached_property
    def _whole(self) -> tuple[str, ...]:
        terms = self.terms.model_dump_json() if isinstance(self.terms, BaseModel) else ""
        return (made_by(), self.settings.model_dump_json(), terms)

    @cached_property
    def _told_before(self) -> Mapping[int, str]:
        # what the reports before told is worked out from facts alone: a photo that came late changes one month
        told = (one.model_dump_json(include={"id", "at", "review", "facts"}) for one in self._entries)
        return _so_far(told, {self._first_of(month) for month in self.months})

    @cached_property
    def _said_so_far(self) -> Mapping[int, str]:
        said = (one.model_dump_json() for one in self._said)
        return _so_far(said, {self._number_said(self.until(month)) for month in self.months})

    @cached_property
    def _hashes(self) -> dict[str, str]:
        return written_hashes(self.out)

    @cached_property
    def _copies(self) -> Mapping[str, os.stat_result]:
        return files_in(self.out, PICTURES)

    def _size(self, copy: str) -> str:
        info = self._copies.get(_name(copy))
        return "" if info is None else str(info.st_size)

    @cached_property
    def _watch(self) -> Watch:
        return Watch(self.settings, self.terms, self._records)


def _so_far(parts: Iterable[str], marks: Collection[int]) -> dict[int, str]:
    """Return the fingerprint of the first n of some parts, for each n of ``marks``."""
    digest, found, number = hashlib.sha256(), {}, 0
    for number, part in enumerate(parts, start=1):
        if number - 1 in marks:
            found[number - 1] = digest.hexdigest()
        add_to(digest, part)
    return {**found, number: digest.hexdigest()}


def _name(place: str) -> str:
    return place.rpartition("/")[2]
