"""The editor's own hand in a report: what is wished is done, passes the gate, and is told where it cannot be."""

from pathlib import Path
from typing import Any

import pytest

from pipeline.records import Records
from pipeline.settings import Edits, PictureEdit, ReportEdit, Settings
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.choosing import unseen
from pipeline.writing.supporters.edits import Editor, Photos, unknown_reports
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.report import ReportSources, make_report, report_name
from pipeline.writing.supporters.story import Story
from pipeline.writing.supporters.withheld import Watch
from tests.writing.a_weekend import MAKERS, SATURDAY, SUNDAY, records, settings, vocabulary

NAME = "2026-02"


def _settings(*pictures: PictureEdit, **wish: Any) -> Settings:
    reports = (ReportEdit(report=NAME, **wish),) if wish else ()
    return settings().model_copy(update={"edits": Edits(pictures=pictures, reports=reports)})


def _edited(own: Settings, book: Records | None = None) -> tuple[Story, tuple[str, ...]]:
    book = book or records()
    editor = Editor(own, book, NAME, SATURDAY.date(), SUNDAY.date())
    story = plan(editor.asked(vocabulary(), unseen))
    return editor.edited(story, Watch(own, vocabulary(), book).reasons)


def _texts(story: Story) -> list[str]:
    return [one.text for one in story.sentences]


def _photo_of(story: Story, file: str) -> str:
    media = next(one.media for one in story.pictures if one.file == file)
    return Photos(records()).name_of(media)


def test_without_a_wish_the_report_is_as_it_was_and_nothing_is_told() -> None:
    story, told = _edited(settings())
    assert story == plan(Asked(records(), settings(), vocabulary(), SATURDAY.date(), SUNDAY.date()))
    assert told == ()


def test_an_editors_caption_stands_under_the_picture_in_the_page_and_in_markdown(tmp_path: Path) -> None:
    own = _settings(PictureEdit(photo="photo-02.jpg", caption="Eight of us, and a lot of tea."))
    make_report(ReportSources(records(), own, vocabulary(), tmp_path, MAKERS), SATURDAY.date(), SUNDAY.date(), NAME)
    for file in ("report.html", "report-in-one.html", "report.md"):
        assert "Eight of us, and a lot of tea." in (tmp_path / "supporters" / NAME / file).read_text()


def test_an_editors_caption_is_heard_in_place_of_the_programs_own_words_for_the_picture() -> None:
    story, _ = _edited(_settings(PictureEdit(photo="photo-02.jpg", caption="Eight of us, and a lot of tea.")))
    (alt,) = [one.alt for one in story.pictures if one.caption == "Eight of us, and a lot of tea."]
    assert alt.startswith("Photograph, ") and alt.endswith(": Eight of us, and a lot of tea.")


def _unshown() -> tuple[Records, str]:
    """The weekend, in which the first words with a photo name a place: that photo stays in."""
    book = records()
    entry = next(one for one in book.entries if one.photos)
    said = tuple(
        one.model_copy(update={"read": f"{one.read} It is tagged P-0142."}) if one.id in entry.utterances else one
        for one in book.utterances
    )
    return book.model_copy(update={"utterances": said}), entry.photos[0].media


def test_a_photo_that_stays_in_is_let_out_by_somebody_with_a_name_who_has_looked_at_it() -> None:
    book, media = _unshown()
    before, _ = _edited(settings(), book)
    assert media not in {one.media for one in before.pictures}
    name = Photos(book).name_of(media)
    story, told = _edited(_settings(PictureEdit(photo=name, let_out=True, who=settings().people[0].name)), book)
    assert media in {one.media for one in story.pictures}
    assert len(told) == 1 and "write a caption for it" in told[0]
    story, told = _edited(_settings(PictureEdit(photo=name, let_out=True, who="Zebedee")), book)
    assert media not in {one.media for one in story.pictures}
    assert any("Zebedee is not in [[people]]" in one for one in told)
    story, told = _edited(_settings(PictureEdit(photo=name, let_out=True)), book)
    assert media not in {one.media for one in story.pictures}
    assert any("write who has looked at it" in one for one in told)


