from datetime import UTC, date, datetime

from pipeline.writing.supporters.when import at_time, in_span, is_long, months, on_day, on_days

_DAY = date(2026, 2, 14)
_LATER = date(2026, 3, 2)


def test_a_weekday_is_enough_within_a_week_and_not_beyond_it() -> None:
    assert on_day(_DAY, [_DAY, date(2026, 2, 20)]) == "Saturday"
    assert is_long([_DAY, _LATER])
    assert on_day(_DAY, [_DAY, _LATER]) == "14 February"


def test_several_days_are_said_without_a_date_at_the_head_or_work_between_them() -> None:
    whole = [_DAY, date(2026, 2, 21), date(2026, 2, 28), _LATER]
    assert on_days([_DAY, date(2026, 2, 15)], [_DAY, date(2026, 2, 15)]) == "on Saturday and Sunday"
    assert on_days(whole[:2], whole) == "on 14 and 21 February"
    assert on_days([_DAY, _LATER], whole) == "on 14 February and 2 March"
    assert on_days(whole[:3], whole) == "on three days between 14 and 28 February"


def test_spans_are_said_as_a_person_would() -> None:
    assert in_span([_DAY]) == "on Saturday 14 February"
    assert in_span([_DAY, date(2026, 2, 15)]) == "over a weekend in February"
    assert in_span([date(2026, 2, 15), date(2026, 2, 16)]) == "on two days in February"
    assert in_span([_DAY, date(2026, 2, 20), _LATER]) == "on three days in February and March"


def test_many_months_are_named_by_the_first_and_the_last() -> None:
    assert months([date(2026, number, 1) for number in range(1, 8)]) == "the months from January to July"


def test_a_time_of_day_is_told_with_its_day() -> None:
    assert at_time(datetime(2026, 2, 14, 9, tzinfo=UTC), [_DAY]) == "Saturday morning"
    assert at_time(datetime(2026, 2, 14, 18, tzinfo=UTC), [_DAY, _LATER]) == "the evening of 14 February"
