"""Reports that still stand are left alone; whatever they depend on makes them anew, and the same."""

import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Caution, Records
from pipeline.settings import Edits, PictureEdit, ReportEdit, Settings
from pipeline.values import Kind
from pipeline.writing.supporters import report, up_to_date
from pipeline.writing.supporters.public_files import Public
from pipeline.writing.supporters.up_to_date import bring_report, bring_reports, told_of_reports
from pipeline.writing.supporters.withheld import Withheld
from pipeline.writing.viewing_copies import picture_copy
from pipeline.writing.written_files import Written
from tests.writing.a_weekend import MAKERS, drawn_picture, records, settings, vocabulary

FEBRUARY = "supporters/2026-02/report.html"
_HEX = "0123456789abcdef"


@cache
def _of_month(number: int) -> Records:
    """Return the invented weekend as if it had been in another month of 2026, with ids of its own."""
    moved = number - 2
    turned = str.maketrans(_HEX, _HEX[moved:] + _HEX[:moved])
    text = records().model_dump_json(by_alias=True).replace("2026-02-", f"2026-{number:02}-")
    text = re.sub(r"(?<=sha256:)[0-9a-f]{64}|(?<=\b[ue]-)[0-9a-f]{8}", lambda found: found[0].translate(turned), text)
    return Records.model_validate_json(text)


def winter(*numbers: int) -> Records:
    """Return a book of some months, each of one weekend."""
    parts = [_of_month(number).model_dump(by_alias=True) for number in numbers]
    whole: dict[str, Any] = {"book": parts[0]["book"]}
    for name in ("media", "clocks", "utterances", "entries", "cautions"):
        whole[name] = [one for part in parts for one in part[name]]
    whole["lists"] = {name: [one for part in parts for one in part["lists"][name]] for name in ("to_do", "findings")}
    return Records.model_validate(whole)


def _write(
    out: Path, book: Records, own: Settings | None = None, terms: Vocabulary | None = None
) -> tuple[Written, list[str]]:
    """Write a book, and return what was done, with the months whose reports were made."""
    made: list[str] = []
    real = report.make_report

    def noted(*given: Any) -> Any:
        made.append(given[3])
        return real(*given)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(up_to_date, "make_report", noted)
        return bring_reports(book, own or settings(), terms or vocabulary(), out, MAKERS), made


def _contents(out: Path) -> dict[str, bytes]:
    return {f"{one.relative_to(out)}": one.read_bytes() for one in sorted(out.rglob("*")) if one.is_file()}


def test_a_book_that_grew_month_by_month_holds_the_same_bytes_as_one_made_in_one_go(tmp_path: Path) -> None:
    grown, at_once = tmp_path / "grown" / "out", tmp_path / "at once" / "out"
    made = [_write(grown, winter(*range(2, last)))[1] for last in (3, 4, 5)]
    assert made == [["2026-02"], ["2026-03"], ["2026-04"]]
    _write(at_once, winter(2, 3, 4))
    assert _contents(grown) == _contents(at_once)


def test_a_second_writing_makes_no_report_and_tells_that_all_of_them_are_there(tmp_path: Path) -> None:
    out = tmp_path / "out"
    first, _ = _write(out, winter(2, 3))
    again, made = _write(out, winter(2, 3))
    assert made == []
    assert set(again.unchanged) == set(first.written)


def _with_settings(**more: Any) -> Callable[[], tuple[Records, Settings, Vocabulary]]:
    return lambda: (winter(2), settings().model_copy(update=more), vocabulary())


def _with_a_gloss() -> tuple[Records, Settings, Vocabulary]:
    parts = tuple(one.model_copy(update={"gloss": f"{one.gloss} So it is."}) for one in vocabulary().parts)
    return winter(2), settings(), vocabulary().model_copy(update={"parts": parts})


def _with_an_entry_rejected() -> tuple[Records, Settings, Vocabulary]:
    book = winter(2, 3)
    first = book.entries[0].model_copy(update={"review": "rejected"})
    return book.model_copy(update={"entries": (first, *book.entries[1:])}), settings(), vocabulary()


def _with_other_words() -> tuple[Records, Settings, Vocabulary]:
    book = winter(2)
    first = book.utterances[0].model_copy(update={"read": "It was raining."})
    return book.model_copy(update={"utterances": (first, *book.utterances[1:])}), settings(), vocabulary()


def _with_work_done() -> tuple[Records, Settings, Vocabulary]:
    book = winter(2)
    return book.model_copy(update={"lists": book.lists.model_copy(update={"to_do": ()})}), settings(), vocabulary()


