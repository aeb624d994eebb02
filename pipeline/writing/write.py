"""Everything under ``out/``, written from values: records, logbook, timeline, registers, captions, copies, report."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from functools import partial
from itertools import chain
from pathlib import Path
from types import MappingProxyType

from pipeline.digests import digest_of
from pipeline.errors import ItemFault
from pipeline.given_back import give_back
from pipeline.records import MediaRecord, Records
from pipeline.settings import Settings
from pipeline.uncollected import seldom_collected
from pipeline.values import Kind
from pipeline.writing.airframe_page import airframe_files
from pipeline.writing.day_files import DayFiles, encoded
from pipeline.writing.day_pages import FOLDER as LOGBOOK
from pipeline.writing.day_parts import lists_alone, without_photos
from pipeline.writing.entry_links import entry_links
from pipeline.writing.logbook_index import day_lines, index_page
from pipeline.writing.logbook_pdf import bring_logbooks
from pipeline.writing.made_from import MadeFrom, made_with, pieces_of
from pipeline.writing.records_file import PLACE as RECORDS
from pipeline.writing.records_file import RecordsFile
from pipeline.writing.register_page import registers_page
from pipeline.writing.registers import register_files
from pipeline.writing.supporters.public_files import ReportHeldBack
from pipeline.writing.supporters.report import report_name
from pipeline.writing.supporters.up_to_date import bring_report, bring_reports
from pipeline.writing.terms import Terms
from pipeline.writing.timeline import timeline_files
from pipeline.writing.timeline_days import days_of
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
_COPIES = f"copies at {LONGEST_PX} px, 1"


def write_book(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    makers: Makers = CAREFUL,
    progress: Callable[[str], None] = lambda place: None,
    as_read: Mapping[str, str] = MappingProxyType({}),
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
        as_read: as for ``bring_reports``.

    Returns:
        What was written, left and removed, and the copies that could not be made.
    """
    with seldom_collected():
        return _write(records, settings, vocabulary, out, makers, progress, as_read)


def _write(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    makers: Makers,
    progress: Callable[[str], None],
    as_read: Mapping[str, str],
) -> Written:
    clear_unfinished(out)
    standing = MadeFrom(out)
    copied = _bring_copies(records, out, makers, progress)
    here = frozenset(copied.written) | frozenset(copied.unchanged)
    links = Links.for_records(records, out, here)
    done = copied + _bring_pages(records, settings, vocabulary, out, links, standing)
    give_back()  # of a large book some hundred megabytes after each of these
    done += bring_reports(records, settings, vocabulary, out, makers, as_read)
    give_back()
    done += bring_logbooks(records, settings, vocabulary, out, makers, progress, standing)
    standing.keep()
    return done


def _bring_pages(
    records: Records,
    settings: Settings,
    terms: Terms,
    out: Path,
    links: Links,
    standing: MadeFrom,
) -> Written:
    """Bring the records, registers and pages up to date; what they are worked out from is let go of in the end."""
    whole, file = made_with(settings, terms), RecordsFile(records, out)
    files, kept = _words_told(records, settings, terms, standing, whole)
    days = days_of(records, settings.zone)
    of_days = DayFiles(records, days, terms, links, settings.zone, settings.people)
    files |= {place: encoded(text) for place, text in timeline_files(records, days, links, settings.zone).items()}
    del days  # of a large book enough is held while its pages are written
    days_kept, coming = _standing(of_days, standing, whole)
    long: dict[str, Pieces] = {
        f"{LOGBOOK}/index.html": partial(_index, records, of_days.logbook, settings, terms),
        RECORDS: file.pieces,
    }
    done = place_files(out, _BOOK, files, kept | days_kept, coming, long)
    file.keep()
    return done


def _words_told(
    records: Records, settings: Settings, terms: Terms, standing: MadeFrom, whole: str
) -> tuple[dict[str, bytes], frozenset[str]]:
    """Return the files that tell of the whole book's words and lists, and the places of those that stand."""
    files: dict[str, bytes] = {}
    kept: set[str] = set()
    for name, told, make in _of_words(records, settings, terms):
        made_from = digest_of(chain([whole, name], pieces_of(told))) if whole else ""
        places = standing.standing(made_from)
        made = {} if places else make(told)
        files |= made
        kept.update(places)
        for place in (*places, *made):
            standing.note(place, made_from)
    return files, frozenset(kept)


def _index(records: Records, logbook: Sequence[date], settings: Settings, terms: Terms) -> Iterable[bytes]:
    zone = settings.zone
    lines = day_lines(records, terms, zone, logbook)
    yield encoded(index_page(records, terms, lines, entry_links(records, zone), zone))


_Made = Callable[[Records], Mapping[str, bytes]]


def _of_words(records: Records, settings: Settings, terms: Terms) -> Iterable[tuple[str, Records, _Made]]:
    """Yield what tells of the whole book's words and lists: its name, all that it may look at, and what makes it.

    Most of it stands when a photo comes in.
    """
    zone = settings.zone

    def pages(told: Records) -> Mapping[str, bytes]:
        made = {
            **way_back_files(told, terms, zone),
            **airframe_files(told, terms, zone),
            f"{LOGBOOK}/registers.html": registers_page(told, terms, entry_links(told, zone)),
            PAGE: to_settle_page(told, terms, zone),
        }
        return {place: encoded(text) for place, text in made.items()}

    yield "lists", lists_alone(records), lambda told: register_files(told, terms)
    yield "pages", without_photos(records), pages


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
