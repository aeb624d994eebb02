import itertools
import re
from base64 import b64decode
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as settings_of_hypothesis
from hypothesis import strategies as st

from pipeline.records import FactRecord, Lists, PhotoLink, Records, ToDo
from pipeline.settings import Person, Withhold
from pipeline.values import Kind
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.jpeg import carries_tags
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.public_files import let_out
from pipeline.writing.supporters.report import ReportSources, make_report, report_html, report_markdown
from pipeline.writing.supporters.story import Story
from pipeline.writing.supporters.withheld import Watch
from pipeline.writing.viewing_copies import Makers
from tests.writing.a_weekend import (
    MAKERS,
    SATURDAY,
    SUNDAY,
    drawn_picture,
    fact,
    media_id,
    medium,
    records,
    settings,
    vocabulary,
)
from tests.writing.any_fact import FACTS
from tests.writing.reading_ease import grade, reading_ease, syllables
from tests.writing.reading_pages import read_page


def _story(book: Records | None = None, **changes: object) -> Story:
    chosen = settings().model_copy(update=changes)
    return plan(Asked(book or records(), chosen, vocabulary(), SATURDAY.date(), SUNDAY.date()))


def _prose(story: Story) -> list[str]:
    return [one.text for one in story.sentences]


def _sections(story: Story) -> list[str]:
    return [one.text for part in story.sections for each in part.paragraphs for one in each.sentences]


def _said(*keys: dict[str, object]) -> Records:
    """A book with one entry a fact, a minute apart, without photos."""
    book = records()
    first = book.entries[0]
    entries = tuple(
        first.model_copy(
            update={
                "id": f"e-{index}",
                "at": SATURDAY + timedelta(minutes=index),
                "facts": (fact(**one),),  # type: ignore[arg-type]
                "photos": (),
            }
        )
        for index, one in enumerate(keys)
    )
    return book.model_copy(update={"entries": entries, "lists": book.lists.model_copy(update={"to_do": ()})})


def test_the_report_is_as_it_was_last_looked_at(golden: Callable[[str, str], None]) -> None:
    story = _story()
    golden("supporters/report.html", report_html(story))
    golden("supporters/report.md", report_markdown(story))


def test_it_has_a_beginning_a_middle_and_an_end() -> None:
    story = _story()
    assert story.headline == "Off comes the port outer wing"
    assert "the port outer wing, main undercarriage and flap" in story.standfirst[0].text
    assert any("eight of us" in one for one in _sections(story))
    assert [section.heading for section in story.sections] == ["The wing", "The undercarriage", "Smaller jobs"]
    numbers = [part.number for part in story.sections if part.number is not None]
    assert [(one.figure, one.text) for one in numbers] == [("about 240", "rivets drilled out of the port skin")]
    assert story.explained is not None and story.explained.question == "What is a flap?"
    assert story.explained.lines[1].text == "On this aircraft, one pin holds it in place."
    assert any("starboard outer wing" in one.text for one in story.ahead)
    assert {word for word, _ in story.glossary} >= {"Aileron", "Port", "Starboard", "Outer wing"}
    assert story.thanks[0].text == "Thank you to Tamsin Orrell (rigger) and everyone else in the team."


def test_it_reads_as_plain_english() -> None:
    """At least 60 on Flesch's scale, which he called plain English; grade 8 at most on Kincaid's."""
    assert [syllables(word) for word in ("wing", "taken", "aileron", "nuts", "people", "came", "bolted")] == [
        1, 2, 3, 1, 2, 1, 2,
    ]  # fmt: skip
    told = " ".join(_prose(_story()))
    assert reading_ease(told) >= 60
    assert grade(told) <= 8


def test_no_two_sentences_in_a_row_begin_alike_and_no_two_are_the_same() -> None:
    for section in _story().sections:
        told = [one.text for paragraph in section.paragraphs for one in paragraph.sentences]
        assert len(set(told)) == len(told)
        starts = [" ".join(text.split()[:2]) for text in told]
        assert all(one != after for one, after in itertools.pairwise(starts))


def test_there_are_eight_to_twelve_pictures_and_each_is_told_in_words() -> None:
    story = _story()
    assert 8 <= len(story.pictures) <= 12
    assert story.lead is not None and "port outer wing" in story.lead.caption
    assert len({one.file for one in story.pictures}) == len(story.pictures)
    assert all(one.alt and one.caption for one in story.pictures)


