"""The supporters' reports: which of them still stand as they were written, and which are made anew.

Each run brings a report for each month up to date, and every other one that was asked for once: of days, of a year.
None stays as it was once something that it told is withheld. A report is left alone if all that it is made from is
what it was: this is in one fingerprint, kept as part of the name of the report's group of files. Its files must hold
the bytes that were written, no viewing copy may have been changed since, and nothing in it may by now be a name of a
file or a device, or a caution. A report of which anything was held back because of the whole book, and one with a
fault, has no fingerprint: each run makes it again.
"""

import hashlib
import json
import re
from bisect import bisect_left, bisect_right
from calendar import monthrange
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from pathlib import Path
from types import MappingProxyType

from pydantic import BaseModel

from pipeline.digests import add_to, digest_of, sha256_of_bytes
from pipeline.made_by import made_by
from pipeline.records import EntryRecord, MediaRecord, Records, ToDo
from pipeline.settings import Settings
from pipeline.writing.supporters.changed_by_hand import kept_beside
from pipeline.writing.supporters.days_known import of_known_days, told_of_unknown
from pipeline.writing.supporters.earlier import Earlier
from pipeline.writing.supporters.edits import Editor, Photos, unknown_reports
from pipeline.writing.supporters.public_files import PAGES_AND_TEXTS, remaining, texts_of
from pipeline.writing.supporters.report import ReportSources, bring_year, make_report, period_name, report_name
from pipeline.writing.supporters.withheld import Watch
from pipeline.writing.terms import Terms
from pipeline.writing.viewing_copies import PICTURES, Makers, picture_copy
from pipeline.writing.written_files import (
    OnDisk,
    Written,
    files_in,
    groups,
    hash_of,
    place_files,
    written_hashes,
    written_in,
)

_A_REPORT = re.compile(r"supporters/([^/ ]+)(?: ([0-9a-f]{64}))?")
_A_YEAR = re.compile(r"\d{4}")
_OF_DAYS = re.compile(r"(\d{4}-\d{2}-\d{2})(?:-to-(\d{4}-\d{2}-\d{2}))?")
_TEXT = "report.md"
_TOLD_AROUND = timedelta(minutes=1)  # words begun soon after a photo tell what it shows; see ``moments``


@dataclass(frozen=True)
class Period:
    """What a report is of: the name of its folder, and its days; of a month, the first and the last with an entry."""

    name: str
    first: date
    last: date


def reports_as_they_read(out: Path) -> dict[str, str]:
    """Return the SHA-256 of the text of each report that was written, by the name of its folder."""
    texts = {name: hash_of(out / "supporters" / name / _TEXT) for name in _written_by_name(out)}
    return {name: digest for name, digest in texts.items() if digest}


def told_of_reports(otherwise: Iterable[str]) -> str:
    """Return the line on reports that read otherwise than before, given their names, "" for none."""
    names = ", ".join(otherwise)
    return names and (
        f"These reports in out/supporters read otherwise than before: {names}. "
        "What was sent out of them is no longer what they say."
    )


def bring_reports(
    records: Records,
    settings: Settings,
    terms: Terms,
    out: Path,
    makers: Makers,
    as_read: Mapping[str, str] = MappingProxyType({}),
) -> Written:
    """Bring every supporters' report up to date; those of periods in which nothing was done go.

    There is one for each calendar month in which something was done, and one for each period and year that somebody
    asked for.

    Args:
        records: everything that the book holds.
        settings: the team, what to withhold, what has been released, and what the editor wants.
        terms: the vocabulary.
        out: the book's ``out`` folder.
        makers: as in ``ReportSources``.
        as_read: how reports read when it was last told which read otherwise, as ``reports_as_they_read``; one that is
            not among them, as it reads now.

    Returns:
        What was written, left and taken away, and what is to be told of it.
    """
    sources = ReportSources(records, settings, terms, out, makers)
    by_name = _written_by_name(out)
    asked = [one for name in by_name if (one := _asked(name)) is not None and not _is_of_a_month(one)]
    book = _Book(sources, asked)
    done = Written()
    for period in (*book.months, *(one for one in asked if book.tells_of(one))):
        done += _bring(book, period, by_name.pop(period.name, []), as_read.get(period.name, ""))
    for name, before in by_name.items():
        done += _cleared(out, name, before)
    there = (found[1] for group in groups(out) if (found := _A_REPORT.match(group)))
    told = (
        *unknown_reports(settings.edits, there),
        *_not_as_typed(settings, book.watch),
        *_left_by_hand(out, book.watch),
        *told_of_unknown(records),
    )
    return done + Written(told=told)


