import re
from datetime import date
from functools import cache
from pathlib import Path
from unittest.mock import patch

import pypdfium2
import pytest

from pipeline.errors import ItemFault
from pipeline.records import Records, SetAside, UnlistedRecord
from pipeline.writing import logbook_pdf, logbook_pdf_period, written_files
from pipeline.writing.asked_for import ASKED_FOR, IF_ANY, WORK, asked_of
from pipeline.writing.day_pages import Logbook
from pipeline.writing.decision_wording import NO_RELEASE
from pipeline.writing.logbook_pdf import STANDING, LogbookSetter, bring_logbooks
from pipeline.writing.logbook_pdf_period import Volume, volumes
from pipeline.writing.logbook_pdf_text import printable
from pipeline.writing.records_file import records_json
from pipeline.writing.viewing_copies import Links, Makers, picture_copy
from pipeline.writing.written_files import hash_of, write_file, written_hashes
from tests.writing.a_weekend import (
    MAKERS,
    SATURDAY,
    SUNDAY,
    drawn_picture,
    fact,
    looked_at,
    records,
    settings,
    vocabulary,
)
from tests.writing.reading_pdf import attached, elements, opened, text_of

NOWHERE = Path("/no/such/out")
PLACE = "logbook/logbook.pdf"
ENOUGH_FOR_A_DAY = 38  # photos in a volume: each of the two days has fewer, the two together more


def logbook(book: Records, paper: str = "a4", makers: Makers = MAKERS, out: Path = NOWHERE) -> bytes:
    setter = LogbookSetter(book, settings(), vocabulary(), out, makers)
    return setter.set(setter.filled(Volume("logbook", SATURDAY.date(), SUNDAY.date()), paper))


@cache
def weekend() -> bytes:
    return logbook(records())


@cache
def words() -> str:
    return text_of(weekend())


def plain(text: str) -> str:
    return " ".join(printable(text).replace("\u200b", "").split())


def bring(out: Path, book: Records | None = None, makers: Makers = MAKERS):
    return bring_logbooks(book or records(), settings(), vocabulary(), out, makers)


@pytest.fixture
def count_settings(monkeypatch):
    """How often typst was asked to set a volume."""
    asked = []
    real = logbook_pdf.archival_pdf

    def counted(*given):
        asked.append(given[0])
        return real(*given)

    monkeypatch.setattr(logbook_pdf, "archival_pdf", counted)
    return asked


def test_what_each_entry_says_is_in_the_book():
    shown = words()
    book = records()
    links = Links.for_records(book, NOWHERE, ())
    for day in Logbook(book, vocabulary(), links, settings().zone, settings().people).days():
        assert day.title in shown
        for entry in day.entries:
            told = [entry.title, entry.clock, entry.offset, *(text[1:] for _, text in entry.about)]
            told += [fact.text for _, facts in entry.facts for fact in facts]
            told += [photo.name for photo in entry.photos] + [photo.hash[7:19] for photo in entry.photos]
            told += [entry.source.name, entry.from_to, entry.source.hash[7:19]]
            for text in told:
                assert plain(text) in shown, text


def test_the_speakers_own_words_are_there_with_what_was_heard_and_what_is_unsure():
    shown = words()
    for utterance in records().utterances:
        for piece in re.split(r"aileron|fourteen", utterance.read):
            assert plain(piece) in shown
    assert "aileron [heard “hail iron”]" in shown
    assert re.search(r"fourteen ?\?", shown)


def test_what_is_known_of_a_lone_photo_stands_beside_it():
    lone = [entry for entry in records().entries if len(entry.photos) == 1]
    names = {one.id: one.path.rpartition("/")[2] for one in records().media}
    document = pypdfium2.PdfDocument(weekend())
    for entry in lone:
        assert _is_beside(document, names[entry.photos[0].media])


def _is_beside(document: pypdfium2.PdfDocument, name: str) -> bool:
    for page in document:
        text = page.get_textpage()
        found = text.search(name).get_next()
        pictures = [one.get_bounds() for one in page.get_objects() if one.type == pypdfium2.raw.FPDF_PAGEOBJ_IMAGE]
        if found is not None and pictures:
            left, bottom, _, top = text.get_charbox(found[0])
            return any(one[1] <= bottom and top <= one[3] + 1 and one[2] < left for one in pictures)
    return False