def test_photos_of_findings_are_not_shown() -> None:
    book = records()
    faults = {
        link.media
        for entry in book.entries
        if any(one.status == "seen" and not one.absent for one in entry.facts)
        for link in entry.photos
    }
    assert faults
    assert not faults & {one.media for one in _story().pictures}


def test_in_one_entry_a_photo_goes_with_the_work_told_nearest_to_it_and_none_with_a_finding() -> None:
    book = records()
    old = book.entries[7]
    words = [
        book.utterances[0].model_copy(
            update={
                "id": f"u-{index}",
                "media": old.media,
                "start_at": SATURDAY + timedelta(seconds=20 * index),
                "end_at": SATURDAY + timedelta(seconds=20 * index + 5),
            }
        )
        for index in range(3)
    ]
    keys = (
        {"status": "done", "act": "remove", "item": "aileron"},
        {"status": "done", "act": "drain", "item": "flap-jack"},
        {"status": "seen", "finding": "crack", "item": "bracket"},
    )
    facts = tuple(
        fact(**one).model_copy(update={"utterances": (said.id,)})  # type: ignore[arg-type]
        for one, said in zip(keys, words, strict=True)
    )
    photos = [
        medium(f"near-{index}.jpg", SATURDAY + timedelta(seconds=20 * index + 6), Kind.PHOTO, "image/jpeg")
        for index in range(3)
    ]
    links = tuple(PhotoLink(media=one.id, p=0.9, why=()) for one in photos)
    entry = old.model_copy(
        update={"at": SATURDAY, "facts": facts, "photos": links, "utterances": tuple(one.id for one in words)}
    )
    story = _story(
        book.model_copy(update={"entries": (entry,), "utterances": tuple(words), "media": (*book.media, *photos)})
    )
    told = {one.media: one.alt for one in story.pictures}
    assert told == {
        photos[0].id: "Photograph, Saturday morning: the aileron comes away.",
    }  # the draining was told next to a finding
    assert any(one.what == "2 photos: near-1.jpg, near-2.jpg" and "finding" in one.why for one in story.withheld)


def test_what_was_rejected_by_a_person_is_not_told() -> None:
    book = records()
    entries = tuple(one.model_copy(update={"review": "rejected"}) for one in book.entries)
    assert not _story(book.model_copy(update={"entries": entries})).sections


def test_one_thing_done_makes_right_grammar() -> None:
    story = _story(_said({"status": "done", "act": "undo", "item": "bracket", "count": 1, "of": "bolt"}))
    told = " ".join(_prose(story))
    assert "We undid one bolt at the bracket." in told
    assert "1 bolts" not in told and "bolts" not in told


def test_both_sides_are_told_together() -> None:
    story = _story(
        _said(
            {"status": "done", "act": "remove", "item": "aileron", "side": "port"},
            {"status": "done", "act": "remove", "item": "aileron", "side": "starboard"},
        )
    )
    assert story.headline == "Off come both ailerons"
    assert "Both ailerons came off, the port aileron first." in " ".join(_prose(story))


def test_no_order_of_sides_is_told_that_nobody_told() -> None:
    story = _story(_said({"status": "done", "act": "remove", "item": "aileron", "side": "both"}))
    assert "Both ailerons came off." in " ".join(_prose(story)).replace(", on Saturday", "")


def test_what_was_planned_and_then_done_is_told_as_the_plan() -> None:
    book = _said(
        {"status": "planned", "act": "remove", "item": "outer-wing", "side": "port"},
        {"status": "done", "act": "remove", "item": "outer-wing", "side": "port"},
    )
    assert tuple(one.text for one in _story(book).standfirst) == (
        "The plan for Saturday was to take off the port outer wing.",
        "By the end of Saturday, the job was done.",
    )


def test_a_plan_that_was_met_in_part_is_not_told_as_met() -> None:
    wing = {"status": "done", "act": "remove", "item": "outer-wing", "side": "port"}
    both = _said({"status": "planned", "act": "remove", "item": "outer-wing", "side": "both"}, wing)
    assert not any("plan" in one.text for one in _story(both).standfirst)
    more = _said(
        {"status": "planned", "act": "remove", "item": "outer-wing", "side": "port"},
        {"status": "planned", "act": "remove", "item": "flap"},
        wing,
    )
    assert _story(more).standfirst[0].text == "Part of the plan for Saturday was to take off the port outer wing."


