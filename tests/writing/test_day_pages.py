from collections.abc import Callable
from pathlib import Path

import pytest

from pipeline.records import EntryRecord, PartOff, Records, UnplacedPhoto, UnsureRecord, UtteranceRecord
from pipeline.values import Kind, TimeSource
from pipeline.writing.captions import caption_files
from pipeline.writing.day_pages import moved, percent
from pipeline.writing.registers import register_files
from pipeline.writing.viewing_copies import Links, wanted_copies
from tests.writing.a_weekend import SATURDAY, looked_at, medium, records, settings, vocabulary
from tests.writing.all_pages import logbook_pages
from tests.writing.reading_pages import read_page

HOSTILE = '<script>alert(1)</script>"\'><img src=x onerror=alert(1)>\u202egpj.exe\x07=HYPERLINK("http://x")'


def _pages(book: Records) -> dict[str, str]:
    links = Links.for_records(book, Path("/books/trainer/out"), wanted_copies(book))
    return logbook_pages(book, vocabulary(), links, settings().zone)


@pytest.mark.parametrize("name", ["2026-02-14.html", "2026-02-15.html", "index.html", "registers.html"])
def test_pages_are_as_they_were_last_looked_at(golden: Callable[[str, str], None], name: str) -> None:
    golden(f"logbook/{name}", _pages(records())[f"logbook/{name}"])


def test_registers_and_captions_are_as_they_were_last_looked_at(golden: Callable[[str, str], None]) -> None:
    for place, content in register_files(records(), vocabulary()).items():
        golden(place, content.decode())
    for place, text in caption_files(records()).items():
        golden(place, text)


def test_every_entry_links_to_its_second_of_sound_and_to_its_photos() -> None:
    book = records()
    pages = {place: read_page(html) for place, html in _pages(book).items()}
    for entry in book.entries:
        page = pages[f"logbook/{entry.at.date()}.html"]
        article = next(one for one in page.all("article") if one.attributes["id"] == entry.id)
        hrefs = [link.attributes["href"] for link in article.all("a")]
        assert any(f"#t={entry.start_s:.1f}" in href for href in hrefs)
        assert [one.attributes["src"] for one in article.all("audio")] == [
            href for href in hrefs if href.endswith(f"#t={entry.start_s:.1f},{entry.end_s:.1f}")
        ][-1:]
        assert len(article.all("img")) == len(entry.photos)
        assert all(image.attributes["alt"] for image in article.all("img"))


def _talk() -> EntryRecord:
    """The weekend's first entry of several utterances."""
    return next(one for one in records().entries if len(one.utterances) > 1)


def _voiced(*voices: str) -> Records:
    book = records()
    entry = _talk()
    told = dict(zip(entry.utterances, voices, strict=False))
    said = tuple(one.model_copy(update={"speaker": told.get(one.id)}) for one in book.utterances)
    return book.model_copy(update={"utterances": said})


def test_each_line_of_a_talk_tells_who_begins_to_speak() -> None:
    first = _talk()
    for voices, begun in ((("Tamsin", "Wilf"), ["Tamsin:", "Wilf:"]), (("Tamsin", "Tamsin"), [])):
        page = read_page(_pages(_voiced(*voices, *voices[1:] * len(first.utterances)))["logbook/2026-02-14.html"])
        (article,) = [one for one in page.all("article") if one.attributes["id"] == first.id]
        assert [one.text for one in article.all("b") if one.attributes.get("class") == "voice"] == begun
        assert ("Tamsin and Wilf" in article.text) == bool(begun)


def test_captions_tell_whose_voice_it_is() -> None:
    book = _voiced("A & B")
    (text,) = [one for one in caption_files(book).values() if "<v " in one]
    assert text.count("<v A &amp; B>") == 1


def test_photo_of_an_entry_without_a_name_has_no_caption_rather_than_the_entrys() -> None:
    book = records()
    entries = tuple(
        one.model_copy(
            update={"facts": (), "photos": tuple(each.model_copy(update={"utterance": ""}) for each in one.photos)}
        )
        for one in book.entries
    )
    page = read_page(_pages(book.model_copy(update={"entries": entries}))["logbook/2026-02-14.html"])
    articles = page.all("article")
    told = [one.text for article in articles for one in article.all("span") if one.attributes.get("class") == "told"]
    assert any(article.all("figcaption") for article in articles) and not told