@pytest.mark.parametrize(
    "changed",
    [
        _with_settings(withhold=settings().withhold.model_copy(update={"words": ("aileron",)})),
        _with_settings(people=()),
        _with_settings(supporters=settings().supporters.model_copy(update={"closing": "Come and see it."})),
        _with_a_gloss,
        _with_an_entry_rejected,
        _with_other_words,
        _with_work_done,
    ],
)
def test_what_a_report_depends_on_makes_it_anew_as_if_it_were_the_first_time(
    tmp_path: Path, changed: Callable[[], tuple[Records, Settings, Vocabulary]]
) -> None:
    out, fresh = tmp_path / "out", tmp_path / "fresh" / "out"
    book, own, terms = changed()
    _write(out, winter(2, 3) if len(book.entries) > len(winter(2).entries) else winter(2))
    _, made = _write(out, book, own, terms)
    assert "2026-02" in made
    _write(fresh, book, own, terms)
    assert _contents(out) == _contents(fresh)


def test_a_wish_of_the_editor_makes_the_reports_anew_that_it_is_of_and_no_others(tmp_path: Path) -> None:
    out, fresh = tmp_path / "out", tmp_path / "fresh" / "out"
    _write(out, winter(2, 3))
    wish = Edits(reports=(ReportEdit(report="2026-03", opening="A cold month."),))
    own = settings().model_copy(update={"edits": wish})
    assert _write(out, winter(2, 3), own)[1] == ["2026-03"]
    assert _write(out, winter(2, 3), own)[1] == []
    _write(fresh, winter(2, 3), own)
    assert _contents(out) == _contents(fresh)
    gone = PictureEdit(photo="photo-02.jpg", leave_out=True)
    assert _write(out, winter(2), settings().model_copy(update={"edits": Edits(pictures=(gone,))}))[1] == ["2026-02"]