def test_what_holds_a_part_is_told_where_somebody_said_it() -> None:
    held = {"status": "explained", "act": "held-by", "item": "wing-joint", "count": 16, "of": "bolt"}
    off = {"status": "done", "act": "remove", "item": "outer-wing", "side": "port"}
    undone = {"status": "done", "act": "undo", "item": "wing-joint", "side": "port", "of": "bolt"}
    told = " ".join(_prose(_story(_said(held, undone | {"count": 16}, off))))
    assert "Sixteen bolts held the port outer wing in its place, and we undid every one." in told
    told = " ".join(_prose(_story(_said(held, undone | {"count": 7}, off))))
    assert "Sixteen bolts held the port outer wing in its place." in told
    assert "seven" not in told.lower()


def test_services_are_summed_up_in_one_sentence() -> None:
    story = _story(
        _said(
            {"status": "done", "act": "disconnect", "item": "control-cable"},
            {"status": "done", "act": "disconnect", "item": "hydraulic-line"},
            {"status": "done", "act": "disconnect", "item": "pitot-static-line"},
            {"status": "done", "act": "blank", "item": "pitot-static-line"},
            {"status": "done", "act": "remove", "item": "outer-wing"},
        )
    )
    told = _sections(story)
    assert "We freed the control cables and pipes, and capped the open ends to keep the dirt out." in told
    assert not any("pitot" in text for text in told)


def test_how_a_part_comes_out_is_told_in_the_order_it_was_explained() -> None:
    how = {"status": "explained"}
    book = _said({"status": "done", "act": "remove", "item": "main-undercarriage", "side": "port"})
    way = book.entries[0].model_copy(
        update={
            "id": "e-way",
            "facts": (
                fact(act="undo", item="drag-strut", **how),
                fact(act="support", item="main-undercarriage", **how),
                fact(act="remove", item="spigot", **how),
            ),
        }
    )
    answer = _story(book.model_copy(update={"entries": (way, *book.entries)})).explained
    assert answer is not None and answer.question == "How does a main undercarriage come out?"
    assert tuple(one.text for one in answer.lines[1:]) == (
        "First we undo the drag strut, the brace that keeps the leg from folding.",
        "Then we take the weight of the main undercarriage.",
        "Last of all, we take out the spigot, a stout peg that one part hangs on in another.",
    )


def test_owed_work_that_a_finding_calls_for_is_not_told() -> None:
    book = records()
    entry = book.entries[2].model_copy(
        update={
            "facts": (
                fact("seen", finding="crack", item="bracket").model_copy(update={"utterances": ("u",)}),
                fact("planned", act="make", item="bracket").model_copy(update={"utterances": ("u",)}),
            )
        }
    )
    owed = ToDo(said_on=SATURDAY.date(), status="planned", act="make", item="bracket", words="", entry=entry.id)
    changed = book.model_copy(update={"entries": (*book.entries[:2], entry), "lists": Lists(to_do=(owed,))})
    assert _story(changed).ahead == ()
    apart = entry.model_copy(update={"facts": entry.facts[1:]})
    changed = book.model_copy(update={"entries": (*book.entries[:2], apart), "lists": Lists(to_do=(owed,))})
    assert [one.text for one in _story(changed).ahead] == ["Next, we plan to make a bracket."]
    said = book.utterances[0].model_copy(update={"id": "u", "read": "The hole's elongated, so we'll make a bracket."})
    assert _story(changed.model_copy(update={"utterances": (said,)})).ahead == ()


def test_what_the_editor_typed_for_every_report_is_printed_as_typed() -> None:
    closing = (
        "to help, write to crew@example.org, or give five pounds a month. Thank you to Hensby Timber for the wood"
    )
    typed = settings().supporters.model_copy(update={"title": "News for our sponsors' money", "closing": closing})
    story = _story(supporters=typed)
    assert story.title == "News for our sponsors' money"
    assert story.thanks[-1].text == closing
    public = let_out({"report.html": report_html(story).encode(), "report.md": report_markdown(story).encode()},
                     Watch(settings().model_copy(update={"supporters": typed}), vocabulary(), records()))  # fmt: skip
    assert public.fault == ""
    for page in public.files.values():
        assert "crew@example.org, or give five pounds a month. Thank you to Hensby Timber" in page.decode()


