"""What reports work out is kept from run to run, and no book keeps what was said in another."""

from pathlib import Path

import pytest

from pipeline.hearing import frequency
from pipeline.writing.supporters import worked_out
from pipeline.writing.supporters.past import Past
from pipeline.writing.supporters.worked_out import kept_in, past_kept, tagged, zipf

TEXT = "The port rudder is off, and Wilf has the bolts."
LIST = ".worked-out.json"


@pytest.fixture
def no_tagger(monkeypatch: pytest.MonkeyPatch) -> None:
    def none_is_needed(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr(worked_out, "tag_words_and_people", none_is_needed)
    monkeypatch.setattr(frequency, "zipf", none_is_needed)


def _work_out(out: Path) -> tuple[object, ...]:
    out.mkdir(exist_ok=True)
    with kept_in(out):
        return (
            tagged([TEXT]),
            zipf("rudder"),
            past_kept("of the winter", lambda: Past(explained=frozenset({"rudder"}))),
        )


def test_what_was_worked_out_is_known_to_the_next_run(tmp_path, request):
    before = _work_out(tmp_path)
    request.getfixturevalue("no_tagger")
    assert _work_out(tmp_path) == before


def test_what_was_said_in_one_book_is_not_kept_in_another(tmp_path):
    _work_out(tmp_path / "one")
    (tmp_path / "other").mkdir()
    with kept_in(tmp_path / "other"):
        tagged(["Nothing of it."])
    assert "rudder" not in (tmp_path / "other" / LIST).read_text(encoding="utf-8")


@pytest.mark.parametrize("held", ["", "[]", '{"a": 1}', '["", {}, {}, {}]'])
def test_a_list_that_is_none_is_passed_over(tmp_path, held):
    before = _work_out(tmp_path)
    (tmp_path / LIST).write_text(held, encoding="utf-8")
    assert _work_out(tmp_path) == before


def test_what_earlier_reports_told_is_worked_out_again_where_it_was_made_from_something_else(tmp_path):
    with kept_in(tmp_path):
        assert past_kept("one", lambda: Past(explained=frozenset({"rudder"}))).explained == {"rudder"}
        assert past_kept("other", lambda: Past(explained=frozenset({"flap"}))).explained == {"flap"}
        assert past_kept("", Past) == past_kept("", Past) == Past()


def test_no_more_is_kept_than_some_large_months_have(tmp_path, monkeypatch):
    monkeypatch.setattr(worked_out, "_MOST_TEXTS", 2)
    with kept_in(tmp_path):
        tagged(["One bolt.", "Two bolts.", "Three bolts."])
        assert list(worked_out._TAGGED) == ["Two bolts.", "Three bolts."]
