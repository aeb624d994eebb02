"""Every page of a book in a real browser: it opens, stays off the network, and its links lead somewhere."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import Page

from tests.browsing import Seen

PHONES_PX = (320, 360)
"""Source: WCAG 2.2, success criterion 1.4.10 (reflow, at 320 CSS pixels); 360 is a usual phone."""

_LOOK = """async () => {
  for (const one of document.images) one.loading = 'eager';
  await Promise.allSettled([...document.images].map(one => one.decode()));
  const headings = [...document.querySelectorAll('h1')];
  return {
    headings: headings.length,
    'heading is visible': headings.every(one =>
      one.checkVisibility({visibilityProperty: true}) && one.offsetWidth && one.offsetHeight),
    title: document.title,
    broken: [...document.images].filter(one => !one.naturalWidth).map(one => one.src),
    ids: [...document.querySelectorAll('[id]')].map(one => one.id),
    links: [...document.querySelectorAll('[href], [src]')]
      .map(one => new URL(one.getAttribute('href') ?? one.getAttribute('src'), document.baseURI).href),
  };
}"""
_SIDEWAYS = """() => ({
  width: document.documentElement.scrollWidth,
  tables: [...document.querySelectorAll('.table')].filter(one => one.scrollWidth > one.clientWidth)
    .map(one => one.innerText.slice(0, 40)),
})"""


@dataclass(frozen=True)
class Shown:
    """What a browser found on each page, and what it complained of meanwhile."""

    pages: dict[Path, dict[Any, Any]]
    seen: Seen


def test_book_has_all_its_pages(out, pages):
    wanted = {"logbook/index.html", "logbook/registers.html", "logbook/2026-02-14.html", "logbook/2026-02-15.html",
              "timeline.html", "way-back.html", "to-settle.html", "supporters/2026-02/report.html"}  # fmt: skip
    assert wanted <= {one.relative_to(out).as_posix() for one in pages if one.is_relative_to(out)}
    assert any(one.parent.name == "timeline" for one in pages)


@pytest.fixture(scope="module")
def shown(opened, pages) -> Shown:
    """Every page opened once, on a desk and then on two phones."""
    with opened() as (page, seen):
        found = {one: _look_at(page, one) for one in pages}
    return Shown(found, seen)


def _look_at(page: Page, one: Path) -> dict[str, Any]:
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(one.as_uri())
    found = page.evaluate(_LOOK)
    for width in PHONES_PX:
        page.set_viewport_size({"width": width, "height": 740})
        found[width] = page.evaluate(_SIDEWAYS)
    return found


def test_every_page_opens_without_an_error_and_asks_the_network_for_nothing(shown):
    for one, found in shown.pages.items():
        assert found["headings"] == 1, f"{one.name} has one heading of the whole"
        assert found["heading is visible"], one.name
        assert found["title"].strip(), one.name
        assert not found["broken"], f"{one.name}: pictures that do not show: {found['broken']}"
    assert not shown.seen.errors
    assert not shown.seen.asked


def test_every_link_leads_to_a_file_and_every_anchor_to_its_place(shown):
    ids: dict[str, set[str]] = {}
    links: dict[str, list[str]] = {}
    for one, found in shown.pages.items():
        assert len(found["ids"]) == len(set(found["ids"])), f"{one.name} has an id twice"
        ids[one.as_uri()], links[one.as_uri()] = set(found["ids"]), found["links"]
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


@pytest.mark.parametrize("width", PHONES_PX)
def test_nothing_has_to_be_moved_sideways_on_a_phone(opened, shown, clock_address, width):
    found = {one.as_uri(): shown.pages[one][width] for one in shown.pages}
    with opened(width=width, height=740, allowed=clock_address) as (page, _):
        page.goto(clock_address)
        found[clock_address] = page.evaluate(_SIDEWAYS)
    wide = [one for one, what in found.items() if what["width"] > width]
    wide += [f"{one}: {table}" for one, what in found.items() for table in what["tables"]]
    assert not wide