def test_the_reason_of_a_sentence_goes_with_it() -> None:
    before, _ = _edited(settings())
    told = before.sentences
    at = next(at for at, one in enumerate(told) if one.behind[0].startswith("reason: "))
    story, _ = _edited(_settings(leave_out=[told[at - 1].text]))
    assert told[at].text not in _texts(story)


def test_a_picture_that_is_left_out_is_in_no_report_and_the_logbook_keeps_it() -> None:
    before, _ = _edited(settings())
    gone = before.lead
    assert gone is not None
    own = _settings(PictureEdit(photo=_photo_of(before, gone.file), leave_out=True))
    story, told = _edited(own)
    assert gone.media not in {one.media for one in story.pictures}
    assert story.lead is not None and told == ()
    assert any(link.media == gone.media for entry in records().entries for link in entry.photos)


def test_an_opening_and_a_headline_stand_in_place_of_those_that_were_there() -> None:
    story, told = _edited(_settings(headline="The wing is off", opening="It was cold.\nThank you all for coming."))
    assert story.headline == "The wing is off"
    assert [one.text for one in story.standfirst] == ["It was cold.", "Thank you all for coming."]
    assert told == ()


def test_the_report_begins_with_the_picture_that_the_editor_wants() -> None:
    before, _ = _edited(settings())
    other = before.pictures[-1]
    story, told = _edited(_settings(lead=_photo_of(before, other.file)))
    assert story.lead is not None and story.lead.media == other.media and told == ()
    assert [one.media for one in story.pictures].count(other.media) == 1


def test_a_year_too_begins_with_the_picture_that_the_editor_wants_of_those_that_it_shows() -> None:
    before, _ = _edited(settings())
    other = before.pictures[-1]
    editor = Editor(_settings(lead=_photo_of(before, other.file)), records(), NAME, SATURDAY.date(), SUNDAY.date())
    story, told = editor.edited(before, lambda text: ())
    assert story.lead is not None and story.lead.media == other.media and told == ()
    assert sorted(one.media for one in story.pictures) == sorted(one.media for one in before.pictures)


@pytest.mark.parametrize(
    "wish",
    [
        "The brake unit came off too.",
        "the brake unit came off too",
        "The *brake* unit  came off too\\.",
        "Two gallons of hydraulic oil. The brake unit came off too.",
        "What is a flap?",
        "Over a weekend in February, we took the port outer wing, main undercarriage and flap off the aircraft.",
    ],
)
def test_a_sentence_that_is_left_out_goes_however_it_was_copied(wish: str) -> None:
    before, _ = _edited(settings())
    story, told = _edited(_settings(leave_out=[wish]))
    gone = [one for one in _texts(before) if one not in _texts(story)]
    assert gone
    if wish.startswith("What is"):
        assert story.explained is None
    elif wish.startswith("Two gallons"):
        assert gone == ["The brake unit came off too."]
        assert len(told) == 1 and "has no sentence “Two gallons of hydraulic oil.”. Did you mean" in told[0]
    else:
        assert len(gone) == 1 and told == ()
    assert {one.media for one in story.pictures} >= {
        one.media for one in before.pictures if before.explained is None or one != before.explained.picture
    }


def test_a_sentence_that_is_not_there_is_told_with_the_one_that_may_be_meant() -> None:
    story, told = _edited(_settings(leave_out=["The brake units came off too."]))
    assert told == (
        "edits.toml: the report 2026-02 has no sentence “The brake units came off too.”. Did you mean “The brake "
        "unit came off too.”?",
    )
    assert _texts(story) == _texts(_edited(settings())[0])


def test_a_name_that_may_not_go_out_stays_in_wherever_an_editor_writes_it_and_that_is_told() -> None:
    own = _settings(
        PictureEdit(photo="photo-02.jpg", caption="Wilf Harkaway at the wing."),
        headline="Wilf Harkaway did it",
        opening="It was cold. Wilf Harkaway made the tea.",
    )
    named = own.people[0].model_copy(update={"name": "Wilf Harkaway", "also": (), "consent": False})
    own = own.model_copy(update={"people": (*own.people, named)})
    story, told = _edited(own)
    assert "Harkaway" not in f"{story}"
    assert story.standfirst == _edited(settings())[0].standfirst, "no paragraph with a hole"
    why = "(the name of Wilf Harkaway, who has not agreed to be named)"
    assert [one for one in told if why in one] == [
        f"edits.toml: the caption of photo-02.jpg is not in the report 2026-02 {why}.",
        f"edits.toml: your headline is not in the report 2026-02 {why}.",
        "edits.toml: your opening is not in the report 2026-02, for the sake of "
        f"“Wilf Harkaway made the tea.” {why}.",
    ]


