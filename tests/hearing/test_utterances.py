from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.captioned import from_captions
from pipeline.hearing.utterances import LONGEST_S, cut
from pipeline.intake.captions import Cue
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


def test_a_capital_after_a_short_pause_begins_an_utterance_where_the_full_stop_was_left_out() -> None:
    found = cut(heard((0, 1, "bag"), (1, 1.5, "21"), (1.9, 2.1, "We"), (2.1, 2.4, "put"), (2.8, 3, "P0301")), MEDIA)
    assert [one.heard for one in found] == ["bag 21", "We put P0301"]
    assert len(cut(heard((0, 1, "and"), (1.1, 1.5, "Ted"), (1.9, 2.0, "I've")), MEDIA)) == 1


def test_first_word_that_was_begun_too_early_goes_with_the_words_after_the_pause() -> None:
    found = cut(heard((8, 8.6, "21"), (8.6, 9.8, "Here"), (11.5, 11.7, "you"), (11.7, 11.9, "see")), MEDIA)
    assert [one.heard for one in found] == ["21", "Here you see"]


def test_slow_caption_is_cut_at_full_stops_and_at_no_capital() -> None:
    cues = (
        Cue(start_s=0, end_s=20, text="Calder Airscrews rang. The blade was seen on the fourteenth of November."),
        Cue(start_s=20, end_s=40, text="It was Grace who looked at it"),
        Cue(start_s=42, end_s=50, text="and Sam."),
        Cue(start_s=50.5, end_s=52, text="Then tea"),
    )
    assert [one.heard for one in cut(from_captions(cues), MEDIA)] == [
        "Calder Airscrews rang.",
        "The blade was seen on the fourteenth of November.",
        "It was Grace who looked at it",
        "and Sam.",
        "Then tea",
    ]


def test_sentence_of_a_written_passage_is_whole_however_long_the_passage_lasts() -> None:
    slow = Cue(start_s=0, end_s=300, text="The port elevator is off, four bolts, in bag nine.")
    dense = Cue(start_s=300, end_s=360, text="and then " * 60)
    found = cut(from_captions((slow, dense)), MEDIA)
    assert found[0].heard == slow.text
    assert len(found) > 2


def test_a_full_stop_within_a_sentence_does_not_end_it() -> None:
    found = cut(
        heard(
            (0, 0.5, "Approx."), (0.5, 1, "1.5"), (1, 1.2, "mm"), (1.2, 1.4, "to"), (1.4, 1.8, "No."), (1.8, 2, "4.")
        ),
        MEDIA,
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


def test_two_voices_of_a_caption_file_are_two_utterances_each_with_its_speaker() -> None:
    def said(at: float, text: str, speaker: str) -> HeardSegment:
        word = HeardWord(start_s=at, end_s=at + 0.5, text=text, probability=1.0)
        return HeardSegment(start_s=at, end_s=at + 0.5, text=text, words=(word,), speaker=speaker)

    told = (said(0, "and", "Mila"), said(0.6, "then", "Mila"), said(1.1, "six", "Ted"), said(1.6, "bolts", ""))
    found = cut(Heard(by="captions", duration_s=9, segments=told), MEDIA)
    assert [(one.heard, one.speaker) for one in found] == [("and then", "Mila"), ("six", "Ted"), ("bolts", "")]
