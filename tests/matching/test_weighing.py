"""Photos weighed against the words of a day."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.matching.weighing import Photos, Words, weigh


def words(*spans, points=(), recorders=None):
    """Return utterances (start, end) in order, with pointing words (utterance, moment)."""
    points = sorted(points, key=lambda point: point[1])
    return Words(
        start=np.array([start for start, _ in spans], dtype=float),
        end=np.array([end for _, end in spans], dtype=float),
        recorder=np.array(recorders or [0] * len(spans), dtype=np.int64),
        point_of=np.array([of for of, _ in points], dtype=np.int64),
        point_at=np.array([at for _, at in points], dtype=float),
    )


def photos(*at, error_s=1.0, tagged=()):
    return Photos(np.array(at, dtype=float), error_s, tuple(tagged))


def best(shares, photo):
    """Return the utterance that most speaks for, and its share."""
    own = shares.photo == photo
    index = int(np.argmax(shares.share[own]))
    return int(shares.words[own][index]), float(shares.share[own][index])


def test_photo_just_after_a_pointing_word_is_of_it_and_not_of_the_words_that_follow():
    (shares,) = weigh([photos(12.0)], words((0, 11), (11.5, 20), points=[(0, 10.5)]))
    assert best(shares, 0)[0] == 0


def test_photos_of_one_camera_share_its_error():
    points = [(n, 100.0 * n) for n in range(6)]
    said = words(*((100 * n - 1, 100 * n + 6) for n in range(6)), points=points)
    late = photos(*(100.0 * n + 42 for n in range(6)), error_s=30.0)
    (shares,) = weigh([late], said)
    assert [best(shares, n)[0] for n in range(6)] == list(range(6))
    (alone,) = weigh([photos(42.0, error_s=1.0)], said)
    assert best(alone, 0)[1] < 0.5


def test_photo_at_once_after_another_is_of_the_same_thing():
    said = words((0, 5), (6, 12), points=[(0, 1.0)])
    (shares,) = weigh([photos(3.0, 4.2, 5.4, 6.4)], said)
    assert [best(shares, n)[0] for n in range(4)] == [0, 0, 0, 0]


def test_camera_stays_with_whoever_it_was_with_all_day():
    spans = [(100.0 * n, 100.0 * n + 8) for n in range(9) for _ in (0, 1)]
    said = words(*spans, points=[(n, spans[n][0] + 2) for n in range(18)], recorders=[0, 1] * 9)
    with_first = [(n, spans[n][0] + 2) for n in range(0, 16, 2)]
    # On eight occasions only the first one points while both talk; on the ninth both point.
    said = words(*spans, points=[*with_first, (16, 802.0), (17, 802.0)], recorders=[0, 1] * 9)
    (shares,) = weigh([photos(*(at + 2 for _, at in with_first), 804.0)], said)
    assert best(shares, 8)[0] == 16


def test_label_in_the_photo_ties_it_to_the_words_that_read_it_out_however_far_away():
    said = words((0, 5), (5000, 5008))
    (shares,) = weigh([photos(900.0, tagged=[(0, 1)])], said)
    assert best(shares, 0) == (1, pytest.approx(0.97, abs=0.03))


def test_nothing_said_gives_nothing():
    (shares,) = weigh([photos(1.0, 2.0)], words())
    assert len(shares.share) == 0


# Quarters of a second, which moving the clock face by whole seconds leaves exact.
_TIMES = st.lists(st.integers(0, 2400).map(lambda quarters: quarters / 4), min_size=1, max_size=12)


@given(_TIMES, _TIMES, st.sampled_from([0.5, 2.0, 60.0]), st.integers(-1_000_000, 1_000_000))
def test_shares_of_a_photo_never_add_up_to_more_than_one_and_do_not_depend_on_the_clock_face(at, starts, error_s, by):
    spans = [(start, start + 6) for start in sorted(starts)]
    points = [(n, start + 1) for n, (start, _) in enumerate(spans) if n % 2 == 0]
    tagged = [(0, 0)]
    (shares,) = weigh([photos(*sorted(at), error_s=error_s, tagged=tagged)], words(*spans, points=points))
    assert (np.bincount(shares.photo, shares.share) <= 1 + 1e-9).all()
    moved = words(*((a + by, b + by) for a, b in spans), points=[(n, p + by) for n, p in points])
    (other,) = weigh([photos(*(one + by for one in sorted(at)), error_s=error_s, tagged=tagged)], moved)
    assert other.share.sum() == pytest.approx(shares.share.sum(), abs=1e-3)
