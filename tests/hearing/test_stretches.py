"""A long recording is cut where it is quiet, heard piece by piece, and put together again."""

import tracemalloc
from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.hearing.stretches import LONGEST_S, joined, stretches
from pipeline.stages import hear_sound
from pipeline.values import Heard, HeardSegment, HeardWord, NotUnderstood
from tests.small_media import make_sound

RATE_HZ = 16_000


def noise(seconds, loud=0.3, seed=1):
    return (loud * np.random.default_rng(seed).standard_normal(round(seconds * RATE_HZ))).astype(np.float32)


def blocks_of(samples, each=65_536):
    return (samples[start : start + each] for start in range(0, len(samples), each))


@settings(deadline=None)
@given(st.integers(0, 400_000), st.integers(1_000, 70_000), st.floats(2.0, 9.0))
def test_stretches_together_are_the_whole_and_none_is_longer_than_asked(length, each, longest_s):
    samples = np.arange(length, dtype=np.float32)
    found = list(stretches(blocks_of(samples, each), longest_s))
    assert np.array_equal(np.concatenate([part for _, part in found]), samples)
    assert all(len(part) <= round(longest_s * RATE_HZ) for _, part in found)
    assert [round(start_s * RATE_HZ) for start_s, _ in found] == [
        sum(len(part) for _, part in found[:at]) for at in range(len(found))
    ]


def test_recording_that_is_short_enough_is_one_stretch():
    samples = noise(30)
    ((start_s, part),) = stretches(blocks_of(samples), 30)
    assert start_s == 0 and np.array_equal(part, samples)


def test_recording_without_sound_is_one_empty_stretch():
    ((start_s, part),) = stretches(iter(()))
    assert start_s == 0 and len(part) == 0


def test_cut_is_made_in_the_pause_and_not_in_the_words():
    samples = np.concatenate([noise(100), noise(2, loud=0.001), noise(60, seed=2)])
    (_, first), (second_s, _) = stretches(blocks_of(samples), 120)
    assert 100 < second_s < 102
    assert len(first) == round(second_s * RATE_HZ)


def test_no_more_than_a_stretch_and_what_is_next_is_held_however_long_the_recording_is():
    def endless(minutes):
        for number in range(minutes * 15):
            yield noise(4, seed=number)

    peaks = []
    for minutes in (4, 16):
        tracemalloc.start()
        for _, part in stretches(endless(minutes), 60):
            del part
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.1 * peaks[0]


def heard(word, start_s, duration_s):
    words = (HeardWord(start_s=start_s, end_s=start_s + 0.5, text=word, probability=0.9),)
    segment = HeardSegment(start_s=start_s, end_s=start_s + 0.5, text=word, words=words)
    missed = NotUnderstood(start_s=start_s + 1, end_s=start_s + 2, why="unclear")
    return Heard(
        by="recogniser", duration_s=duration_s, segments=(segment,), settings={"model": "m"}, not_understood=(missed,)
    )


def test_what_was_heard_in_pieces_has_the_times_of_the_whole():
    whole = joined([(0.0, heard("rudder", 1, 60)), (60.0, heard("fin", 2.5, 41))])
    assert whole.duration_s == 101 and whole.settings == {"model": "m"}
    assert [(one.text, one.start_s, one.end_s) for one in whole.segments] == [("rudder", 1, 1.5), ("fin", 62.5, 63)]
    assert [word.start_s for segment in whole.segments for word in segment.words] == [1, 62.5]
    assert [(one.start_s, one.end_s) for one in whole.not_understood] == [(2, 3), (63.5, 64.5)]
    assert all(one.end_s <= other.start_s for one, other in pairwise(whole.segments))


def test_what_was_heard_in_one_piece_is_left_as_it_is():
    one = heard("rudder", 1, 60)
    assert joined([(0.0, one)]) is one


def test_long_recording_is_heard_in_pieces_and_a_short_one_at_once(tmp_path):
    class Counts:
        def __init__(self):
            self.lengths = []

        def hear(self, samples):
            self.lengths.append(len(samples))
            return heard("rudder", 1, len(samples) / RATE_HZ)

    for seconds, pieces in ((20, 1), (LONGEST_S + 30, 2)):
        bench = Counts()
        whole = hear_sound(make_sound(tmp_path / "note.wav", seconds=seconds), "audio/wav", bench)
        assert len(bench.lengths) == pieces and sum(bench.lengths) == seconds * RATE_HZ
        assert whole.duration_s == seconds
        assert len(whole.segments) == pieces
