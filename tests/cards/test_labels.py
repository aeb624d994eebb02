import json
import re
from datetime import date

import pypdfium2
import pytest

from pipeline.book import new_book, own_files
from pipeline.cards import labels as label_module
from pipeline.cards.labels import highest_number, label_number, label_sheet
from pipeline.cards.printing import print_labels
from pipeline.errors import WrongCommand
from pipeline.writing.records_file import records_json
from tests.writing.a_weekend import records


@pytest.fixture
def book(tmp_path):
    return new_book(tmp_path / "book", date(2026, 2, 14), aircraft="Crew Trainer")


def numbers(count, first=1, prefix="P"):
    return [label_number(prefix, number) for number in range(first, first + count)]


def words_of(sheet):
    return [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(sheet)]


def test_number_has_at_least_four_figures():
    assert [label_number("P", number) for number in (1, 143, 12345)] == ["P-0001", "P-0143", "P-12345"]


def test_highest_number_is_of_the_prefix_only():
    tags = ["P-0142", "PB-0900", "P-77", "BAG 999", "P-12A", "XP-5000"]
    assert highest_number(tags, "P") == 142
    assert highest_number(tags, "Q") == 0


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_sheet_has_eight_labels_with_lines_to_write_on_and_says_that_it_certifies_nothing(paper):
    pages = words_of(label_sheet(numbers(9), paper, "Crew Trainer"))
    assert [len(re.findall(r"P-\d{4}", words)) for words in pages] == [8, 1]
    for words in ("part", "side", "from where", "date", "initials", label_module.STANDING, "Crew Trainer"):
        assert words in pages[1]


def test_sheet_is_as_large_as_its_paper():
    sizes = {"a4": (595.28, 841.89), "letter": (612, 792)}  # ISO 216 and ANSI/ASME Y14.1, in points
    for paper, size in sizes.items():
        assert pypdfium2.PdfDocument(label_sheet(numbers(1), paper))[0].get_size() == pytest.approx(size, abs=0.1)


def test_same_numbers_give_the_same_bytes():
    assert label_sheet(numbers(3), "a4", "Crew Trainer") == label_sheet(numbers(3), "a4", "Crew Trainer")


def test_long_name_of_an_aircraft_is_cut_and_one_with_signs_is_taken_as_it_is():
    (words,) = words_of(label_sheet(numbers(1), "a4", '#name "of" $a$ *trainer* ' + "x" * 100))
    assert '#name "of" $a$ *trainer*' in words
    assert "…" in words and "x" * 30 not in words


def test_labels_go_on_from_the_last_and_each_prefix_has_its_own(book):
    assert print_labels(book, 2).numbers == ("P-0001", "P-0002")
    assert print_labels(book, 1, prefix="b").numbers == ("B-0001",)
    done = print_labels(book, 2)
    assert (done.numbers, done.again) == (("P-0003", "P-0004"), False)
    assert done.file == book.out / "labels" / "P-0003-to-P-0004.pdf"
    assert done.file.read_bytes().startswith(b"%PDF-")
    assert (book.out / "labels" / "B-0001.pdf").exists()


def test_labels_go_on_from_the_highest_tag_in_the_book(book):
    book.out.mkdir()
    (book.out / "records.json").write_bytes(records_json(records()))
    highest = max(fact.tag for entry in records().entries for fact in entry.facts if fact.tag)
    assert highest == "P-0101"
    assert print_labels(book, 1).numbers == ("P-0102",)


def test_number_that_was_printed_before_can_be_printed_again_and_is_told(book):
    print_labels(book, 5)
    done = print_labels(book, 2, first=3)
    assert (done.numbers, done.again) == (("P-0003", "P-0004"), True)
    assert print_labels(book, 1).numbers == ("P-0006",)


def test_numbers_may_begin_anywhere_higher(book):
    assert not print_labels(book, 1, first=500).again
    assert print_labels(book, 1).numbers == ("P-0501",)


def test_file_may_be_named(book, tmp_path):
    assert print_labels(book, 1, to=tmp_path / "mine" / "tags.pdf").file.exists()


def test_file_of_the_numbers_is_no_media(book):
    print_labels(book, 1)
    assert own_files([book.labels_file]) == {book.labels_file}


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"prefix": "ABC"}, "one or two letters"),
        ({"prefix": "É"}, "one or two letters"),
        ({"paper": "a5"}, "Use a4 or letter"),
        ({"first": 99_999}, "five figures at most"),
    ],
)
def test_what_cannot_be_asked_is_told_and_no_number_is_used_up(book, asked, said):
    with pytest.raises(WrongCommand, match=said):
        print_labels(book, 2, **asked)
    assert not book.labels_file.exists()


@pytest.mark.parametrize("held", ["", "{}", "[]", '{"highest": {"P": "many"}}', '{"highest": 7}'])
def test_damaged_file_of_numbers_is_told_with_what_to_do(book, held):
    book.labels_file.write_text(held)
    with pytest.raises(WrongCommand, match=r"labels\.json cannot be read"):
        print_labels(book, 1)


def test_records_that_cannot_be_read_are_told_with_what_to_do(book):
    book.out.mkdir()
    (book.out / "records.json").write_text(json.dumps({"schema": "saidseen/records/0"}))
    with pytest.raises(WrongCommand, match="saidseen run"):
        print_labels(book, 1)


def test_file_that_cannot_be_written_is_told(book, tmp_path):
    (tmp_path / "in the way").write_text("x")
    with pytest.raises(WrongCommand, match="cannot be written"):
        print_labels(book, 1, to=tmp_path / "in the way" / "tags.pdf")
