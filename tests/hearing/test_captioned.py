from typing import NamedTuple

from pipeline.hearing.captioned import from_captions
from pipeline.values import Heard


class Cue(NamedTuple):
    start_s: float
    end_s: float
    text: str
    speaker: str = ""


def test_captions_become_what_was_heard_with_times_shared_out_by_characters() -> None:
    heard = from_captions([Cue(1.0, 3.0, "Fin\nis off."), Cue(3.0, 4.0, "  "), Cue(4.0, 5.0, "Right.")])
    assert heard.by == "captions" and heard.duration_s == 5.0
    assert [one.text for one in heard.segments] == ["Fin is off.", "Right."]
    times = [(word.text, word.start_s, word.end_s) for word in heard.segments[0].words]
    assert times == [("Fin", 1.0, 1.545), ("is", 1.727, 2.091), ("off.", 2.273, 3.0)]
    assert all(word.probability == 1.0 for one in heard.segments for word in one.words)


def test_no_captions_are_nothing_heard() -> None:
    assert from_captions([]) == Heard(by="captions", duration_s=0.0, segments=())
