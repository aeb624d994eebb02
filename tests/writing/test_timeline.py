import re
from collections import Counter
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree

import pytest

from pipeline.records import Records
from pipeline.values import Clock, Kind
from pipeline.writing.timeline_days import NOT_DRAWN_S, Words, days_of
from pipeline.writing.timeline_list import row_id
from pipeline.writing.timeline_moves import Moves, far_text
from pipeline.writing.timeline_places import MOST_ON_ONE_PAGE
from pipeline.writing.viewing_copies import Links, wanted_copies
from tests.writing import a_weekend
from tests.writing.a_winter import winter
from tests.writing.all_pages import logbook_pages, timeline_pages
from tests.writing.odd_days import CARD, HOURS, MINUTES, odd_days
from tests.writing.reading_pages import Element, read_page
from tests.writing.test_day_pages import _hostile

ZONE = a_weekend.settings().zone
BOOKS = (a_weekend.records, odd_days, lambda: winter(3, 700, 1400))


def _files(book: Records) -> dict[str, str]:
    return timeline_pages(book, Links.for_records(book, Path("/books/trainer/out"), wanted_copies(book)), ZONE)


def _rows(files: dict[str, str]) -> dict[str, list[Element]]:
    """Return the lines of every list by their id."""
    found: dict[str, list[Element]] = {}
    for place, text in files.items():
        if place.endswith(".html"):
            for row in read_page(text).all("li"):
                if "id" in row.attributes:
                    found.setdefault(row.attributes["id"], []).append(row)
    return found


def _row(files: dict[str, str], name: str) -> Element:
    (row,) = _rows(files)[f"p-{a_weekend.media_id(name)[7:23]}"]
    return row


def test_the_page_and_the_drawing_are_as_they_were_last_looked_at(golden: Callable[[str, str], None]) -> None:
    for place, text in _files(a_weekend.records()).items():
        golden(place, text)


@pytest.mark.parametrize("book", BOOKS)
def test_every_photo_recording_and_utterance_is_told_once(book: Callable[[], Records]) -> None:
    records = book()
    rows = _rows(_files(records))
    for media in records.media:
        letter = "p" if media.kind == Kind.PHOTO else "r"
        (row,) = rows[f"{letter}-{media.id[7:23]}"]
        assert Path(media.path).name in row.text
        assert all(flag in row.text or "clock card" in flag or "corrected" in flag for flag in media.flags)
    for said in records.utterances:
        (row,) = rows[said.id]
        assert said.read in row.text


@pytest.mark.parametrize("book", BOOKS)
def test_everything_whose_time_is_known_is_drawn_once_in_the_page_and_alone(book: Callable[[], Records]) -> None:
    records = book()
    files = _files(records)
    days = days_of(records, ZONE)
    every = [one for day in days.days for one in (*day.drawn.photos, *day.drawn.runs, *day.drawn.words)]
    drawings = [text for place, text in files.items() if place.endswith(".svg")]
    pages = [text for place, text in files.items() if place.endswith(".html")]
    for texts in (drawings, pages):
        marks = Counter(re.findall(r'<a href="[^"]*#([^"]+)"[^>]*><title>', "".join(texts)))
        bars = sum(text.count('<rect class="bar" x="') for text in texts)
        key = 3 * sum("How to read the drawings" in text for text in texts)
        assert bars - key == sum(isinstance(one, Words) for one in every)
        assert set(marks) <= {row_id(one) for one in every}
        assert {row_id(one) for one in every if not isinstance(one, Words)} <= set(marks)
        assert set(marks.values()) == {1}


