"""What is said of a time that is not known."""

import pytest

from pipeline.writing.dated_by import time_told
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
