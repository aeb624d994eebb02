import json
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hardware.part_numbers import PartNumber, describe, find_part_numbers
from tests.said_numbers import in_words


def only(text: str) -> PartNumber:
    (found,) = find_part_numbers(text)
    return found


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("AN4-12A", "AN4-12A"),
        ("AN 4 12 A", "AN4-12A"),
        ("A.N.4-12A", "AN4-12A"),
        ("an 4-12A", "AN4-12A"),
        ("A N four dash twelve A", "AN4-12A"),
        ("A N four twelve A", "AN4-12A"),
        ("ay en four dash twelve alpha", "AN4-12A"),
        ("alpha november four dash twelve alpha", "AN4-12A"),
        ("a n four dash twelve a", "AN4-12A"),
        ("AN five H dash twenty seven A", "AN5H-27A"),
        ("AN3 DD 5A", "AN3DD5A"),
        ("AN 4 bolts", "AN4"),
        ("M S twenty four seventy A D four dash five", "MS20470AD4-5"),
        ("M S two oh four seven oh A D four dash five", "MS20470AD4-5"),
        ("MS 20,470 AD4-5", "MS20470AD4-5"),
        ("MS20470 AD 4 - 3.5", "MS20470AD4-3.5"),
        ("M S two oh four two six A D four dash three point five", "MS20426AD4-3.5"),
        ("NASM20470AD4-5", "NASM20470AD4-5"),
        ("A N four seventy A D four dash five", "AN470AD4-5"),
        ("A N three ten dash five", "AN310-5"),
        ("A N three hundred and ten dash five", "AN310-5"),
        ("A N three six five dash ten thirty two", "AN365-1032"),
        ("A N nine sixty dash four sixteen L", "AN960-416L"),
        ("N A S six two oh four dash twelve D", "NAS6204-12D"),
        ("NAS eleven forty nine F oh four six three P", "NAS1149F0463P"),
        ("AN931-6-16", "AN931-6-16"),
        ("MS21042-3", "MS21042-3"),
        ("AGS 2004/C", "AGS 2004/C"),
        ("AGS2004-C", "AGS 2004-C"),
        ("ags 2004/c", "AGS 2004/C"),
        ("MS24694-S52", "MS24694-S52"),
        ("A G S two thousand and four stroke C", "AGS 2004/C"),
        ("an AS 1245-12 bolt", "AS 1245-12"),
        ("S P eighty dash four", "SP 80-4"),
        ("BS 2SP 83", "BS 2SP 83"),
        ("B S A one oh two dash fourteen E", "BS A102-14E"),
    ],
)
def test_part_number_is_known_however_it_is_said(said: str, number: str) -> None:
    text = f"We fitted {said}, that's all."
    found = only(text)
    assert found.number == number
    assert text[found.start : found.end] in (said, said.removesuffix(" bolts"), said[3:].removesuffix(" bolt"))


@pytest.mark.parametrize(
    "text",
    [
        "We undid an four bolts.",
        "an eight bolt flange",
        "An 8-10 inch gap at the root.",
        "an 8-10 mm gap",
        "an 18-20 bolt joint",
        "an 11/16 spanner",
        "an 80-90 year old aeroplane",
        "an 800 psi leak",
        "as 2 of them were loose",
        "same as 2004-5, the wet season",
        "as 2004 wore on",
        "twice as four goes into eight",
        "a 20 ms 3 second delay",
        "Ms 4 said so",
        "bs 5 times over",
        "half inch BSF, 2 BA",
        "There was AN 8 mm gap in it.",
        "Sheet AN 2 is the one.",
        "AN 8 BOLT FLANGE, AS 2000 BEFORE IT",
        "PLAN4-12A is the drawing",
        "A nut, four dash twelve",
        "man 4-12",
        "frame 4-12",
        "and four twelve",
        "than 3-4 days",
    ],
)
def test_ordinary_words_are_no_part_number(text: str) -> None:
    assert find_part_numbers(text) == ()


def test_notes_without_part_numbers_have_none_in_any_case_of_letters() -> None:
    notes = Path(__file__).parents[1] / "reading"
    lines = [line for file in sorted(notes.glob("*.jsonl")) for line in file.read_text(encoding="utf-8").splitlines()]
    texts = [json.loads(line)["text"] for line in lines]
    assert len(texts) > 100
    assert [text for text in texts for said in (text, text.lower(), text.upper()) if find_part_numbers(said)] == []