def test_what_is_too_uncertain_is_told_and_not_drawn() -> None:
    for book in (a_weekend.records(), odd_days()):
        files = _files(book)
        drawn = files["timeline.svg"]
        for media in book.media:
            at = f"-{media.id[7:23]}"
            assert (media.time_error_s > NOT_DRAWN_S) == (at not in drawn)
            assert f'id="p{at}"' in files["timeline.html"] or f'id="r{at}"' in files["timeline.html"]
    row = _row(_files(odd_days()), "nobody.jpg")
    assert "nobody knows when" in row.text and "No date that it gives is possible" in row.text
    assert "perhaps" in _row(_files(odd_days()), "perhaps.jpg").text


def test_every_moved_photo_says_by_how_much_from_where_and_why() -> None:
    files = _files(odd_days())
    for name, told in (
        (HOURS, "moved 2 h earlier, from 12:01:00: its clock was fast (clock 4)"),
        (MINUTES, "moved 40 s later, from 13:19:20: its clock was slow (clock 5)"),
        (CARD, "moved 2 d later, from 22 October 2026, 10:03:00: it shows a clock card"),
        ("drift-2.jpg", "moved 1 min earlier, from 16:01:00: its clock was fast (clock 1)"),
        ("still", "moved 2 min 5 s later, from 10:11:07: with its film, as its clock was slow (clock 2)"),
        ("reset.jpg", "moved over 16 years later, from 7 January 2010, 02:50:40: dated by the date in its name"),
    ):
        assert told in _row(files, name).text
    assert "moved" not in _row(files, "night-1.jpg").text


@pytest.mark.parametrize("book", BOOKS)
def test_the_summary_counts_what_was_moved_and_what_stands_nowhere(book: Callable[[], Records]) -> None:
    records = book()
    photos = [one for one in records.media if one.kind == Kind.PHOTO]
    moved = sum(abs(one.moved_s) >= 2 for one in photos)
    front = read_page(_files(records)["timeline.html"])
    answers = [one.text for one in front.all("ul")[1].all("li")]
    assert f"{moved:,} of {len(photos):,} photos moved to another time" in answers
    assert f"{len(records.unplaced_photos):,} of {len(photos):,} photos not placed" in answers
    assert (
        f"{len(records.unplaced_speech):,} of {len(records.utterances):,} passages of speech in no entry" in answers
    )


def test_both_fits_of_one_device_are_shown_with_what_each_moved() -> None:
    front = read_page(_files(odd_days())["timeline.html"])
    fits = [one.text for one in front.all("section") if one.attributes["class"] == "clockfit"]
    assert len(fits) == len(odd_days().clocks)
    assert "set camera stretch 1 of 2 2 h fast 2 photos moved 2 h earlier 6 of 6 clock cards agree" in fits[3]
    assert "set camera stretch 2 of 2 40 s slow 2 photos moved 40 s later 8 of 9 spoken times agree" in fits[4]
    assert "gained 12 s a day" in fits[0] and "57 s to 1 min 2 s earlier" in fits[0]
    assert "the end of a recording" in fits[1]
    assert "not enough to tell" in fits[2] and "nothing moved" in fits[2] and "Perhaps 31 s more" in fits[2]


def test_clock_that_nobody_changed_with_the_clocks_is_no_setting_anew() -> None:
    book = odd_days()
    clocks = [one.model_copy(update={"untouched": place == 4}) for place, one in enumerate(book.clocks)]
    front = read_page(_files(book.model_copy(update={"clocks": tuple(clocks)}))["timeline.html"])
    fits = [one.text for one in front.all("section") if one.attributes["class"] == "clockfit"]
    assert "set camera 2 h fast" in fits[3]
    assert "set camera left as it was when the clocks changed 40 s slow" in fits[4]


def test_what_stands_nowhere_says_why() -> None:
    for book in (a_weekend.records(), odd_days()):
        files = _files(book)
        rows = _rows(files)
        for photo in book.unplaced_photos:
            assert f"Not placed: {photo.why}" in rows[f"p-{photo.media[7:23]}"][0].text
        for one in book.unplaced_speech:
            assert f"In no entry: {one.why}" in rows[one.utterance][0].text
        for missed in book.not_understood:
            assert missed.why in read_page(files["timeline.html"]).text


