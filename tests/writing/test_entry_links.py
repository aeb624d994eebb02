from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from pipeline.records import BookRecord, EntryRecord, FactRecord, Records, UtteranceRecord
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


def test_what_tells_no_fact_is_linked_where_its_day_shows_it() -> None:
    at = datetime(2026, 6, 14, 23, 30, tzinfo=UTC)
    said = [
        UtteranceRecord(
            id=one, media="sha256:" + "0" * 64, start_s=0, end_s=1, start_at=at, end_at=at, heard="", read=""
        )
        for one in ("u-alone", "u-with-a-photo", "u-of-work")
    ]
    bare, work = _records(bare=at, work=at).entries
    fact = FactRecord(status="done", act="remove", item="fin", said="", utterances=("u-of-work",))
    entries = (
        bare.model_copy(update={"utterances": ("u-with-a-photo",)}),
        work.model_copy(update={"utterances": ("u-of-work",), "facts": (fact,)}),
    )
    records = _records().model_copy(update={"entries": entries, "utterances": tuple(said)})
    links = entry_links(records, LONDON)
    assert links["u-alone"] == Link("2026-06-15.html#unplaced-speech", "15/6 00:30")
    assert links["u-with-a-photo"] == links["bare"]
    assert "u-of-work" not in links
