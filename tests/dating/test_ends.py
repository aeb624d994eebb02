from datetime import UTC, datetime

from pipeline.dating.ends import stamped_on_stopping as told_by_files
from pipeline.values import Kind, TimeSource
from tests.dating.seen_media import LONDON, clue, piece

AT = datetime(2026, 2, 14, 10, 15, tzinfo=UTC)
STAMP = clue(TimeSource.CONTAINER, "2026-02-14T10:15:00", "+00:00")


def stamped_on_stopping(media, zone):
    return {one for one, ends in told_by_files(media, zone).items() if ends}


def _recording(
    closed_after_s: float, device: str = "Tarnbeck Two", duration_s: float = 60.0, fraction_ns: int = 250_000_000
):
    modified_ns = round((AT.timestamp() + closed_after_s) * 10**9) + fraction_ns
    return piece(STAMP, kind=Kind.RECORDING, device=device, duration_s=duration_s, modified_ns=modified_ns)


def test_a_stamp_just_before_the_file_was_closed_marks_the_end():
    media = _recording(0.5)
    assert stamped_on_stopping([media], LONDON) == {media.id}


def test_a_stamp_a_recordings_length_before_the_file_was_closed_marks_the_start():
    assert stamped_on_stopping([_recording(60)], LONDON) == set()


def test_a_file_time_that_a_copying_program_set_to_the_stamp_proves_nothing():
    assert stamped_on_stopping([_recording(0, fraction_ns=0), _recording(1, fraction_ns=0)], LONDON) == set()


def test_the_recordings_of_one_device_are_judged_together():
    ends = [_recording(0.5) for _ in range(3)]
    copied = _recording(86_400)
    odd = _recording(60)
    assert stamped_on_stopping([*ends, copied, odd], LONDON) == {one.id for one in (*ends, copied, odd)}
    assert stamped_on_stopping([ends[0], odd], LONDON) == set()


def test_recordings_of_unknown_devices_are_judged_each_on_its_own():
    end, start = _recording(0.5, device=""), _recording(60, device="")
    assert stamped_on_stopping([end, start], LONDON) == {end.id}


def test_a_short_recording_proves_nothing():
    assert stamped_on_stopping([_recording(0.5, duration_s=5.0)], LONDON) == set()
