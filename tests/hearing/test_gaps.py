import numpy as np

from pipeline.hearing.gaps import voice_under, wordless
from pipeline.values import HeardWord


def word(start_s: float, end_s: float, text: str = "fin") -> HeardWord:
    return HeardWord(start_s=start_s, end_s=end_s, text=text, probability=0.9)


def missed(words: list[HeardWord], voice: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(one.start_s, one.end_s) for one in wordless(words, voice)]


def test_voice_without_words_is_told_of_when_it_is_longer_than_a_second() -> None:
    assert missed([word(1, 1.5), word(1.5, 2)], [(1, 2), (4, 6.5), (9, 9.8)]) == [(4, 6.5)]
    assert missed([word(1, 1.5)], [(1, 4)]) == [(1.8, 4)]
    assert missed([word(0, 1), word(2, 3)], [(0, 3)]) == []
    assert missed([], [(0, 2)]) == [(0, 2)]


def test_a_word_that_was_stretched_over_a_lost_clause_does_not_hide_it() -> None:
    assert missed([word(0, 8, "off."), word(8, 8.4)], [(0, 8.4)]) == [(1.13, 6.87)]


def test_a_stretched_word_beside_a_pause_hides_nothing() -> None:
    assert missed([word(0, 8, "off.")], [(0, 0.6), (7.6, 8)]) == []


def test_the_voice_under_a_word_is_looked_for_a_little_beside_it_too() -> None:
    chances = np.zeros(200, np.float32)
    chances[62:75] = 0.9  # 1.98 to 2.4 s
    assert voice_under(word(2.0, 2.4), chances) > 0.8
    assert voice_under(word(1.4, 1.8), chances) > 0.4
    assert voice_under(word(4.0, 4.4), chances) == 0.0
    assert voice_under(word(99.0, 99.5), chances) == 0.0
