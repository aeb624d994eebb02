import itertools
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from pipeline.hearing.hear import hear, kept_of
from pipeline.hearing.leaning import Leaning
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import SAMPLES, Recogniser
from pipeline.intake.decoding import sound
from pipeline.values import Heard, HeardSegment, HeardWord

SAID = "he might even have been made amiable himself"
LEANING = Leaning(["longeron", "bellcrank", "aileron", "turnbuckle"])


@pytest.fixture(scope="module")
def tiny() -> Recogniser:
    return Recogniser(find_model("tiny.en"), jobs=2)


@pytest.fixture(scope="module")
def speech() -> SAMPLES:
    return sound(Path(__file__).parent / "sound" / "amiable.flac", "audio/flac").samples


def said_in(heard: Heard) -> str:
    return " ".join(re.findall(r"[a-z]+", " ".join(segment.text for segment in heard.segments).lower()))


def look(*words: tuple[str, float, float]) -> HeardSegment:
    heard = tuple(HeardWord(start_s=a, end_s=b, text=text, probability=0.9) for text, a, b in words)
    text = " ".join(word.text for word in heard)
    return HeardSegment(start_s=words[0][1], end_s=words[-1][2], text=text, words=heard)


def test_real_speech_is_heard_with_the_times_and_probabilities_of_its_words(
    tiny: Recogniser, speech: SAMPLES
) -> None:
    heard = hear(tiny, speech, LEANING)
    words = [word for segment in heard.segments for word in segment.words]
    assert said_in(heard) == SAID
    assert [word.text for word in words] == " ".join(segment.text for segment in heard.segments).split()
    assert all(0 <= word.start_s <= word.end_s <= heard.duration_s for word in words)
    assert all(a.start_s <= b.start_s for a, b in itertools.pairwise(words))
    assert all(0 < word.chance_wrong < 0.5 for word in words)
    assert heard.by == "recogniser" and heard.not_understood == ()
    assert heard.duration_s == pytest.approx(3.29, abs=0.01)


def test_the_default_model_hears_it_too_and_tells_what_it_leaned_towards(speech: SAMPLES) -> None:
    heard = hear(Recogniser(find_model()), speech, LEANING)
    assert said_in(heard) == SAID
    assert heard.settings["model"] == "base"
    assert heard.settings["model_sha256"].startswith("905e5bf8336b")
    assert heard.settings["names_leaned_towards"] == LEANING.fingerprint


def test_times_count_from_the_start_of_the_recording(tiny: Recogniser, speech: SAMPLES) -> None:
    later = hear(tiny, np.concatenate([np.zeros(5 * 16_000, np.float32), speech]), LEANING)
    assert said_in(later) == SAID
    assert 4.7 < later.segments[0].start_s < 5.8


def test_several_threads_hear_the_same_as_one(tiny: Recogniser, speech: SAMPLES) -> None:
    alone = hear(tiny, speech, LEANING)
    with ThreadPoolExecutor(2) as threads:
        together = list(threads.map(lambda one: hear(tiny, one, LEANING), [speech] * 4))
    assert together == [alone] * 4


def test_sound_without_voice_gives_no_words(tiny: Recogniser) -> None:
    noise = np.random.default_rng(7).normal(scale=0.05, size=160_000).astype(np.float32)
    for samples in (np.zeros(0, np.float32), np.zeros(48_000, np.float32), noise):
        heard = hear(tiny, samples, LEANING)
        assert heard.segments == () and heard.not_understood == ()
        assert heard.duration_s == len(samples) / 16_000


def test_words_with_no_voice_under_them_are_left_out_and_told_of() -> None:
    voice = np.zeros(400, np.float32)
    voice[:60] = 0.9
    both = look(("Fin", 0.2, 0.6), ("off.", 0.6, 1.2), ("Thank", 8.0, 8.4), ("you.", 8.4, 9.0))
    kept, left_out = kept_of((both, both), LEANING, voice)
    assert [one.word.text for one in kept] == ["Fin", "off."]
    (one,) = left_out
    assert (one.guess, one.start_s, one.end_s) == ("Thank you.", 8.0, 9.0)
    assert "voice" in one.why
