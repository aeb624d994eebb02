import json
import shutil
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from pipeline.errors import ItemFault
from pipeline.records import Records
from pipeline.writing import written_files
from pipeline.writing.records_file import records_json
from pipeline.writing.viewing_copies import Makers
from pipeline.writing.write import write_book, write_report
from pipeline.writing.written_files import place_files
from tests.writing.a_weekend import MAKERS, SATURDAY, SUNDAY, drawn_picture, records, settings, vocabulary
from tests.writing.reading_pages import read_page


def _write(out: Path, book: Records | None = None, makers: Makers = MAKERS) -> written_files.Written:
    return write_book(book or records(), settings(), vocabulary(), out, makers)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book's ``out/``, written once; nobody changes it."""
    out = tmp_path_factory.mktemp("whole") / "out"
    _write(out)
    return out


@pytest.fixture
def out(whole: Path, tmp_path: Path) -> Path:
    """A copy of it that a test may change."""
    return Path(shutil.copytree(whole, tmp_path / "out"))


def test_a_second_writing_changes_nothing_and_asks_for_no_copy(tmp_path: Path) -> None:
    out = tmp_path / "out"
    first = _write(out)
    before = {path: path.stat().st_mtime_ns for path in out.rglob("*") if path.is_file()}
    asked: list[Path] = []

    def picture(path: Path, longest_px: int) -> bytes:
        asked.append(path)
        return drawn_picture(path, longest_px)

    again = _write(out, makers=Makers(picture, MAKERS.still, MAKERS.sound))
    assert first.written and not again.written
    assert not asked
    assert before == {path: path.stat().st_mtime_ns for path in out.rglob("*") if path.is_file()}


def test_a_page_that_is_no_longer_made_goes_and_a_strangers_file_stays(out: Path) -> None:
    mine = out / "logbook" / "notes of my own.html"
    mine.write_text("mine")
    book = records()
    saturday = tuple(one for one in book.entries if one.at.date() == SATURDAY.date())
    media = tuple(one for one in book.media if one.taken_at.date() == SATURDAY.date())
    smaller = book.model_copy(
        update={"entries": saturday, "media": media, "unplaced_speech": (), "unplaced_photos": ()}
    )
    gone = _write(out, smaller)
    assert "logbook/2026-02-15.html" in gone.removed
    assert not (out / "logbook" / "2026-02-15.html").exists()
    assert mine.read_text() == "mine"


def test_the_report_of_a_month_that_is_gone_goes_too(out: Path) -> None:
    assert (out / "supporters" / "2026-02" / "report.html").is_file()
    done = _write(out, Records(book=records().book))
    assert "supporters/2026-02/report.html" in done.removed
    assert not (out / "supporters").exists()
    assert not (out / "pictures").exists()


def test_every_link_leads_to_a_file(tmp_path: Path) -> None:
    out = tmp_path / "out"
    for media in records().media:
        file = tmp_path / media.path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.touch()
    _write(out)
    pages = list(out.rglob("*.html"))
    assert {"index.html", "registers.html", "timeline.html", "to-settle.html"} <= {page.name for page in pages}
    for page in pages:
        for element in read_page(page.read_text(encoding="utf-8")).everything():
            for link in (element.attributes.get("href"), element.attributes.get("src")):
                if link and not link.startswith(("#", "data:")):
                    target = (page.parent / unquote(urlsplit(link).path)).resolve()
                    assert target.is_file(), (page.name, link)


def test_only_the_day_that_changed_is_written_anew(out: Path) -> None:
    book = records()
    last = book.entries[-1].model_copy(update={"review": "accepted"})
    done = _write(out, book.model_copy(update={"entries": (*book.entries[:-1], last)}))
    assert set(done.written) == {"logbook/2026-02-15.html", "logbook/logbook.pdf", "records.json"}


def test_a_photo_that_cannot_be_copied_is_told_and_the_page_says_so(tmp_path: Path) -> None:
    def picture(path: Path, longest_px: int) -> bytes:
        if path.name == "photo-01.jpg":
            raise ItemFault("The picture is cut short.")
        return drawn_picture(path, longest_px)

    done = _write(tmp_path / "out", makers=Makers(picture, MAKERS.still, MAKERS.sound))
    assert ("media/photo-01.jpg", "The picture is cut short.") in done.faults
    page = (tmp_path / "out" / "logbook" / "2026-02-14.html").read_text(encoding="utf-8")
    assert "No viewing copy could be made of this photo." in page


@pytest.mark.parametrize("at", [1, 3, 8, 15])
def test_a_writing_that_is_killed_leaves_whole_files_and_can_be_done_again(
    tmp_path: Path, whole: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    out = tmp_path / "out"
    real = written_files.write_file
    count = 0

    def dies(path: Path, content: bytes) -> bool:
        nonlocal count
        count += 1
        if count == at:
            raise KeyboardInterrupt
        return real(path, content)

    monkeypatch.setattr(written_files, "write_file", dies)
    with pytest.raises(KeyboardInterrupt):
        _write(out)
    monkeypatch.setattr(written_files, "write_file", real)
    _write(out)
    assert _contents(out) == _contents(whole)


def test_a_list_that_leads_out_of_the_folder_removes_nothing_there(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    outside = tmp_path / "precious.jpg"
    outside.write_text("x")
    (out / ".written.json").write_text(
        json.dumps({"book": ["../precious.jpg", str(outside), "a/../../precious.jpg"]})
    )
    place_files(out, "book", {"page.html": b"x"})
    assert outside.exists()


def test_records_are_canonical_and_read_back_the_same() -> None:
    text = records_json(records())
    assert text == records_json(Records.model_validate_json(text))
    assert text.endswith(b"}\n")
    assert list(json.loads(text)) == sorted(json.loads(text))


def test_a_report_for_any_period_lies_in_a_folder_of_its_own(tmp_path: Path) -> None:
    page = write_report(records(), settings(), vocabulary(), tmp_path / "out", SATURDAY.date(), SUNDAY.date(), MAKERS)
    assert page == tmp_path / "out" / "supporters" / "2026-02-14-to-2026-02-15" / "report.html"
    assert page.is_file()


def _contents(out: Path) -> dict[str, bytes]:
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in sorted(out.rglob("*")) if path.is_file()}
