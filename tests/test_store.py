"""The book's database."""

import sqlite3

import pytest

from pipeline.digests import sha256_of_text
from pipeline.errors import RunFault
from pipeline.store import Store, fingerprint, key_of
from pipeline.values import FileSeen, TimeClue, TimeSource


def seen(path="/media/a.jpg", size=10, modified_ns=5):
    return FileSeen(path=path, size=size, modified_ns=modified_ns)


def test_result_is_found_under_its_key_and_no_other(tmp_path):
    with Store(tmp_path / "book.db") as store:
        store.keep("hear", "sha256:1", "key-1", '{"a":1}')
        assert store.made("hear", "sha256:1", "key-1").value == '{"a":1}'
        assert store.made("hear", "sha256:1", "key-2") is None
        assert store.made("look", "sha256:1", "key-1") is None
        assert store.latest("hear", "sha256:1").key == "key-1"


def test_what_is_kept_of_a_stage_is_told_with_digests_and_without_values(tmp_path):
    with Store(tmp_path / "book.db") as store:
        assert store.keep("hear", "b", "key-1", '{"a":1}') == sha256_of_text('{"a":1}')
        assert store.keep("hear", "a", "key-2", None, "It is cut short.") is None
        store.keep("look", "b", "key-1", '{"a":1}')
        assert store.kept("hear") == {
            "b": ("key-1", sha256_of_text('{"a":1}'), None),
            "a": ("key-2", None, "It is cut short."),
        }
        assert list(store.values("hear")) == [("b", '{"a":1}')]
        with pytest.raises(LookupError):
            store.value("hear", "a")


def test_results_survive_closing_without_a_goodbye(tmp_path):
    store = Store(tmp_path / "book.db")
    store.keep("hear", "x", "k", "1", None)
    with Store(tmp_path / "book.db") as second:
        assert second.made("hear", "x", "k").value == "1"


def test_file_that_changed_is_no_longer_known_but_its_former_content_is_remembered(tmp_path):
    with Store(tmp_path / "book.db") as store:
        store.keep_file(seen(), "sha256:old")
        assert store.current() == {seen().path: (seen().size, seen().modified_ns)}
        store.keep_file(seen(modified_ns=6), "sha256:new")
        assert store.current() == {seen().path: (seen().size, 6)}
        assert [(media, current) for media, _, current in store.files()] == [
            ("sha256:new", True),
            ("sha256:old", False),
        ]


def test_same_content_under_two_names_is_one_media_with_two_files(tmp_path):
    with Store(tmp_path / "book.db") as store:
        store.keep_file(seen("/b.jpg"), "sha256:1")
        store.keep_file(seen("/a.jpg"), "sha256:1")
        assert [file.path for _, file, _ in store.files()] == ["/a.jpg", "/b.jpg"]


def test_damaged_database_is_told_in_one_line_with_what_to_do(tmp_path):
    (tmp_path / "book.db").write_bytes(b"not a database at all, but long enough to be read as one" * 50)
    with pytest.raises(RunFault, match=r"book\.db cannot be used .* move it away"):
        Store(tmp_path / "book.db")


def test_database_of_a_newer_program_is_refused(tmp_path):
    db = sqlite3.connect(tmp_path / "book.db")
    db.execute("PRAGMA user_version=999")
    db.close()
    with pytest.raises(RunFault, match="newer saidseen"):
        Store(tmp_path / "book.db")


def test_fingerprint_depends_on_every_part_and_not_on_the_order_of_keys():
    clue = TimeClue(source=TimeSource.GPS, wall="2026-02-14T10:00:00", offset="+00:00")
    assert fingerprint(clue, {"a": 1, "b": 2}) == fingerprint(clue, {"b": 2, "a": 1})
    assert fingerprint(clue) != fingerprint(clue.model_copy(update={"error_s": 2.0}))
    assert fingerprint("a", "b") != fingerprint("ab")


def test_key_of_texts_and_numbers_is_their_fingerprint():
    for parts in ((), ("look", 2, "sha256:é", 'a "quoted"\\ \n\t\x01\x7f\u2028 😀', "</>", "")):
        assert key_of(*parts) == fingerprint(*parts)
