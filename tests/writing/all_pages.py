"""The pages of a book's days and those that lead to them, as text: what ``write_book`` writes, without writing it."""

from collections.abc import Sequence
from datetime import tzinfo

from pipeline.records import Records
from pipeline.settings import Person
from pipeline.writing.day_files import DayFiles
from pipeline.writing.entry_links import entry_links
from pipeline.writing.logbook_index import day_lines, index_page
from pipeline.writing.register_page import registers_page
from pipeline.writing.terms import Terms
from pipeline.writing.timeline import timeline_files
from pipeline.writing.timeline_days import days_of
from pipeline.writing.viewing_copies import Links
from tests.writing.a_weekend import vocabulary


def logbook_pages(
    book: Records, terms: Terms, links: Links, zone: tzinfo, people: Sequence[Person] = ()
) -> dict[str, str]:
    """Return every page of the logbook by its place in ``out/``."""
    days = DayFiles(book, days_of(book, zone), terms, links, zone, people)
    entries = entry_links(book, zone)
    lines = day_lines(book, terms, zone, days.logbook)
    return {
        **_of_days(days, "logbook/"),
        "logbook/index.html": index_page(book, terms, lines, entries, zone),
        "logbook/registers.html": registers_page(book, terms, entries),
    }


def timeline_pages(book: Records, links: Links, zone: tzinfo) -> dict[str, str]:
    """Return every page and drawing of the timeline by its place in ``out/``."""
    days = days_of(book, zone)
    of_days = DayFiles(book, days, vocabulary(), links, zone, ())
    return {**timeline_files(book, days, links, zone), **_of_days(of_days, "timeline/")}


def _of_days(days: DayFiles, folder: str) -> dict[str, str]:
    made = (one for day in days.days() for one in days.make(day).items())
    return {place: content.decode() for place, content in made if place.startswith(folder)}
