"""Which second each word of a read text has: of words as heard, put right, left out, and put in."""

from hypothesis import given
from hypothesis import strategies as some

from pipeline.review.lit import replaced, runs, spoken_words
from pipeline.values import HeardWord


def heard(text):
    return [
        HeardWord(start_s=float(at), end_s=at + 1.0, text=word, probability=1.0)
        for at, word in enumerate(text.split())
    ]


def timed(read, said):
    return [(read[start:end], from_s, to_s) for start, end, from_s, to_s in spoken_words(read, heard(said))]


def test_words_as_heard_have_their_own_seconds():
    assert timed("Right, off it comes.", "right off it comes") == [
        ("Right,", 0, 1), ("off", 1, 2), ("it", 2, 3), ("comes.", 3, 4),
    ]  # fmt: skip


def test_words_put_right_share_the_seconds_of_those_they_stand_for():
    assert timed("The aileron is off.", "The alley Ron is off.") == [
        ("The", 0, 1), ("aileron", 1, 3), ("is", 3, 4), ("off.", 4, 5),
    ]  # fmt: skip


def test_words_that_nobody_heard_have_no_second_and_what_is_left_out_moves_nothing():
    assert timed("It is off now.", "It er off") == [("It", 0, 1), ("is", 1, 2), ("off", 2, 3)]
    assert timed("off", "it is off") == [("off", 2, 3)]
    assert timed("Anything.", "") == []


_TEXTS = some.text(alphabet="ab .,\u0301\U0001f6e9", max_size=30)


@given(read=_TEXTS, said=_TEXTS, cut=some.integers(0, 30))
def test_runs_joined_are_the_text_wherever_it_is_cut(read, said, cut):
    cut = min(cut, len(read))
    spoken = spoken_words(read, heard(said))
    made = [*runs(read, 0, cut, spoken), *runs(read, cut, len(read), spoken)]
    assert "".join(one.text for one in made) == read
    times = [one.from_s for one in made if one.from_s is not None]
    assert times == sorted(times)


def test_what_was_put_right_is_offered_as_a_lesson_where_it_is_a_few_words():
    assert replaced("The alley Ron's off.", "The aileron's off.", 3) == (("alley Ron's", "aileron's"),)
    assert replaced("The alley Ron is off.", "The rudder was on, bright and early.", 3) == ()
    assert replaced("The same.", "the same", 3) == ()