@pytest.mark.parametrize(
    "closing",
    ["Ask Wilf Harkaway about it.", "Come to Netherby Lock.", "Bring a tea urn.", "The aircraft is airworthy now."],
)
def test_what_the_editor_typed_is_held_back_for_a_name_a_withheld_word_and_a_claim(closing: str) -> None:
    typed = settings().supporters.model_copy(update={"closing": closing})
    story = _story(supporters=typed)
    assert closing not in [one.text for one in story.thanks]
    assert any(one.what == closing for one in story.withheld)


def test_a_part_that_came_off_is_not_said_to_be_in_place() -> None:
    assert _story().ahead[0].text == "For now, the starboard flap stays in place."
    book = records()
    left = book.lists.to_do[0].model_copy(update={"side": "port"})
    lists = book.lists.model_copy(update={"to_do": (left,)})
    assert _story(book.model_copy(update={"lists": lists})).ahead == ()


def test_a_period_without_anything_done_still_makes_a_page() -> None:
    story = _story(_said())
    assert story.sections == () and story.pictures == ()
    assert read_page(report_html(story)).all("h1")[0].text == "News of our work"


PEOPLE = (
    Person(name="Wilf Harkaway", also=("Wilfie",), role="fitter"),
    Person(name="Oda Brackett", role="rigger"),
    Person(name="Port Lytton", role="rigger"),
    Person(name="Tamsin Orrell", role="painter", consent=True),
)


def test_no_name_place_tag_store_or_finding_is_in_any_public_file(tmp_path: Path) -> None:
    """Secrets planted wherever a book can hold them; the folder is searched byte by byte."""
    book = records()
    secrets = [
        "Harkaway",
        "Brackett",
        "Lytton",
        "Netherby",
        "53.2307",
        "SN-88713",
        "rack 77",
        "P-0101",
        "box 9",
        "XQ-PHONE",
    ]
    entries = tuple(
        one.model_copy(
            update={
                "facts": tuple(
                    each.model_copy(update={"said": "Wilf at Netherby", "tag": "SN-88713"}) for each in one.facts
                ),
                "photos": tuple(
                    link.model_copy(update={"why": ("Oda Brackett, 53.2307",)}) for link in one.photos
                ),
            }
        )
        for one in book.entries
    )  # fmt: skip
    media = tuple(one.model_copy(update={"device": "XQ-PHONE of Lytton"}) for one in book.media)
    planted = book.model_copy(update={"entries": entries, "media": media})
    chosen = settings().model_copy(
        update={
            "people": PEOPLE,
            "withhold": Withhold(places=("Netherby Lock",), words=("rack 77",)),
            "supporters": settings().supporters.model_copy(update={"closing": "To Netherby Lock! Ask Oda Brackett."}),
        }
    )  # fmt: skip
    make_report(
        ReportSources(planted, chosen, vocabulary(), tmp_path / "out", MAKERS), SATURDAY.date(), SUNDAY.date(), "2026"
    )
    public = [path for path in (tmp_path / "out" / "supporters" / "2026").rglob("*") if path.is_file()]
    assert len(public) > 8
    for path in public:
        held = path.read_bytes()
        for secret in secrets:
            assert secret.lower().encode() not in held.lower(), (path.name, secret)
            assert secret.lower() not in path.name.lower()
        for word in ("crack", "corrosion", "scoring", "seized", "worn", "leak", "airworth", "photo-"):
            assert path.suffix == ".jpg" or word.encode() not in held.lower(), (path.name, word)
    assert b"Tamsin Orrell" in (tmp_path / "out" / "supporters" / "2026" / "report.html").read_bytes()
    assert not list((tmp_path / "out" / "supporters").glob("*.csv"))


