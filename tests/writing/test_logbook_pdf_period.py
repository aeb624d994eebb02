import itertools
from collections import Counter
from datetime import date, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from pipeline.records import Records
from pipeline.values import Clock
from pipeline.writing import logbook_pdf_period as period
from pipeline.writing.day_pages import Logbook
from pipeline.writing.day_parts import DayParts
from pipeline.writing.entry_about import Speakers
from pipeline.writing.logbook_pdf_period import Periods, Volume, records_of, volumes
from pipeline.writing.viewing_copies import Links
from tests.writing.a_weekend import SATURDAY, SUNDAY, records, settings, vocabulary

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


def names(book: Records) -> list[str]:
    return [volume.name for volume in volumes(book, ZONE)]


def test_a_large_book_is_cut_into_years_and_only_a_full_year_into_quarters_and_months(monkeypatch):
    book = moved(moved(moved(records(), 40), 60), 400)
    one = len(records().entries)
    monkeypatch.setattr(period, "MOST_ENTRIES", one)
    assert names(book) == ["logbook-2026-02", "logbook-2026-03", "logbook-2026-q2", "logbook-2027"]
    monkeypatch.setattr(period, "MOST_ENTRIES", 2 * one)
    assert names(book) == ["logbook-2026-q1", "logbook-2026-q2", "logbook-2027"]


@pytest.mark.parametrize("limit", ["MOST_PHOTOS", "MOST_UTTERANCES"])
def test_photos_and_utterances_count_too_and_a_day_is_cut_into_parts(monkeypatch, limit):
    monkeypatch.setattr(period, limit, 1)
    monkeypatch.setattr(period, "IN_A_DAY", 1)
    found = volumes(records(), ZONE)
    assert all(volume.first == volume.last for volume in found)
    for day in (FIRST, LAST):
        parts = [one for one in found if one.first == day]
        numbers = list(range(1, len(parts) + 1))
        assert len(parts) > 1
        assert [(one.part, one.name) for one in parts] == [(n, f"logbook-{day}-part-{n}") for n in numbers]
        edges = [None, *(one.begins for one in parts[1:]), None]
        assert [(one.begins, one.ends) for one in parts] == list(itertools.pairwise(edges))


