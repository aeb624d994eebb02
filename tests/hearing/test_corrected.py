import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import WrongCommand
from pipeline.hearing.corrected import correct_lines, read_utterance
from pipeline.hearing.frequency import zipf
from pipeline.hearing.repair import Repairer
from pipeline.values import HeardWord, Utterance

REPAIRER = Repairer([("castellated nut", "castellated-nut"), ("aileron", "aileron"), ("spinner", "spinner")], zipf)


def utterance(*words: tuple[str, float]) -> Utterance:
    spoken = tuple(
        HeardWord(start_s=at, end_s=at + 1, text=text, probability=probability)
        for at, (text, probability) in enumerate(words)
    )
    heard = " ".join(word.text for word in spoken)
    return Utterance(id="u-1", media="m", start_s=0, end_s=len(words), heard=heard, words=spoken)


def test_what_was_heard_stays_beside_what_is_read() -> None:
    reading = read_utterance(utterance(("Castulated", 0.4), ("nuts", 0.9), ("off.", 0.9)), REPAIRER)
    assert reading.utterance == "u-1"
    assert reading.read == "Castellated nuts off."
    assert [(one.heard, one.read) for one in reading.corrections] == [("Castulated", "Castellated")]
    assert reading.unsure == ()


def test_a_word_of_low_probability_is_marked_at_its_place_in_the_reading() -> None:
    reading = read_utterance(
        utterance(("Castulated", 0.9), ("nuts", 0.9), ("from", 0.9), ("wheelhouse", 0.2), ("door.", 0.1)), REPAIRER
    )
    (mark,) = reading.unsure
    assert reading.read[mark.start : mark.end] == "wheelhouse door."
    assert mark.why == "the recogniser was not sure what it heard"


def test_words_without_voice_are_marked() -> None:
    reading = read_utterance(utterance(("Off.", 0.9), ("Thank", 0.99), ("you.", 0.99)), REPAIRER, [(0.9, 3.1)])
    (mark,) = reading.unsure
    assert reading.read[mark.start : mark.end] == "Thank you."
    assert "voice" in mark.why


def test_a_repair_that_is_only_suggested_is_marked() -> None:
    reading = read_utterance(utterance(("The", 0.9), ("aileron", 0.9), ("spanner", 0.9), ("here", 0.9)), REPAIRER)
    (mark,) = reading.unsure
    assert reading.read == "The aileron spanner here"
    assert (reading.read[mark.start : mark.end], mark.why) == ("spanner", 'this may have been "spinner"')


PIECES = st.lists(
    st.tuples(
        st.sampled_from(["The", "castulated", "nuts,", "ayloron's", "off", "too", "thou", "pit-out"]), st.floats(0, 1)
    ),
    max_size=12,
)


@given(PIECES, st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), max_size=2))
def test_marks_lie_within_the_reading(words: list[tuple[str, float]], voiceless: list[tuple[float, float]]) -> None:
    reading = read_utterance(utterance(*words), REPAIRER, voiceless)
    assert all(0 <= one.start < one.end <= len(reading.read) for one in reading.unsure)


def test_lines_of_json_are_corrected() -> None:
    lines = ['{"id": "a", "heard": "The ayloron has too thou."}', "", '{"id": "b", "heard": "Nothing here.", "x": 1}']
    first, second = (json.loads(line) for line in correct_lines(lines, REPAIRER))
    assert first["read"] == "The aileron has two thou."
    assert [sorted(one) for one in first["corrections"]] == [["from", "heard", "read", "score", "to", "why"]] * 2
    assert [(one["from"], one["to"], one["heard"]) for one in first["corrections"]] == [
        (4, 11, "ayloron"),
        (16, 19, "too"),
    ]
    assert second == {"id": "b", "read": "Nothing here.", "corrections": []}


@pytest.mark.parametrize(
    "line", ["{", "[]", '{"id": "a"}', '{"id": 1, "heard": "x"}', '{"id": "a", "heard": null}', "[" * 9999]
)
def test_a_line_that_is_wrong_is_named_by_its_number(line: str) -> None:
    with pytest.raises(WrongCommand, match=r"notes\.jsonl, line 2"):
        list(correct_lines(['{"id": "a", "heard": "x"}', line], REPAIRER, "notes.jsonl"))
