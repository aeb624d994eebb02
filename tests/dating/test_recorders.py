"""Recorders' clocks, told by cameras."""

from dataclasses import replace

import numpy as np
import pytest

from pipeline.dating.offsets import Prior
from pipeline.dating.recorders import Camera, Recorder, Recording, settle
from pipeline.dating.talk import TimedTalk

LENGTHS_S = (300.0, 95.0, 610.0, 180.0)
BEGAN_S = (1_770_000_000.0, 1_770_001_200.0, 1_770_004_000.0, 1_770_009_000.0)


def _draw(seed=1):
    return np.random.default_rng(seed)


def _recordings(ends=False, offset_s=0.0):
    """Return recordings in which somebody points now and then, and the true times at which they do."""
    draw, found, points = _draw(), [], []
    for began_s, length_s in zip(BEGAN_S, LENGTHS_S, strict=True):
        at = np.sort(draw.uniform(2, length_s - 4, int(length_s / 25)))
        talk = TimedTalk(media="m", spans=((0.0, length_s),), points=tuple(at.tolist()))
        found.append(Recording(began_s + offset_s + (length_s if ends else 0.0), length_s, talk))
        points += (began_s + at).tolist()
    return tuple(found), np.array(points)


def _camera(points, offset_s=0.0, prior=None, right=False, device="c"):
    lags = _draw(2).normal(1.8, 0.7, len(points))
    return [Camera(device, np.sort(points + lags + offset_s), prior or Prior.hand_set(), right)]


def test_recorder_that_stamps_the_end_is_told_by_the_photos():
    for ends in (False, True):
        recordings, points = _recordings(ends=ends)
        found = settle({"r": Recorder(recordings, Prior.network_set(), None)}, _camera(points))
        assert found["r"].ends is ends
        assert found["r"].offset_s == 0.0


def test_recorder_is_set_by_a_camera_that_is_known_to_be_right():
    recordings, points = _recordings(offset_s=120.0)
    known = _camera(points, right=True)
    found = settle({"r": Recorder(recordings, Prior.hand_set(), False)}, known)
    assert (found["r"].sure, found["r"].offset_s) == (True, pytest.approx(120, abs=3))
    assert found["r"].anchors > 20


def test_recorder_a_hand_set_is_wrong_rather_than_a_phone_that_sets_itself():
    recordings, points = _recordings(offset_s=3600.0)
    phone = _camera(points, prior=Prior.network_set())
    found = settle({"r": Recorder(recordings, Prior.hand_set(), False)}, phone)
    assert found["r"].offset_s == pytest.approx(3600, abs=3)


def test_recorder_is_right_rather_than_one_camera_set_by_hand():
    recordings, points = _recordings()
    found = settle({"r": Recorder(recordings, Prior.network_set(), False)}, _camera(points, 3600.0))
    assert (found["r"].sure, found["r"].offset_s) == (False, 0.0)


def test_recorder_and_camera_of_one_device_tell_nothing_of_each_other():
    recordings, points = _recordings(offset_s=3600.0)
    phone = _camera(points, right=True, device="phone")
    found = settle({"phone": Recorder(recordings, Prior.hand_set(), False)}, phone)
    assert (found["phone"].sure, found["phone"].offset_s) == (False, 0.0)


@pytest.mark.parametrize(("times", "taken"), [(400, 150), (38, 38)])
def test_photo_more_of_a_day_as_busy_as_others_seldom_changes_by_which_photos_recorders_are_settled(times, taken):
    busy_s = np.arange(float(times)) * 300
    camera = Camera("Tarnbeck Two", np.concatenate([busy_s, busy_s + 40 * 86_400]), Prior.hand_set())
    later = replace(camera, shown_s=np.append(camera.shown_s, camera.shown_s[-1] + 60.0))
    assert camera.busiest().shown_s.tolist() == later.busiest().shown_s.tolist() == busy_s[:taken].tolist()
