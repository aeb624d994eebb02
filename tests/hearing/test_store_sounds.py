import pytest

from pipeline.hearing.heard_text import words_of
from pipeline.hearing.repair import apply
from pipeline.hearing.store_sounds import store_corrections


def read(text: str) -> str:
    return apply(text, store_corrections(text, words_of(text)))


@pytest.mark.parametrize(
    ("heard", "meant"),
    [
        ("Damper off, two bolts in mag six.", "Damper off, two bolts in bag six."),
        ("Ten screws, all in mag twelve.", "Ten screws, all in bag twelve."),
        ("I put the cover in books 4.", "I put the cover in books 4."),  # books are numbered too
        ("The cover went on rock 4.", "The cover went on rack 4."),
        ("They are in bad seven.", "They are in bag seven."),
        ("Rag B is full, so put it on rag C.", "Rag B is full, so put it on rack C."),
        ("The screws went into back nine.", "The screws went into bag nine."),
        ("It came off, six bolts and bag seven.", "It came off, six bolts in bag seven."),
        ("Two nuts, two split pins, and bag six.", "Two nuts, two split pins, in bag six."),
        ("The skid is off, four bolts and bagged 30.", "The skid is off, four bolts in bag 30."),
        ("They're in bagged thirty one.", "They're in bag thirty one."),
        ("Bollard off, 4 bolts, bed 1, and the hatch.", "Bollard off, 4 bolts, bag 1, and the hatch."),
        (
            "Propeller off. Ten bolts. Veg twenty two. On stand two.",
            "Propeller off. Ten bolts. Bag twenty two. On stand two.",
        ),
    ],
)
def test_where_something_is_put_a_word_that_sounds_like_a_store_is_read_as_one(heard: str, meant: str) -> None:
    assert read(heard) == meant


@pytest.mark.parametrize(
    "text",
    [
        "There's play in mag two.",
        "The points are in mag two, and mag one is new.",
        "Both in bin 3, ten screws in pack 2, the pin in bay 2.",
        "All the bolts in ten minutes.",
        "We undid eight bolts and bagged six.",
        "The bolts and bag six are on the bench.",
        "Take the nuts and bag three of them.",
        "Nuts and bolts and mag.",
        "Rubbing on rib 4.",
        "And bag 6.",
        "Four bolts, bed 1 of the engine.",
        "The bolts, bed 1.",
        "Engine off, bed 1.",
        "",
    ],
)
def test_nothing_is_read_as_a_store_where_nothing_is_put(text: str) -> None:
    assert read(text) == text