def test_a_photo_that_the_book_does_not_have_is_told_with_one_of_a_like_name() -> None:
    _, told = _edited(_settings(PictureEdit(photo="photo-2.jpg", caption="x"), lead="nothing.png"))
    assert len(told) == 2
    assert told[0] == "edits.toml: the book has no photo nothing.png."
    assert told[1] == "edits.toml: the book has no photo photo-2.jpg. Did you mean photo-02.jpg?"


def test_a_caption_of_a_picture_that_is_not_shown_and_a_lead_that_may_not_be_are_told() -> None:
    shown = {one.media for one in _edited(settings())[0].pictures}
    photos = Photos(records())
    hidden = next(
        one.id
        for one in records().media
        if one.id not in shown and one.kind == "photo" and one.taken_at.date() == SATURDAY.date()
    )
    name = photos.name_of(hidden)
    book = records()
    entries = tuple(
        one.model_copy(update={"photos": tuple(each for each in one.photos if each.media != hidden)})
        for one in book.entries
    )
    own = _settings(PictureEdit(photo=name, caption="Our tea."), lead=name)
    _, told = _edited(own, book.model_copy(update={"entries": entries}))
    assert told == (
        f"edits.toml: {name} is not shown in the report 2026-02, so its caption is not either.",
        f"edits.toml: the report 2026-02 does not begin with {name}: it is not of those that it may show.",
    )


def test_two_photos_of_one_name_are_told_apart_by_their_folders() -> None:
    book = records()
    first, second = [one for one in book.media if one.kind == "photo"][:2]
    renamed = {first.id: "a/IMG_1.jpg", second.id: "b/IMG_1.jpg"}
    media = tuple(one.model_copy(update={"path": renamed.get(one.id, one.path)}) for one in book.media)
    photos = Photos(book.model_copy(update={"media": media}))
    assert photos.called("B\\img_1.JPG") == (second.id, "")
    assert photos.name_of(first.id) == "a/IMG_1.jpg"
    assert photos.called("IMG_1.jpg") == (
        "",
        "IMG_1.jpg is the name of 2 photos. Write which: " + ", ".join(
            photos.name_of(one) for one in sorted((first.id, second.id))
        ) + ".",
    )  # fmt: skip


def test_a_wish_for_a_report_that_there_is_not_is_told() -> None:
    edits = Edits(reports=(ReportEdit(report="2026-02"), ReportEdit(report="2026-20")))
    assert unknown_reports(edits, ["2026-02", "2024"]) == (
        "edits.toml: there is no report 2026-20. Did you mean 2026-02?",
    )


def test_a_closing_line_that_is_kept_back_is_told() -> None:
    closing = settings().supporters.model_copy(update={"closing": "Ask Oda Brackett."})
    named = settings().people[0].model_copy(update={"name": "Oda Brackett", "consent": False})
    people = (*settings().people, named)
    story, told = _edited(settings().model_copy(update={"supporters": closing, "people": people}))
    assert "Brackett" not in " ".join(_texts(story))
    assert len(told) == 1 and told[0].startswith("book.toml: the closing line is not in the reports (")


def test_a_whole_month_has_the_name_of_the_months_report_and_no_other_days_have() -> None:
    from datetime import date

    assert report_name(date(2024, 2, 1), date(2024, 2, 29)) == "2024-02"
    assert report_name(date(2025, 12, 1), date(2025, 12, 31)) == "2025-12"
    assert report_name(date(2026, 2, 1), date(2026, 2, 27)) == "2026-02-01-to-2026-02-27"
    assert report_name(date(2026, 1, 1), date(2026, 2, 28)) == "2026-01-01-to-2026-02-28"
    assert report_name(date(2026, 2, 1), date(2026, 2, 1)) == "2026-02-01"