def test_a_photo_names_the_words_that_it_stands_with_and_how_likely_that_is() -> None:
    book = a_weekend.records()
    files = _files(book)
    rows = _rows(files)
    for entry in book.entries:
        for link in entry.photos:
            row = rows[f"p-{link.media[7:23]}"][0]
            assert f"{link.p * 100:.0f} % likely" in row.text
            assert any(one.attributes["href"].endswith(f"#{entry.id}") for one in row.all("a"))
    odd = _files(odd_days())["timeline.svg"]
    assert "61\u00a0%" in odd and 'class="tie weak"' in odd


def test_the_list_is_in_order_of_time_also_in_the_hour_that_comes_twice() -> None:
    text = read_page(_files(odd_days())["timeline.html"]).text
    places = [text.index(f"{clock} {who}") for clock, who in (
        ("00:50:00 +01:00", "recorder"), ("01:30:00 +01:00", "pocket"), ("01:50:00 +01:00", "recorder"),
        ("01:30:00 +00:00", "pocket"), ("01:50:00 +00:00", "recorder"),
    )]  # fmt: skip
    assert places == sorted(places)


def test_long_empty_stretches_are_told_in_the_drawing_and_in_the_list() -> None:
    files = _files(a_weekend.records())
    gaps = [one.text for one in read_page(files["timeline.html"]).all("li") if one.attributes.get("class") == "empty"]
    assert gaps == re.findall(r'<text class="gap"[^>]*>([^<]+)</text>', files["timeline.svg"])
    assert gaps[0] == "3 h 55 min without words or photos"


def test_hostile_text_stays_text() -> None:
    hostile = _hostile(a_weekend.records())
    for place, text in _files(hostile).items():
        assert "\u202e" not in text and "\x07" not in text
        if place.endswith(".svg"):
            ElementTree.fromstring(text)
            assert "<script" not in text and "<img" not in text
            continue
        read = read_page(text)
        assert not read.all("script") and not read.all("img")
        for element in read.everything():
            assert not any(name.startswith("on") for name in element.attributes)
            assert not element.attributes.get("href", "").lower().startswith(("javascript:", "data:"))


def test_file_names_of_every_kind_stay_in_the_xml() -> None:
    book = a_weekend.records()
    names = ("a]]>b", "&amp;", "<!--", "\udce9t\udce9.jpg", "\ufffe\x00\x1f", "写真" * 40, "\u05d0\u05d1.jpg", "'\"")
    media = tuple(
        one.model_copy(update={"path": f"media/{names[turn % len(names)]}", "device": names[-1 - turn % len(names)]})
        for turn, one in enumerate(book.media)
    )
    for text in _files(book.model_copy(update={"media": media})).values():
        written = text.encode("utf-8", "backslashreplace")
        if text.startswith("<svg"):
            ElementTree.fromstring(written)
        else:
            read_page(written.decode())


@pytest.mark.parametrize("book", BOOKS)
def test_the_drawing_that_stands_alone_is_xml_with_a_title_and_needs_nothing_else(
    book: Callable[[], Records],
) -> None:
    for place, text in _files(book()).items():
        if not place.endswith(".svg"):
            continue
        root = ElementTree.fromstring(text)
        space = "{http://www.w3.org/2000/svg}"
        assert root[0].tag == f"{space}title" and root[0].text
        assert root[1].tag == f"{space}desc" and "certifies nothing" in str(root[1].text)
        assert "prefers-color-scheme: dark" in text and "var(" not in text
        assert not re.search(r"@import|url\(|xlink|<image|<use|<script|https?://(?!www\.w3\.org/2000/svg)", text)


