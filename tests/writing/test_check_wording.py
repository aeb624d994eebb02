"""What a check and a seal say to people."""

import html5lib
import pytest

from pipeline.evidence.differences import NOT_LOOKED_AT, Checked, Difference, Kind
from pipeline.writing.check_wording import as_json, difference_line, seal_rows, verdict
from pipeline.writing.seal_page import seal_page

SEAL = "0123456789abcdef" * 4
INFO = {"Bagging-Date": "2026-03-31", "Bag-Size": "1.2 GB", "Payload-Oxum": "1200000000.31"}


def test_a_seal_is_four_rows_of_four_groups_of_four_figures():
    assert seal_rows(SEAL) == ["0123 4567 89ab cdef"] * 4


def test_a_difference_tells_path_hash_expected_and_found():
    one = Difference("data/book.toml", Kind.CHANGED, "sha256", "aa", "bb", within="winter-001")
    assert difference_line(one) == "changed: winter-001/data/book.toml; SHA-256; expected aa; found bb"


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_of_difference_has_words(kind):
    assert difference_line(Difference("x", kind)).endswith(": x")


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("f" + SEAL[1:], "they differ in row 1, group 1"),
        (SEAL[:20] + "0" + SEAL[21:-1] + "0", "they differ in row 2, group 2 and row 4, group 4"),
        ("f" * 64, "they have little in common"),
    ],
)
def test_a_seal_that_was_copied_wrongly_is_told_by_its_group(typed, told):
    assert told in difference_line(Difference("x", Kind.SEAL, "sha256", typed, SEAL))


@pytest.mark.parametrize("kind", Kind)
def test_a_verdict_never_says_whole_where_something_was_found(kind):
    checked = Checked((Difference("x", kind),), 3, (("bag", SEAL),))
    said = " ".join(verdict("bag", checked, False))
    assert "is whole" not in said
    assert ("fails its check" in said) == (kind not in NOT_LOOKED_AT)
    assert as_json(checked)["failed"] == (kind not in NOT_LOOKED_AT)


def test_the_page_is_sound_html_loads_nothing_and_lets_nothing_through():
    page = seal_page("winter-001", SEAL, '<script src="x">', INFO, 7)
    html5lib.HTMLParser(strict=True).parse(page)
    assert "<script" not in page
    assert "http" not in page.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert page.count("<td>") == 16


def test_a_changed_file_that_differs_in_two_hashes_is_one_file():
    found = [Difference("data/a.jpg", Kind.CHANGED, name) for name in ("sha256", "sha512")]
    found.append(Difference("bag-info.txt", Kind.LISTED_OTHERWISE, "Payload-Oxum"))
    first, then, *_ = verdict("bag", Checked(tuple(found), 3, (("bag", SEAL),)), False)
    assert first == "bag fails its check: 1 file differs."
    assert then == "data/a.jpg is not the file that was sealed."


def test_one_thing_that_is_away_is_told_in_the_singular():
    said = list(verdict("bag", Checked((Difference("x", Kind.AWAY),), 3), False))
    assert "1 file or bag is not here. Bring the drive that holds them, and check again." in said
