"""Clocks told by photos as sentences end, where nobody points."""

import random
from datetime import UTC, datetime

import numpy as np
import pytest

from pipeline.dating.by_ends import Lines
from pipeline.dating.events import ClockEvent, Evidence
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import AT_ENDS, speech
from pipeline.dating.tracks import follow

AT_S = datetime(2026, 10, 10, 9, 0, tzinfo=UTC).timestamp()
WEEK = 7


def _notes(seed, days, notes, length_s, offset_s, drift_s_per_day=0.0):
    """Return photos after nearly every sentence of notes of five, and what is said in them.

    Sentences are so long (shortest, longest); the camera shows whole seconds.
    """
    draw, spans, taken = random.Random(seed), [], []
    for day in days:
        for note in range(notes):
            at_s = AT_S + day * 86_400.0 + note * 5000 + draw.uniform(0, 900)
            for _ in range(5):
                end_s = at_s + draw.uniform(*length_s)
                spans.append((at_s, end_s))
                if draw.random() < 0.85:
                    out_s = offset_s + drift_s_per_day * (at_s - AT_S) / 86_400
                    taken.append(float(int(end_s + draw.gauss(1.3, 0.2) + out_s)))
                at_s = end_s + draw.uniform(2.6, 2.9)
    return [ClockEvent(one) for one in taken], speech([], spans)


@pytest.mark.parametrize("seed", range(8))
def test_no_day_is_put_a_sentence_early_or_late_where_all_days_together_tell(seed):
    days = (0, WEEK, 3 * WEEK, 5 * WEEK, 6 * WEEK)
    seen, said = _notes(seed, days, 2, (2.0, 6.0), 3617.0, 0.8)
    (track,) = follow(seen, said, Prior.hand_set())
    assert track.sure
    for one in seen:
        day = (one.shown_s - 3617 - AT_S) / 86_400
        assert track.offset_at(one.shown_s) == pytest.approx(3617 + 0.8 * day, abs=2)


def test_where_every_sentence_is_as_long_the_hour_is_clear_and_the_second_is_not():
    ends = [AT_S + day * WEEK * 86_400.0 + 7 * turn for day in range(3) for turn in range(30)]
    said = speech([], [(end_s - 4, end_s) for end_s in ends])
    photographed = [end_s for turn, end_s in enumerate(ends) if turn % 30 in (12, 14, 15, 17)]
    (track,) = follow([ClockEvent(end_s + 3618.3) for end_s in photographed], said, Prior.hand_set())
    assert track.sure
    assert track.offset_s == pytest.approx(3617, abs=90)
    assert track.error_s > 6


def test_sentences_tell_of_a_clock_too_where_a_few_photos_stand_with_words_that_point_by_chance():
    seen, said = _notes(5, (0, WEEK, 2 * WEEK), 3, (2.0, 6.0), -3590.0)
    points = [one + 8.0 for one in said.ends[::6].tolist()]
    said = speech(points, list(zip(said.starts.tolist(), said.ends.tolist(), strict=True)))
    (track,) = follow(seen, said, Prior.hand_set())
    assert track.offset_s == pytest.approx(-3590, abs=2)


def test_every_line_is_worth_what_its_photos_speak_for_it_less_what_is_unlikely_of_it():
    seen, said = _notes(1, (0, 3), 3, (2.0, 6.0), 30.0, 2.0)
    own, prior = Evidence.of(seen, said), Prior.hand_set()
    middle_s = float((own.shown.min() + own.shown.max()) / 2)
    lines = Lines.of(own, middle_s, 33.0, AT_ENDS, prior)
    row, column = len(lines.drifts) // 2 + 2, 120
    drift, offset_s = lines.drifts[row], lines.offsets[column]
    offsets = offset_s + drift * (own.shown - middle_s) / 86_400
    plainly = own.along(offsets, AT_ENDS).sum() + prior.log_density(np.array([offset_s]))[0] - drift**2 / 72
    assert lines.worth[row, column] == pytest.approx(plainly, abs=6)  # offsets are looked up to half a second
    assert np.ptp(lines.worth) > 100
    best_s, drift = lines.best
    assert (best_s, drift) == (pytest.approx(33, abs=1), pytest.approx(2, abs=0.7))
    assert lines.out_s(best_s, drift) < 2 < lines.out_s(best_s + 20, drift)
