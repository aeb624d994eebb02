"""Everything under ``out/``, written from values: records, logbook, timeline, registers, captions, copies, report."""

import gc
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic_core import to_json

from pipeline.digests import digest_of
from pipeline.errors import ItemFault
from pipeline.records import MediaRecord, Records
from pipeline.settings import Settings
from pipeline.values import Kind
from pipeline.writing.airframe_page import airframe_files
from pipeline.writing.day_files import DayFiles, encoded
from pipeline.writing.day_pages import FOLDER as LOGBOOK
from pipeline.writing.logbook_index import day_lines, entry_links, index_page
from pipeline.writing.logbook_pdf import bring_logbooks
from pipeline.writing.made_from import MadeFrom, made_with
from pipeline.writing.register_page import registers_page
from pipeline.writing.registers import register_files
from pipeline.writing.supporters.months import bring_months
from pipeline.writing.supporters.public_files import ReportHeldBack
from pipeline.writing.supporters.report import bring_year, make_report, period_name
from pipeline.writing.terms import Terms
from pipeline.writing.timeline import timeline_files
from pipeline.writing.timeline_days import Days, days_of
from pipeline.writing.to_settle import PAGE, to_settle_page
from pipeline.writing.viewing_copies import CAREFUL, LONGEST_PX, Links, Makers, wanted_copies
from pipeline.writing.way_back_page import way_back_files
from pipeline.writing.written_files import (
    Coming,
    Written,
    clear_unfinished,
    note_made,
    place_files,
    write_file,
    written_before,
)

_BOOK = "book"
_NESTED = (dict, list)
_COPIES = f"copies at {LONGEST_PX} px, 1"


def write_book(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    makers: Makers = CAREFUL,
    progress: Callable[[str], None] = lambda place: None,
) -> Written:
    """Bring everything under ``out/`` up to date with the records; files whose content is the same stay as they are.

    Args:
        records: everything that the book holds.
        settings: for the time zone, the team, and what to withhold from supporters.
        vocabulary: terms and their explanations.
        out: the book's ``out`` folder. A media path that is not absolute is read from the folder above it.
        makers: make viewing and listening copies; asked only for copies that are not there yet, and for the photos
            of a logbook that is set anew.
        progress: told the place of each copy that is made, and of each logbook that is set as PDF.

    Returns:
        What was written, left and removed, and the copies that could not be made.
    """
    gc.freeze()  # else Python walks over the whole book again and again to see what of it could be thrown away
    try:
        return _write(records, settings, vocabulary, out, makers, progress)
    finally:
        gc.unfreeze()


def _write(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    makers: Makers,
    progress: Callable[[str], None],
) -> Written:
    clear_unfinished(out)
    standing = MadeFrom(out)
    copied = _bring_copies(records, out, makers, progress)
    here = frozenset(copied.written) | frozenset(copied.unchanged)
    links = Links.for_records(records, out, here)
    days = days_of(records, settings.zone)
    of_days = DayFiles(records, days, vocabulary, links, settings.zone, settings.people)
    kept, coming = _standing(of_days, standing, made_with(settings, vocabulary))
    files = _of_the_book(records, days, of_days.logbook, settings, vocabulary, links)
    done = copied + place_files(out, _BOOK, files, kept, coming)
    done += bring_months(records, settings, vocabulary, out, makers)
    done += bring_logbooks(records, settings, vocabulary, out, makers, records_json, progress, standing)
    standing.keep()
    return done


def _of_the_book(
    records: Records, days: Days, logbook: Sequence[date], settings: Settings, terms: Terms, links: Links
) -> dict[str, bytes]:
    """Return the files that tell of the whole book, by their places in ``out/``."""
    zone = settings.zone
    entries = entry_links(records, zone)
    pages = {
        f"{LOGBOOK}/index.html": index_page(records, terms, day_lines(records, terms, zone, logbook), entries, zone),
        f"{LOGBOOK}/registers.html": registers_page(records, terms, entries),
        **timeline_files(records, days, links, zone),
        **way_back_files(records, terms, zone),
        **airframe_files(records, terms, zone),
        PAGE: to_settle_page(records, terms, zone),
    }
    files = {place: encoded(text) for place, text in pages.items()}
    return {"records.json": records_json(records), **register_files(records, terms), **files}


