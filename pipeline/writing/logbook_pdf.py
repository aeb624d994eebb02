"""``out/logbook/logbook.pdf``: the logbook as a book to print, bind and keep. PDF/A-3a and PDF/UA-1 in one file.

Its records and captions are attached inside, so that the file alone is the record of its days. A volume is set anew
only if something that goes into it has changed.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from functools import cached_property
from pathlib import Path, PurePath

from pipeline.digests import digest_of, sha256_of, sha256_of_bytes, sha256_of_text
from pipeline.english import span_of_days
from pipeline.errors import ItemFault
from pipeline.records import Records
from pipeline.settings import Settings
from pipeline.values import Kind
from pipeline.writing.captions import caption_files
from pipeline.writing.day_pages import Logbook
from pipeline.writing.day_views import DayView
from pipeline.writing.logbook_pdf_entries import EntrySetter, short_hash
from pipeline.writing.logbook_pdf_period import Periods, Volume, volumes
from pipeline.writing.logbook_pdf_pictures import PRINT_PX, print_picture, state_of
from pipeline.writing.logbook_pdf_registers import appendices, check_sheets
from pipeline.writing.logbook_pdf_text import printable_values as printable
from pipeline.writing.made_from import MadeFrom, made_with
from pipeline.writing.records_file import records_json
from pipeline.writing.terms import Terms
from pipeline.writing.typesetting import PAPERS, archival_pdf, setting_key
from pipeline.writing.viewing_copies import PICTURES, Links, Makers, picture_copy
from pipeline.writing.written_files import (
    OnDisk,
    Written,
    files_in,
    groups,
    note_made,
    place_files,
    written_before,
    written_in,
)

FOLDER = "logbook"
TEMPLATE = "logbook.typ"
STANDING = (
    "A working record, made from what was said and photographed. It certifies nothing and releases nothing to "
    "service. The aircraft’s approved data, the local rules and the people authorised to certify come first, always."  # noqa: RUF001
)
_GROUP = "logbook.pdf"
_MOST_IN_CONTENTS = 150  # entries; with more of them, the contents list days only
_VERSION = 1


class LogbookSetter:
    """Sets volumes of one book's records."""

    def __init__(self, records: Records, settings: Settings, terms: Terms, out: Path, makers: Makers) -> None:
        """Make ready.

        Args:
            records: everything that the book holds.
            settings: for the time zone and the team.
            terms: the vocabulary.
            out: the book's ``out`` folder, with the viewing copies of its photos.
            makers: make a smaller copy of a picture.
        """
        self._all, self._settings, self._terms = records, settings, terms
        self._out, self._makers = out, makers
        self.zone = settings.zone
        self._periods = Periods(records, settings.zone, settings.people)
        self._made_with = made_with(settings, terms)

    def made_from(self, volume: Volume) -> str:
        """Return the fingerprint of all that a volume is filled and set from; "" of a vocabulary that has none."""
        if not self._made_with:
            return ""
        records = self._periods.of(volume)
        copies = (picture_copy(one.id).rpartition("/")[2] for one in records.media if one.kind == Kind.PHOTO)
        sizes = ",".join(str(self._copies[one].size) if one in self._copies else "" for one in copies)
        return digest_of([self._made_with, f"{volume}", records.model_dump_json(), sizes])

    def filled(self, volume: Volume, paper: str) -> "Filled":
        """Return what one volume is set from, all but its pictures."""
        records = self._periods.of(volume)
        links = Links.for_records(records, self._out, ())
        logbook = Logbook(records, self._terms, links, self.zone, self._settings.people)
        days = logbook.days()
        setter = EntrySetter(records, self._terms, days)
        attached = self._attachments(records)
        period = _period(volume, self.zone)
        values: dict[str, object] = {
            "paper": PAPERS[paper],
            "title": f"{records.book.aircraft}: logbook, {period}",
            "aircraft": records.book.aircraft,
            "book": f"{records.book.aircraft}: working record",
            "period": period,
            "dated": {"year": volume.last.year, "month": volume.last.month, "day": volume.last.day},
            "standing": STANDING,
            "made": _made_by(records),
            "numbers": _numbers(records, days),
            "depth": 2 if len(records.entries) <= _MOST_IN_CONTENTS else 1,
            "days": [setter.day(one) for one in days if one.entries],
            "unplaced": [one for view in (*days, logbook.undated()) if (one := setter.unplaced(view))],
            "tables": appendices(records, self._terms, self.zone, setter.links),
            "way_back": check_sheets(records, self._terms, self.zone),
            "attached": [one.values(number) for number, one in enumerate(attached)],
        }
        return Filled(values, setter.photos, attached)

    @cached_property
    def _copies(self) -> Mapping[str, OnDisk]:
        return files_in(self._out, PICTURES)

    def _attachments(self, records: Records) -> list["Attachment"]:
        """Return what goes into the PDF as files.

        Source of the relationships: ISO 19005-3, Annex E (associated files), from memory: "Data" is what the pages
        tell, for programs to read; "Supplement" goes beside them.
        """
        about = "Everything that this logbook says, by the JSON Schema saidseen/records/1"
        found = [Attachment("records.json", "application/json", about, "data", records_json(records))]
        for place, text in sorted(caption_files(records).items()):
            name = PurePath(place).name
            content = text.encode("utf-8", "backslashreplace")
            found.append(
                Attachment(name, "text/vtt", f"What was said, with its times: {name}", "supplement", content)
            )
        return found

    def key(self, filled: "Filled") -> str:
        """Return the fingerprint of all that goes into a volume: the same key means the same bytes."""
        photos = {name: (media, state_of(self._out, media)) for name, media in filled.photos.items()}
        whole = json.dumps([_VERSION, PRINT_PX, setting_key(), photos, filled.values])
        return sha256_of_text(whole)

    def set(self, filled: "Filled") -> bytes:
        """Set one volume as PDF.

        Raises:
            ItemFault: it cannot be set.
        """
        files = {f"attached/{number}": one.content for number, one in enumerate(filled.attached)}
        media = {one.id: one for one in self._all.media}
        pictures: dict[str, dict[str, str]] = {}
        for name, photo in filled.photos.items():
            place = f"pictures/{name}.jpg"
            try:
                files[place] = print_picture(media[photo], media, self._out, self._makers)
                pictures[name] = {"file": place, "why": ""}
            except ItemFault as fault:
                pictures[name] = {"file": "", "why": fault.why}
        return archival_pdf(TEMPLATE, printable({**filled.values, "pictures": pictures}), files)


