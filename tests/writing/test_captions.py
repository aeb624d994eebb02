import pytest

from pipeline.values import Kind
from pipeline.writing.captions import caption_name, captions, timestamp
from tests.writing.a_weekend import SATURDAY, medium, records


@pytest.mark.parametrize(
    ("at_s", "text"),
    [(0, "00:00:00.000"), (83.2, "00:01:23.200"), (3599.9996, "01:00:00.000"), (36000, "10:00:00.000")],
)
def test_times_are_written_with_hours_and_milliseconds(at_s: float, text: str) -> None:
    assert timestamp(at_s) == text


def test_a_name_is_harmless_and_told_apart_by_its_hash() -> None:
    name = caption_name(medium("../Ünder the wing: 1.m4a", SATURDAY, Kind.RECORDING, "audio/mp4"))
    assert name.startswith("captions/Ünder-the-wing--1-")
    assert name.endswith(".vtt") and name.count("/") == 1


def test_a_recording_in_which_nothing_was_said_still_has_captions() -> None:
    media = records().media[0]
    assert captions(media, []).startswith("WEBVTT\n\nNOTE ")
