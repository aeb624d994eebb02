"""Of ``records.json`` that is written again, what tells the same is copied from the one that is there."""

from pathlib import Path

import pytest

from pipeline.records import Records
from pipeline.writing import records_file
from pipeline.writing.records_file import RecordsFile, records_json
from tests.writing.a_weekend import records


def _write(out: Path, held: Records) -> RecordsFile:
    out.mkdir(exist_ok=True)
    file = RecordsFile(held, out)
    content = b"".join(file.pieces())  # all of it, before the file that it is copied from is another
    (out / "records.json").write_bytes(content)
    file.keep()
    return file


def _told(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Return a list that each value is added to which is put into words anew."""
    told: list[object] = []
    honest = records_file._Leaf.told
    monkeypatch.setattr(records_file._Leaf, "told", lambda self: told.append(self.value) or honest(self))
    return told


def _with_one_more_photo() -> Records:
    held = records()
    return held.model_copy(update={"media": (held.media[0].model_copy(update={"device": "Another"}), *held.media)})


def test_records_with_one_more_photo_are_copied_but_for_that_photo(tmp_path, monkeypatch):
    _write(tmp_path, records())
    told = _told(monkeypatch)
    _write(tmp_path, _with_one_more_photo())
    assert told == [_with_one_more_photo().media[0]]
    assert (tmp_path / "records.json").read_bytes() == records_json(_with_one_more_photo())


def test_a_file_that_was_changed_by_hand_is_not_copied_from(tmp_path):
    _write(tmp_path, records())
    path = tmp_path / "records.json"
    path.write_bytes(path.read_bytes().replace(b"Port", b"Star").replace(b"port", b"star"))
    _write(tmp_path, records())
    assert path.read_bytes() == records_json(records())


@pytest.mark.parametrize("held", ["", "no list", "a b\nc d e"])
def test_a_list_that_is_none_is_passed_over(tmp_path, held):
    _write(tmp_path, records())
    (tmp_path / ".records-pieces").write_text(held, encoding="utf-8")
    _write(tmp_path, records())
    assert (tmp_path / "records.json").read_bytes() == records_json(records())


def test_another_program_copies_nothing(tmp_path, monkeypatch):
    _write(tmp_path, records())
    told = _told(monkeypatch)
    monkeypatch.setattr(records_file, "made_by", lambda: "another")
    _write(tmp_path, records())
    assert told
