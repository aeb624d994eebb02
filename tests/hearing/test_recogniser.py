from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from pipeline.errors import RunFault
from pipeline.hearing.device import Device
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import LEANING_BEAM, LONGEST_CHUNK_S, RATE_HZ, SAMPLES, Recogniser, find_voice
from pipeline.intake.decoding import sound
from pipeline.values import ModelFolder


@pytest.fixture(scope="module")
def tiny() -> Recogniser:
    return Recogniser(find_model("tiny.en"), jobs=2, device=Device.CPU)


@pytest.fixture(scope="module")
def speech() -> SAMPLES:
    return sound(Path(__file__).parent / "sound" / "amiable.flac", "audio/flac").samples


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
def test_sound_without_voice_has_nothing_to_decode(samples: SAMPLES) -> None:
    voiced = find_voice(samples)
    assert voiced.chunks == () and voiced.stretches == ()


def test_voice_is_found_where_it_is(speech: SAMPLES) -> None:
    quiet = np.zeros(5 * RATE_HZ, np.float32)
    voiced = find_voice(np.concatenate([quiet, speech, quiet]))
    assert 4.7 < voiced.stretches[0][0] < 5.6
    assert voiced.stretches[-1][1] < 8.6
    assert voiced.chances[: int(4.5 * RATE_HZ / 512)].max() < 0.5 < voiced.chances.max()


def test_the_chances_of_voice_are_those_of_the_recording_that_was_asked_about(speech: SAMPLES) -> None:
    twice = np.concatenate([speech, speech])
    with ThreadPoolExecutor(2) as threads:
        both = list(threads.map(find_voice, [speech, twice] * 3))
    assert [len(one.chances) for one in both] == [len(speech) // 512 + 1, len(twice) // 512 + 1] * 3
    np.testing.assert_array_equal(both[0].chances, both[4].chances)


def test_long_speech_is_cut_into_chunks_that_the_decoder_can_take(speech: SAMPLES) -> None:
    voiced = find_voice(np.concatenate([speech] * 30))
    assert len(voiced.chunks) > 2
    assert all(end_s - start_s <= LONGEST_CHUNK_S for start_s, end_s in voiced.chunks)
    assert voiced.chunks[-1][1] == pytest.approx(len(voiced.samples) / RATE_HZ)


def test_a_second_look_at_the_same_sound_can_lean_each_chunk_its_own_way(tiny: Recogniser, speech: SAMPLES) -> None:
    voiced = find_voice(np.concatenate([speech] * 12))
    (group,) = tiny.groups(voiced)
    plain = group.look()
    again = group.look()
    leaning = group.look(["longeron, turnbuckle, aileron"] + ["rudder, amiable"] * (len(plain) - 1))
    assert plain == again
    assert len(plain) == len(leaning) == len(voiced.chunks) == 2
    assert all(one and "amiable" in one.text.lower() for one in (*plain, *leaning))


def test_words_have_times_probabilities_and_the_support_of_rival_readings(tiny: Recogniser, speech: SAMPLES) -> None:
    ((heard,),) = (group.look() for group in tiny.groups(find_voice(speech)))
    assert heard is not None
    assert all(0 < word.probability <= 1 and 0 < word.support <= 1 for word in heard.words)
    assert [word.text for word in heard.words] == heard.text.split()
    assert heard.start_s == heard.words[0].start_s and heard.end_s == heard.words[-1].end_s


def test_the_settings_tell_model_and_decoder(tiny: Recogniser) -> None:
    settings = tiny.settings()
    assert settings["model"] == "tiny.en" and settings["beam_size"] == "5"
    assert settings["beam_size_leaning"] == str(LEANING_BEAM) and settings["device"] == "cpu"
    assert settings["library"].startswith("faster-whisper ")


def test_files_that_are_no_model_end_with_one_clear_line(tmp_path: Path) -> None:
    for name in ("config.json", "tokenizer.json", "vocabulary.json", "model.bin"):
        (tmp_path / name).write_bytes(b"{}")
    with pytest.raises(RunFault, match="cannot be loaded"):
        Recogniser(ModelFolder(path=tmp_path, name="mine", sha256="00"))