def bring_report(records: Records, settings: Settings, terms: Terms, out: Path, name: str, makers: Makers) -> Written:
    """Bring the report of one folder up to date, none where the name is no report's or nothing was done then.

    Args:
        records: everything that the book holds.
        settings: as for ``bring_reports``.
        terms: the vocabulary.
        out: the book's ``out`` folder.
        name: the folder's name: "2026-02" of a month, "2026" of a year, "2026-02-14-to-2026-02-15" of days.
        makers: as in ``ReportSources``.

    Returns:
        As ``bring_reports``.
    """
    asked = _asked(name)
    book = _Book(ReportSources(records, settings, terms, out, makers), [] if asked is None else [asked])
    period = asked or next((one for one in book.months if one.name == name), None)
    done = Written() if period is None else _bring(book, period, _written_by_name(out).get(name, []))
    if period is not None and asked is None:  # a second one of a month's days may be there from before
        last = period.last.replace(day=monthrange(period.last.year, period.last.month)[1])
        same = period_name(period.first.replace(day=1), last)
        if before := _written_by_name(out).get(same):
            done += _cleared(out, same, before)
    return done + Written(told=_not_as_typed(settings, book.watch))


def _written_by_name(out: Path) -> dict[str, list[str]]:
    """Return the groups that reports were written in, by the names of their folders."""
    by_name: dict[str, list[str]] = {}
    for group in groups(out):
        if found := _A_REPORT.fullmatch(group):
            by_name.setdefault(found[1], []).append(group)
    return by_name


def _asked(name: str) -> Period | None:
    """Return the period of a report that nobody gets without asking, None for that of a month or no report's name."""
    days = _OF_DAYS.fullmatch(name)
    try:
        if days is not None:
            return Period(name, date.fromisoformat(days[1]), date.fromisoformat(days[2] or days[1]))
        if _A_YEAR.fullmatch(name):
            return Period(name, date(int(name), 1, 1), date(int(name), 12, 31))
    except ValueError:
        pass
    return None


def _bring(book: "_Book", period: Period, before: Sequence[str], as_read: str = "") -> Written:
    """Leave a report as it is, or make it and clear what is no longer part of it."""
    until = book.until(period)
    key = book.key(period, until)
    wanted = f"supporters/{period.name} {key}"
    text = book.page_of(period).with_name(_TEXT)
    as_read = as_read or hash_of(text)
    if wanted in before and (places := book.standing(period, wanted)):
        done, kept = Written(unchanged=places), wanted
    else:
        if _A_YEAR.fullmatch(period.name):
            done, kept = bring_year(book.told_by(until), period.first.year, key)
        else:
            done, kept = make_report(book.told_by(until), period.first, period.last, period.name, key)
        if kept == wanted:  # later than every copy that it was made from, though its bytes may be what they were
            book.page_of(period).touch()
    if before and as_read and hash_of(text) != as_read:
        done += Written(otherwise=(period.name,))
    for group in before:
        if group != kept:
            done += place_files(book.out, group, {})
    return done


def _is_of_a_month(period: Period) -> bool:
    """Tell whether a report that was asked for is of the days of a month, which has one of its own."""
    return not _A_YEAR.fullmatch(period.name) and report_name(period.first, period.last) != period.name


def _cleared(out: Path, name: str, before: Sequence[str]) -> Written:
    """Take away a report that can't be made any more, or of whose days there is another."""
    done = Written(told=kept_beside(out, f"supporters/{name}", {}))
    for group in before:
        done += place_files(out, group, {})
    period = _asked(name)
    why = "nothing was done then any more"
    if period is not None and _is_of_a_month(period):
        why = f"the report of these days is out/supporters/{report_name(period.first, period.last)}"
    return done + Written(told=(f"out/supporters/{name} was taken away: {why}.",))


