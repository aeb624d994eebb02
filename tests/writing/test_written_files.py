"""What is written under ``out/``, and what is noted of it."""

import hashlib
import json

import pytest

from pipeline.writing import written_files
from pipeline.writing.written_files import hash_of, note_made, place_files, written_before, written_hashes


def sha256(content):
    return hashlib.sha256(content).hexdigest()


def test_the_hash_of_every_file_is_noted(tmp_path):
    place_files(tmp_path, "book", {"a.html": b"a", "b/c.csv": b"c"})
    assert written_hashes(tmp_path) == {"a.html": sha256(b"a"), "b/c.csv": sha256(b"c")}


def test_a_file_that_is_kept_keeps_the_hash_it_had_even_if_somebody_changed_it(tmp_path):
    place_files(tmp_path, "copies", {"a.jpg": b"a"})
    (tmp_path / "a.jpg").write_bytes(b"changed")
    place_files(tmp_path, "copies", {}, frozenset({"a.jpg"}))
    assert written_hashes(tmp_path) == {"a.jpg": sha256(b"a")}


def test_files_that_are_made_one_by_one_are_noted_when_they_are_there(tmp_path):
    place_files(tmp_path, "copies", {}, frozenset({"a.jpg", "b.jpg"}))
    assert written_hashes(tmp_path) == {"a.jpg": "", "b.jpg": ""}
    (tmp_path / "a.jpg").write_bytes(b"a")
    note_made(tmp_path, "copies", ["a.jpg"])
    assert written_hashes(tmp_path) == {"a.jpg": sha256(b"a"), "b.jpg": ""}


def test_a_list_without_hashes_is_read_and_gets_them(tmp_path):
    (tmp_path / "a.html").write_bytes(b"a")
    (tmp_path / ".written.json").write_text(json.dumps({"book": ["a.html", "../out.html"]}))
    assert written_hashes(tmp_path) == {"a.html": ""}
    assert written_before(tmp_path, "book") == {"a.html"}
    place_files(tmp_path, "book", {"a.html": b"a"})
    assert written_hashes(tmp_path) == {"a.html": sha256(b"a")}


def test_a_run_that_is_killed_half_way_leaves_no_wrong_hash(tmp_path, monkeypatch):
    place_files(tmp_path, "book", {"a.html": b"a", "b.html": b"b"})
    real = written_files.write_file

    def killed(path, content):
        if path.name == "b.html":
            raise KeyboardInterrupt
        return real(path, content)

    monkeypatch.setattr(written_files, "write_file", killed)
    with pytest.raises(KeyboardInterrupt):
        place_files(tmp_path, "book", {"a.html": b"new", "b.html": b"new", "c.html": b"c"})
    for place, digest in written_hashes(tmp_path).items():
        path = tmp_path / place
        assert digest == "" or sha256(path.read_bytes()) == digest


def test_list_of_what_was_written_is_read_once_for_each_state_of_it(tmp_path, monkeypatch):
    place_files(tmp_path, "book", {"a.txt": b"a"})
    read = []
    honest = json.loads
    monkeypatch.setattr(json, "loads", lambda text: read.append(text) or honest(text))
    for _ in range(3):
        assert written_before(tmp_path, "book") == {"a.txt"}
        place_files(tmp_path, "book", {"a.txt": b"a"})
    assert len(read) <= 1
    (tmp_path / ".written.json").write_text("{}")
    assert written_before(tmp_path, "book") == frozenset()


def test_a_long_file_is_written_piece_by_piece_and_only_where_it_has_changed(tmp_path):
    def pieces():
        yield from (b"one, ", b"two")

    first = place_files(tmp_path, "book", {"a.txt": b"a"}, long={"long.txt": pieces})
    assert first.written == ("a.txt", "long.txt")
    assert (tmp_path / "long.txt").read_bytes() == b"one, two"
    assert written_hashes(tmp_path)["long.txt"] == hash_of(tmp_path / "long.txt")
    before = (tmp_path / ".written.json").stat().st_mtime_ns
    assert place_files(tmp_path, "book", {"a.txt": b"a"}, long={"long.txt": pieces}).written == ()
    assert (tmp_path / ".written.json").stat().st_mtime_ns == before
    assert place_files(tmp_path, "book", {"a.txt": b"a"}).removed == ("long.txt",)


def test_of_a_long_file_that_cannot_be_finished_nothing_is_left_and_what_was_there_stays(tmp_path):
    place_files(tmp_path, "book", {}, long={"long.txt": lambda: [b"as it was"]})

    def full():
        yield b"some"
        raise OSError("no space left")

    with pytest.raises(OSError, match="no space left"):
        place_files(tmp_path, "book", {"a.txt": b"a"}, long={"long.txt": full, "other.txt": lambda: [b"x"]})
    assert {path.name for path in tmp_path.iterdir()} == {".written.json", "long.txt"}
    assert (tmp_path / "long.txt").read_bytes() == b"as it was"


def test_of_files_that_come_in_lots_one_lot_is_made_when_the_one_before_is_written(tmp_path):
    there = []

    def lot(place):
        there.append(sorted(path.name for path in tmp_path.glob("*.html")))
        return {place: b"a page"}

    places = ("1.html", "2.html", "3.html")
    place_files(tmp_path, "days", {}, coming={(place,): lambda place=place: lot(place) for place in places})
    assert there == [[], ["1.html"], ["1.html", "2.html"]]


def test_a_folder_that_a_killed_run_left_empty_is_removed_by_the_next(tmp_path, monkeypatch):
    place_files(tmp_path, "report", {"2026-02/pictures/a.jpg": b"a", "2026-02/report.html": b"r"})
    with monkeypatch.context() as patched, pytest.raises(KeyboardInterrupt):
        patched.setattr("pathlib.Path.rmdir", _killed)
        place_files(tmp_path, "report", {"2026-02/report.html": b"r"})
    assert (tmp_path / "2026-02/pictures").is_dir()
    place_files(tmp_path, "report", {"2026-02/report.html": b"r"})
    assert [path.name for path in (tmp_path / "2026-02").iterdir()] == ["report.html"]
    place_files(tmp_path, "report", {})
    assert not (tmp_path / "2026-02").exists()


def _killed(path):
    raise KeyboardInterrupt
