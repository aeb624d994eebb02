"""Pages against the HTML Living Standard, as two readers of it have it.

Sources: WHATWG, HTML Living Standard, 13.2 (parsing), as ``html5lib`` implements it, in its strict mode, where every
parse error of the standard raises; 2.3.5.6 (a valid global date and time string: a fraction of a second has one to
three figures) and 4.8.11.1 (ids: unique in a page, no space). By hand the pages are looked at with the Nu Html
Checker too, which needs Java.
"""

import re
from datetime import UTC, datetime
from pathlib import Path

import html5lib
import pytest
from html5lib.html5parser import ParseError

from pipeline.cards.clock_page import card_values
from pipeline.writing.pages import page
from tests.written_weekend import every_page

_DATE_AND_TIME = re.compile(r"\d{4,}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d{1,3})?)?(Z|[+-]\d\d:?\d\d)")
_INSTANT = datetime(2026, 2, 14, 10, 20, 31, 123456, tzinfo=UTC)


def _parsed(text: str):
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def test_every_page_parses_without_a_fault(out: Path) -> None:
    pages = every_page(out)
    assert len(pages) > 8
    faulty = []
    for one in pages:
        try:
            _parsed(one.read_text(encoding="utf-8"))
        except ParseError as error:
            faulty.append(f"{one.name}: {error}")
    assert not faulty


def test_every_time_is_written_as_the_standard_has_it(out: Path) -> None:
    times = [time.get("datetime") for one in every_page(out) for time in _parsed(one.read_text()).iter("time")]
    assert len(times) > 20
    assert not [one for one in times if one is not None and not _DATE_AND_TIME.fullmatch(one)]


def test_every_id_stands_once_in_its_page_and_every_label_has_its_field(out: Path) -> None:
    for one in every_page(out):
        elements = list(_parsed(one.read_text(encoding="utf-8")).iter())
        ids = [element.get("id") for element in elements if element.get("id") is not None]
        assert len(ids) == len(set(ids)), f"{one.name}: {[each for each in ids if ids.count(each) > 1]}"
        assert not [each for each in ids if not each or re.search(r"\s", each)], one.name
        for element in elements:
            for name in ("for", "aria-labelledby", "aria-describedby"):
                assert set((element.get(name) or "").split()) <= set(ids), f"{one.name}: {name}={element.get(name)}"


def test_clock_page_and_its_card_parse_without_a_fault() -> None:
    values = card_values(_INSTANT)
    _parsed(page("clock.html", nonce="abc", **values))
    card = page("clock_card.html", **values)
    html5lib.HTMLParser(strict=True).parseFragment(card)


def test_a_fault_would_be_found() -> None:
    with pytest.raises(ParseError):
        _parsed("<!DOCTYPE html><html><head><title>t</title></head><body><p></div></body></html>")
