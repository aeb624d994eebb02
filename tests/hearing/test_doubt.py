import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.doubt import WEIGHTS, evidence_of, with_chances
from pipeline.hearing.merge import KeptWord
from pipeline.values import HeardSegment, HeardWord

VOICE = np.full(200, 0.9, np.float32)


def kept(
    text: str, probability: float, support: float = 1.0, better: float = 0.0, other: str | None = None
) -> KeptWord:
    word = HeardWord(start_s=1, end_s=1.4, text=text, probability=probability, support=support, other=other)
    return KeptWord(word, better)


def looks(*words: KeptWord) -> tuple[HeardSegment, HeardSegment]:
    one = HeardSegment(
        start_s=1,
        end_s=1.4,
        text="",
        words=tuple(word.word for word in words),
        no_speech=0.01,
        mean_log_probability=-0.2,
    )
    return one, one


def chance(one: KeptWord) -> float:
    (word,) = with_chances([one], looks(one), VOICE)
    return word.chance_wrong


def test_evidence_and_weights_have_the_same_names() -> None:
    one = kept("rudder", 0.9)
    (evidence,) = evidence_of([one], looks(one), VOICE)
    assert list(evidence) == list(WEIGHTS)


def test_a_sure_word_of_both_looks_is_hardly_ever_wrong_and_a_disputed_one_often() -> None:
    assert chance(kept("rudder", 0.99)) < 0.05
    assert chance(kept("rudder", 0.3, 0.5, 0.45, "rotter")) > 0.3


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_the_less_a_word_is_borne_out_the_likelier_it_is_wrong(a: float, b: float, probability: float) -> None:
    low, high = sorted((a, b))
    assert chance(kept("rudder", probability, high)) <= chance(kept("rudder", probability, low))
    assert chance(kept("rudder", high)) <= chance(kept("rudder", low))


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 0.5))
def test_a_chance_is_a_chance(probability: float, support: float, better: float) -> None:
    assert 0 <= chance(kept("rudder", probability, support, better, "rotter")) <= 1
