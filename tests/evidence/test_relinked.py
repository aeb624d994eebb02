"""Links of pages in a bag."""

from pathlib import Path

import pytest

from pipeline.evidence.relinked import relinked
from pipeline.evidence.sealing import seal_book
from pipeline.writing.viewing_copies import from_second, link_to
from pipeline.writing.written_files import place_files
from tests.evidence.small_book import NOW, small_book

FOLDER = Path("/books/winter/out/logbook")
PAGE = "data/out/logbook/2026-02-14.html"


def led(link, places):
    page = f'<a href="{link}">x</a><audio src="{link}">'.encode()
    return relinked(page, FOLDER, PAGE, places).decode()


@pytest.mark.parametrize("name", ["IMG_1.jpg", "Voice 031.m4a", "50% & “so”.wav", "a#b?c.jpg"])
def test_link_to_an_original_leads_to_it_in_the_bag_and_keeps_its_second(name):
    original = Path("/media") / name
    link = from_second(link_to(original, FOLDER), 0.5, 5.8)
    place = f"data/originals/0123456789abcdef/{name}"
    inside = link_to(Path("/") / place, Path("/data/out/logbook"))
    assert inside.startswith("../../originals/0123456789abcdef/")
    assert led(link, {str(original): place}) == (
        f'<a href="{inside}#t=0.5,5.8">x</a><audio src="{inside}#t=0.5,5.8">'
    )


def test_link_to_another_drive_is_led_to_the_bag_too():
    uri = Path("/other/IMG_1.jpg").as_uri()
    assert "../../originals/0/IMG_1.jpg" in led(uri, {uri: "data/originals/0/IMG_1.jpg"})


@pytest.mark.parametrize(
    "link", ["2026-02-15.html", "#e-1", "../pictures/1.jpg", "../../../media/gone.jpg", "data:,x"]
)
def test_other_links_stay_as_they_are(link):
    page = f'<a href="{link}">x</a><audio src="{link}">'
    assert led(link, {"/media/IMG_1.jpg": "data/originals/0/IMG_1.jpg"}) == page


def test_pages_of_a_sealed_bag_open_the_originals_that_lie_in_it_and_a_second_seal_adds_nothing(tmp_path):
    book = small_book(tmp_path)
    link = link_to(tmp_path / "media/phone/Voice 031.m4a", book.out / "logbook")
    page = f'<a href="{link}#t=1.0">hear</a>'.encode()
    place_files(book.out, "book", {**_pages(book), "logbook/2026-02-14.html": page})
    bag = seal_book(book, tmp_path / "bags", NOW).bag
    held = (bag / PAGE).read_text()
    to = held.split('"')[1].partition("#")[0].replace("%20", " ")
    assert (bag / "data/out/logbook" / to).resolve().read_bytes() == b"some sound"
    assert (book.out / "logbook/2026-02-14.html").read_bytes() == page
    assert seal_book(book, tmp_path / "bags", NOW).already


def _pages(book):
    return {path.relative_to(book.out).as_posix(): path.read_bytes() for path in _files(book) if path.is_file()}


def _files(book):
    names = ("records.json", "logbook/index.html", "captions/note-1.vtt")
    return [book.out / name for name in names]
