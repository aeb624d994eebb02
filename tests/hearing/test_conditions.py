import numpy as np
import pytest

from tests.hearing.conditions import (
    NOISES,
    RATE_HZ,
    SAMPLES,
    Condition,
    clips_without_speech,
    echoed,
    loudness,
    seeded,
    spoilt,
)


def speech(seconds: float = 3) -> SAMPLES:
    """Two bursts of sound with a pause between, in place of speech."""
    time_s = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    return (0.1 * np.sin(2 * np.pi * 200 * time_s) * (np.sin(2 * np.pi * time_s / 2) > 0)).astype(np.float32)


def test_a_file_is_spoilt_in_the_same_way_every_time_and_each_in_its_own() -> None:
    condition = Condition(noise_db=10, echo=True)
    first = spoilt(speech(), condition, "001-joe.wav")
    assert np.array_equal(first, spoilt(speech(), condition, "001-joe.wav"))
    assert not np.array_equal(first, spoilt(speech(), condition, "002-joe.wav"))


def test_clean_speech_stays_as_it_was() -> None:
    assert np.array_equal(spoilt(speech(), Condition(), "a"), speech())


@pytest.mark.parametrize("noise_db", [10.0, 5.0])
def test_noise_is_so_many_decibels_below_the_speech(noise_db: float) -> None:
    added = spoilt(speech(), Condition(noise_db), "a").astype(np.float64) - speech()
    level = np.sqrt((added**2).mean())
    assert 20 * np.log10(loudness(speech().astype(np.float64)) / level) == pytest.approx(noise_db, abs=0.1)


def test_an_echo_rings_on_after_the_sound_and_dies_away() -> None:
    click = np.zeros(2 * RATE_HZ)
    click[0] = 1
    out = echoed(click, seeded("a"))
    assert out[0] == pytest.approx(1, abs=1e-3)
    early, late = (out[at : at + 1600] for at in (800, 12000))
    assert 0 < np.abs(late).max() < 0.1 * np.abs(early).max()


def test_clips_without_speech_are_of_every_kind_and_tell_where_a_note_is() -> None:
    clips = list(clips_without_speech(16, iter([("a note", speech())])))
    assert {clip.name[3:].removesuffix(" and a note") for clip in clips} == set(NOISES)
    assert [clip.said for clip in clips if clip.said] == ["a note"]
    for clip in clips:
        assert np.isfinite(clip.samples).all() and np.abs(clip.samples).max() <= 1
        if clip.said:
            assert 0 < clip.note_start_s < clip.note_end_s < len(clip.samples) / RATE_HZ