def test_several_numbers_in_one_note_are_found_in_order() -> None:
    text = "Out came four AN4-7A bolts, two AN 960-416 washers each, and an AN365-428 nut; they're AN4s."
    assert [part.number for part in find_part_numbers(text)][:3] == ["AN4-7A", "AN960-416", "AN365-428"]


def test_number_elsewhere_in_the_note_changes_nothing() -> None:
    text = "A thousand and six rivets, M S twenty four seventy A D four dash five."
    assert only(text).number == "MS20470AD4-5"


def test_plural_of_a_number_is_the_number() -> None:
    text = "The AN4-12As and the AN5s are bagged."
    assert [(part.number, text[part.start : part.end]) for part in find_part_numbers(text)] == [
        ("AN4-12A", "AN4-12A"),
        ("AN5", "AN5"),
    ]


def test_count_after_a_number_is_not_its_length() -> None:
    assert only("AN4 12 off").number == "AN4"


def test_word_after_a_number_is_not_its_last_letter() -> None:
    assert only("we fitted AN4-12 a week ago").number == "AN4-12"


def test_bolt_whose_dash_was_lost_is_read_and_put_in_doubt() -> None:
    found = only("there's an AN-412A in it")
    assert found.number == "AN4-12A"
    assert found.doubt == "read from AN-412A, to be checked"
    assert only("an AN4-12A in it").doubt == ""


def test_length_code_that_no_bolt_has_is_not_decoded() -> None:
    decoded = only("AN4-18A").decoded
    assert decoded.size("nominal length") is None
    assert decoded.unread == "length not decoded: no bolt has the length code 18"


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (
            "AN4-12A",
            "AN4-12A: hexagon-headed steel bolt, 1/4 in (6.35 mm) diameter, 1 1/4 in (31.8 mm) nominal length, "
            "13/16 in (20.6 mm) grip, thread 1/4-28, no split-pin hole in the shank",
        ),
        ("AN310-3", "AN310-3: steel castle nut, for 3/16 in (4.76 mm; No. 10) bolts, thread 10-32"),
        ("AGS 2004/C", "AGS 2004/C: stiff (self-locking) nut, size not decoded"),
        ("MS24665-132", "MS24665-132: split pin, size not decoded"),
        ("AN931-6-16", "AN931-6-16: US standard part, size not decoded"),
    ],
)
def test_description_says_what_is_known_and_what_is_not(number: str, words: str) -> None:
    assert describe(only(number)) == words


@given(
    st.integers(3, 20),
    st.integers(1, 79).filter(lambda code: code % 10 < 8),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["A N", "ay en", "AN", "alpha november", "a n"]),
)
def test_every_bolt_said_aloud_is_the_bolt_that_is_written(
    diameter: int, code: int, head: bool, plain: bool, letters: str
) -> None:
    said = f"{letters} {in_words(diameter)} {'H ' if head else ''}dash {in_words(code)}{' alpha' if plain else ''}"
    written = f"AN{diameter}{'H' if head else ''}-{code}{'A' if plain else ''}"
    assert only(f"it was {said} in the hole").number == written
    assert only(f"it was {written} in the hole").decoded == only(said).decoded


@given(
    st.sampled_from(["AN426", "AN470", "MS20426", "MS20470"]),
    st.sampled_from(["A", "AD", "D", "DD", "B", "M"]),
    st.integers(2, 12),
    st.integers(1, 32),
)
def test_every_rivet_gives_back_its_number_and_sizes(base: str, alloy: str, across: int, long: int) -> None:
    found = only(f"drilled out {base}{alloy}{across}-{long} all along")
    assert found.number == f"{base}{alloy}{across}-{long}"
    assert found.decoded.size("diameter") == Fraction(across, 32)
    assert found.decoded.size("length") == Fraction(long, 16)


@given(st.text(alphabet="AaNnMmSsGgPpBb0123456789 -/.dashfour", max_size=40))
def test_numbers_of_any_text_lie_in_it_and_do_not_overlap(text: str) -> None:
    found = find_part_numbers(text)
    assert all(0 <= part.start < part.end <= len(text) for part in found)
    assert all(before.end <= after.start for before, after in pairwise(found))
    assert all(describe(part).startswith(part.number) for part in found)
