"""Who acts, however they are called: each command notes the whole name that the book lists."""

import json

import pytest

from pipeline.errors import WrongCommand
from pipeline.review import review_command
from pipeline.review.open_book import OpenBook
from tests.review.a_book import NOW
from tests.test_command_line import command


@pytest.fixture
def opened(book):
    return OpenBook(book, lambda: NOW)


def _acts(book):
    lines = map(json.loads, book.history_file.read_text().splitlines())
    return [(one["act"], one["who"]) for one in lines if not one["who"].startswith("saidseen")]


def test_whoever_acts_may_be_called_by_the_first_name(run_anew, tmp_path):
    entry = OpenBook(run_anew, lambda: NOW).records().entries[0].id
    for words in (
        ("seal", run_anew.folder, tmp_path / "bags", "--who", "ted"),
        ("decide", run_anew.folder, entry, "--accept", "--who", "bea"),
        ("sign", run_anew.folder, entry, "--for", "checked the words", "--who", "Bea"),
        ("vocab", "teach", run_anew.folder, "ladle", "panel", "--who", "TED", "--why", "so it is", "--yes"),
    ):
        done = command(*words)
        assert done.exit_code == 0, done.stderr
    assert _acts(run_anew) == [
        ("seal", "Ted Marrack"), ("accept", "Bea Linnet"), ("sign", "Bea Linnet"), ("teach", "Ted Marrack"),
    ]  # fmt: skip


def test_pages_are_served_to_a_nickname_and_not_to_a_stranger(opened, monkeypatch):
    served = []
    monkeypatch.setattr(review_command, "server_of", lambda book, port, token, who: served.append(who) or _Served())
    review_command.serve(opened, 0, "bee", lambda address: None)
    assert served == ["Bea Linnet"]
    with pytest.raises(WrongCommand, match="nobody called 'Zoe'"):
        review_command.serve(opened, 0, "Zoe", lambda address: None)


class _Served:
    def run(self, sockets):
        pass
