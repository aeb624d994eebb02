"""Everything under ``out/``, written from values: records, logbook, timeline, registers, captions, copies, report."""

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
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
from pipeline.writing.supporters.public_files import ReportHeldBack
from pipeline.writing.supporters.report import report_name
from pipeline.writing.supporters.up_to_date import bring_report, bring_reports
from pipeline.writing.terms import Terms
from pipeline.writing.timeline import timeline_files
from pipeline.writing.timeline_days import Days, days_of
from pipeline.writing.to_settle import PAGE, to_settle_page
from pipeline.writing.viewing_copies import CAREFUL, LONGEST_PX, Links, Makers, wanted_copies
from pipeline.writing.way_back_page import way_back_files
from pipeline.writing.written_files import (
    Coming,
    Pieces,
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
    done = copied + _bring_pages(records, settings, vocabulary, out, Links.for_records(records, out, here), standing)
    done += bring_reports(records, settings, vocabulary, out, makers)
    done += bring_logbooks(records, settings, vocabulary, out, makers, records_json, progress, standing)
    standing.keep()
    return done


def _bring_pages(
    records: Records, settings: Settings, terms: Terms, out: Path, links: Links, standing: MadeFrom
) -> Written:
    """Bring the records, registers and pages up to date; what they are worked out from is let go of in the end."""
    days = days_of(records, settings.zone)
    of_days = DayFiles(records, days, terms, links, settings.zone, settings.people)
    kept, coming = _standing(of_days, standing, made_with(settings, terms))
    long = _long_files(records, of_days.logbook, settings, terms)
    return place_files(out, _BOOK, _files(records, days, settings, terms, links), kept, coming, long)


def _files(records: Records, days: Days, settings: Settings, terms: Terms, links: Links) -> dict[str, bytes]:
    """Return the files that tell of the whole book and are soon made, by their places in ``out/``."""
    zone = settings.zone
    pages = {
        **timeline_files(records, days, links, zone),
        **way_back_files(records, terms, zone),
        **airframe_files(records, terms, zone),
        PAGE: to_settle_page(records, terms, zone),
    }
    return {**register_files(records, terms), **{place: encoded(text) for place, text in pages.items()}}


def _long_files(records: Records, logbook: Sequence[date], settings: Settings, terms: Terms) -> Mapping[str, Pieces]:
    """Return what makes the files that grow with every entry and every word of the book, by their places."""
    zone = settings.zone
    entries = entry_links(records, zone)

    def index() -> Iterable[bytes]:
        yield encoded(index_page(records, terms, day_lines(records, terms, zone, logbook), entries, zone))

    def registers() -> Iterable[bytes]:
        yield encoded(registers_page(records, terms, entries))

    return {
        f"{LOGBOOK}/index.html": index,
        f"{LOGBOOK}/registers.html": registers,
        "records.json": partial(_pieces, records),
    }


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
    tell: Callable[[str], None] = lambda line: None,
) -> Path:
    """Write the supporters' report of a period, both days included, and return where its page lies.

    That of a whole calendar month is the one that each run writes: no second one of the same days lies beside it.

    Args:
        tell: told what could not be done of the editor's wishes, and which files were changed by hand.

    Raises:
        ReportHeldBack: something that may not go out would have remained in it; nothing was written.
    """
    name = report_name(first, last)
    return _page_of(bring_report(records, settings, vocabulary, out, name, makers), out, name, tell)


def write_year(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    year: int,
    makers: Makers = CAREFUL,
    tell: Callable[[str], None] = lambda line: None,
) -> Path:
    """Write the supporters' summary of a calendar year, and return where its page lies; see ``write_report``."""
    return _page_of(bring_report(records, settings, vocabulary, out, f"{year}", makers), out, f"{year}", tell)


def _page_of(done: Written, out: Path, name: str, tell: Callable[[str], None]) -> Path:
    for line in done.told:
        tell(line)
    place = f"supporters/{name}/report.html"
    for where, why in done.faults:
        if where == place:
            raise ReportHeldBack(why)
    return out / place


def records_json(records: Records) -> bytes:
    """Return ``records.json``: keys sorted, UTF-8, a newline at the end.

    Raises:
        pydantic_core.PydanticSerializationError: the records are not what their schema says.
    """
    return b"".join(_pieces(records))


def _pieces(records: Records) -> Iterator[bytes]:
    """Yield the JSON of the records, record by record: a book of some years has a hundred megabytes."""
    fields = {field.serialization_alias or name: name for name, field in type(records).model_fields.items()}
    before = b"{"
    for key in sorted(fields):
        yield b'%s\n "%s": ' % (before, key.encode())
        value = getattr(records, fields[key])
        if not isinstance(value, tuple):
            yield _indented(value, b"\n ")
        elif value:
            yield from (b"%s\n  %s" % (b"," if at else b"[", _indented(one, b"\n  ")) for at, one in enumerate(value))
            yield b"\n ]"
        else:
            yield b"[]"
        before = b","
    yield b"\n}\n"


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