@pytest.mark.parametrize("book", BOOKS)
def test_pages_run_nothing_ask_for_nothing_and_certify_nothing(book: Callable[[], Records]) -> None:
    for place, text in _files(book()).items():
        if place.endswith(".html"):
            read = read_page(text)
            assert "certifies nothing" in read.text
            assert not read.all("script") and not read.all("link") and not read.all("iframe")
            assert not re.search(r"@import|url\(|https?://", text)


@pytest.mark.parametrize("book", BOOKS)
def test_every_link_inside_the_timeline_leads_somewhere(book: Callable[[], Records]) -> None:
    files = _files(book())
    ids = {
        place: {one.attributes["id"] for one in read_page(text).everything() if "id" in one.attributes}
        for place, text in files.items()
        if place.endswith(".html")
    }
    for place, text in files.items():
        for href in re.findall(r'href="([^"]*)"', text):
            parts = urlsplit(href)
            target = (Path("/") / place).parent / unquote(parts.path) if parts.path else Path("/") / place
            inside = str(Path(*target.parts[1:])).replace("timeline/../", "")
            if inside in ids and parts.fragment:
                assert unquote(parts.fragment) in ids[inside], (place, href)
            elif inside.startswith("timeline"):
                assert inside in files, (place, href)


def test_nothing_is_read_twice_and_nothing_hidden_can_be_reached_by_key() -> None:
    for place, text in _files(a_weekend.records()).items():
        if not place.endswith(".html"):
            continue
        read = read_page(text)
        drawings = [one for one in read.all("div") if one.attributes.get("class") == "drawing"]
        assert drawings
        for drawing in drawings:
            assert drawing.attributes["aria-hidden"] == "true"
            assert all(one.attributes["tabindex"] == "-1" for one in drawing.all("a"))
        hidden = {id(one) for drawing in drawings for one in drawing.everything()}
        seen = [one for one in read.all("a") if id(one) not in hidden]
        assert all(one.text and "tabindex" not in one.attributes for one in seen)
        ids = [one.attributes["id"] for one in read.everything() if "id" in one.attributes]
        assert len(ids) == len(set(ids))


def test_a_large_book_gets_a_page_and_a_drawing_for_each_day() -> None:
    book = winter(3, 700, 1400)
    files = _files(book)
    days = [one.day for one in days_of(book, ZONE).days]
    pages = {f"timeline/{day}.html" for day in days}
    assert set(files) == {"timeline.html", "timeline.svg", *pages, *(f"timeline/{day}.svg" for day in days)}
    front = read_page(files["timeline.html"])
    lines = [one.attributes["id"] for one in front.all("tr") if "id" in one.attributes]
    assert lines == [f"day-{day}" for day in days]
    assert 'rel="next"' in files[f"timeline/{days[0]}.html"] and 'rel="prev"' in files[f"timeline/{days[-1]}.html"]


def _logbook(book: Records) -> dict[str, str]:
    links = Links.for_records(book, Path("/books/trainer/out"), ())
    return logbook_pages(book, a_weekend.vocabulary(), links, ZONE)


def test_the_logbook_is_told_where_each_day_is() -> None:
    small, large = a_weekend.records(), winter(3, 700, 1400)
    assert 'href="../timeline.html#day-2026-02-14"' in _logbook(small)["logbook/2026-02-14.html"]
    assert 'href="../timeline/2025-10-04.html"' in _logbook(large)["logbook/2025-10-04.html"]
    assert len(large.utterances) < MOST_ON_ONE_PAGE < len(large.media) + len(large.utterances)


def test_the_same_records_in_another_order_make_the_same_bytes() -> None:
    for book in (a_weekend.records(), odd_days()):
        turned = book.model_copy(
            update={
                "media": book.media[::-1],
                "utterances": book.utterances[::-1],
                "entries": book.entries[::-1],
                "unplaced_speech": book.unplaced_speech[::-1],
            }
        )
        assert _files(book) == _files(book) == _files(turned)


