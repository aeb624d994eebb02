"""What a maintenance record must hold. Source: 14 CFR 43.9(a)(1) to (4) (content of such records), 43.11(a)(2).

(1) a description of the work performed, or a reference to acceptable data; (2) the date of completion; (3) the name
of the person who did the work, if not the one in (4); (4) if the work was done satisfactorily, the signature,
certificate number and kind of certificate of the person who approves it. For an inspection, 43.11(a)(2) asks for its
date and the aircraft's total time in service. UK CAA CAP 562 (from memory) asks for the data worked to, the parts
used with their release papers, and a second inspection of what it names. The rules are told here in our own words.
"""

from pathlib import Path

import pytest

from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.viewing_copies import Links
from tests.writing.a_weekend import records, settings, vocabulary
from tests.writing.all_pages import logbook_pages
from tests.writing.reading_pages import Element, read_page


def _records() -> list[EntryRecord]:
    """The entries of work or an inspection: the others only explain, plan, tell what was left or where it is kept."""
    entries = sorted(records().entries, key=lambda one: one.at)
    return [one for one in entries if any(fact.status == "seen" or _worked(fact) for fact in one.facts)]


def _worked(fact: FactRecord) -> bool:
    return fact.status == "done" and fact.act not in ("bag", "photograph", "store", "tag")


def _entries() -> list[Element]:
    book = records()
    ids = {one.id for one in _records()}
    pages = logbook_pages(book, vocabulary(), Links.for_records(book, Path("/b/out"), ()), settings().zone)
    articles = [article for place in sorted(pages) for article in read_page(pages[place]).all("article")]
    return [one for one in articles if one.attributes.get("id") in ids]


@pytest.mark.parametrize("item", ["43.9(a)(1)", "43.9(a)(2)", "43.9(a)(3)", "43.9(a)(4)", "43.11(a)(2)"])
def test_each_item_is_in_every_entry_or_shown_as_not_yet_given(item: str) -> None:
    articles = _entries()
    assert len(articles) == len(_records())
    for article in articles:
        places = [one for one in article.everything() if one.attributes.get("data-asks") == item]
        assert places
        assert all(one.text for one in places)


def test_work_that_was_told_is_described_and_the_rest_is_left_to_people() -> None:
    for entry, article in zip(_records(), _entries(), strict=True):
        asked = [one for one in article.everything() if "data-asks" in one.attributes]
        work = [one.text for one in asked if one.attributes["data-asks"] == "43.9(a)(1)"]
        done = any(map(_worked, entry.facts))
        assert ("not yet given" not in work[0]) == done
        for item in ("43.9(a)(2)", "43.9(a)(3)", "43.9(a)(4)"):
            assert all("not yet given" in one.text for one in asked if one.attributes["data-asks"] == item)


def test_data_worked_to_parts_used_and_second_inspection_are_asked_for_too() -> None:
    for article in _entries():
        (lines,) = [one for one in article.all("dl") if one.attributes.get("class") == "sign"]
        asked = " ".join(one.text for one in lines.all("dt")).lower()
        assert "manual, drawing, scheme" in asked and "release certificate" in asked and "second inspection" in asked
        assert all(one.text == "not yet given" for one in lines.all("dd")), "nothing is filled in for anybody"


def test_signature_certificate_number_and_kind_are_asked_for() -> None:
    for article in _entries():
        asked = " ".join(
            one.text for one in article.everything() if one.attributes.get("data-asks") == "43.9(a)(4)"
        ).lower()
        assert "signature" in asked and "certificate" in asked and "kind" in asked and "number" in asked


def test_entry_that_only_explains_or_plans_asks_for_no_record_of_work() -> None:
    book = records()
    pages = logbook_pages(book, vocabulary(), Links.for_records(book, Path("/b/out"), ()), settings().zone)
    of_work = {one.id for one in _records()}
    others = [one for place in pages for one in read_page(pages[place]).all("article")]
    without = {one.id for one in book.entries if not one.facts}
    others = [one for one in others if one.attributes.get("id") not in of_work | without]
    assert others
    assert not any("data-asks" in one.attributes for article in others for one in article.everything())


def test_entry_in_which_no_work_was_read_has_one_line_for_work_that_was_not_understood() -> None:
    book = records()
    pages = logbook_pages(book, vocabulary(), Links.for_records(book, Path("/b/out"), ()), settings().zone)
    without = {one.id for one in book.entries if not one.facts}
    articles = [one for place in pages for one in read_page(pages[place]).all("article")]
    found = [one for one in articles if one.attributes.get("id") in without]
    assert len(found) == len(without) > 0
    for article in found:
        (asked,) = [one for one in article.everything() if "data-asks" in one.attributes]
        assert asked.attributes["data-asks"] == "43.9(a)(1)"
        assert asked.text.startswith("Work performed, if any")