def test_every_line_of_the_registers_leads_to_its_entries() -> None:
    book = records()
    pages = _pages(book)
    rows = read_page(pages["logbook/registers.html"]).all("tr")
    lists = book.lists
    tables = (
        lists.parts_off, lists.fasteners, lists.disconnections, lists.findings, lists.to_do, lists.holding_up,
    )  # fmt: skip
    assert all(tables)
    assert len(rows) == len(tables) + sum(map(len, tables))
    linked = [link.attributes["href"] for row in rows for link in row.all("a")]
    assert len(linked) >= len(rows) - len(tables)
    for href in linked:
        place, _, entry = href.partition("#")
        assert entry in {one.attributes.get("id") for one in read_page(pages[f"logbook/{place}"]).all("article")}
    text = read_page(pages["logbook/registers.html"]).text
    assert "nobody said where it is kept." in text and "No cracks" in text and "No cracks in" not in text


def test_a_clock_that_was_corrected_is_told_once_and_is_no_doubt() -> None:
    book = records()
    flag = "Its device's clock was 4 min slow; corrected for it."
    entry = next(one for one in book.entries if one.photos)
    why = ("taken as these words were said", "the clock of its camera was 4 min slow, and is corrected")
    link = entry.photos[0].model_copy(update={"why": why})
    changed = book.model_copy(
        update={
            "media": tuple(
                one.model_copy(update={"flags": (flag,), "moved_s": 240.0}) if one.id == link.media else one
                for one in book.media
            ),
            "entries": tuple(
                one.model_copy(update={"photos": (link,)}) if one.id == entry.id else one for one in book.entries
            ),
        }
    )
    page = read_page(_pages(changed)[f"logbook/{entry.at.date()}.html"])
    article = next(one for one in page.all("article") if one.attributes["id"] == entry.id)
    assert article.text.count("4 min slow") == 1
    assert page.text.count(flag) == 1, "in its own words it stands once, under the files of the day"
    assert flag not in article.text
    assert not any("doubt" in one.attributes.get("class", "") for one in article.all("p"))


def test_every_file_behind_a_day_stands_at_its_foot_with_its_whole_hash() -> None:
    book = records()
    for day in ("2026-02-14", "2026-02-15"):
        page = read_page(_pages(book)[f"logbook/{day}.html"])
        (table,) = [one for one in page.all("table") if "files" in one.attributes["class"]]
        on_page = {cell.text for cell in table.all("td") if "hash" in cell.attributes.get("class", "")}
        short = {one.text for one in page.all("span") if one.attributes.get("class") == "hash"}
        assert short and short <= {one[:8] for one in on_page}
        assert all(f"sha256:{one}" in {media.id for media in book.media} for one in on_page)
        of_day = {entry.media for entry in book.entries if f"{entry.at.date()}" == day}
        assert {one.removeprefix("sha256:") for one in of_day} <= on_page


def test_photo_has_what_was_told_beside_its_file_and_its_reasons_in_reach() -> None:
    page = read_page(_pages(records())["logbook/2026-02-14.html"])
    (hinge,) = [one for one in page.all("article") if "half an inch" in one.text]
    figures = hinge.all("figure")
    assert figures
    for figure in figures:
        assert "half an inch, running up from the bolt hole" in figure.text
        (why,) = figure.all("details")
        assert why.all("summary")[0].text.startswith("Why here: ")
        assert "taken 3 s after these words began" in why.text


def test_whoever_says_his_name_is_told_as_the_speaker_with_the_words_that_say_so() -> None:
    book = records()
    first = book.entries[0]
    told = next(one for one in book.utterances if one.id == first.utterances[0])
    text = f"Tam here. {told.read}"
    changed = told.model_copy(update={"heard": text, "read": text})
    book = book.model_copy(
        update={"utterances": tuple(changed if one.id == told.id else one for one in book.utterances)}
    )
    links = Links.for_records(book, Path("/books/trainer/out"), ())
    made = logbook_pages(book, vocabulary(), links, settings().zone, settings().people)
    article = read_page(made["logbook/2026-02-14.html"]).all("article")[0]
    assert "said by Tamsin Orrell" in article.text
    (link,) = [one for one in article.all("a") if one.text == "Tamsin Orrell"]
    assert link.attributes["href"] == f"#{told.id}"
    assert "said by" not in read_page(_pages(book)["logbook/2026-02-14.html"]).all("article")[0].text


