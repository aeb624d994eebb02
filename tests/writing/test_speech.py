from hypothesis import given
from hypothesis import strategies as st

from pipeline.records import CorrectionRecord, UnsureRecord, UtteranceRecord
from pipeline.writing.speech import pieces
from tests.writing.a_weekend import SATURDAY, media_id


def _utterance(heard: str, read: str, corrections: tuple[CorrectionRecord, ...] = (),
               unsure: tuple[UnsureRecord, ...] = ()) -> UtteranceRecord:  # fmt: skip
    return UtteranceRecord(
        id="u-1", media=media_id("a"), start_s=0, end_s=1, start_at=SATURDAY, end_at=SATURDAY,
        heard=heard, read=read, corrections=corrections, unsure=unsure,
    )  # fmt: skip


def _fix(start: int, end: int, heard: str, read: str) -> CorrectionRecord:
    return CorrectionRecord(start=start, end=end, heard=heard, read=read, score=0.9, why="sounds alike")


def test_what_was_heard_stands_behind_what_is_read() -> None:
    cut = pieces(_utterance("the hail iron is off", "the aileron is off", (_fix(4, 13, "hail iron", "aileron"),)))
    assert cut is not None
    assert [(one.text, one.heard) for one in cut] == [("the ", None), ("aileron", "hail iron"), (" is off", None)]


def test_a_doubt_inside_a_correction_marks_both_and_tells_what_was_heard_once() -> None:
    fix, doubt = _fix(4, 13, "hail iron", "aileron"), UnsureRecord(start=4, end=7, why="low")
    cut = pieces(_utterance("the hail iron", "the aileron", (fix,), (doubt,)))
    assert cut is not None
    assert [(one.text, one.heard, one.unsure) for one in cut] == [
        ("the ", None, ()), ("ail", "", ("low",)), ("eron", "hail iron", ()),
    ]  # fmt: skip


def test_words_that_may_be_missing_leave_a_mark() -> None:
    cut = pieces(_utterance("off now", "off now", unsure=(UnsureRecord(start=3, end=3, why="words may be missing"),)))
    assert cut is not None
    assert any(one.text == "" and one.unsure for one in cut)


def test_corrections_that_do_not_lead_from_heard_to_read_are_not_guessed_at() -> None:
    assert pieces(_utterance("a b", "a c", (_fix(0, 1, "x", "y"),))) is None


@given(st.text(max_size=30), st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), max_size=4))
def test_the_pieces_joined_are_the_read_text(text: str, doubts: list[tuple[int, int]]) -> None:
    unsure = tuple(UnsureRecord(start=min(one), end=max(one), why="w") for one in doubts)
    cut = pieces(_utterance(text, text, unsure=unsure))
    assert cut is not None
    assert "".join(one.text for one in cut) == text


def test_a_mere_possibility_is_marked_faintly() -> None:
    unsure = (UnsureRecord(start=0, end=3, why="a", chance=0.1), UnsureRecord(start=4, end=7, why="b", chance=0.6))
    cut = pieces(_utterance("off now", "off now", unsure=unsure))
    assert cut is not None
    assert [(one.text, one.faint) for one in cut if one.unsure] == [("off", True), ("now", False)]
