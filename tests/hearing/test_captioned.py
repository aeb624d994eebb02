from itertools import pairwise
from typing import NamedTuple

from pipeline.hearing.captioned import from_captions, speakers_apart
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


TEAM = [("Gorm Aldis", "Gorm"), ("Isolde Penn", "Isolde", "Izzy")]


def told(*cues: Cue) -> list[tuple[str, str, float, float]]:
    parts = speakers_apart(from_captions(cues), TEAM).segments
    assert all(" ".join(word.text for word in one.words) == one.text for one in parts)
    return [(one.speaker, one.text, one.start_s, one.end_s) for one in parts]


def test_a_name_of_the_team_before_a_colon_is_who_speaks_and_no_word() -> None:
    assert told(Cue(1.0, 3.0, "gorm: Rib 8 is off.")) == [("gorm", "Rib 8 is off.", 1.0, 3.0)]
    assert told(Cue(1.0, 3.0, "Gorm Aldis: Off.")) == [("Gorm Aldis", "Off.", 1.0, 3.0)]
    assert told(Cue(1.0, 3.0, "Izzy: Off.", "Gorm")) == [("Izzy", "Off.", 1.0, 3.0)]


def test_a_cue_of_several_voices_is_cut_where_another_begins() -> None:
    parts = told(Cue(0.0, 6.0, "Ready? Gorm: Rib 8 is off. Isolde: Good. So it is."))
    assert [one[:2] for one in parts] == [("", "Ready?"), ("Gorm", "Rib 8 is off."), ("Isolde", "Good. So it is.")]
    assert parts[0][2] == 0.0 and parts[-1][3] == 6.0
    assert all(before[3] <= after[2] < after[3] for before, after in pairwise(parts))


def test_what_is_no_name_of_the_team_or_begins_nothing_stays_a_word() -> None:
    for text in (
        "Port: two bolts.",
        "Zoe: Rib 8 is off.",
        "A photo of Gorm: rib 8.",
        "Gorm:",
        "Gorm is here.",
        "12:30",
    ):
        assert told(Cue(0.0, 2.0, text)) == [("", text, 0.0, 2.0)]
