import itertools
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from pipeline.records import Records
from pipeline.values import Clock
from pipeline.writing import logbook_pdf_period as period
from pipeline.writing.logbook_pdf_period import Volume, records_of, volumes
from tests.writing.a_weekend import SATURDAY, SUNDAY, records

ZONE = ZoneInfo("Europe/London")
FIRST, LAST = SATURDAY.date(), SUNDAY.date()


def moved(book: Records, days: int) -> Records:
    """The weekend, and its entries told again so many days later."""
    by = timedelta(days=days)
    again = tuple(
        one.model_copy(update={"id": f"{one.id}-{days}", "at": one.at + by, "utterances": ()})
        for one in records().entries
    )
    return book.model_copy(update={"entries": (*book.entries, *again)})


def test_a_small_book_is_one_volume():
    assert volumes(records(), ZONE) == (Volume("logbook", FIRST, LAST),)


def test_a_large_book_is_cut_into_years_and_only_a_full_year_into_months(monkeypatch):
    book = moved(moved(records(), 40), 400)
    one = len(records().entries)
    monkeypatch.setattr(period, "MOST_ENTRIES", one)
    assert [volume.name for volume in volumes(book, ZONE)] == ["logbook-2026-02", "logbook-2026-03", "logbook-2027"]


@pytest.mark.parametrize("limit", ["MOST_PHOTOS", "MOST_UTTERANCES"])
def test_photos_and_utterances_count_too_and_a_day_is_never_cut(monkeypatch, limit):
    monkeypatch.setattr(period, limit, 1)
    found = volumes(records(), ZONE)
    assert [volume.name for volume in found] == ["logbook-2026-02-14", "logbook-2026-02-15"]
    assert all(volume.first == volume.last for volume in found)


def test_volumes_share_no_day_and_leave_none_out(monkeypatch):
    book = moved(moved(records(), 40), 400)
    monkeypatch.setattr(period, "MOST_ENTRIES", 3)
    found = volumes(book, ZONE)
    days = {entry.at.astimezone(ZONE).date() for entry in book.entries}
    for day in days:
        assert sum(volume.first <= day <= volume.last for volume in found) == 1
    assert all(before.last < after.first for before, after in itertools.pairwise(found))


def test_a_book_without_anything_has_no_volume():
    empty = Records(book=records().book)
    assert volumes(empty, ZONE) == ()


def test_a_book_within_the_period_is_returned_as_it_is():
    book = records()
    assert records_of(book, FIRST, LAST, ZONE) is book
    assert records_of(book, date(2020, 1, 1), date(2030, 1, 1), ZONE) is book


def test_a_period_holds_its_own_entries_and_all_that_they_lead_to():
    book = records()
    held = records_of(book, FIRST, FIRST, ZONE)
    assert held.entries == tuple(one for one in book.entries if one.at.astimezone(ZONE).date() == FIRST)
    media = {one.id for one in held.media}
    assert {one.media for one in held.utterances} <= media
    assert {link.media for one in held.entries for link in one.photos} <= media
    assert {one for entry in held.entries for one in entry.utterances} <= {one.id for one in held.utterances}
    Records.model_validate_json(held.model_dump_json(by_alias=True))


def test_nothing_of_the_book_is_in_no_period():
    book = records()
    parts = [records_of(book, day, day, ZONE) for day in (FIRST, LAST)]
    for name in (
        "clocks",
        "media",
        "utterances",
        "entries",
        "unplaced_speech",
        "not_understood",
        "unplaced_photos",
        "set_aside",
    ):
        held = [one for part in parts for one in getattr(part, name)]
        assert all(one in held for one in getattr(book, name)), name


def test_a_stretch_of_a_clock_is_in_the_period_in_which_it_ends_and_in_no_other():
    stretches = [SATURDAY - timedelta(days=900), SATURDAY, SUNDAY, SUNDAY + timedelta(days=9), None]
    clocks = tuple(Clock(device=f"camera {n}", offset_s=0.0, until=until) for n, until in enumerate(stretches))
    book = records().model_copy(update={"clocks": clocks})
    assert records_of(book, FIRST, FIRST, ZONE).clocks == clocks[:2]
    assert records_of(book, LAST, LAST, ZONE).clocks == clocks[2:]


def test_what_grows_older_with_the_book_is_as_old_as_the_period():
    book = records()
    older = tuple(one.model_copy(update={"age_days": 400}) for one in book.lists.to_do)
    book = book.model_copy(update={"lists": book.lists.model_copy(update={"to_do": older})})
    held = records_of(book, FIRST, FIRST, ZONE)
    assert held.lists.to_do
    assert {one.age_days for one in held.lists.to_do} == {0}


def test_a_line_of_a_list_is_in_each_period_that_tells_of_it_and_the_way_back_in_the_last_only():
    book = records()
    days = {one.id: one.at.astimezone(ZONE).date() for one in book.entries}
    saturday, sunday = (records_of(book, day, day, ZONE) for day in (FIRST, LAST))
    for line in book.lists.to_do:
        aged = line.model_copy(update={"age_days": 0})
        assert (aged in saturday.lists.to_do) == (days[line.entry] == FIRST)
    assert saturday.lists.way_back.order == ()
    assert sunday.lists.way_back == book.lists.way_back
    assert saturday.set_aside == () and sunday.set_aside == book.set_aside
