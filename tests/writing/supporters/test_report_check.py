from datetime import date
from pathlib import Path

from pipeline.writing.supporters.report_check import Checked, check_lines, report_check
from pipeline.writing.supporters.withheld import Withheld
from tests.writing.a_weekend import MAKERS, SATURDAY, SUNDAY, vocabulary
from tests.writing.supporters.secret_book import secret_records, secret_settings


def test_the_editor_is_told_what_is_left_out_and_why_and_nothing_is_written(tmp_path: Path) -> None:
    told = ["Sue reckons the wing is airworthy.", "Wilf held the lamp."]
    days = SATURDAY.date(), SUNDAY.date()
    checked = report_check(secret_records(told), secret_settings(), vocabulary(), tmp_path / "out", *days, MAKERS)
    assert not checked.fault
    found = {(one.what, one.why) for one in checked.withheld}
    assert ("Sue reckons the wing is airworthy.", "a name that is not in the team's list: Sue") in found
    assert ("Sue reckons the wing is airworthy.", "a claim about safety or airworthiness") in found
    assert ("Wilf held the lamp.", "the name of Wilf Harkaway, who has not agreed to be named") in found
    assert any(why == "a finding that has not been released" for _, why in found)
    assert any(why == "a storage place" for _, why in found)
    assert not list(tmp_path.rglob("*"))


def test_only_the_days_of_the_report_are_listed(tmp_path: Path) -> None:
    told = ["Wilf held the lamp."]
    sunday = report_check(
        secret_records(told), secret_settings(), vocabulary(), tmp_path / "out", SUNDAY.date(), SUNDAY.date(), MAKERS
    )
    assert all(one.what != "Wilf held the lamp." for one in sunday.withheld)


def test_pictures_are_listed_by_number_and_a_year_has_its_own_name(tmp_path: Path) -> None:
    days = date(2026, 1, 1), date(2026, 12, 31)
    out = tmp_path / "out"
    year = report_check(secret_records(), secret_settings(), vocabulary(), out, *days, MAKERS, year=True)
    assert year.name == "2026"
    weekend = report_check(
        secret_records(), secret_settings(), vocabulary(), out, SATURDAY.date(), SUNDAY.date(), MAKERS
    )
    files = [file for file, _, _ in weekend.pictures]
    assert len(files) > 1 and files == sorted(files)


def test_lines_of_one_reason_stand_together_and_rare_reasons_first(tmp_path: Path) -> None:
    days = SATURDAY.date(), SUNDAY.date()
    checked = report_check(secret_records(), secret_settings(), vocabulary(), tmp_path / "out", *days, MAKERS)
    reasons = [why for why, _, _ in check_lines(checked)]
    runs = [why for at, why in enumerate(reasons) if at == 0 or reasons[at - 1] != why]
    assert len(runs) == len(set(runs))
    assert [reasons.count(why) for why in runs] == sorted(reasons.count(why) for why in runs)


def test_the_strangers_of_one_sentence_are_told_in_one_line() -> None:
    said = "Mr Tolliver from the Gazette came by."
    checked = Checked(tuple(Withheld(said, f"a name that is not in the team's list: {one}", "e-1")
                            for one in ("Tolliver", "Gazette")), "")  # fmt: skip
    assert check_lines(checked) == [("a name that is not in the team's list: Tolliver, Gazette", said, "e-1")]