def test_a_file_that_was_deleted_or_changed_is_made_again(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _write(out, winter(2, 3))
    before = _contents(out)
    (out / FEBRUARY).unlink()
    (out / "supporters" / "2026-03" / "report.md").write_text("something else")
    done, made = _write(out, winter(2, 3))
    assert made == ["2026-02", "2026-03"]
    assert set(done.written) == {FEBRUARY, "supporters/2026-03/report.md"}
    kept = "supporters/2026-03/report-edited.md"
    assert _contents(out) == {**before, kept: b"something else"}


def test_a_viewing_copy_that_was_changed_by_hand_makes_the_report_anew(tmp_path: Path) -> None:
    out = tmp_path / "out"
    photos = {link.media for entry in _of_month(2).entries for link in entry.photos}
    copies = [out / picture_copy(photo) for photo in sorted(photos)]
    for copy in copies:
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(drawn_picture(copy, 400))
    assert _write(out, winter(2, 3))[1] == ["2026-02", "2026-03"]
    changed = drawn_picture(out / "another", 400)
    assert len(changed) == copies[0].stat().st_size
    copies[0].write_bytes(changed)
    assert _write(out, winter(2, 3))[1] == ["2026-02"]
    assert _write(out, winter(2, 3))[1] == []


@pytest.mark.parametrize("what", ["file", "device", "caution"])
def test_a_name_that_came_into_the_book_later_goes_from_a_report_that_was_written_before(
    tmp_path: Path, what: str
) -> None:
    out, fresh = tmp_path / "out", tmp_path / "fresh" / "out"
    named = settings().supporters.model_copy(update={"closing": "We look for a pair of 77alpha now, and like help."})
    own = settings().model_copy(update={"supporters": named})
    _write(out, winter(2), own)
    assert "77alpha" in (out / FEBRUARY).read_text()
    book = winter(2)
    if what == "caution":
        told = Caution(rule="any", text="Mind: look for a pair of 77alpha now!")
        book = book.model_copy(update={"cautions": (*book.cautions, told)})
    else:
        named_so = {"path": "media/77alpha.jpg"} if what == "file" else {"device": "77alpha"}
        at = next(place for place, one in enumerate(book.media) if one.kind != Kind.PHOTO)
        renamed = book.media[at].model_copy(update=named_so)
        book = book.model_copy(update={"media": (*book.media[:at], renamed, *book.media[at + 1 :])})
    _, made = _write(out, book, own)
    assert made == ["2026-02"]
    assert "77alpha" not in (out / FEBRUARY).read_text()
    _write(fresh, book, own)
    assert _contents(out) == _contents(fresh)
    _write(out, winter(2), own)
    assert "77alpha" in (out / FEBRUARY).read_text()


def test_a_report_that_is_held_back_is_told_on_each_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    held = Public({}, (), (Withheld("a name", "a name", "report.html"),))
    with monkeypatch.context() as patch:
        patch.setattr(report, "let_out", lambda *_: held)
        first, again = _write(out, winter(2)), _write(out, winter(2))
    assert first[0].faults == again[0].faults
    assert [place for place, _ in again[0].faults] == [FEBRUARY]
    assert not (out / FEBRUARY).exists()
    assert _write(out, winter(2))[1] == ["2026-02"]
    assert (out / FEBRUARY).exists()


def test_a_list_from_before_there_were_fingerprints_is_taken_over(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _write(out, winter(2))
    whole, listed = _contents(out), out / ".written.json"
    held = json.loads(listed.read_bytes())
    plain = {name.split(" ")[0] if "supporters" in name else name: of for name, of in held.items()}
    listed.write_text(json.dumps(plain))
    done, made = _write(out, winter(2))
    assert made == ["2026-02"]
    assert not done.removed
    assert _contents(out) == whole


ASKED = ("2026-02-14", "2026-02-14-to-2026-03-15", "2026")


def _ask(out: Path, own: Settings) -> None:
    for name in ASKED:
        bring_report(winter(2, 3), own, vocabulary(), out, name, MAKERS)


def _naming(folder: Path, word: str) -> list[str]:
    return sorted(one.parent.name for one in folder.rglob("report*.*") if word in one.read_text())


def test_no_report_still_names_somebody_who_has_withdrawn_and_one_line_tells_which_read_otherwise(
    tmp_path: Path,
) -> None:
    out = tmp_path / "out"
    people = settings().people
    agreed, withdrawn = settings(), settings().model_copy(
        update={"people": (people[0].model_copy(update={"consent": False}), *people[1:])}
    )  # fmt: skip
    _write(out, winter(2, 3), agreed)
    _ask(out, agreed)
    named = {"2026-02", "2026-03", *ASKED}
    assert set(_naming(out / "supporters", "Tamsin")) == named
    assert _write(out, winter(2, 3), agreed)[0].told == ()
    done, _ = _write(out, winter(2, 3), withdrawn)
    assert _naming(out / "supporters", "Tamsin") == []
    assert set(done.otherwise) == named
    line = told_of_reports(done.otherwise)
    assert all(name in line for name in named) and "read otherwise" in line
    assert _write(out, winter(2, 3), withdrawn)[0].otherwise == ()


def test_a_word_that_is_withheld_and_a_photo_that_is_taken_out_reach_the_reports_that_were_asked_for(
    tmp_path: Path,
) -> None:
    out = tmp_path / "out"
    _write(out, winter(2, 3))
    _ask(out, settings())
    kept = settings().withhold.model_copy(update={"words": ("aileron",)})
    _write(out, winter(2, 3), settings().model_copy(update={"withhold": kept}))
    assert _naming(out / "supporters", "aileron") == []
    bare = tuple(one.model_copy(update={"photos": ()}) for one in winter(2, 3).entries)
    _write(out, winter(2, 3).model_copy(update={"entries": bare}))
    assert not list((out / "supporters").rglob("*.jpg"))


def test_a_report_of_days_in_which_nothing_was_done_any_more_is_taken_away_and_told(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _write(out, winter(2, 3))
    bring_report(winter(2, 3), settings(), vocabulary(), out, "2026-02-14", MAKERS)
    done, _ = _write(out, winter(3))
    assert [one.name for one in sorted((out / "supporters").iterdir())] == ["2026-03"]
    assert [one for one in done.told if "2026-02-14 was taken away" in one]


def test_a_file_of_another_hand_among_the_reports_is_told_where_it_holds_what_may_not_go_out(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _write(out, winter(2))
    other = out / "supporters" / "2026-02" / "mine.md"
    other.write_text("The wing came off.\n")
    assert _write(out, winter(2))[0].told == ()
    other.write_text("Wilf Harkaway took the wing off.\n")
    (line,) = _write(out, winter(2))[0].told
    assert "mine.md" in line and "Wilf Harkaway" in line
    assert other.exists()


def test_a_title_that_is_held_back_is_told_in_one_line(tmp_path: Path) -> None:
    titled = settings().supporters.model_copy(update={"title": "News from Netherby Lock"})
    own = settings().model_copy(update={"supporters": titled})
    (line,) = _write(tmp_path / "out", winter(2, 3), own)[0].told
    assert line == "book.toml: the title is not in the reports (a place to be withheld)."
    assert "Netherby" not in (tmp_path / "out" / FEBRUARY).read_text()