def test_title_of_a_book_cannot_leave_the_foot_of_a_printed_sheet() -> None:
    named = records().book.model_copy(update={"aircraft": 'X"; } body { display: none } </style><b>é'})
    html = _pages(records().model_copy(update={"book": named}))["logbook/2026-02-14.html"]
    sheet = html[html.index("<style>") : html.index("</style>")]
    assert "display: none }" not in sheet.partition("@bottom-left { content:")[2].partition("@bottom-center")[0]
    assert "X\\22 \\3b  \\7d  body \\7b  display\\3a  none \\7d  \\3c \\2f style\\3e \\3c b\\3e \\e9 " in sheet
    assert not read_page(html).all("b")[0].text.startswith("é")


def test_nothing_is_lost_in_silence() -> None:
    book = records()
    text = " ".join(read_page(html).text for html in _pages(book).values())
    for one in book.unplaced_speech:
        assert next(said for said in book.utterances if said.id == one.utterance).read in text
        assert one.why in text
    for photo in book.unplaced_photos:
        assert photo.why in text
    for aside in book.set_aside:
        assert aside.path in text and aside.why in text
    assert "Said, but not understood" in text
    for caution in book.cautions:
        assert caution.text in text
    for media in book.media:
        assert Path(media.path).name in text
        assert all(flag in text for flag in media.flags)


def test_corrected_and_unsure_words_are_told_by_more_than_colour() -> None:
    page = read_page(_pages(records())["logbook/2026-02-14.html"])
    assert [one.text for one in page.all("ins")] == ["aileron"]
    assert "[heard “hail iron”]" in page.text
    unsure = page.all("mark")
    assert len(unsure) == 1
    assert "fourteen" in unsure[0].text and "?" in unsure[0].text and "low probability" in unsure[0].text


def test_every_page_says_that_it_certifies_nothing() -> None:
    for html in _pages(records()).values():
        text = read_page(html).text
        assert "certifies nothing" in text and "approved data" in text and "authorised" in text


def _doubted(one: UtteranceRecord) -> tuple[UnsureRecord, ...]:
    return tuple(doubt.model_copy(update={"why": HOSTILE}) for doubt in one.unsure)


def _hostile(book: Records) -> Records:
    media = tuple(one.model_copy(update={"path": f"media/{HOSTILE}", "device": HOSTILE, "flags": (HOSTILE,)})
                  for one in book.media)  # fmt: skip
    utterances = tuple(
        one.model_copy(update={"heard": HOSTILE, "read": HOSTILE, "corrections": (), "unsure": _doubted(one)})
        for one in book.utterances
    )
    entries = tuple(
        one.model_copy(
            update={
                "facts": tuple(fact.model_copy(update={"item": HOSTILE, "tag": HOSTILE}) for fact in one.facts),
                "photos": tuple(link.model_copy(update={"why": (HOSTILE,)}) for link in one.photos),
            }
        )
        for one in book.entries
    )
    lists = book.lists.model_copy(
        update={
            "to_do": tuple(one.model_copy(update={"words": HOSTILE}) for one in book.lists.to_do),
            "parts_off": tuple(one.model_copy(update={"tag": f"={HOSTILE}"}) for one in book.lists.parts_off),
        }
    )
    aside = tuple(one.model_copy(update={"path": f"={HOSTILE}", "why": HOSTILE}) for one in book.set_aside)
    named = book.book.model_copy(update={"title": HOSTILE, "aircraft": HOSTILE, "model": HOSTILE})
    return book.model_copy(
        update={"media": media, "utterances": utterances, "entries": entries, "lists": lists, "set_aside": aside,
                "book": named}
    )  # fmt: skip


