from datetime import UTC, datetime, timedelta

from pipeline.records import EntryRecord, FactRecord, UtteranceRecord
from pipeline.writing.photo_captions import photo_caption
from tests.writing.a_weekend import fact, media_id

START = datetime(2026, 2, 14, 9, tzinfo=UTC)


def _said(number: int, start_s: float, text: str) -> UtteranceRecord:
    at = START + timedelta(seconds=start_s)
    return UtteranceRecord(
        id=f"u{number}", media=media_id("a.m4a"), start_s=start_s, end_s=start_s + 3,
        start_at=at, end_at=at + timedelta(seconds=3), heard=text, read=text,
    )  # fmt: skip


SAID = {
    one.id: one
    for one in (
        _said(1, 0, "Here she stands, before we've touched anything."),
        _said(2, 10, "That's the aileron off, and there's a crack in the hinge."),
        _said(3, 20, "Next week we'll have the flap off."),
    )
}
ENTRY = EntryRecord(id="e", at=START, media=media_id("a.m4a"), start_s=0, end_s=23, utterances=("u1", "u2", "u3"))


def _of(utterance: str, status: str, **keys: object) -> FactRecord:
    return fact(status, **keys).model_copy(update={"utterances": (utterance,)})


TEXTS = [
    (_of("u2", "done", act="remove", item="aileron"), "Removed the aileron"),
    (_of("u2", "seen", finding="crack", item="aileron-hinge"), "Crack, aileron hinge"),
    (_of("u3", "planned", act="remove", item="flap"), "To do: remove the flap"),
]


def _caption(after_s: float, texts: list[tuple[FactRecord, str]] = TEXTS) -> str:
    return photo_caption(START + timedelta(seconds=after_s), ENTRY, texts, SAID)


def test_caption_tells_what_was_seen_as_the_photo_was_taken_before_what_was_done() -> None:
    assert _caption(11) == "Crack, aileron hinge"
    assert _caption(11, TEXTS[:1]) == "Removed the aileron"


def test_caption_is_the_words_themselves_where_they_tell_of_nothing_done_or_seen() -> None:
    assert _caption(1) == "“Here she stands, before we've touched anything.”"
    assert _caption(21) == "“Next week we'll have the flap off.”", "a plan is not what the photo shows"


def test_photo_between_words_goes_with_those_that_were_just_said() -> None:
    assert _caption(16) == "Crack, aileron hinge"
    assert _caption(19.5) == "“Next week we'll have the flap off.”"


def test_more_facts_than_two_are_cut_short() -> None:
    many = [(_of("u2", "done", act="remove"), f"Removed part {number}") for number in (1, 2, 3)]
    assert _caption(11, many) == "Removed part 1; removed part 2; …"


def test_long_words_are_cut_and_an_entry_without_words_is_told_by_its_facts() -> None:
    long = {"u1": _said(1, 0, "and on " * 60)}
    one = ENTRY.model_copy(update={"utterances": ("u1",)})
    assert len(photo_caption(START, one, [], long)) <= 112
    none = ENTRY.model_copy(update={"utterances": ()})
    assert photo_caption(START, none, TEXTS, {}) == "Removed the aileron; Crack, aileron hinge"
