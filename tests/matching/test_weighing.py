"""Photos weighed against the words of a day."""

import random

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pipeline.matching.weighing import CameraPhotos, DayUtterances, weigh


def words(*spans, points=(), recorders=None):
    """Return utterances (start, end) in order, with pointing words (utterance, moment)."""
    points = sorted(points, key=lambda point: point[1])
    return DayUtterances(
        start=np.array([start for start, _ in spans], dtype=float),
        end=np.array([end for _, end in spans], dtype=float),
        recorder=np.array(recorders or [0] * len(spans), dtype=np.int64),
        point_of=np.array([of for of, _ in points], dtype=np.int64),
        point_at=np.array([at for _, at in points], dtype=float),
    )


def photos(*at, error_s=1.0, tagged=()):
    return CameraPhotos(np.array(at, dtype=float), error_s, tuple(tagged))


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


def test_photo_as_a_sentence_has_ended_is_of_that_and_not_one_more_of_the_sentence_before():
    said = words((0, 6), (8.8, 13), (15.8, 18), (20.8, 24.5))
    (shares,) = weigh([photos(7.2, 14.2, 19.2, 25.7)], said)
    assert [best(shares, n)[0] for n in range(4)] == [0, 1, 2, 3]
    assert min(best(shares, n)[1] for n in range(4)) > 0.7


def test_camera_stays_with_whoever_it_was_with_all_day():
    spans = [(100.0 * n, 100.0 * n + 8) for n in range(9) for _ in (0, 1)]
    said = words(*spans, points=[(n, spans[n][0] + 2) for n in range(18)], recorders=[0, 1] * 9)
    with_first = [(n, spans[n][0] + 2) for n in range(0, 16, 2)]
    # On eight occasions only the first one points while both talk; on the ninth both point.
    said = words(*spans, points=[*with_first, (16, 802.0), (17, 802.0)], recorders=[0, 1] * 9)
    (shares,) = weigh([photos(*(at + 2 for _, at in with_first), 804.0)], said)
    assert best(shares, 8)[0] == 16


def quiet_talk(seed):
    """Return what is said on a day on which nobody points, and photos of it with the utterance that each is of.

    They are taken while it is said or in the pause after it, now and then several in a row; the clock is out by a
    second or so.
    """
    draw = random.Random(seed)
    spans, taken, at_s, fast_s = [], [], 0.0, draw.gauss(0, 1.2)
    in_pauses, often = draw.choice((0.0, 0.3, 0.6)), draw.choice((0.3, 0.6))
    for of in range(draw.randint(8, 24)):
        end_s = at_s + draw.uniform(3, 9)
        spans.append((at_s, end_s))
        if draw.random() < often:
            in_pause = draw.random() < in_pauses
            shot_s = end_s + draw.uniform(0, 3) if in_pause else draw.uniform(at_s, end_s)
            taken += [(shot_s + 3.0 * n + fast_s, of) for n in range(draw.choice((1, 1, 2)))]
        at_s = end_s + draw.uniform(2, 6)
    return words(*spans), sorted(taken)


@pytest.fixture(scope="module")
def quiet_links():
    """Return (share, right) of every photo of many quiet days that one utterance has more than half of."""
    found, number = [], 0
    for seed in range(120):
        said, taken = quiet_talk(seed)
        (shares,) = weigh([photos(*(at for at, _ in taken), error_s=5.0)], said)
        number += len(taken)
        for photo, (_, of) in enumerate(taken):
            utterance, share = best(shares, photo)
            if share >= 0.5:
                found.append((share, utterance == of))
    return number, found


def test_photos_of_talk_in_which_nobody_points_stand_with_what_was_being_said(quiet_links):
    number, found = quiet_links
    assert sum(right for _, right in found) >= 0.8 * number
    assert sum(not right for _, right in found) <= 0.12 * number


def test_shares_of_photos_of_quiet_talk_are_as_often_right_as_they_say(quiet_links):
    _, found = quiet_links
    for low in (0.5, 0.6, 0.7, 0.8, 0.9):
        own = [(share, right) for share, right in found if low <= share < low + 0.1]
        said = sum(share for share, _ in own) / len(own)
        assert sum(right for _, right in own) >= (said - 0.08) * len(own)


def test_many_photos_in_mid_sentence_are_not_put_to_the_next_ones_because_some_were_taken_in_the_pauses():
    """Words of 6 s with 4 s between them; one photo of three is taken two seconds after them."""
    said = words(*((10.0 * n, 10.0 * n + 6) for n in range(15)))
    (shares,) = weigh([photos(*(10.0 * n + (0.7, 3.5, 8.0)[n % 3] for n in range(15)), error_s=5.0)], said)
    assert [best(shares, n)[0] for n in range(15)] == list(range(15))
    assert max(best(shares, n)[1] for n in range(2, 14, 3)) < 0.9


@given(st.lists(st.floats(0.0, 9.9), min_size=3, max_size=15), st.sampled_from([2.0, 5.0, 60.0]))
@example([8.75, *[1.0] * 14], 2.0)  # moves a share by as much as any that was tried, 0.0205
def test_where_sentences_end_moves_no_clock(into, error_s):
    """A photo in talk with short pauses has the same shares however many others there are beside it."""
    said = words(*((10.0 * n - 500, 10.0 * n - 494) for n in range(200)))
    at = sorted(40.0 * n + one for n, one in enumerate(into))
    (alone,) = weigh([photos(at[0], error_s=error_s)], said)
    (many,) = weigh([photos(*at, error_s=error_s)], said)
    assert best(many, 0)[0] == best(alone, 0)[0] or best(alone, 0)[1] < 0.5
    assert best(many, 0)[1] == pytest.approx(best(alone, 0)[1], abs=0.03)


def test_label_in_the_photo_ties_it_to_the_words_that_read_it_out_however_far_away():
    said = words((0, 5), (5000, 5008))
    (shares,) = weigh([photos(900.0, tagged=[(0, 1)])], said)
    assert best(shares, 0) == (1, pytest.approx(0.97, abs=0.03))


WEEKS_S = 49 * 86_400.0


def test_of_two_readings_of_a_tag_weeks_apart_each_label_goes_to_the_nearer():
    """A tag is read out as the part comes off and again as it goes on, and photographed both times."""
    said = words((0, 5), (WEEKS_S, WEEKS_S + 5))
    tagged = [(0, 0), (0, 1), (1, 0), (1, 1)]
    (shares,) = weigh([photos(1800.0, WEEKS_S - 3000, error_s=60.0, tagged=tagged)], said)
    assert [best(shares, 0)[0], best(shares, 1)[0]] == [0, 1]
    assert min(best(shares, 0)[1], best(shares, 1)[1]) > 0.9


def test_label_goes_to_no_reading_that_is_weeks_away_and_to_none_of_two_that_are_as_near():
    (weeks_later,) = weigh([photos(WEEKS_S, tagged=[(0, 0)])], words((0, 5)))
    assert best(weeks_later, 0)[1] < 0.5
    (between,) = weigh([photos(2500.0, tagged=[(0, 0), (0, 1)])], words((0, 5), (4995, 5000)))
    assert best(between, 0)[1] == pytest.approx(0.5, abs=0.03)
    said = words((0, 5), (WEEKS_S, WEEKS_S + 5))
    (undated,) = weigh([CameraPhotos(np.array([9000.0]), 900.0, ((0, 0), (0, 1)), apart_s=3e8)], said)
    assert best(undated, 0)[1] < 0.6


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
