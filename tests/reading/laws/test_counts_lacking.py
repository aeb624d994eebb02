"""Fasteners that lack."""

import pytest

from pipeline.reading.note_reader import NoteReader


@pytest.mark.parametrize(
    ("text", "fitted", "missing"),
    [
        ("We got both mags in, one bolt short on the left.", None, ("bolt", "port", 1)),
        ("The port magneto's fitted, one nut short.", None, ("nut", None, 1)),
        ("Tailplane's on, two bolts short at the back.", None, ("bolt", None, 2)),
        ("Rudder's on, three bolts, one washer short.", 3, ("washer", None, 1)),
    ],
)
def test_what_lacks_is_missing_and_counts_nothing_that_was_fitted(
    note_reader: NoteReader, text: str, fitted: int | None, missing: tuple[object, ...]
) -> None:
    facts = note_reader.read(text)
    assert [fact.count for fact in facts if fact.act == "fit"] == [fitted]
    assert [(fact.item, fact.side, fact.count) for fact in facts if fact.finding == "missing"] == [missing]


@pytest.mark.parametrize(
    "text",
    [
        "Rudder's on, two bolts short and two bolts long.",
        "The two short bolts go in the fin.",
        "We might be one bolt short.",
    ],
)
def test_short_bolts_lack_nothing(note_reader: NoteReader, text: str) -> None:
    assert all(fact.finding != "missing" for fact in note_reader.read(text))