@dataclass(frozen=True)
class Attachment:
    """A file inside the PDF: its name, its media type, what it is, how it is related to the pages, its content."""

    name: str
    type: str
    about: str
    relationship: str
    content: bytes

    def values(self, number: int) -> dict[str, str]:
        """Return what the template needs of it."""
        return {
            "file": f"attached/{number}",
            "name": self.name,
            "type": self.type,
            "about": self.about,
            "relationship": self.relationship,
            "hash": sha256_of_bytes(self.content),
        }


@dataclass(frozen=True)
class Filled:
    """What a volume is set from: values, the ids of its photos by the names that the values use, what is attached."""

    values: Mapping[str, object]
    photos: Mapping[str, str]
    attached: Sequence[Attachment]


def bring_logbooks(
    records: Records,
    settings: Settings,
    terms: Terms,
    out: Path,
    makers: Makers,
    progress: Callable[[str], None] = lambda place: None,
    standing: MadeFrom | None = None,
) -> Written:
    """Bring the volumes of ``out/logbook/`` up to date; one that is right already is not set again.

    ``makers``: as for ``LogbookSetter``; ``progress`` is told the place of each volume that is set; ``standing``
    knows what each was made from.

    Returns:
        What was written, left and removed, and the volumes that could not be set.
    """
    setter = LogbookSetter(records, settings, terms, out, makers)
    standing = standing or MadeFrom(out)
    groups_of = {place: group for group in groups(out) if _is_ours(group) for place in written_in(out, group)}
    done = Written()
    kept = set()
    for volume in volumes(records, setter.zone):
        place, made_from = f"{FOLDER}/{volume.name}.pdf", setter.made_from(volume)
        if place in groups_of and standing.stands(place, made_from):
            brought, group = Written(unchanged=(place,)), groups_of[place]
        else:
            brought, group = _bring(setter, volume, out, place, progress)
        done += brought
        if group:
            kept.add(group)
            standing.note(place, made_from)
    for group in groups(out):
        if _is_ours(group) and group not in kept:
            done += place_files(out, group, {})
    return done


def _bring(
    setter: LogbookSetter, volume: Volume, out: Path, place: str, progress: Callable[[str], None]
) -> tuple[Written, str]:
    """Set a volume, if it would not be what it is; return what was done and its group, "" where it cannot be set."""
    filled = setter.filled(volume, "a4")
    key = setter.key(filled)
    group = _up_to_date(out, place, key)
    if group is not None:
        if not written_in(out, group).get(place):  # whoever set it was killed before that was noted
            note_made(out, group, [place])
        return Written(unchanged=(place,)), group
    progress(place)
    try:
        content = setter.set(filled)
    except ItemFault as fault:
        return Written(faults=((place, fault.why),)), ""
    group = f"{_GROUP} {key} {sha256_of_bytes(content)}"
    return place_files(out, group, {place: content}), group


def _is_ours(group: str) -> bool:
    return group.split(" ")[0] == _GROUP


def _up_to_date(out: Path, place: str, key: str) -> str | None:
    """Return the group under which a volume of this key was written, if its file still holds what was written."""
    for group in groups(out):
        name, _, rest = group.partition(" ")
        known, _, digest = rest.partition(" ")
        if name == _GROUP and known == key and place in written_before(out, group):
            return group if sha256_of(out / place) == digest else None
    return None


def _period(volume: Volume, zone: tzinfo) -> str:
    """Return a volume's days in words: "14 to 15 February 2026", "14 February 2026, part 2 (from 11:30:00)"."""
    days = span_of_days(volume.first, volume.last)
    begins = "" if volume.begins is None else f" (from {volume.begins.astimezone(zone):%H:%M:%S})"
    return f"{days}, part {volume.part}{begins}" if volume.part else days


def _made_by(records: Records) -> str:
    book = records.book
    model = f"{book.model.split(' ')[0]} {short_hash(book.model.split(' ')[-1])}" if book.model else "no recogniser"
    return (
        f"Written by {book.program}. Heard with {model}; read with vocabulary "
        f"{short_hash(book.vocabulary) or 'none'}. Times are those of {book.zone}, with the offset from UTC beside."
    )


def _numbers(records: Records, days: Sequence[DayView]) -> list[dict[str, str]]:
    photos = sum(len(entry.photos) for day in days for entry in day.entries) + sum(len(day.photos) for day in days)
    recordings = {one.media for one in records.utterances}
    shown = (
        ("Days", len(days)),
        ("Entries", len(records.entries)),
        ("Recordings", len(recordings)),
        ("Photos", photos),
    )
    return [{"name": name, "number": f"{number:,}"} for name, number in shown]