def test_hostile_text_stays_text() -> None:
    hostile = _hostile(records())
    for html in _pages(hostile).values():
        page = read_page(html)
        assert not page.all("script")
        for element in page.everything():
            assert not any(name.startswith("on") for name in element.attributes)
            assert element.attributes.get("src", "../").startswith("../")
            assert not element.attributes.get("href", "").lower().startswith(("javascript:", "data:"))
        assert "\u202e" not in html and "\x07" not in html
    for content in register_files(hostile, vocabulary()).values():
        text = content.decode("utf-8-sig")
        assert "\u202e" not in text and "\x07" not in text
        assert not any(line.startswith(("=", '"=')) or ",=" in line or ',"=' in line for line in text.split("\r\n"))
    for text in caption_files(hostile).values():
        assert "<script" not in text and "<img" not in text


def test_a_rejected_entry_is_kept_and_marked() -> None:
    book = records()
    first = book.entries[0].model_copy(update={"review": "rejected"})
    html = _pages(book.model_copy(update={"entries": (first, *book.entries[1:])}))["logbook/2026-02-14.html"]
    article = read_page(html).all("article")[0]
    assert "rejected" in article.attributes["class"] and "rejected" in article.text


def test_a_day_belongs_to_the_books_own_zone() -> None:
    # 23:30 UTC on a July evening is half past midnight of the next day in London
    late = SATURDAY.replace(month=7, day=4, hour=23, minute=30)
    photo = medium("late.jpg", late, Kind.PHOTO, "image/jpeg")
    book = Records(book=records().book, media=(photo,), unplaced_photos=({"media": photo.id, "why": "alone"},))
    assert "logbook/2026-07-05.html" in _pages(book)


def test_an_empty_book_has_an_index() -> None:
    assert list(_pages(Records(book=records().book))) == ["logbook/index.html", "logbook/registers.html"]


def test_moves_and_probabilities_in_words() -> None:
    assert moved(0.2) == ""
    assert moved(-3580) == "59 min 40 s earlier than its clock showed"
    assert percent(0.97) == "97\u00a0%"
    assert percent(0.9999) == "over 99\u00a0%"


def test_what_people_decided_and_signed_stands_with_the_entry_and_that_it_is_no_release() -> None:
    html = _pages(looked_at(records()))["logbook/2026-02-14.html"]
    shown = html[html.index("Looked at by people") : html.index('<dl class="sign">')]
    assert "Name put to it: Bea Linnet, for “checked the words”" in shown
    assert "Signed before the amendment" in shown
    assert "Accepted by Bea Linnet" in shown and "&lt;b&gt;seen&lt;/b&gt;" in shown
    assert "The program now reads this otherwise:" in shown
    assert "certifies and releases nothing" in shown
    assert html.count("Looked at by people") == 1


def test_every_entry_shows_its_id() -> None:
    pages = _pages(records())
    for entry in records().entries:
        assert f'href="#{entry.id}">{entry.id}</a>' in pages[f"logbook/{entry.at.date()}.html"]


def test_files_of_no_day_are_named_with_their_folder_where_two_have_the_same_name() -> None:
    scans = [
        medium(path, SATURDAY, Kind.PHOTO, "image/tiff").model_copy(
            update={"id": f"sha256:{number:064}", "path": path, "time_source": TimeSource.FILE, "time_error_s": 3e8}
        )
        for number, path in enumerate(("1998 winter/slide 11.tif", "1999/slide 11.tif", "1999/slide 12.tif"))
    ]
    book = records()
    loose = (*book.unplaced_photos, *(UnplacedPhoto(media=one.id, why="nobody knows its day") for one in scans))
    with_scans = book.model_copy(update={"media": (*book.media, *scans), "unplaced_photos": loose})
    index = read_page(_pages(with_scans)["logbook/index.html"])
    names = [one.text for one in index.all("li")]
    assert {"1998 winter/slide 11.tif", "1999/slide 11.tif", "slide 12.tif"} <= set(names)


def test_parts_that_are_back_stand_below_those_that_are_off() -> None:
    book = records()
    back, off = (PartOff(item=item, state=state) for item, state in (("aileron", "refitted"), ("flap", "off")))
    lists = book.lists.model_copy(update={"parts_off": (back, off)})
    page = _pages(book.model_copy(update={"lists": lists}))["logbook/registers.html"]
    assert page.index(">Flap<") < page.index("Back on, or replaced by another") < page.index(">Aileron<")
