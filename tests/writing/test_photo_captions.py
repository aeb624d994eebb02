from datetime import UTC, datetime, timedelta

import pytest

from pipeline.records import EntryRecord, FactRecord, MediaRecord, PhotoLink, UtteranceRecord
from pipeline.values import Kind, TimeSource
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


def _photo(after_s: float, labels: tuple[str, ...] = ()) -> MediaRecord:
    at = START + timedelta(seconds=after_s)
    return MediaRecord(
        id=media_id("a.jpg"), path="a.jpg", kind=Kind.PHOTO, content_type="image/jpeg", taken_at=at,
        time_source=TimeSource.EXIF, time_error_s=1, shown_at=at, moved_s=0, device="Tarnbeck Two", labels=labels,
    )  # fmt: skip


def _link(utterance: str | None = None, label: str | None = None) -> PhotoLink:
    return PhotoLink(media=media_id("a.jpg"), p=0.9, why=("there",), utterance=utterance, label=label)


def _caption(after_s: float, texts: list[tuple[FactRecord, str]] = TEXTS, utterance: str | None = None) -> str:
    return photo_caption(_photo(after_s), _link(utterance), ENTRY, texts, SAID)


def test_caption_tells_what_was_seen_as_the_photo_was_taken_before_what_was_done() -> None:
    assert _caption(11) == "Crack, aileron hinge"
    assert _caption(11, TEXTS[:1]) == "Removed the aileron"


def test_caption_is_the_words_themselves_where_they_tell_of_nothing_done_or_seen() -> None:
    assert _caption(1) == "“Here she stands, before we've touched anything.”"
    assert _caption(21) == "“Next week we'll have the flap off.”", "a plan is not what the photo shows"


def test_caption_is_of_the_words_that_the_link_rests_on_and_not_of_those_that_are_nearest() -> None:
    assert _caption(1, utterance="u2") == "Crack, aileron hinge"
    assert _caption(4, utterance="u1") == "“Here she stands, before we've touched anything.”"
    hours_later = photo_caption(_photo(7200, ("M-0202",)), _link("u2", "M-0202"), ENTRY, TEXTS, SAID)
    assert hours_later == "Crack, aileron hinge"


@pytest.mark.parametrize("utterance", ["u1", "u2", "u3", None])
@pytest.mark.parametrize("after_s", [1.0, 11.0, 21.0])
def test_photo_of_a_label_that_no_words_read_out_has_its_number_alone(utterance: str | None, after_s: float) -> None:
    photo = _photo(after_s, ("M-0202",))
    assert photo_caption(photo, _link(utterance), ENTRY, TEXTS, SAID) == "Label M-0202"


def test_photo_of_a_label_tells_nothing_of_a_part_with_another_tag() -> None:
    texts = [
        (_of("u2", "done", act="remove", item="aileron", tag="M-0201"), "Removed the aileron (M-0201)"),
        (_of("u2", "done", act="remove", item="tab", tag="M-0202"), "Removed the tab (M-0202)"),
    ]
    photo, link = _photo(11, ("M-0202",)), _link("u2", "M-0202")
    assert photo_caption(photo, link, ENTRY, texts, SAID) == "Removed the tab (M-0202)"
    assert photo_caption(photo, link, ENTRY, texts[:1], SAID).startswith("“That's the aileron off")


def test_photo_has_no_caption_of_words_after_which_others_were_said_before_it_was_taken() -> None:
    assert _caption(14, utterance="u1") == ""
    assert _caption(12, utterance="u1") == "“Here she stands, before we've touched anything.”", "others just begin"
    labelled = photo_caption(_photo(14, ("M-0202",)), _link("u1", "M-0202"), ENTRY, TEXTS, SAID)
    assert labelled.startswith("“Here she stands")


def test_photo_that_a_person_placed_far_from_every_word_has_no_caption() -> None:
    assert _caption(500) == ""


def test_photo_of_which_it_is_not_clear_with_which_words_it_goes_has_no_caption_of_any() -> None:
    assert _caption(5.0) and _caption(5.0, utterance="") == ""


def test_photo_between_words_goes_with_those_that_were_just_said() -> None:
    assert _caption(16) == "Crack, aileron hinge"
    assert _caption(19.5) == "“Next week we'll have the flap off.”"


def test_more_facts_than_two_are_cut_short() -> None:
    many = [(_of("u2", "done", act="remove"), f"Removed part {number}") for number in (1, 2, 3)]
    assert _caption(11, many) == "Removed part 1; removed part 2; …"


def test_long_words_are_cut_and_an_entry_without_words_is_told_by_its_facts() -> None:
    long = {"u1": _said(1, 0, "and on " * 60)}
    one = ENTRY.model_copy(update={"utterances": ("u1",)})
    assert len(photo_caption(_photo(0), _link(), one, [], long)) <= 112
    none = ENTRY.model_copy(update={"utterances": ()})
    assert photo_caption(_photo(0), _link(), none, TEXTS, {}) == "Removed the aileron; Crack, aileron hinge"
