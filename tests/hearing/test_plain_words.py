import pytest

from tests.hearing.plain_words import joined_alike, plain, plain_words


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("three hundred and seventeen", "317"),
        ("three seventeen", "3 1 7"),
        ("P-0142.", "P zero one four two"),
        ("tag P oh one four two", "tag P0142"),
        ("one thousand two hundred and forty", "1,240"),
        ("fifteen hundred", "1500"),
        ("the sixteenth", "the 16th"),
        ("the twenty-second", "the 22nd"),
        ("five sixteenths", "5/16"),
        ("oh point seven four eight", "0.748"),
        ("forty millimetres", "40mm"),
        ("The colour's gray", "the color\u2019s grey"),
        ("split-pinned", "split pinned"),
    ],
)
def test_ways_of_writing_the_same_words_compare_as_the_same(one: str, other: str) -> None:
    assert plain(one) == plain(other)


@pytest.mark.parametrize(
    ("one", "other"), [("eight", "eighty"), ("two hundred and six", "260"), ("nine", "fine"), ("fourteen", "forty")]
)
def test_other_words_and_numbers_stay_other(one: str, other: str) -> None:
    assert plain(one) != plain(other)


def test_every_figure_knows_the_word_that_said_it() -> None:
    assert [(word.text, word.token) for word in plain_words("bag two hundred and six, please")] == [
        ("bag", 0),
        ("2", 1),
        ("0", 1),
        ("6", 4),
        ("please", 5),
    ]


def test_a_word_heard_in_two_parts_is_joined_only_where_it_was_said_as_one() -> None:
    heard = plain_words("the tail plane")
    assert [word.text for word in joined_alike(["the", "tailplane"], heard)] == ["the", "tailplane"]
    assert [word.text for word in joined_alike(["the", "tail"], heard)] == ["the", "tail", "plane"]
