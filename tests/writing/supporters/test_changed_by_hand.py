"""A report's file that a person has changed is kept beside before the report is made anew, and that is told."""

from pathlib import Path

from pipeline.settings import Settings
from pipeline.writing.supporters.up_to_date import bring_reports
from tests.writing.a_weekend import MAKERS, records, settings, vocabulary

REPORT = "supporters/2026-02"


def _write(out: Path, own: Settings | None = None) -> tuple[str, ...]:
    return _by_hand(bring_reports(records(), own or settings(), vocabulary(), out, MAKERS).told)


def _by_hand(told: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(one for one in told if "changed by hand" in one)


def test_a_changed_file_is_kept_beside_once_and_told_once(tmp_path: Path) -> None:
    folder = tmp_path / REPORT
    assert _write(tmp_path) == ()
    made = (folder / "report.md").read_bytes()
    (folder / "report.md").write_text("# My own words\n")
    (line,) = _write(tmp_path)
    assert line.startswith(f"{folder / 'report.md'} was changed by hand: it is kept as report-edited.md")
    assert "edits.toml" in line
    assert (folder / "report.md").read_bytes() == made
    assert (folder / "report-edited.md").read_text() == "# My own words\n"
    assert _write(tmp_path) == ()
    assert sorted(one.name for one in folder.glob("report*")) == [
        "report-edited.md", "report-in-one.html", "report.html", "report.md",
    ]  # fmt: skip


def test_a_second_change_has_a_name_of_its_own_and_the_same_again_has_not(tmp_path: Path) -> None:
    folder = tmp_path / REPORT
    for text in ("one", "two", "two"):
        _write(tmp_path)
        (folder / "report.html").write_text(text)
        _write(tmp_path)
    assert (folder / "report-edited.html").read_text() == "one"
    assert (folder / "report-edited-2.html").read_text() == "two"
    assert not (folder / "report-edited-3.html").exists()


def test_a_report_that_is_made_anew_for_another_reason_keeps_the_change_too(tmp_path: Path) -> None:
    _write(tmp_path)
    (tmp_path / REPORT / "report.md").write_text("mine")
    title = settings().supporters.model_copy(update={"title": "News of the winter"})
    (line,) = _write(tmp_path, settings().model_copy(update={"supporters": title}))
    assert "report-edited.md" in line
    assert "News of the winter" in (tmp_path / REPORT / "report.md").read_text()
    assert (tmp_path / REPORT / "report-edited.md").read_text() == "mine"


def test_a_month_that_goes_leaves_what_was_changed_in_it(tmp_path: Path) -> None:
    _write(tmp_path)
    (tmp_path / REPORT / "report.md").write_text("mine")
    empty = records().model_copy(update={"entries": ()})
    (line,) = _by_hand(bring_reports(empty, settings(), vocabulary(), tmp_path, MAKERS).told)
    assert "report-edited.md" in line
    assert [one.name for one in (tmp_path / REPORT).iterdir()] == ["report-edited.md"]


def test_what_the_program_wrote_is_never_taken_for_a_change(tmp_path: Path) -> None:
    _write(tmp_path)
    title = settings().supporters.model_copy(update={"title": "News"})
    assert _write(tmp_path, settings().model_copy(update={"supporters": title})) == ()
    (tmp_path / REPORT / "report.md").unlink()
    assert _write(tmp_path) == ()