def test_measures_stand_as_said_with_metric_beside():
    assert "0.5 in (12.7 mm)" in words() or "in (" in words()


def test_it_says_on_its_first_page_and_on_every_other_that_it_certifies_nothing():
    pages = [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(weekend())]
    assert plain(STANDING) in plain(pages[0])
    assert len(pages) > 5
    for number, page in enumerate(pages[1:], start=2):
        assert "Working record. Certifies nothing." in page
        assert f"{number} of {len(pages)}" in page
        assert "Crew Trainer · logbook" in page


def test_what_nobody_has_given_is_asked_for_in_every_entry_that_may_be_of_work():
    shown, every = words(), records().entries
    asked = [asked_of(entry.facts) for entry in every]
    assert {(), (IF_ANY,), ASKED_FOR, (WORK, *ASKED_FOR)} == set(asked)
    for one in ASKED_FOR:
        assert shown.count(plain(one.heading)) == sum(one in lines for lines in asked), one.heading
    assert shown.count(IF_ANY.heading) == asked.count((IF_ANY,))
    assert shown.count(WORK.heading) == sum(lines[:1] in ((WORK,), (IF_ANY,)) for lines in asked)


def test_where_parts_are_kept_asks_nobody_to_sign_and_a_finding_does():
    kept = [fact("done", act=act, item="bolt") for act in ("bag", "store", "tag", "photograph")]
    seen, off = fact("seen", finding="crack", item="spigot"), fact("done", act="remove", item="aileron")
    assert asked_of(kept) == ()
    assert asked_of([*kept, seen]) == (WORK, *ASKED_FOR)
    assert asked_of([*kept, off, seen]) == ASKED_FOR


def test_registers_and_other_appendices_are_there_with_their_titles_and_notes():
    titles = [str(one.get("/T", "")) for one in elements(opened(weekend()))]
    shown = words()
    for title in ("Parts off", "Fasteners", "Disconnections", "Findings", "Still to do", "Holding up", "The way back",
                  "To settle", "Advice", "Clocks", "What could not be used", "Media", "Files inside this PDF",
                  "Said or photographed, but not placed"):  # fmt: skip
        assert title in shown or title in titles
    for one in records().media:
        digest = one.id.removeprefix("sha256:")
        assert digest in shown.replace(" ", "")
    for one in records().set_aside:
        assert plain(one.why) in shown


@pytest.mark.parametrize("paper, size", [("a4", (595.28, 841.89)), ("letter", (612, 792))])
def test_it_is_as_large_as_its_paper(paper, size):
    # ISO 216 and ANSI/ASME Y14.1, in points
    pages = pypdfium2.PdfDocument(logbook(records(), paper))
    assert all(page.get_size() == pytest.approx(size, abs=0.1) for page in pages)


def test_the_same_records_give_the_same_bytes():
    assert logbook(records()) == weekend()


HOSTILE = (
    '#let x = read("/etc/passwd") ] [*b* _i_ $a^2$ `raw` @ref <label> // # = head \\ ~ -- "quotes" ',
    "👍🏽 \u202eto the left\u202c \u05d0\u05d1 \u2066\x00\x1b[31m \udcff \ue000 \u2028 日本 \u0301\u0301\u0301",
    "W" * 400,
)


@pytest.mark.parametrize("text", HOSTILE)
def test_text_from_outside_is_set_as_it_is_and_never_obeyed(text):
    book = records()
    read = tuple(
        one.model_copy(update={"read": text, "heard": text, "corrections": (), "unsure": ()})
        for one in book.utterances
    )
    media = tuple(one.model_copy(update={"path": f"media/{text[:60]}.jpg", "device": text}) for one in book.media)
    cautions = tuple(one.model_copy(update={"text": text, "reason": text}) for one in book.cautions)
    book = book.model_copy(
        update={
            "book": book.book.model_copy(update={"aircraft": text[:40], "title": text}),
            "utterances": read,
            "media": media,
            "cautions": cautions,
            "set_aside": (SetAside(path=text, why=text),),
            "unlisted": (UnlistedRecord(name=text, utterances=(read[0].id,)),),
        }
    )
    shown = text_of(logbook_without_records(book))
    squeezed = shown.replace(" ", "")
    assert squeezed.count(plain(text).replace(" ", "")) >= len(read)
    assert "root:" not in shown


