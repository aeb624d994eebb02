from datetime import timedelta

import pytest

from pipeline.records import EntryRecord, FactRecord, Records, UtteranceRecord
from pipeline.writing.supporters.moments import Moments, Subject
from tests.writing.a_weekend import SATURDAY, fact, records, vocabulary

Words = tuple[float, float, str]


def _said(*words: Words, facts: dict[int, list[FactRecord]] | None = None) -> tuple[Moments, EntryRecord]:
    """An entry of utterances (from second, to second, text); ``facts`` are those of each by its number."""
    book = records()
    first = book.utterances[0]
    said = tuple(
        first.model_copy(
            update={
                "id": f"u-{index}",
                "start_at": SATURDAY + timedelta(seconds=start_s),
                "end_at": SATURDAY + timedelta(seconds=end_s),
                "heard": text,
                "read": text,
                "corrections": (),
                "unsure": (),
            }
        )
        for index, (start_s, end_s, text) in enumerate(words)
    )
    told = tuple(
        one.model_copy(update={"utterances": (f"u-{index}",)})
        for index, own in (facts or {}).items()
        for one in own
    )  # fmt: skip
    entry = book.entries[0].model_copy(
        update={"at": SATURDAY, "utterances": tuple(one.id for one in said), "facts": told}
    )
    return Moments(_book(book, said, entry), vocabulary()), entry


def _book(book: Records, said: tuple[UtteranceRecord, ...], entry: EntryRecord) -> Records:
    return book.model_copy(update={"utterances": said, "entries": (entry,)})


def _why(words: list[Words], at_s: float, facts: dict[int, list[FactRecord]] | None = None) -> str:
    moments, entry = _said(*words, facts=facts)
    return moments.withheld(entry, SATURDAY + timedelta(seconds=at_s))


@pytest.mark.parametrize(
    "text",
    [
        "That's P-0301 on the top one.",
        "P0302, that is.",
        "The tag is pee,",
        "They've each got a label.",
        "0310, nobody's hurt.",
        "It's on rack two, second shelf.",
        "It's on stand four.",
        "They're in bag 31.",
        "Box twelve.",
    ],
)
def test_a_photo_taken_as_a_tag_or_a_place_is_read_out_is_kept_back(text: str) -> None:
    assert "tag" in _why([(0, 3, "The wing."), (10, 13, text), (30, 32, "The flap.")], 12)
    assert "tag" in _why([(0, 3, "The wing."), (10, 13, text), (30, 32, "The flap.")], 15)
    assert "tag" in _why([(0, 3, "The wing."), (10, 13, text), (30, 32, "The flap.")], 8.5)
    assert _why([(0, 3, "The wing."), (10, 13, text), (30, 32, "The flap.")], 5) == ""
    assert _why([(0, 3, "The wing."), (10, 13, text), (15, 17, "The flap.")], 16) == ""


@pytest.mark.parametrize(
    "text",
    ["The bracket's off.", "She stands there.", "It's standing on a trestle.", "The boxes are away.", "P for port."],
)
def test_words_that_only_look_like_a_place_keep_nothing_back(text: str) -> None:
    assert _why([(10, 13, text)], 12) == ""


def test_a_photo_near_a_finding_is_kept_back_also_where_nobody_read_a_fact_from_it() -> None:
    crack = {0: [fact("seen", finding="crack", item="bracket")]}
    words = [(0.0, 3.0, "Look at that."), (5.0, 8.0, "I've put a ring round it."), (30.0, 32.0, "The flap.")]
    assert "finding" in _why(words, 2, crack)
    assert "finding" in _why(words, 7, crack)
    assert "finding" in _why(words, 20, crack)  # nothing else was told since
    told_since = {**crack, 2: [fact("done", act="remove", item="flap")]}
    assert _why(words, 31, told_since) == ""
    assert "finding" in _why([(0, 3, "There's a crack in it.")], 2)
    assert "finding" in _why([(0, 3, "It's badly corroded, that.")], 2)
    assert _why([(0, 3, "You crack the bleed screw.")], 2) == ""


def test_a_photo_shows_the_part_of_the_fact_told_with_it() -> None:
    facts = {
        0: [fact("done", act="store", item="flap"), fact("done", act="remove", item="aileron", side="port")],
        1: [fact("done", act="drain", item="flap-jack")],
    }
    moments, entry = _said((0, 3, "One."), (10, 13, "Two."), facts=facts)
    assert moments.subject(entry, SATURDAY + timedelta(seconds=4)) == Subject("aileron", ("port",), "remove")
    assert moments.subject(entry, SATURDAY + timedelta(seconds=11)) == Subject("flap-jack", (), "drain")


def test_a_photo_without_a_fact_shows_the_part_that_is_named() -> None:
    trestle, entry = _said((0, 3, "There's one at stringer six, under the port aileron."))
    assert trestle.subject(entry, SATURDAY + timedelta(seconds=2)) == Subject("aileron", ("port",))
    moments, entry = _said(
        (0, 3, "Here you can see the two fuel lines."), (40, 43, "This is the port wing joint, look.")
    )
    assert moments.subject(entry, SATURDAY + timedelta(seconds=2)) == Subject("fuel-line", many=True)
    assert moments.subject(entry, SATURDAY + timedelta(seconds=42)) == Subject("wing-joint", ("port",))


def test_a_photo_with_words_that_name_nothing_shows_what_was_told_just_before() -> None:
    facts = {0: [fact("done", act="support", item="outer-wing", side="port")]}
    moments, entry = _said((0, 3, "Weight's on the hoist."), (4, 6, "Photo of her in the slings."), facts=facts)
    assert moments.subject(entry, SATURDAY + timedelta(seconds=5)) == Subject("outer-wing", ("port",), "support")
    far, entry = _said((0, 3, "Weight's on the hoist."), (14, 16, "Photo of her in the slings."), facts=facts)
    assert far.subject(entry, SATURDAY + timedelta(seconds=15)) is None


def test_a_picture_that_was_spoken_of_is_known() -> None:
    moments, _ = _said((0, 3, "Photo of that, please."), (30, 33, "Off it comes."))
    assert moments.asked_for(SATURDAY + timedelta(seconds=2))
    assert not moments.asked_for(SATURDAY + timedelta(seconds=32))
    soon, _ = _said((0, 3, "Off it comes."), (4, 6, "Photo of that, please."))
    assert not soon.asked_for(SATURDAY + timedelta(seconds=3))