def test_pictures_are_in_the_folder_and_carry_no_tag(tmp_path: Path) -> None:
    make_report(
        ReportSources(records(), settings(), vocabulary(), tmp_path / "out", MAKERS),
        SATURDAY.date(),
        SUNDAY.date(),
        "2026",
    )
    folder = tmp_path / "out" / "supporters" / "2026"
    page = read_page((folder / "report.html").read_text(encoding="utf-8"))
    sources = [image.attributes["src"] for image in page.all("img")]
    assert sorted(sources) == sorted(path.relative_to(folder).as_posix() for path in (folder / "pictures").iterdir())
    assert not any(carries_tags((folder / source).read_bytes()) for source in sources)
    assert not page.all("script") and not page.all("a") and not page.all("link")


def test_the_page_in_one_file_holds_its_pictures_and_says_the_same(tmp_path: Path) -> None:
    make_report(
        ReportSources(records(), settings(), vocabulary(), tmp_path / "out", MAKERS),
        SATURDAY.date(),
        SUNDAY.date(),
        "2026",
    )
    folder = tmp_path / "out" / "supporters" / "2026"
    page = read_page((folder / "report.html").read_text(encoding="utf-8"))
    whole = read_page((folder / "report-in-one.html").read_text(encoding="utf-8"))
    assert whole.text == page.text
    sources = [image.attributes["src"] for image in whole.all("img")]
    assert len(sources) == len(page.all("img")) > 0
    held = [b64decode(source.removeprefix("data:image/jpeg;base64,")) for source in sources]
    assert sorted(held) == sorted(path.read_bytes() for path in (folder / "pictures").iterdir())
    assert not any(map(carries_tags, held))


def test_a_picture_that_comes_with_tags_is_left_out(tmp_path: Path) -> None:
    def tagged(path: Path, longest_px: int) -> bytes:
        return drawn_picture(path, longest_px) + b"<x:xmpmeta/>"

    makers = Makers(tagged, MAKERS.still, MAKERS.sound)
    make_report(
        ReportSources(records(), settings(), vocabulary(), tmp_path / "out", makers),
        SATURDAY.date(),
        SUNDAY.date(),
        "2026",
    )
    folder = tmp_path / "out" / "supporters" / "2026"
    assert not (folder / "pictures").exists()
    assert not read_page((folder / "report.html").read_text(encoding="utf-8")).all("img")


def test_markdown_says_what_the_page_says() -> None:
    story = _story()
    page = read_page(report_html(story)).text
    for sentence in _prose(story):
        assert sentence in page
        assert sentence in report_markdown(story)


def test_hostile_settings_stay_text() -> None:
    odd = settings().supporters.model_copy(update={"title": "<script>x</script>*_[", "closing": "<b onload=x>&"})
    story = _story(supporters=odd)
    page = read_page(report_html(story))
    assert not page.all("script") and not page.all("b onload")
    assert "\\<script\\>" in report_markdown(story)


@pytest.mark.parametrize("day", [date(2026, 2, 14), date(2026, 2, 15)])
def test_a_day_tells_of_that_day_alone(day: date) -> None:
    story = plan(Asked(records(), settings(), vocabulary(), day, day))
    other = "Sunday" if day.day == 14 else "Saturday"
    assert not re.search(other, " ".join(_prose(story)))
    taken = {one.id: one.taken_at.date() for one in records().media}
    assert {taken[one.media] for one in story.pictures} == {day}
    assert media_id("photo-lost.jpg") not in {one.media for one in story.pictures}


@settings_of_hypothesis(max_examples=150, deadline=None)
@given(st.lists(FACTS, max_size=12))
def test_any_facts_make_a_report_that_gives_nothing_away(facts: list[FactRecord]) -> None:
    book = records()
    entries = tuple(
        one.model_copy(update={"facts": tuple(facts[index::6])}) for index, one in enumerate(book.entries[:6])
    )
    owed = tuple(
        ToDo(said_on=SUNDAY.date(), status=one.status, act=one.act, item=one.item, side=one.side, words="", entry="e")
        for one in facts
        if one.act is not None and one.status in ("planned", "not-done")
    )  # fmt: skip
    story = _story(book.model_copy(update={"entries": entries, "lists": Lists(to_do=owed)}))
    text = read_page(report_html(story)).text
    for secret in ("R77", "paint store", "P-0142", "None", "frame 5"):
        assert secret not in text
    for sentence in _prose(story):
        assert sentence[0].isupper() and sentence.endswith((".", "!", "?"))
        assert sentence == " ".join(sentence.split())
        assert "both the " not in sentence and " 1 bolts" not in sentence