def logbook_without_records(book: Records) -> bytes:
    """As ``logbook``, with the weekend's own records inside: half of a surrogate pair is no text of JSON."""
    one = Makers(
        lambda _, px: drawn_picture(Path("one"), px), lambda *_: drawn_picture(Path("one"), 640), MAKERS.sound
    )
    setter = LogbookSetter(book, settings(), vocabulary(), NOWHERE, one)
    with patch("pipeline.writing.logbook_pdf.records_json", lambda _: records_json(records())):
        return setter.set(setter.filled(Volume("logbook", SATURDAY.date(), SUNDAY.date()), "a4"))


def test_a_faulty_picture_leaves_a_line_in_its_place():
    def picture(path: Path, longest_px: int) -> bytes:
        if path.name == "photo-01.jpg":
            raise ItemFault("The picture is cut short.")
        return drawn_picture(path, longest_px)

    whole = len([one for one in elements(opened(weekend())) if one.S == "/Figure"])
    made = logbook(records(), makers=Makers(picture, MAKERS.still, MAKERS.sound))
    assert "cannot be shown. The picture is cut short." in text_of(made)
    assert len([one for one in elements(opened(made)) if one.S == "/Figure"]) == whole - 1


def test_a_rejected_entry_says_so_in_words():
    book = records()
    first = book.entries[0].model_copy(update={"review": "rejected"})
    shown = text_of(logbook(book.model_copy(update={"entries": (first, *book.entries[1:])})))
    assert "A person has rejected what follows as read wrong." in shown


def test_what_people_decided_and_signed_stands_with_the_entry_and_that_it_is_no_release():
    shown = text_of(logbook(looked_at(records())))
    assert "Looked at by people" in shown
    assert "Name put to it: Bea Linnet, for “checked the words”" in shown
    assert "Signed before the amendment" in shown
    assert "Accepted by Bea Linnet" in shown and "<b>seen</b>" in shown
    assert "The program now reads this otherwise:" in shown
    assert NO_RELEASE in shown
    assert "Looked at by people" not in words()


def test_every_entry_shows_its_id():
    for entry in records().entries:
        assert entry.id in words()


def test_a_run_with_nothing_new_sets_nothing(tmp_path, count_settings):
    assert bring(tmp_path).written == (PLACE,)
    before = (tmp_path / PLACE).read_bytes()
    done = bring(tmp_path)
    assert (done.written, done.unchanged, done.removed, done.faults) == ((), (PLACE,), (), ())
    assert len(count_settings) == 1
    assert (tmp_path / PLACE).read_bytes() == before


def test_it_is_set_again_when_the_records_a_photo_or_the_file_itself_has_changed(tmp_path, count_settings):
    bring(tmp_path)
    book = records()
    last = book.entries[-1].model_copy(update={"review": "accepted"})
    accepted = book.model_copy(update={"entries": (*book.entries[:-1], last)})
    assert bring(tmp_path, accepted).written == (PLACE,)
    (tmp_path / PLACE).write_bytes(b"%PDF changed by somebody")
    assert bring(tmp_path, accepted).written == (PLACE,)
    (tmp_path / PLACE).unlink()
    assert bring(tmp_path, accepted).written == (PLACE,)
    photo = next(one for one in book.media if one.id == book.entries[0].photos[0].media)
    copy = tmp_path / picture_copy(photo.id)
    copy.parent.mkdir()
    copy.write_bytes(drawn_picture(copy, 600))
    bring(tmp_path, accepted)
    assert len(count_settings) == 5