def test_an_empty_book_has_a_timeline() -> None:
    files = _files(Records(book=a_weekend.records().book))
    assert set(files) == {"timeline.html", "timeline.svg"}
    assert "Nothing was moved" in files["timeline.html"]
    ElementTree.fromstring(files["timeline.svg"])


def test_a_move_that_no_clock_explains_is_not_put_down_to_one() -> None:
    book = odd_days()
    media = next(one for one in book.media if one.path.endswith(HOURS))
    other = media.model_copy(update={"moved_s": -5000.0})
    move = Moves(book, ZONE).of(other)
    assert move is not None and move.clock is None and "dated by" in move.why
    assert Moves(book, ZONE).of(media.model_copy(update={"moved_s": 1.9})) is None


def test_moves_of_more_than_a_year_are_told_in_years() -> None:
    assert far_text(-3600.0) == "1 h"
    assert far_text(370 * 86_400.0) == "over 1 year"


def test_an_entry_that_was_rejected_is_marked() -> None:
    book = a_weekend.records()
    first = book.entries[0].model_copy(update={"review": "rejected"})
    rows = _rows(_files(book.model_copy(update={"entries": (first, *book.entries[1:])})))
    assert "its entry was rejected" in rows[first.utterances[0]][0].text
    assert "that entry was rejected" in rows[f"p-{first.photos[0].media[7:23]}"][0].text


def test_every_shape_of_the_drawing_is_in_its_key() -> None:
    key = read_page(_files(odd_days())["timeline.html"])
    shapes = {one.attributes.get("class") for one in next(
        each for each in key.all("ul") if each.attributes.get("class") == "key"
    ).everything()}  # fmt: skip
    assert {"bar", "bracket", "nowords", "run", "mark", "shown", "tie", "tie weak", "tear", "ring"} <= shapes


def test_photos_that_their_own_clock_did_not_date_are_not_called_unmoved_and_two_alike_are_no_range() -> None:
    book = odd_days()
    (reset,) = (one for one in book.media if one.path.endswith("reset.jpg"))
    again = reset.model_copy(update={"id": a_weekend.media_id("reset-2.jpg"), "path": "reset-2.jpg",
                                     "moved_s": reset.moved_s + 300.0})  # fmt: skip
    clock = Clock(device=reset.device, offset_s=0.0, why="Nothing that it took or heard tells the time.")
    both = book.model_copy(update={"media": (*book.media, again), "clocks": (*book.clocks, clock)})
    front = read_page(_files(both)["timeline.html"])
    fits = [one.text for one in front.all("section") if one.attributes["class"] == "clockfit"]
    assert "2 photos moved over 16 years later, not by this clock" in fits[-1]
    assert "over 16 years to over 16 years" not in _files(both)["timeline.html"]
    shown = reset.shown_at
    first = clock.model_copy(update={"since": shown - timedelta(hours=1), "until": shown})
    then = clock.model_copy(update={"since": shown + timedelta(days=400), "until": shown + timedelta(days=401)})
    apart = both.model_copy(update={"clocks": (*book.clocks, first, then)})
    front = read_page(_files(apart)["timeline.html"])
    before, after = [one.text for one in front.all("section") if one.attributes["class"] == "clockfit"][-2:]
    assert "2 photos moved over 16 years later, not by this clock" in before
    assert "nothing moved" in after


def test_a_drift_that_rounds_to_nothing_is_not_told() -> None:
    book = odd_days()
    drifter = next(one for one in book.clocks if one.drift_s_per_day)

    def told(drift_s: float) -> str:
        clock = drifter.model_copy(update={"drift_s_per_day": drift_s})
        others = tuple(one for one in book.clocks if one is not drifter)
        page = read_page(_files(book.model_copy(update={"clocks": (*others, clock)}))["timeline.html"])
        return " ".join(one.text for one in page.all("section") if one.attributes["class"] == "clockfit")

    assert "gained 0.2 s a day" in told(0.2)
    assert "a day" not in told(0.04)
