import pytest

from pipeline.errors import WrongCommand
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.review.fact_form import fact_from
from pipeline.shipped import shipped

SEEN = [("status", "seen"), ("finding", "crack")]


@pytest.fixture(scope="module")
def vocabulary():
    return load_vocabulary([shipped("vocab") / "base"])


@pytest.mark.parametrize("typed", ["nan", "inf", "-inf", "1e999", "1e16"])
def test_a_measure_that_no_record_can_hold_is_refused_in_a_line(vocabulary, typed):
    with pytest.raises(WrongCommand, match="no number that a record can hold"):
        fact_from([*SEEN, ("value", typed), ("unit", "mm")], vocabulary, None)


def test_a_count_that_is_a_part_number_without_its_letters_is_refused_in_a_line(vocabulary):
    with pytest.raises(WrongCommand, match="no number that a record can hold"):
        fact_from([*SEEN, ("count", "12345678901234567890")], vocabulary, None)


def test_a_kind_of_place_that_is_none_is_refused_in_a_line(vocabulary):
    with pytest.raises(WrongCommand, match="'shelf' is no kind of place"):
        fact_from([*SEEN, ("scheme", "shelf"), ("at", "12")], vocabulary, None)


def test_a_measure_with_a_comma_and_a_place_are_taken(vocabulary):
    fact = fact_from([*SEEN, ("value", "1,5"), ("unit", "mm"), ("scheme", "frame"), ("at", "12")], vocabulary, None)
    assert fact["measure"] == [{"value": 1.5, "unit": "mm"}]
    assert fact["place"] == [{"scheme": "frame", "at": "12"}]
