"""Pages as they are printed: on A4 and on Letter, complete, and in black and white."""

import io
import json

import pypdfium2
import pytest


def _printed(page, **how: object) -> list[str]:
    with pypdfium2.PdfDocument(io.BytesIO(page.pdf(**how))) as document:
        return [one.get_textpage().get_text_range() for one in document]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_day_prints_with_every_entry_and_lines_to_sign_for_all_that_may_be_work(opened, out, paper):
    with opened() as (page, _):
        page.goto((out / "logbook" / "2026-02-14.html").as_uri())
        titles = page.locator("article h3").all_inner_texts()
        sheets = _printed(page, format=paper, prefer_css_page_size=False)
    text = " ".join(" ".join(sheets).split())
    assert titles and all(" ".join(one.split()) in text for one in titles)
    entries = json.loads((out / "records.json").read_text(encoding="utf-8"))["entries"]
    statuses = [{fact["status"] for fact in one["facts"]} for one in entries if one["at"].startswith("2026-02-14")]
    may_be_work = [one for one in statuses if not one or one & {"done", "seen"}]
    assert len(statuses) == len(titles) > len(may_be_work) == text.count("Date completed")
    assert all(len(one.split()) > 15 for one in sheets), "no sheet is all but empty"


def test_no_page_is_wider_than_the_paper(opened, pages):
    a4_px = round((210 - 2 * 15) / 25.4 * 96)
    wide = []
    with opened(width=a4_px, height=900) as (page, _):
        page.emulate_media(media="print")
        for one in pages:
            page.goto(one.as_uri())
            if page.evaluate("document.documentElement.scrollWidth") > a4_px:
                wide.append(one.name)
    assert not wide


def test_a_heading_within_a_register_stays_with_the_line_after_it(opened, out):
    group = '<tr><th class="group" scope="colgroup" colspan="9">Wings, rear spar</th></tr>'
    line = '<tr><th scope="row">Port joint fitting</th><td>Elongated hole</td></tr>'
    with opened() as (page, _):
        page.goto((out / "logbook" / "registers.html").as_uri())
        for lines in range(30, 38):
            rows = "<tr><th scope='row'>Another</th><td>Wear</td></tr>" * lines + group + line
            page.evaluate(
                "rows => { document.querySelector('main').innerHTML = "
                "`<table class='register stack'><tbody>${rows}</tbody></table>` }",
                rows,
            )
            sheets = _printed(page, format="A4")
            assert any("Wings, rear spar" in one and "Port joint fitting" in one for one in sheets), lines
