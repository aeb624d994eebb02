"""What a killed process leaves behind is cleared by the next one, and nothing else is."""

import os
import tempfile
import time
from datetime import date

from pipeline.book import new_book
from pipeline.intake.beside import beside
from pipeline.writing import typesetting
from pipeline.writing.written_files import clear_unfinished

TWO_DAYS_S = 2 * 86_400


def test_book_whose_making_was_killed_can_be_made(tmp_path):
    (tmp_path / "book" / "vocab").mkdir(parents=True)
    (tmp_path / "book" / ".book.toml.part").write_text("[aircr", encoding="utf-8")
    book = new_book(tmp_path / "book", date(2026, 3, 1))
    assert book.settings().aircraft.name == "Our aircraft"
    assert sorted(path.name for path in book.folder.iterdir()) == ["book.toml", "edits.toml", "vocab"]


def test_pages_that_were_not_moved_into_place_are_cleared_and_no_other_file(tmp_path):
    for name in (".index.html.part", "index.html", ".keep", "a.part"):
        (tmp_path / "logbook").mkdir(exist_ok=True)
        (tmp_path / "logbook" / name).write_text("x", encoding="utf-8")
    clear_unfinished(tmp_path)
    assert sorted(path.name for path in (tmp_path / "logbook").iterdir()) == [".keep", "a.part", "index.html"]


def test_file_that_another_process_still_writes_is_not_the_one_that_is_written(tmp_path):
    to = tmp_path / "copy.m4a"
    with (tmp_path / ".copy.m4a.part").open("wb") as orphan:
        with beside(to) as part:
            part.write_bytes(b"whole")
            orphan.write(b"of the run that was killed")
            orphan.flush()
        assert to.read_bytes() == b"whole"


def test_pictures_that_a_killed_setting_left_are_cleared_a_day_later(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    for name, age_s in (("saidseen-setting-old", TWO_DAYS_S), ("saidseen-setting-new", 0), ("other", TWO_DAYS_S)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "1.jpg").write_bytes(b"x")
        os.utime(tmp_path / name, (time.time() - age_s,) * 2)
    typesetting._clear_what_was_left()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["other", "saidseen-setting-new"]
