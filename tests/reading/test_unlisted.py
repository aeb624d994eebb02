import pytest

from pipeline.book import shipped_vocabulary
from pipeline.reading.cutting import Cutter
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.parse import tag_words
from pipeline.reading.unlisted import Unlisted, find_unlisted
from pipeline.reading.vocabulary import Part, Vocabulary, load_vocabulary


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return load_vocabulary(shipped_vocabulary())


def unlisted(vocabulary: Vocabulary, text: str) -> tuple[Unlisted, ...]:
    lexicon = Lexicon(vocabulary)
    return find_unlisted(lexicon, Cutter(lexicon).cut(text, next(iter(tag_words([text]))), ()))


def names(vocabulary: Vocabulary, text: str) -> list[str]:
    return [one.name for one in unlisted(vocabulary, text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The gizmo plate is off.", ["gizmo plate"]),
        ("We took the wotsit off and put it on rack 3.", ["wotsit"]),
        ("Refitted the doofer with four screws.", ["doofer"]),
        ("The port gubbins cover's cracked.", ["gubbins cover"]),
        ("The widget has been drilled out.", ["widget"]),
        ("We removed the deflector vane and then the widget.", ["deflector vane"]),
    ],
)
def test_unknown_noun_that_is_treated_as_a_part_is_kept(
    vocabulary: Vocabulary, text: str, expected: list[str]
) -> None:
    assert names(vocabulary, text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "We took the port rudder off and the cowling is cracked.",
        "The plate is off.",
        "Put the kettle on, the tea is gone.",
        "Took a photo of it and filled the book in.",
        "We swept the hangar and had a sandwich.",
        "Doreen is off today and Clive is out.",
        "It's held by four bolts.",
        "",
    ],
)
def test_known_parts_people_and_hangar_life_are_not_kept(vocabulary: Vocabulary, text: str) -> None:
    assert names(vocabulary, text) == []


def test_name_is_kept_once_with_the_characters_where_it_was_said_first(vocabulary: Vocabulary) -> None:
    text = "The gizmo plate is off. The gizmo plate is cracked."
    (one,) = unlisted(vocabulary, text)
    assert text[one.start : one.end] == one.name == "gizmo plate"


def test_part_is_no_longer_unlisted_once_it_is_added(vocabulary: Vocabulary) -> None:
    gizmo = Part(notation="gizmo-plate", preferred="gizmo plate", kind="structure")
    more = vocabulary.model_copy(update={"parts": (*vocabulary.parts, gizmo)})
    assert names(Vocabulary.model_validate(more.model_dump()), "The gizmo plate is off.") == []
