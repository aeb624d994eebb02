import pytest

from pipeline.intake.written_time import why_no_time, written_time


@pytest.mark.parametrize(
    ("written", "wall", "error_s"),
    [
        ("2026-09-05T10:15:00", "2026-09-05T10:15:00", 1.0),
        ("2026-09-05 10:15", "2026-09-05T10:15:00", 60.0),
        ("5 Sept 2026 10am", "2026-09-05T10:00:00", 1800.0),
        ("Saturday 5th September 2026 at 10.30 am", "2026-09-05T10:30:00", 60.0),
        ("Sat, September 5, 2026, 2:05 p.m.", "2026-09-05T14:05:00", 60.0),
        ("5 September 2026", "2026-09-05T12:00:00", 43_200.0),
        ("2026-09-05T10:15:00.25", "2026-09-05T10:15:00.25", 1.0),
    ],
)
def test_day_is_read_as_people_write_it(written: str, wall: str, error_s: float) -> None:
    clue = written_time(written)
    assert clue is not None and (clue.wall, clue.error_s, clue.offset) == (wall, error_s, None)


@pytest.mark.parametrize(
    ("written", "offset"),
    [
        ("2026-02-14T10:15:00Z", "+00:00"),
        ("2026-02-14T10:15:00 -0500", "-05:00"),
        ("2026-02-14 10:15+01:00", "+01:00"),
    ],
)
def test_offset_is_read_with_or_without_its_colon(written: str, offset: str) -> None:
    clue = written_time(written)
    assert clue is not None and clue.offset == offset


@pytest.mark.parametrize(
    "written",
    ["", "on Saturday", "05/09/2026 10:00", "31 February 2026", "5 Septober 2026", "2026-09-05 10",
     "2026-09-05 25:00", "2026-09-05 13pm", "5 Sept 2026 after lunch"],
)  # fmt: skip
def test_what_may_be_another_day_or_is_none_is_not_guessed(written: str) -> None:
    assert written_time(written) is None


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("31 Feb 2026 10:15", "There is no 31 Feb 2026."),
        ("2026-13-05 10:15", "There is no 2026-13-05."),
        ("29 February 2026", "There is no 29 February 2026."),
        ("3/7/2026 10:15", "In figures alone, a day is read only with its year first."),
        ("14.02.26", "In figures alone, a day is read only with its year first."),
        ("5 Sept 2026 after lunch", "after lunch is no time of day."),
        ("2026-09-05 25:00", "25:00 is no time of day."),
        ("on Saturday", ""),
    ],
)
def test_whoever_wrote_a_day_that_cannot_be_read_is_told_why(written: str, why: str) -> None:
    assert written_time(written) is None and why_no_time(written) == why
