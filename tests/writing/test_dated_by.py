"""What is said of a time that is not known."""

import pytest

from pipeline.values import Kind, TimeSource
from pipeline.writing.dated_by import day_known, time_told
from tests.writing.test_photo_captions import _photo


@pytest.mark.parametrize(
    ("error_s", "told"),
    [
        (1.0, "12:00:00"),
        (3600.0, "12:00:00"),
        (43_200.0, "hour not known"),  # the day in a file's name
        (315_576_000.0, "not dated"),  # the file's own time
    ],
)
def test_time_is_told_no_surer_than_it_is_known(error_s: float, told: str) -> None:
    photo = _photo(0.0).model_copy(update={"time_error_s": error_s})
    assert time_told(photo, "12:00:00") == told


def test_the_time_of_a_photos_file_alone_makes_no_day_and_that_of_a_recordings_does() -> None:
    """A photo that was sent or scanned has the time of that; a recording's words would have no day at all."""
    copied = _photo(0.0).model_copy(update={"time_error_s": 86_400.0, "time_source": TimeSource.FILE})
    assert not day_known(copied)
    assert day_known(copied.model_copy(update={"time_source": TimeSource.NAME}))
    assert day_known(copied.model_copy(update={"kind": Kind.RECORDING}))