def _not_as_typed(settings: Settings, watch: Watch) -> tuple[str, ...]:
    """Tell where the title that was typed does not stand in the reports; the closing line is told with each."""
    why = watch.reasons(settings.supporters.title)
    return (f"book.toml: the title is not in the reports ({'; '.join(why)}).",) if why else ()


def _left_by_hand(out: Path, watch: Watch) -> Iterator[str]:
    """Tell of files among the reports that no run wrote, and that hold what may not go out."""
    ours = {place for group in groups(out) for place in written_in(out, group)}
    for path in sorted((out / "supporters").rglob("*")):
        place = path.relative_to(out).as_posix()
        if place in ours or path.suffix.lower() not in PAGES_AND_TEXTS or not path.is_file():
            continue
        if why := dict.fromkeys(one.why for one in remaining(path.name, path.read_bytes(), watch)):
            held = "; ".join(why)
            yield f"{path} was not written by saidseen, and holds what may not go out ({held}). Do not send it."


class _Book:
    """What the reports are made from, sorted so that each period's part is soon found."""

    def __init__(self, sources: ReportSources, asked: Sequence[Period] = ()) -> None:
        self._asked = asked
        records, settings, self.terms, self.out, *_ = sources
        records = of_known_days(records)
        self._sources = sources._replace(records=records, earlier=Earlier(records, settings, self.terms))
        self.settings, self._records = settings, records
        self._entries = sorted(records.entries, key=lambda one: (one.at.timestamp(), one.id))
        self._by_id = {one.id: one for one in self._entries}
        self._days = [one.at.astimezone(settings.zone).date() for one in self._entries]
        self._said = sorted(records.utterances, key=lambda one: (one.start_at.timestamp(), one.id))
        self._starts = [one.start_at for one in self._said]
        self._start_of = {one.id: one.start_at for one in self._said}
        self._media: dict[str, MediaRecord] = {one.id: one for one in records.media}

    @property
    def months(self) -> Iterator[Period]:
        """The months in which something was done, in order."""
        by_name: dict[str, list[date]] = {}
        for day in self._days:
            by_name.setdefault(f"{day:%Y-%m}", []).append(day)
        return (Period(name, days[0], days[-1]) for name, days in by_name.items())

    def tells_of(self, period: Period) -> bool:
        """Tell whether anything was done in a period."""
        return bool(self._own(period))

    @cached_property
    def _periods(self) -> Sequence[Period]:
        return (*self.months, *self._asked)

    def until(self, period: Period) -> datetime:
        """Return up to when what was said can be in a report: to the month's end, or to the last that is its own."""
        own = self._own(period)
        ends = datetime.combine(period.last, time.max, self.settings.zone)
        told = (one for entry in (*own, *self._behind(self._owed(period))) for one in entry.utterances)
        said = (self._start_of[one] for one in told if one in self._start_of)
        taken = (self._media[one].taken_at for one in self._photos(own))
        return max((ends, *said, *taken)) + _TOLD_AROUND

    def told_by(self, until: datetime) -> ReportSources:
        """Return what a report is made from, with what was said by then: it quotes nothing that was said later."""
        said = tuple(self._said[: self._number_said(until)])
        return self._sources._replace(records=self._records.model_copy(update={"utterances": said}))

    def key(self, period: Period, until: datetime) -> str:
        """Return the fingerprint of all that a month's report is made from, "" of a vocabulary that has none."""
        if not isinstance(self.terms, BaseModel):
            return ""
        own = self._own(period)
        photos = self._photos(own)
        editor = Editor(
            self.settings, self._records, period.name, period.first, period.last, lambda: self._photos_by_name
        )
        parts = [
            *self._whole,
            editor.made_from(),
            f"{period}",
            self._told_before[self._first_of(period)],
            *(one.model_dump_json() for one in own),
            self._said_so_far[self._number_said(until)],
            *self._of_lists(period),
            *(self._media[one].model_dump_json() for one in photos),
            *(f"{self._hashes.get(copy, '')} {self._size(copy)}" for copy in map(picture_copy, photos)),
        ]
        return digest_of(parts)

    def page_of(self, period: Period) -> Path:
        """Return where a month's page is."""
        return self.out / "supporters" / period.name / "report.html"

    def standing(self, period: Period, group: str) -> tuple[str, ...]:
        """Return a report's places if its files are as they were written and may still go out, none otherwise."""
        places = written_in(self.out, group)
        files: dict[str, bytes] = {}
        for place, digest in places.items():
            path = self.out / place
            content = path.read_bytes() if path.is_file() else b""
            if sha256_of_bytes(content) != digest:
                return ()
            files[place.removeprefix(f"{group.partition(' ')[0]}/")] = content
        if self._changed_since(period):
            return ()
        return () if any(map(self.watch.may_be_of_the_book, texts_of(files))) else tuple(sorted(places))

    def _changed_since(self, period: Period) -> bool:
        """Tell whether a viewing copy was changed by hand since the month's page was made."""
        made_ns = self.page_of(period).stat().st_mtime_ns
        copies = (self._copies.get(_name(picture_copy(one))) for one in self._photos(self._own(period)))
        return any(copy.changed_ns > made_ns for copy in copies if copy is not None)

    def _own(self, period: Period) -> list[EntryRecord]:
        return self._entries[self._first_of(period) : bisect_right(self._days, period.last)]

    def _first_of(self, period: Period) -> int:
        return bisect_left(self._days, period.first)

    def _photos(self, entries: Iterable[EntryRecord]) -> list[str]:
        return sorted({link.media for entry in entries for link in entry.photos if link.media in self._media})

    def _number_said(self, until: datetime) -> int:
        return bisect_right(self._starts, until)

    def _owed(self, period: Period) -> list[ToDo]:
        return [one for one in self._records.lists.to_do if period.first <= one.said_on <= period.last]

    def _behind(self, owed: Iterable[ToDo]) -> list[EntryRecord]:
        return [self._by_id[one] for one in dict.fromkeys(one.entry for one in owed) if one in self._by_id]

    def _of_lists(self, period: Period) -> Iterator[str]:
        """Yield what the planner takes from the lists: the month's owed work, findings on it, and what was off."""
        lists, owed = self._records.lists, self._owed(period)
        items = {one.item for one in owed}
        # its age is that of the book, and no report tells it
        yield from (one.model_dump_json(exclude={"age_days"}) for one in owed)
        yield from (one.model_dump_json() for one in self._behind(owed))
        yield from (
            json.dumps([one.item, one.side, one.absent, one.finding]) for one in lists.findings if one.item in items
        )
        for part in lists.parts_off:
            life = [one.model_dump_json() for one in part.life if one.on <= period.last]
            if life:
                yield json.dumps([part.item, part.side, life])
        if _A_YEAR.fullmatch(period.name):  # what was put right in it
            yield from (one.model_dump_json() for one in lists.findings)

    @cached_property
    def _photos_by_name(self) -> Photos:
        return Photos(self._records)

    @cached_property
    def _whole(self) -> tuple[str, ...]:
        terms = self.terms.model_dump_json() if isinstance(self.terms, BaseModel) else ""
        return (made_by(), self.settings.model_dump_json(), terms)

    @cached_property
    def _told_before(self) -> Mapping[int, str]:
        # what the reports before told is worked out from facts alone: a photo that came late changes one month
        told = (one.model_dump_json(include={"id", "at", "review", "facts", "decided"}) for one in self._entries)
        return _so_far(told, {self._first_of(one) for one in self._periods})

    @cached_property
    def _said_so_far(self) -> Mapping[int, str]:
        said = (one.model_dump_json() for one in self._said)
        return _so_far(said, {self._number_said(self.until(one)) for one in self._periods})

    @cached_property
    def _hashes(self) -> dict[str, str]:
        return written_hashes(self.out)

    @cached_property
    def _copies(self) -> Mapping[str, OnDisk]:
        return files_in(self.out, PICTURES)

    def _size(self, copy: str) -> str:
        info = self._copies.get(_name(copy))
        return "" if info is None else str(info.size)

    @cached_property
    def watch(self) -> Watch:
        """What tells why texts may not go out."""
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
