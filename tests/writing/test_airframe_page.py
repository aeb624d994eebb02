"""The page of the airframe, the drawing that stands alone, and the small drawing of a day."""

import re
from datetime import UTC, datetime
from functools import cache
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import html5lib
import pytest

from pipeline.book import vocabulary_folders
from pipeline.lists.airframe import STATES, airframe
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import BookRecord, EntryRecord, FactRecord, Lists, Records
from pipeline.writing.airframe_page import DRAWING, PAGE, airframe_files, day_drawing, has_page
from pipeline.writing.airframe_views import views
from pipeline.writing.airframe_words import thing_text
from tests.lists.test_airframe import told
from tests.lists.test_twelve_days import lists
from tests.lists.twelve_days import DAYS, all_facts
from tests.writing.test_day_pages import HOSTILE

LONDON = ZoneInfo("Europe/London")
SVG = "{http://www.w3.org/2000/svg}"


@cache
def vocabulary(pack: str = "crew-trainer") -> Vocabulary:
    return load_vocabulary(vocabulary_folders(pack))


def book(aircraft: str = "Crew Trainer") -> BookRecord:
    return BookRecord(title="T", aircraft=aircraft, zone="Europe/London", program="s 0", model="", vocabulary="")


@cache
def strip(aircraft: str = "Crew Trainer") -> Records:
    """Return the twelve days as records."""
    by_entry: dict[tuple[str, datetime], list[FactRecord]] = {}
    for one in all_facts():
        kept = one.fact.model_dump(include=set(FactRecord.model_fields) - {"inferred"})
        by_entry.setdefault((one.entry, one.at), []).append(FactRecord(**kept, said=one.said, utterances=()))
    entries = tuple(
        EntryRecord(
            id=entry, at=at, media="sha256:" + "0" * 64, start_s=0, end_s=1, utterances=(), facts=tuple(facts)
        )
        for (entry, at), facts in by_entry.items()
    )
    return Records(book=book(aircraft), entries=entries, lists=lists())


@cache
def files(pack: str = "crew-trainer") -> dict[str, str]:
    return airframe_files(strip(), vocabulary(pack), LONDON)


def numbers_in(drawing: str) -> list[int]:
    return sorted(int(one) for one in re.findall(r'<text class="no"[^>]*>(\d+)</text>', drawing))


def test_every_mark_of_the_drawing_is_in_the_list_of_words_and_only_those():
    numbers = numbers_in(files()[DRAWING])
    assert numbers == list(range(1, len(numbers) + 1))
    assert numbers_in(files()[PAGE]) == numbers
    assert sorted(int(one) for one in re.findall(r'id="mark-(\d+)"', files()[PAGE])) == numbers


def test_everything_there_is_to_see_stands_in_words_with_its_entries():
    frame = airframe(lists(), told(all_facts()), vocabulary())
    said = " ".join("".join(html5lib.parse(files()[PAGE], namespaceHTMLElements=False).itertext()).split())
    for thing in frame.things:
        assert thing_text(thing, vocabulary()) in said
    for drawn in views(frame, vocabulary().stations):
        assert all(one in frame.things for mark in drawn.marks for one in mark.things)
    targets = set(re.findall(r'href="logbook/(\d{4}-\d\d-\d\d)\.html#([^"]+)"', files()[PAGE]))
    entries = {(one.at.date().isoformat(), one.entry) for one in all_facts()}
    assert targets
    assert targets <= entries


def test_drawing_is_sound_xml_with_title_and_description_and_asks_for_nothing():
    root = ElementTree.fromstring(files()[DRAWING])
    assert root.findtext(f"{SVG}title") == "Crew Trainer: the airframe at a glance"
    assert "certifies nothing" in (root.findtext(f"{SVG}desc") or "")
    linked = re.findall(r'(?:href|src)="([^"]+)"', files()[DRAWING])
    assert linked
    assert all(one.startswith(f"{PAGE}#mark-") for one in linked)


