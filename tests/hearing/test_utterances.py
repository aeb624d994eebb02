from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.utterances import LONGEST_S, cut
from pipeline.values import Heard, HeardSegment, HeardWord

MEDIA = "sha256:" + "0123456789abcdef" * 4


def heard(*words: tuple[float, float, str]) -> Heard:
    spoken = tuple(HeardWord(start_s=a, end_s=b, text=text, probability=0.9) for a, b, text in words)
    segment = HeardSegment(start_s=0, end_s=99, text=" ".join(word.text for word in spoken), words=spoken)
    return Heard(by="recogniser", duration_s=99, segments=(segment,))


def test_a_sentence_is_an_utterance() -> None:
    found = cut(heard((0, 0.4, "Rudder's"), (0.4, 0.8, "off."), (0.9, 1.2, "Fin"), (1.2, 1.6, "next.")), MEDIA)
    assert [one.heard for one in found] == ["Rudder's off.", "Fin next."]
    assert [one.id for one in found] == ["u-01234567-0", "u-01234567-900"]
    assert found[1].start_s == 0.9 and found[1].end_s == 1.6


def test_a_long_pause_ends_an_utterance_and_a_short_one_does_not() -> None:
    found = cut(heard((0, 1, "the"), (1.7, 2, "fin"), (2.71, 3, "and")), MEDIA)
    assert [one.heard for one in found] == ["the fin", "and"]


def test_a_full_stop_within_a_sentence_does_not_end_it() -> None:
    found = cut(
        heard((0, 1, "Approx."), (1, 2, "1.5"), (2, 3, "mm"), (3, 4, "to"), (4, 5, "No."), (5, 6, "4.")), MEDIA
    )
    assert len(found) == 1


def test_utterances_that_start_together_have_ids_of_their_own() -> None:
    found = cut(heard((1, 1, "Yes."), (1, 1, "No."), (1, 2, "Yes.")), MEDIA)
    assert [one.id for one in found] == ["u-01234567-1000", "u-01234567-1000-2", "u-01234567-1000-3"]


def test_nothing_heard_gives_no_utterance() -> None:
    assert cut(Heard(by="recogniser", duration_s=0, segments=()), MEDIA) == ()


LENGTHS = st.lists(st.tuples(st.integers(0, 900), st.integers(0, 900), st.sampled_from(["the", "fin.", "off,"])))


@given(LENGTHS)
def test_every_word_is_in_exactly_one_utterance_and_none_is_too_long(pieces: list[tuple[int, int, str]]) -> None:
    words, at = [], 0
    for gap_ms, length_ms, text in pieces:
        words.append(((at + gap_ms) / 1000, (at + gap_ms + length_ms) / 1000, text))
        at += gap_ms + length_ms
    given_words = heard(*words)
    found = cut(given_words, MEDIA)
    assert [word for one in found for word in one.words] == list(given_words.segments[0].words)
    assert all(one.heard == " ".join(word.text for word in one.words) for one in found)
    assert all(one.end_s - one.start_s <= LONGEST_S for one in found)
    assert len({one.id for one in found}) == len(found)
