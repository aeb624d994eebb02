"""Every page of a book in a real browser: it opens, stays off the network, and its links lead somewhere."""

from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

_LINKS = (
    "[...document.querySelectorAll('[href], [src]')]"
    ".map(one => new URL(one.getAttribute('href') ?? one.getAttribute('src'), document.baseURI).href)"
)
_IDS = "[...document.querySelectorAll('[id]')].map(one => one.id)"


def test_book_has_all_its_pages(out, pages):
    wanted = {"logbook/index.html", "logbook/registers.html", "logbook/2026-02-14.html", "logbook/2026-02-15.html",
              "timeline.html", "way-back.html", "to-settle.html", "supporters/2026-02/report.html"}  # fmt: skip
    assert wanted <= {one.relative_to(out).as_posix() for one in pages if one.is_relative_to(out)}
    assert any(one.parent.name == "timeline" for one in pages)


def test_every_page_opens_without_an_error_and_asks_the_network_for_nothing(opened, pages):
    with opened() as (page, seen):
        for one in pages:
            page.goto(one.as_uri())
            assert page.locator("h1").count() == 1, f"{one.name} has one heading of the whole"
            assert page.locator("h1").is_visible(), one.name
            assert page.title().strip(), one.name
            broken = page.evaluate(
                "async () => {for (const one of document.images) one.loading = 'eager';"
                "await Promise.allSettled([...document.images].map(one => one.decode()));"
                "return [...document.images].filter(one => !one.naturalWidth).map(one => one.src)}"
            )
            assert not broken, f"{one.name}: pictures that do not show: {broken}"
    assert not seen.errors
    assert not seen.asked


def test_every_link_leads_to_a_file_and_every_anchor_to_its_place(opened, pages):
    ids: dict[str, set[str]] = {}
    links: dict[str, list[str]] = {}
    with opened() as (page, _):
        for one in pages:
            page.goto(one.as_uri())
            found = page.evaluate(_IDS)
            assert len(found) == len(set(found)), f"{one.name} has an id twice"
            ids[one.as_uri()], links[one.as_uri()] = set(found), page.evaluate(_LINKS)
    lost = []
    for place, hrefs in links.items():
        for href in hrefs:
            address, _, anchor = href.partition("#")
            parts = urlsplit(address)
            if parts.scheme == "data":
                continue
            there = parts.scheme == "file" and Path(unquote(parts.path)).is_file()
            in_a_page = anchor and not anchor.startswith("t=") and address in ids
            if not there or (in_a_page and unquote(anchor) not in ids[address]):
                lost.append((place, href))
    assert not lost
    assert sum(map(len, links.values())) > 100


def test_pages_have_no_script_and_tell_all_without_any(opened, pages):
    with opened(java_script_enabled=False) as (page, _):
        for one in pages:
            page.goto(one.as_uri())
            assert page.locator("script").count() == 0, one.name
            assert page.locator("main").inner_text().strip(), one.name


_CODE_IS_LARGE = "() => (document.querySelector('.code svg')?.getBoundingClientRect().width ?? 0) > 200"


def test_clock_page_runs_and_shows_its_time_without_script_too(opened, clock_address):
    for script in (True, False):
        with opened(java_script_enabled=script, allowed=clock_address) as (page, seen):
            page.goto(clock_address)
            assert page.locator(".time").inner_text() == "10:20:31"
            page.wait_for_function(_CODE_IS_LARGE)  # which is drawn anew now and then, and then is not there
            page.wait_for_timeout(1200)
            assert page.locator(".time").inner_text() == "10:20:31"
            assert not seen.errors
            assert not seen.asked


@pytest.mark.parametrize("width", [320, 360])
def test_nothing_has_to_be_moved_sideways_on_a_phone(opened, pages, clock_address, width):
    # Source: WCAG 2.2, success criterion 1.4.10 (reflow, at 320 CSS pixels); 360 is a usual phone
    wide = []
    with opened(width=width, height=740, allowed=clock_address) as (page, _):
        for address in (*(one.as_uri() for one in pages), clock_address):
            page.goto(address)
            if page.evaluate("document.documentElement.scrollWidth") > width:
                wide.append(address)
            tables = page.evaluate(
                "[...document.querySelectorAll('.table')].filter(one => one.scrollWidth > one.clientWidth)"
                ".map(one => one.innerText.slice(0, 40))"
            )
            wide += [f"{address}: {one}" for one in tables]
    assert not wide
