from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from pipeline.records import BookRecord, EntryRecord, Records
from pipeline.writing.entry_links import Link, entry_links

LONDON = ZoneInfo("Europe/London")


def _records(**begins: datetime) -> Records:
    book = BookRecord(title="t", aircraft="a", zone="Europe/London", program="p", model="", vocabulary="")
    entries = tuple(
        EntryRecord(id=one, at=at, media="sha256:" + "0" * 64, start_s=0, end_s=1, utterances=())
        for one, at in begins.items()
    )
    return Records(book=book, entries=entries)


def test_link_shows_day_and_time_by_the_books_clocks() -> None:
    records = _records(a=datetime(2026, 6, 14, 23, 30, tzinfo=UTC))
    assert entry_links(records, LONDON) == {"a": Link("2026-06-15.html#a", "15/6 00:30")}


def test_links_of_two_winters_tell_the_year_too() -> None:
    records = _records(a=datetime(2025, 1, 18, 11, 20, tzinfo=UTC), b=datetime(2026, 1, 17, 9, 45, tzinfo=UTC))
    links = entry_links(records, LONDON, "logbook/")
    assert links["a"] == Link("logbook/2025-01-18.html#a", "18/1/25 11:20")
    assert links["b"].text == "17/1/26 09:45"
