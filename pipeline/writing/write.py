"""Everything under ``out/``, written from values: records, logbook, timeline, registers, captions, copies, report."""

import json
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

from pydantic_core import to_json

from pipeline.errors import ItemFault
from pipeline.records import MediaRecord, Records
from pipeline.settings import Settings
from pipeline.values import Kind
from pipeline.writing.airframe_page import airframe_files
from pipeline.writing.captions import caption_files
from pipeline.writing.day_pages import day_pages
from pipeline.writing.logbook_pdf import bring_logbooks
from pipeline.writing.registers import register_files
from pipeline.writing.supporters.months import bring_months
from pipeline.writing.supporters.public_files import ReportHeldBack
from pipeline.writing.supporters.report import bring_report, bring_year, period_name
from pipeline.writing.terms import Terms
from pipeline.writing.timeline import timeline_files
from pipeline.writing.to_settle import PAGE, to_settle_page
from pipeline.writing.viewing_copies import CAREFUL, LONGEST_PX, Links, Makers, wanted_copies
from pipeline.writing.way_back_page import way_back_files
from pipeline.writing.written_files import (
    Written,
    clear_unfinished,
    note_made,
    place_files,
    write_file,
    written_before,
)

_BOOK = "book"
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
    clear_unfinished(out)
    copied = _bring_copies(records, out, makers, progress)
    here = frozenset(copied.written) | frozenset(copied.unchanged)
    links = Links.for_records(records, out, here)
    files: dict[str, bytes] = {"records.json": records_json(records)}
    files.update(register_files(records, vocabulary))
    files.update(_encoded(caption_files(records)))
    files.update(_encoded(day_pages(records, vocabulary, links, settings.zone, settings.people)))
    files.update(_encoded(timeline_files(records, links, settings.zone)))
    files.update(_encoded(way_back_files(records, vocabulary, settings.zone)))
    files.update(_encoded(airframe_files(records, vocabulary, settings.zone)))
    files.update(_encoded({PAGE: to_settle_page(records, vocabulary, settings.zone)}))
    done = copied + place_files(out, _BOOK, files) + bring_months(records, settings, vocabulary, out, makers)
    return done + bring_logbooks(records, settings, vocabulary, out, makers, records_json, progress)


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
    done = bring_report(records, settings, vocabulary, out, first, last, makers, name)
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
    """Return ``records.json``: checked against its own model, keys sorted, UTF-8, a newline at the end.

    Raises:
        pydantic.ValidationError: the records are not what their schema says; nothing is written.
    """
    # in a large book each form of it is as large as the book: none is kept longer than the next one needs it
    text = json.dumps(
        records.model_dump(mode="json", by_alias=True, exclude_none=True), ensure_ascii=False, sort_keys=True
    )
    Records.model_validate_json(text)
    # Python indents slowly, and a book of some years has a hundred megabytes of this.
    return to_json(json.loads(text), indent=1) + b"\n"


def _encoded(pages: dict[str, str]) -> dict[str, bytes]:
    # a file name that is not UTF-8 comes as lone surrogates; they are shown, not passed on
    return {place: text.encode("utf-8", "backslashreplace") for place, text in pages.items()}


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
