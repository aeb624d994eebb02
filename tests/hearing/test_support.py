from pipeline.hearing.support import supported
from pipeline.values import HeardSegment, HeardWord


def test_a_word_is_borne_out_by_the_readings_that_have_it_at_its_place() -> None:
    words = tuple(
        HeardWord(start_s=at, end_s=at + 1, text=text, probability=0.9)
        for at, text in enumerate(["the", "fin", "is", "off"])
    )
    heard = HeardSegment(start_s=0, end_s=4, text="the fin is off", words=words)
    rivals = (("the fin is off", 0.6), ("The thin is off.", 0.3), ("fin is", 0.1))
    assert [word.support for word in supported(heard, rivals).words] == [0.9, 0.7, 1.0, 0.9]
