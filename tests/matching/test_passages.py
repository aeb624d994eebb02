"""Speech into passages."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.matching.passages import LONGEST_WORDS, cut_passages, tell
from pipeline.reading.fact import Fact
from pipeline.reading.reader import NoteRead
from pipeline.reading.unlisted import Unlisted
from pipeline.values import HeardWord, Reading, Utterance

MEDIA = "sha256:" + "ab" * 32


def said(*parts):
    """Utterances from (start_s, end_s, text)."""
    found = []
    for start, end, text in parts:
        names = text.split()
        step = (end - start) / len(names)
        words = tuple(
            HeardWord(start_s=start + i * step, end_s=start + (i + 1) * step, text=name, probability=1.0)
            for i, name in enumerate(names)
        )
        found.append(
            Utterance(
                id=f"u-abababab-{round(start * 1000)}", media=MEDIA, start_s=start, end_s=end, heard=text, words=words
            )
        )
    return found


def as_heard(utterances):
    return [Reading(utterance=one.id, read=one.heard) for one in utterances]


def test_long_pause_begins_a_new_passage():
    utterances = said((0, 2, "rudder is off"), (2.5, 4, "three bolts"), (9, 11, "fin next"))
    assert cut_passages(utterances) == [[0, 1], [2]]


def test_turning_to_something_else_begins_a_new_passage_once_enough_was_said():
    long = "we undid the four bolts at the hinge and then put the rudder on rack three"
    utterances = said((0, 6, long), (7, 9, "Right, now the fin"))
    assert cut_passages(utterances) == [[0], [1]]
    assert cut_passages(said((0, 1, "hello"), (2, 4, "Right, now the fin"))) == [[0, 1]]


@given(
    st.lists(
        st.tuples(st.floats(0.1, 30), st.floats(0, 30), st.sampled_from(["right", "the fin is off", "a b c d e"])),
        max_size=30,
    )
)
def test_every_utterance_is_in_exactly_one_passage_in_order(shape):
    at = 0.0
    parts = []
    for length, pause, text in shape:
        parts.append((at, at + length, text))
        at += length + pause
    cut = cut_passages(said(*parts))
    assert [i for passage in cut for i in passage] == list(range(len(parts)))


def test_fact_stands_in_the_passage_where_its_words_begin_with_those_words_quoted():
    utterances = said((0, 2, "Port rudder."), (2.5, 4, "It's off."), (10, 12, "On rack 3."))

    def read(text, pauses):
        assert text == "Port rudder. It's off. On rack 3."
        assert list(pauses) == [13, 23]
        return NoteRead(
            (
                Fact(status="done", act="remove", item="rudder", side="port", words=(13, 21)),
                Fact(status="done", act="store", item="rudder", words=(23, 32)),
            ),
            (Unlisted("gizmo", 27, 29),),
        )

    told = tell(MEDIA, utterances, as_heard(utterances), read)
    first, second = told.passages
    assert [fact.said for fact in first.facts] == ["It's off"]
    assert first.facts[0].utterances == (utterances[1].id,)
    assert [fact.said for fact in second.facts] == ["On rack 3"]
    assert first.id == "e-abababab-0"
    assert [(one.name, one.utterance) for one in told.unlisted] == [("gizmo", utterances[2].id)]


def test_after_a_long_silence_the_reader_starts_afresh():
    utterances = said((0, 2, "Port rudder."), (200, 202, "It's off."))
    texts = []
    tell(MEDIA, utterances, as_heard(utterances), lambda text, pauses: texts.append(text) or NoteRead((), ()))
    assert texts == ["Port rudder.", "It's off."]


def talk_of(utterances, words):
    """Talk that goes on without a break: so many utterances of so many words, with a short pause after each tenth."""
    parts, at = [], 0.0
    for number in range(utterances):
        parts.append((at, at + 3, f"n{number} " + "word " * (words - 1)))
        at += 4.5 if number % 10 == 9 else 3.0
    return said(*parts)


def texts_read(utterances):
    texts = []

    def read(text, pauses):
        texts.append(text)
        return NoteRead((), ())

    tell(MEDIA, utterances, as_heard(utterances), read)
    return texts


@pytest.mark.parametrize("pauses", [True, False])
def test_talk_without_a_break_is_read_in_stretches_of_a_length_that_does_not_grow_with_it(pauses):
    talk = talk_of(1500, 15)
    if not pauses:
        talk = [one.model_copy(update={"start_s": 3.0 * at, "end_s": 3.0 * (at + 1)}) for at, one in enumerate(talk)]
    texts = texts_read(talk)
    assert [word for text in texts for word in text.split()] == " ".join(one.heard for one in talk).split()
    assert max(len(text.split()) for text in texts) <= LONGEST_WORDS
    assert len(texts) <= 2 * 1500 * 15 / LONGEST_WORDS


def test_long_talk_is_cut_only_where_a_passage_begins():
    talk = talk_of(1500, 15)
    begin = {talk[indices[0]].heard.split()[0] for indices in cut_passages(talk)}
    assert {text.split()[0] for text in texts_read(talk)} <= begin


def test_talk_of_half_an_hour_is_read_as_one():
    assert len(texts_read(talk_of(390, 15))) == 1
