"""Supports and cautions as they are written: on the pages, in the spreadsheet, with what a person answered."""

import csv
import io
from datetime import date, timedelta
from pathlib import Path

import pytest

from pipeline.errors import WrongCommand
from pipeline.reading.fact import Place
from pipeline.records import AnswerRecord, Caution, Move, Records, SupportLine
from pipeline.settings import read_settings
from pipeline.writing.registers import holding_up
from pipeline.writing.viewing_copies import Links
from tests.writing.a_weekend import SATURDAY, records, settings, vocabulary
from tests.writing.all_pages import logbook_pages
from tests.writing.reading_pages import read_page


def pages(book: Records) -> dict[str, str]:
    return logbook_pages(book, vocabulary(), Links.for_records(book, Path("/books/trainer/out"), ()), settings().zone)


def with_caution(**more: object) -> Records:
    book = records()
    caution = Caution.model_validate(
        {
            "rule": "support-before-undo",
            "text": "Nobody told of a support. Check that it was held up, and say so.",
            "entries": tuple(entry.id for entry in book.entries),
            "reason": "It falls.",
            "source": "common practice, no source",
            **more,
        }
    )
    return book.model_copy(update={"cautions": (caution,)})


def a_support(**more: object) -> SupportLine:
    entry = records().entries[0].id
    return SupportLine.model_validate(
        {
            "item": "outer-wing",
            "side": "port",
            "place": (Place(scheme="rib", at="4"),),
            "by": ("jack", "strap"),
            "since": SATURDAY,
            "until": SATURDAY + timedelta(days=1),
            "ended_by": "lower",
            "moves": (Move(on=date(2026, 2, 14), what="support", entry=entry),),
            **more,
        }
    )


def test_index_says_what_and_why_and_leads_to_the_entries() -> None:
    book = with_caution()
    made = pages(book)
    index = read_page(made["logbook/index.html"])
    (advice,) = [one for one in index.all("li") if "Nobody told of a support." in one.text]
    assert "It falls." in advice.text and "common practice, no source" in advice.text
    assert "support-before-undo" in advice.text
    links = [link.attributes["href"] for link in advice.all("a")]
    assert len(links) == min(6, len(book.entries))
    assert ("and " in advice.text.split("From")[1]) == (len(book.entries) > 6)
    for href in links:
        place, _, entry = href.partition("#")
        assert f'id="{entry}"' in made[f"logbook/{place}"]


def test_caution_stands_beside_each_of_its_entries() -> None:
    book = with_caution()
    for place, html in pages(book).items():
        if place.endswith(("index.html", "registers.html")):
            continue
        for article in read_page(html).all("article"):
            assert "Nobody told of a support." in article.text


def test_answer_is_shown_with_who_gave_it() -> None:
    made = pages(with_caution(answer=AnswerRecord(reason="It stood <in> the cradle.", who="Alex Example")))
    shown = [html for place, html in made.items() if not place.endswith("registers.html")]
    assert len(shown) > 2
    for html in shown:
        assert "Answered by Alex Example:" in html
        assert "It stood &lt;in&gt; the cradle." in html


def test_spreadsheet_tells_a_support_from_first_to_last() -> None:
    (row,) = csv.DictReader(io.StringIO(holding_up((a_support(),), vocabulary()).decode("utf-8-sig")))
    assert row["held"] == "outer wing"
    assert (row["side"], row["place"], row["by"]) == ("port", "rib 4", "jacks and straps")
    assert (row["since"], row["until"], row["ended by"]) == (
        "2026-02-14T09:30+00:00",
        "2026-02-15T09:30+00:00",
        "lowered",
    )
    assert row["entries"] == records().entries[0].id


def test_page_of_registers_shows_what_stands_and_what_must_be_asked() -> None:
    book = records()
    standing = a_support(until=None, ended_by="", questions=("gear-moved",))
    lists = book.lists.model_copy(update={"holding_up": (standing, a_support(item=None, place=None))})
    page = read_page(pages(book.model_copy(update={"lists": lists}))["logbook/registers.html"])
    first, second = [one for one in page.all("tr") if "jacks and straps" in one.text]
    assert "Port outer wing at rib 4" in first.text
    assert "nobody said from where" in first.text
    assert first.all("a")[0].attributes["href"].endswith(f"#{book.entries[0].id}")
    assert "15 Feb 2026, lowered" in second.text and "(part not named)" in second.text


def test_answers_are_read_from_the_books_settings(tmp_path: Path) -> None:
    file = tmp_path / "book.toml"
    head = "[time]\nbook_starts = 2026-01-01\n[[answers]]\nrule = 'strong-place'\nreason = 'Doubled frame.'\n"
    file.write_text(head + "who = 'Alex'\n", encoding="utf-8")
    (answer,) = read_settings(file).answers
    assert (answer.rule, answer.item, answer.side, answer.reason, answer.who) == (
        "strong-place", "", "", "Doubled frame.", "Alex",
    )  # fmt: skip
    file.write_text(head, encoding="utf-8")
    with pytest.raises(WrongCommand, match="who is missing in the 1st"):
        read_settings(file)
