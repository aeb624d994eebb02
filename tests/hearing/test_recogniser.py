import itertools
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from pipeline.errors import RunFault
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import SAMPLES, Recogniser, from_captions, not_understood
from pipeline.intake.containers import sound
from pipeline.values import Heard, HeardSegment, HeardWord, ModelFolder

SAID = "he might even have been made amiable himself"


@pytest.fixture(scope="module")
def tiny() -> Recogniser:
    return Recogniser(find_model("tiny.en"), jobs=2)


@pytest.fixture(scope="module")
def speech() -> SAMPLES:
    return sound(Path(__file__).parent / "sound" / "amiable.flac", "audio/flac").samples


def said_in(heard: Heard) -> str:
    return " ".join(re.findall(r"[a-z]+", " ".join(segment.text for segment in heard.segments).lower()))


def test_real_speech_is_heard_with_the_times_and_probabilities_of_its_words(
    tiny: Recogniser, speech: SAMPLES
) -> None:
    heard = tiny.hear(speech)
    words = [word for segment in heard.segments for word in segment.words]
    assert said_in(heard) == SAID
    assert [word.text for word in words] == " ".join(segment.text for segment in heard.segments).split()
    assert all(0 <= word.start_s <= word.end_s <= heard.duration_s for word in words)
    assert all(a.start_s <= b.start_s for a, b in itertools.pairwise(words))
    assert all(0 < word.probability <= 1 for word in words)
    assert heard.by == "recogniser" and heard.not_understood == ()
    assert heard.duration_s == pytest.approx(3.29, abs=0.01)


def test_the_default_model_hears_it_too(speech: SAMPLES) -> None:
    heard = Recogniser(find_model()).hear(speech, hotwords="longeron, bellcrank")
    assert said_in(heard) == SAID
    assert heard.settings["model"] == "base"
    assert heard.settings["model_sha256"].startswith("905e5bf8336b")
    assert heard.settings["hotwords"] == "longeron, bellcrank"


def test_times_count_from_the_start_of_the_recording(tiny: Recogniser, speech: SAMPLES) -> None:
    later = tiny.hear(np.concatenate([np.zeros(5 * 16_000, np.float32), speech]))
    assert said_in(later) == SAID
    assert 4.7 < later.segments[0].start_s < 5.8


def test_several_threads_hear_the_same_as_one(tiny: Recogniser, speech: SAMPLES) -> None:
    alone = tiny.hear(speech)
    with ThreadPoolExecutor(2) as threads:
        together = list(threads.map(tiny.hear, [speech] * 4))
    assert together == [alone] * 4


@pytest.mark.parametrize(
    "samples",
    [
        np.zeros(0, np.float32),
        np.zeros(100, np.float32),
        np.zeros(48_000, np.float32),
        np.random.default_rng(7).normal(scale=0.05, size=160_000).astype(np.float32),
    ],
    ids=["empty", "a moment", "silence", "noise"],
)
def test_sound_without_voice_gives_no_words(tiny: Recogniser, samples: SAMPLES) -> None:
    heard = tiny.hear(samples, hotwords="aileron")
    assert heard.segments == () and heard.not_understood == ()
    assert heard.duration_s == len(samples) / 16_000


def test_files_that_are_no_model_end_with_one_clear_line(tmp_path: Path) -> None:
    for name in ("config.json", "tokenizer.json", "vocabulary.json", "model.bin"):
        (tmp_path / name).write_bytes(b"{}")
    with pytest.raises(RunFault, match="cannot be loaded"):
        Recogniser(ModelFolder(path=tmp_path, name="mine", sha256="00"))


def segment(*words: tuple[float, float]) -> HeardSegment:
    spoken = tuple(HeardWord(start_s=a, end_s=b, text="fin", probability=0.9) for a, b in words)
    text = " ".join(word.text for word in spoken)
    return HeardSegment(start_s=words[0][0], end_s=words[-1][1], text=text, words=spoken)


def test_voice_without_words_is_told_of_when_it_is_longer_than_a_second() -> None:
    assert not_understood([segment((1, 1.5), (1.5, 2))], [(1, 2), (4, 6.5), (9, 9.8)]) == ((4, 6.5),)
    assert not_understood([segment((1, 1.5))], [(1, 4)]) == ((1.8, 4),)
    assert not_understood([segment((0, 1), (2, 3))], [(0, 3)]) == ()
    assert not_understood([], [(0, 2)]) == ((0, 2),)


def test_words_without_voice_are_told_of() -> None:
    assert not_understood([segment((1, 2)), segment((20, 21), (21, 22))], [(1, 2)]) == ((20, 22),)


class Cue(NamedTuple):
    start_s: float
    end_s: float
    text: str


def test_captions_become_what_was_heard_with_times_shared_out_by_characters() -> None:
    heard = from_captions([Cue(1.0, 3.0, "Fin\nis off."), Cue(3.0, 4.0, "  "), Cue(4.0, 5.0, "Right.")])
    assert heard.by == "captions" and heard.duration_s == 5.0
    assert [one.text for one in heard.segments] == ["Fin is off.", "Right."]
    times = [(word.text, word.start_s, word.end_s) for word in heard.segments[0].words]
    assert times == [("Fin", 1.0, 1.545), ("is", 1.727, 2.091), ("off.", 2.273, 3.0)]
    assert all(word.probability == 1.0 for one in heard.segments for word in one.words)


def test_no_captions_are_nothing_heard() -> None:
    assert from_captions([]) == Heard(by="captions", duration_s=0.0, segments=())