def test_a_volume_whose_setter_was_killed_before_its_hash_was_noted_is_noted_by_the_next(tmp_path, monkeypatch):
    def killed(path, content):
        done = write_file(path, content)
        if path == tmp_path / PLACE:
            raise KeyboardInterrupt
        return done

    bring(tmp_path)
    book = records()
    last = book.entries[-1].model_copy(update={"review": "accepted"})
    accepted = book.model_copy(update={"entries": (*book.entries[:-1], last)})
    for changed in (accepted, book):  # of the old and the new group, either name may come first
        with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
            patch.setattr(written_files, "write_file", killed)
            bring(tmp_path, changed)
        assert bring(tmp_path, changed).written == ()
        assert written_hashes(tmp_path) == {PLACE: hash_of(tmp_path / PLACE)}


def test_a_volume_that_cannot_be_set_is_told_and_the_run_goes_on(tmp_path, monkeypatch):
    def fails(*given):
        raise ItemFault("It cannot be set as PDF (no).")

    monkeypatch.setattr(logbook_pdf, "archival_pdf", fails)
    done = bring(tmp_path)
    assert done.faults == ((PLACE, "It cannot be set as PDF (no)."),)
    assert not (tmp_path / PLACE).exists()


def test_a_book_that_has_grown_is_cut_and_its_one_volume_goes(tmp_path, monkeypatch):
    bring(tmp_path)
    monkeypatch.setattr(logbook_pdf_period, "MOST_PHOTOS", ENOUGH_FOR_A_DAY)
    done = bring(tmp_path)
    assert done.written == ("logbook/logbook-2026-02-14.pdf", "logbook/logbook-2026-02-15.pdf")
    assert done.removed == (PLACE,)
    monkeypatch.undo()
    assert bring(tmp_path).removed == ("logbook/logbook-2026-02-14.pdf", "logbook/logbook-2026-02-15.pdf")


def test_a_volume_holds_the_records_of_its_own_days(monkeypatch):
    monkeypatch.setattr(logbook_pdf_period, "MOST_PHOTOS", ENOUGH_FOR_A_DAY)
    setter = LogbookSetter(records(), settings(), vocabulary(), NOWHERE, MAKERS)
    saturday, _ = volumes(records(), setter.zone)
    made = setter.set(setter.filled(saturday, "a4"))
    document = opened(made)
    inside = Records.model_validate_json(attached(document)["records.json"].EF.F.read_bytes())
    assert {one.at.astimezone(setter.zone).date() for one in inside.entries} == {date(2026, 2, 14)}
    assert "Sunday 15 February 2026" not in text_of(made)


def test_a_part_of_a_day_says_which_it_is_and_holds_its_own_entries(monkeypatch):
    monkeypatch.setattr(logbook_pdf_period, "MOST_PHOTOS", 4)
    setter = LogbookSetter(records(), settings(), vocabulary(), NOWHERE, MAKERS)
    parts = [one for one in volumes(records(), setter.zone) if one.first == SATURDAY.date()]
    assert len(parts) > 1
    held = []
    for volume in parts:
        made = setter.set(setter.filled(volume, "a4"))
        assert f"14 February 2026, part {volume.part}" in plain(text_of(made))
        document = opened(made)
        held += Records.model_validate_json(attached(document)["records.json"].EF.F.read_bytes()).entries
    own = [one for one in records().entries if one.at.astimezone(setter.zone).date() == SATURDAY.date()]
    assert held == own


def longer(book: Records, times: int) -> Records:
    """The book with so many sentences more in each entry: its pages break elsewhere."""
    more = " That was all of it, as I saw it." * times
    said = [one.model_copy(update={"read": one.read + more}) for one in book.utterances]
    return book.model_copy(update={"utterances": tuple(said)})


@pytest.mark.parametrize("times", [1, 4])
def test_lines_to_fill_in_never_stand_on_a_page_without_what_they_are_of(times):
    for page in pypdfium2.PdfDocument(logbook(longer(records(), times))):
        words_of_page = plain(page.get_textpage().get_text_bounded())
        found = re.search(r"Entry \d+ \(", words_of_page)
        before = words_of_page[: found.start()] if found else "nothing to fill in"
        ends = ("as I saw it.", "belongs here", "in doubt", "nothing to fill in")
        assert any(one in before for one in ends), words_of_page[:300]
