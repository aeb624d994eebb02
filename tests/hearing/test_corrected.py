import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import WrongCommand
from pipeline.hearing.corrected import correct_lines, read_utterance
from pipeline.hearing.frequency import zipf
from pipeline.hearing.repair import Repaired, Repairer
from pipeline.values import Correction, HeardWord, Utterance

REPAIRER = Repairer([("castellated nut", "castellated-nut"), ("aileron", "aileron"), ("spinner", "spinner")], zipf)


def utterance(*words: tuple[str, float]) -> Utterance:
    spoken = tuple(
        HeardWord(start_s=at, end_s=at + 1, text=text, probability=probability, chance_wrong=1 - probability)
        for at, (text, probability) in enumerate(words)
    )
    heard = " ".join(word.text for word in spoken)
    return Utterance(id="u-1", media="m", start_s=0, end_s=len(words), heard=heard, words=spoken)


def test_what_was_heard_stays_beside_what_is_read() -> None:
    reading = read_utterance(utterance(("Castulated", 0.4), ("nuts", 0.99), ("off.", 0.99)), REPAIRER)
    assert reading.utterance == "u-1"
    assert reading.read == "Castellated nuts off."
    assert [(one.heard, one.read) for one in reading.corrections] == [("Castulated", "Castellated")]
    assert reading.unsure == ()


def test_a_doubtful_word_is_marked_at_its_place_in_the_reading() -> None:
    reading = read_utterance(
        utterance(("Castulated", 0.4), ("nuts", 0.99), ("from", 0.99), ("wheelhouse", 0.2), ("door.", 0.1)), REPAIRER
    )
    (mark,) = reading.unsure
    assert reading.read[mark.start : mark.end] == "wheelhouse door."
    assert mark.why == "this was hard to hear" and mark.chance == pytest.approx(0.9)


def test_a_repair_that_is_only_suggested_is_marked() -> None:
    class Unsure(Repairer):
        def repair(self, *_: object) -> Repaired:
            one = Correction(start=4, end=9, heard="bowls", read="bolts", score=0.2, why="", applied=False)
            return Repaired("The bowls", (one,))

    (mark,) = read_utterance(utterance(("The", 0.99), ("bowls", 0.99)), Unsure([], zipf)).unsure
    assert (mark.start, mark.end, mark.why, mark.chance) == (4, 9, 'this may have been "bolts"', 0.2)


PIECES = st.lists(
    st.tuples(
        st.sampled_from(["The", "castulated", "nuts,", "ayloron's", "off", "too", "thou", "pit-out"]), st.floats(0, 1)
    ),
    max_size=12,
)


@given(PIECES)
def test_marks_lie_within_the_reading(words: list[tuple[str, float]]) -> None:
    reading = read_utterance(utterance(*words), REPAIRER)
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
    "line", ["{", "[]", '{"id": "a"}', '{"id": 1.5, "heard": "x"}', '{"id": "a", "heard": null}', "[" * 9999]
)
def test_a_line_that_is_wrong_is_named_by_its_number(line: str) -> None:
    with pytest.raises(WrongCommand, match=r"notes\.jsonl, line 2"):
        list(correct_lines(['{"id": "a", "heard": "x"}', line], REPAIRER, "notes.jsonl"))
