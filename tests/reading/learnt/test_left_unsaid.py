"""What fills a slot though its noun is left unsaid."""

import pytest

from pipeline.reading.learnt.left_unsaid import names_left_unsaid, stores_left_unsaid, tags_left_unsaid
from pipeline.reading.pieces import Piece
from pipeline.reading.reader import Reader


def _pieces(reader: Reader, text: str) -> tuple[Piece, ...]:
    return tuple(next(reader.read_by_rule([(text, ())])).pieces)


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("Two bolts on the front spar and two on the rear.", {("spar", "rear")}),
        ("Longerons: top port one's sound, bottom has a crack.", {("longeron", "top"), ("longeron", "bottom")}),
        ("The rear cowling and the top hatch are off.", set()),
    ],
)
def test_a_spar_or_longeron_is_named_by_one_word_where_such_are_spoken_of(
    reader: Reader, text: str, places: set[tuple[str, str]]
) -> None:
    assert {(place.scheme, place.at) for _, place in names_left_unsaid(_pieces(reader, text))} == places


@pytest.mark.parametrize(
    ("text", "stores"),
    [
        ("They're in bags 21 and 22.", {("bag", "22")}),
        ("On a pallet, number six.", {("pallet", "6")}),
        ("I bagged the turnbuckle, 93.", {("bag", "93")}),
        ("On the shelf, the top one.", {("shelf", "top")}),
        ("Six bolts out of the fin.", set()),
        ("The pump's bolts are in a bag. It works. I tried it on the bench. It's 5, I counted again.", set()),
        ("They're in a bag, and there are 18 of them.", set()),
    ],
)
def test_a_number_may_be_that_of_the_store_spoken_of(reader: Reader, text: str, stores: set[tuple[str, str]]) -> None:
    assert stores <= {store for _, store in stores_left_unsaid(_pieces(reader, text))}
    assert bool(stores) == bool(list(stores_left_unsaid(_pieces(reader, text))))


def test_a_number_may_be_that_of_the_tag_spoken_of(reader: Reader) -> None:
    found = [
        tag for _, tag in tags_left_unsaid(_pieces(reader, "Took 5 bolts out. Both ailerons are tagged 201, 202."))
    ]
    assert found == ["201", "202"]
