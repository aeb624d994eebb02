from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.phones import sounds_like
from pipeline.reading.forms import word_set
from pipeline.trade.sound_alikes import ALIKE, sound_alikes

WORDS = st.sampled_from(
    sorted(word_set("rib rim rip sill seal leg lug frame flame spar spa bolt bowl fin thin wing wiring"))
)


def test_shared_words_do_not_make_two_names_alike() -> None:
    assert sound_alikes([("hydraulic pump", "a"), ("hydraulic pipe", "b")]) == []
    assert [(one.name, one.other) for one in sound_alikes([("long leg bolt", "a"), ("long lug bolt", "b")])] == [
        ("long leg bolt", "long lug bolt")
    ]


def test_names_of_one_part_and_a_name_with_a_word_more_are_not_told() -> None:
    assert sound_alikes([("sill", "a"), ("seal", "a")]) == []
    assert sound_alikes([("sill", "a"), ("door sill", "b")]) == []


@given(st.sets(WORDS, min_size=2, max_size=6))
def test_quick_look_misses_no_pair_that_a_slow_look_finds(words: set[str]) -> None:
    slow = {frozenset(pair) for pair in combinations(words, 2) if sounds_like(*pair) >= ALIKE}
    assert {frozenset((one.name, one.other)) for one in sound_alikes((word, word) for word in words)} == slow