def _standing(days: DayFiles, standing: MadeFrom, whole: str) -> tuple[frozenset[str], Coming]:
    """Return the places of days' files that stand, and what makes the others."""
    kept: set[str] = set()
    coming: dict[tuple[str, ...], Callable[[], Mapping[str, bytes]]] = {}
    for day in days.days():
        places = days.places(day)
        made_from = digest_of([whole, days.made_from(day)]) if whole else ""
        if all(standing.stands(place, made_from) for place in places):
            kept.update(places)
        else:
            coming[places] = partial(days.make, day)
        for place in places:
            standing.note(place, made_from)
    return frozenset(kept), coming


def write_report(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    first: date,
    last: date,
    makers: Makers = CAREFUL,
) -> Path:
    """Write the supporters' report of a period, both days included, and return where its page lies.

    Raises:
        ReportHeldBack: something that may not go out would have remained in it; nothing was written.
    """
    name = period_name(first, last)
    done, _ = make_report(records, settings, vocabulary, out, first, last, makers, name)
    for place, why in done.faults:
        if place == f"supporters/{name}/report.html":
            raise ReportHeldBack(why)
    return out / "supporters" / name / "report.html"


def write_year(
    records: Records, settings: Settings, vocabulary: Terms, out: Path, year: int, makers: Makers = CAREFUL
) -> Path:
    """Write the supporters' summary of a calendar year, and return where its page lies; raises ReportHeldBack."""
    done = bring_year(records, settings, vocabulary, out, year, makers)
    place = f"supporters/{year}/report.html"
    for where, why in done.faults:
        if where == place:
            raise ReportHeldBack(why)
    return out / place


def records_json(records: Records) -> bytes:
    """Return ``records.json``: keys sorted, UTF-8, a newline at the end.

    Raises:
        pydantic_core.PydanticSerializationError: the records are not what their schema says.
    """
    fields = {field.serialization_alias or name: name for name, field in type(records).model_fields.items()}
    members = (b'\n "%s": %s' % (key.encode(), _member(getattr(records, fields[key]))) for key in sorted(fields))
    return b"{" + b",".join(members) + b"\n}\n"


def _member(value: object) -> bytes:
    """Return the JSON of one field of the records, record by record: a book of some years has a hundred megabytes."""
    if not isinstance(value, tuple):
        return _indented(value, b"\n ")
    return b"[" + b",".join(b"\n  " + _indented(one, b"\n  ") for one in value) + b"\n ]" if value else b"[]"


def _indented(value: object, newline: bytes) -> bytes:
    plain = value
    if isinstance(value, BaseModel):
        plain = _sorted(value.model_dump(mode="json", by_alias=True, exclude_none=True, warnings="error"))
    return to_json(plain, indent=1).replace(b"\n", newline)  # Python itself indents slowly


def _sorted(plain: Any) -> Any:
    if isinstance(plain, dict):
        return {key: _sorted(one) if isinstance(one, _NESTED) else one for key, one in sorted(plain.items())}
    return [_sorted(one) if isinstance(one, _NESTED) else one for one in plain]


def _bring_copies(records: Records, out: Path, makers: Makers, progress: Callable[[str], None]) -> Written:
    """Make the copies that are wanted and not there; each is written as it is made, so a killed run loses one."""
    wanted = wanted_copies(records)
    there = written_before(out, _COPIES) & frozenset(wanted)
    removed = place_files(out, _COPIES, {}, frozenset(wanted)).removed
    films = {media.id: media for media in records.media}
    made, faults = [], []
    for place, media in sorted(wanted.items()):
        if place in there:
            continue
        progress(place)
        try:
            _make_copy(out, place, media, films, makers)
        except ItemFault as fault:
            faults.append((media.path, fault.why))
        else:
            made.append(place)
    note_made(out, _COPIES, made)
    return Written(tuple(made), tuple(sorted(there)), removed, tuple(faults))


def _make_copy(out: Path, place: str, media: MediaRecord, films: Mapping[str, MediaRecord], makers: Makers) -> None:
    if media.kind == Kind.PHOTO:
        write_file(out / place, makers.photo(media, films, out.parent, LONGEST_PX))
    else:
        (out / place).parent.mkdir(parents=True, exist_ok=True)
        makers.listening(media, out.parent, out / place)
