"""Speech into passages."""

from hypothesis import given
from hypothesis import strategies as st

from pipeline.matching.passages import cut_passages, tell
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