def test_drawings_in_the_page_are_images_with_names_for_those_who_do_not_see_them():
    tree = html5lib.parse(files()[PAGE], namespaceHTMLElements=False)
    images = [one for one in tree.iter(f"{SVG}svg") if one.get("role") == "img"]
    assert len(images) == 3
    ids = {one.get("id") for one in tree.iter() if one.get("id")}
    for one in images:
        named = (one.get("aria-labelledby") or "").split()
        assert len(named) == 2
        assert set(named) <= ids
    (joint,) = [
        one.findtext(f"{SVG}desc") for one in images if one.findtext(f"{SVG}title", "").startswith("Transport")
    ]
    assert joint is not None
    assert "237 of about 240 nuts and bolts undone" in joint


@pytest.mark.parametrize("of", [PAGE, DRAWING, "day"])
def test_no_two_ids_are_the_same_and_the_hatching_is_there(of):
    text = day_drawing(strip().entries, vocabulary(), min(DAYS), LONDON) if of == "day" else files()[of]
    ids = re.findall(r' id="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    assert "hatch" in ids


def test_states_differ_in_shape_and_not_by_colour_alone():
    bare = re.sub(r'class="[^"]*"', "", files()[DRAWING])
    legend = bare[bare.index("off the aircraft") - 600 :]
    shapes = [legend.count(one) for one in ("<circle", "l7.6 7.6", "l5.6 10", 'width="8.8"', "l5-10 5 10")]
    assert all(shapes)
    assert len(STATES) == len(shapes)
    assert "stroke-dasharray" in files()[DRAWING]


def test_hostile_name_is_text_everywhere():
    made = airframe_files(strip(HOSTILE), vocabulary(), LONDON)
    ElementTree.fromstring(made[DRAWING])
    for text in made.values():
        assert "<script>" not in text
        assert "onerror=alert" not in re.sub(r"&lt;.*?&gt;", "", text)


def test_without_outline_there_is_no_drawing_and_no_link_to_one_and_the_words_stand_by_zone():
    made = files("")
    assert set(made) == {PAGE}
    assert DRAWING not in made[PAGE]
    assert "outlines" not in made[PAGE]
    assert "Starboard fin: crack" in made[PAGE]
    assert 'id="zone-tail"' in made[PAGE]
    assert numbers_in(made[PAGE]) == []
    assert has_page(vocabulary(""))


def test_signs_are_explained_only_where_there_is_a_drawing():
    assert "A sign stands" in files()[PAGE]
    assert "A sign stands" not in files("")[PAGE] and "What is not here was not spoken of" in files("")[PAGE]


def test_empty_book_has_a_page_that_says_so():
    made = airframe_files(Records(book=book()), vocabulary(), LONDON)
    assert "Nothing has been told yet" in made[PAGE]
    assert numbers_in(made[DRAWING]) == []


def test_same_records_give_the_same_bytes():
    assert airframe_files(strip(), vocabulary(), LONDON) == files()


def test_day_shows_its_own_work_and_a_day_without_any_shows_nothing():
    first = day_drawing(strip().entries, vocabulary(), min(DAYS), LONDON)
    tree = html5lib.parse(first, namespaceHTMLElements=False)
    said = " ".join("".join(tree.itertext()).split())
    assert "Off: port aileron" in said
    assert "Found: Frame 23: crack" in said
    assert "fin and" not in said
    assert day_drawing(strip().entries, vocabulary(), datetime(2025, 12, 25, tzinfo=UTC).date(), LONDON) == ""


@pytest.mark.parametrize("pack", ["", "crew-trainer"])
def test_day_of_a_type_without_outline_has_no_drawing(pack):
    assert bool(day_drawing(strip().entries, vocabulary(pack), min(DAYS), LONDON)) is bool(pack)


def test_findings_that_are_gone_are_not_drawn():
    assert lists() != Lists()
    assert "Frame 24: corrosion" not in files()[PAGE]
    assert "Frame 24: cleaned and primed" in files()[PAGE]


def test_work_of_a_rejected_entry_is_not_shown():
    entries = tuple(one.model_copy(update={"review": "rejected"}) for one in strip().entries)
    rejected = Records(book=book(), entries=entries)
    assert day_drawing(rejected.entries, vocabulary(), min(DAYS), LONDON) == ""
    assert "Nothing has been told yet" in airframe_files(rejected, vocabulary(), LONDON)[PAGE]