def test_a_day_is_cut_only_where_it_holds_more_than_twice_a_volume(monkeypatch):
    entries = Counter(one.at.astimezone(ZONE).date() for one in records().entries)
    most = max(entries.values())
    monkeypatch.setattr(period, "MOST_ENTRIES", -(-most // 2))
    assert names(records()) == ["logbook-2026-02-14", "logbook-2026-02-15"]
    monkeypatch.setattr(period, "MOST_ENTRIES", (most - 1) // 2)
    assert "logbook-2026-02-14-part-1" in names(records())


def test_what_goes_with_one_entry_is_never_cut(monkeypatch):
    monkeypatch.setattr(period, "MOST_PHOTOS", 1)
    monkeypatch.setattr(period, "IN_A_DAY", 1)
    book = records().model_copy(update={"unplaced_photos": ()})
    held = [records_in(book, one) for one in volumes(book, ZONE)]
    assert [one for part in held for one in part.entries] == list(book.entries)
    assert max(len(one.photos) for one in book.entries) > 1


def records_in(book: Records, volume: Volume) -> Records:
    return Periods(book, ZONE, settings().people).of(volume)


def test_volumes_share_no_day_and_leave_none_out(monkeypatch):
    book = moved(moved(records(), 40), 400)
    monkeypatch.setattr(period, "MOST_ENTRIES", 3)
    found = [one for one in volumes(book, ZONE) if one.part < 2]
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


@pytest.mark.parametrize("limit", ["MOST_PHOTOS", "MOST_UTTERANCES", "MOST_ENTRIES"])
def test_nothing_of_a_day_is_in_none_of_its_parts_and_no_entry_is_in_two(monkeypatch, limit):
    monkeypatch.setattr(period, limit, 1)
    monkeypatch.setattr(period, "IN_A_DAY", 1)
    book = records()
    parts = [records_in(book, one) for one in volumes(book, ZONE)]
    for name in ("clocks", "entries", "unplaced_speech", "not_understood", "unplaced_photos", "set_aside"):
        held = [one for part in parts for one in getattr(part, name)]
        assert sorted(held, key=repr) == sorted(getattr(book, name), key=repr), name
    for name in ("media", "utterances", "cautions"):
        held = [one for part in parts for one in getattr(part, name)]
        assert all(one in held for one in getattr(book, name)), name
    for part in parts:
        Records.model_validate_json(part.model_dump_json(by_alias=True))
        assert {one.media for one in part.utterances} <= {one.id for one in part.media}


def test_who_speaks_is_known_in_every_part_of_a_day(monkeypatch):
    (first, *more) = (one for one in records().utterances if one.start_at.astimezone(ZONE).date() == FIRST)
    own = [one for one in more if one.media == first.media]
    name = settings().people[0].name
    said = first.model_copy(update={"heard": f"This is {name}.", "read": f"This is {name}.", "corrections": ()})
    book = records().model_copy(
        update={"utterances": (said, *(one for one in records().utterances if one.id != first.id))}
    )
    monkeypatch.setattr(period, "MOST_UTTERANCES", 1)
    monkeypatch.setattr(period, "IN_A_DAY", 1)
    assert own
    for part in (records_in(book, one) for one in volumes(book, ZONE)):
        speakers = Speakers(part.utterances, settings().people)
        for entry in (one for one in part.entries if one.media == first.media):
            assert speakers.until(entry.media, entry.end_s)[0] == name


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


def test_a_line_of_a_list_is_in_the_period_that_tells_of_it_last_and_the_way_back_in_the_last_only():
    book = records()
    saturday, sunday = (records_of(book, day, day, ZONE) for day in (FIRST, LAST))
    lists = ("parts_off", "fasteners", "disconnections", "findings", "holding_up")
    for name in lists:
        told = [line for one in (saturday, sunday) for line in getattr(one.lists, name)]
        assert sorted(told, key=repr) == sorted(getattr(book.lists, name), key=repr), name
    days = {one.id: one.at.astimezone(ZONE).date() for one in book.entries}
    for owed in book.lists.to_do:
        aged = owed.model_copy(update={"age_days": 0})
        assert (aged in saturday.lists.to_do) == (days[owed.entry] == FIRST)
    assert saturday.lists.way_back.order == ()
    assert sunday.lists.way_back == book.lists.way_back
    assert saturday.set_aside == () and sunday.set_aside == book.set_aside


def test_what_is_told_of_a_part_on_a_later_day_changes_no_volume_before_it():
    book = moved(records(), 30)
    line = next(one for one in book.lists.parts_off if one.life)
    entry = next(one for one in book.entries if one.id.endswith("-30"))
    again = line.life[-1].model_copy(update={"on": entry.at.date(), "entry": entry.id})
    once, twice = (
        book.model_copy(
            update={
                "lists": book.lists.model_copy(
                    update={"parts_off": (line.model_copy(update={"life": (*line.life, *more)}),)}
                )
            }
        )
        for more in ((again,), (again, again))
    )
    first = Volume("", FIRST, LAST)
    assert Periods(once, ZONE).of(first) == Periods(twice, ZONE).of(first)
    assert Periods(book, ZONE).of(first).lists.parts_off != Periods(once, ZONE).of(first).lists.parts_off


def test_a_period_that_is_printed_alone_has_each_line_that_it_tells_of():
    book = moved(records(), 30)
    line = next(one for one in book.lists.parts_off if one.life)
    entry = next(one for one in book.entries if one.id.endswith("-30"))
    again = line.life[-1].model_copy(update={"on": entry.at.date(), "entry": entry.id})
    line = line.model_copy(update={"life": (*line.life, again)})
    book = book.model_copy(update={"lists": book.lists.model_copy(update={"parts_off": (line,)})})
    of = Periods(book, ZONE).of
    assert of(Volume("", FIRST, LAST)).lists.parts_off == ()
    assert of(Volume("", FIRST, LAST, alone=True)).lists.parts_off == (line,)


def test_photo_of_which_nobody_knows_the_day_makes_no_day_and_stands_in_the_last_volume(monkeypatch):
    book = moved(records(), 400)
    loose = book.unplaced_photos[0].media
    lost = {"taken_at": SATURDAY.replace(year=2016, month=1, day=1), "time_error_s": 315_576_000.0}
    media = tuple(one.model_copy(update=lost) if one.id == loose else one for one in book.media)
    undated = book.model_copy(update={"media": media})
    assert volumes(undated, ZONE)[0].first == FIRST
    assert date(2016, 1, 1) not in DayParts(undated, ZONE).logbook_days
    monkeypatch.setattr(period, "MOST_ENTRIES", len(records().entries))
    *before, last = (records_in(undated, one) for one in volumes(undated, ZONE))
    assert loose in {one.media for one in last.unplaced_photos}
    assert all(loose not in {one.media for one in part.unplaced_photos} for part in before)
    pages = Logbook(last, vocabulary(), Links.for_records(last, Path("out"), ()), ZONE)
    assert all(view.day.year > 2016 for view in pages.days())
    (photo,) = (one for one in pages.undated().photos if one.hash == loose)
    assert photo.clock == "not dated"
