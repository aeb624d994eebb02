"""What the speaker says of the time."""

from datetime import UTC, date, datetime

import pytest

from pipeline.dating.spoken_times import spoken_times


def _told(text):
    return [(one.of_day_s // 3600, one.of_day_s % 3600 // 60) for one in spoken_times(text)]


@pytest.mark.parametrize(
    ("text", "hour", "minute"),
    [
        ("Right, it's twenty past ten and we're starting.", 10, 20),
        ("it's ten fifteen, cold", 10, 15),
        ("it's fourteen oh five", 14, 5),
        ("It is half past two in the afternoon.", 14, 30),
        ("it's quarter to four", 3, 45),
        ("It's 10:20 now", 10, 20),
        ("time check 14:05", 14, 5),
        ("it's eleven o'clock", 11, 0),
        ("It's just gone ten to eleven.", 10, 50),
        ("time's ten forty-five and we begin", 10, 45),
    ],
)
def test_time_of_day_is_read(text, hour, minute):
    assert _told(text) == [(hour, minute)]


@pytest.mark.parametrize(
    "text",
    [
        "It's ten mm long.",
        "It's three fifteen inches.",
        "It's two bolts short.",
        "It took ten minutes.",
        "It's eight eighteen bolts.",
        "It's ten past.",
        "We start at half past ten tomorrow.",
        "Last time ten bolts came out.",
        "It's 25:70.",
    ],
)
def test_other_numbers_are_no_time(text):
    assert _told(text) == []


def test_clock_card_read_aloud_gives_second_and_date():
    (card,) = spoken_times(
        "The time is ten hours, twenty minutes and thirty-one seconds, "
        "on Saturday the fourteenth of February twenty twenty-six."
    )
    assert card.of_day_s == 10 * 3600 + 20 * 60 + 31
    assert card.on == date(2026, 2, 14)
    assert card.error_s < 5
    shown = datetime(2015, 1, 1, 0, 3, tzinfo=UTC)
    assert card.near(shown) == datetime(2026, 2, 14, 10, 20, 31, tzinfo=UTC)


def test_time_said_without_morning_or_afternoon_is_the_one_nearest_to_the_clock():
    (said,) = spoken_times("it's twenty past two")
    shown = datetime(2026, 2, 14, 15, 25, tzinfo=UTC)
    assert said.near(shown) == datetime(2026, 2, 14, 14, 20, tzinfo=UTC)


def test_time_near_midnight_belongs_to_the_nearer_day():
    (said,) = spoken_times("it's five to twelve")
    assert said.near(datetime(2026, 2, 15, 0, 4, tzinfo=UTC)) == datetime(2026, 2, 14, 23, 55, tzinfo=UTC)
