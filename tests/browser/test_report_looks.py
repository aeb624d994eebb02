"""How pictures of the supporters' report stand: on a telephone, on a desk, on paper."""

from dataclasses import replace

import pytest

from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.report import report_html
from pipeline.writing.supporters.story import Paragraph, Picture
from tests.writing.a_weekend import SATURDAY, SUNDAY, records, settings, vocabulary

PORTRAIT = "data:image/svg+xml,<svg xmlns='http://www.w3.org/2000/svg' width='600' height='800'/>"
BOXES = "all => all.map(one => one.getBoundingClientRect()).map(one => [one.left, one.top, one.right, one.bottom])"


def _tall(number: int) -> Picture:
    return Picture(f"{number}", f"{number}.jpg", f"Caption {number}.", "a picture", 600, 800, PORTRAIT)


@pytest.fixture(scope="module")
def page_of_tall_pictures(tmp_path_factory):
    """A report with a lead, a pair and a third picture, all of them higher than wide."""
    story = plan(Asked(records(), settings(), vocabulary(), SATURDAY.date(), SUNDAY.date()))
    section = replace(story.sections[0], paragraphs=(Paragraph((), tuple(map(_tall, (2, 3, 4)))),))
    story = replace(story, lead=_tall(1), sections=(section,), explained=None, plots=())
    file = tmp_path_factory.mktemp("report") / "report.html"
    file.write_text(report_html(story), encoding="utf-8")
    return file.as_uri()


def test_pictures_under_each_other_on_a_telephone_have_room_between_them(opened, page_of_tall_pictures):
    with opened(width=390, height=800) as (page, _):
        page.goto(page_of_tall_pictures)
        (_, _, _, first_ends), (_, second_begins, _, _) = page.locator(".pair figure").evaluate_all(BOXES)
    assert second_begins - first_ends >= 16


@pytest.mark.parametrize("width", [390, 1000])
def test_a_picture_higher_than_wide_stands_in_the_middle_with_no_empty_strip_at_one_side(
    opened, page_of_tall_pictures, width
):
    with opened(width=width, height=800) as (page, _):
        page.goto(page_of_tall_pictures)
        shown = page.locator("figure > img").evaluate_all(BOXES)
        ((left, _, right, _),) = page.locator("main").evaluate_all(BOXES)
    alone = [shown[0], shown[-1]]  # the lead, and the third of three, which has no other beside it
    assert [(round(box[0]), round(box[2])) for box in alone] == [(round(left), round(right))] * 2


def test_a_single_picture_is_printed_large_and_in_the_middle(opened, page_of_tall_pictures):
    with opened(width=627, height=900) as (page, _):
        page.emulate_media(media="print")
        page.goto(page_of_tall_pictures)
        (left, top, right, bottom), *_ = page.locator("figure > img").evaluate_all(BOXES)
        ((paper_left, _, paper_right, _),) = page.locator("main").evaluate_all(BOXES)
    assert (round(left), round(right)) == (round(paper_left), round(paper_right))
    assert bottom - top >= 90 / 25.4 * 96  # mm
