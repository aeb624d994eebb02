from datetime import UTC, date, datetime

from pipeline.writing.supporters.when import at_time, in_span, is_long, is_of_years, months, on_day, on_days

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


def test_the_year_is_told_where_a_month_comes_twice() -> None:
    first, autumn, end = date(2024, 11, 9), date(2025, 11, 2), date(2026, 2, 7)
    two_winters = [first, autumn, end]
    assert is_of_years(two_winters) and not is_of_years([first, date(2025, 10, 31)]) and not is_of_years([])
    assert on_day(end, two_winters) == "7 February 2026"
    assert on_days([first, end], two_winters) == "on 9 November 2024 and 7 February 2026"
    assert on_days([date(2025, 1, 18), autumn], two_winters) == "on 18 January and 2 November 2025"
    assert on_days(two_winters, two_winters) == "on three days between 9 November 2024 and 7 February 2026"
    assert months(two_winters) == "November 2024, November 2025 and February 2026"
    assert at_time(datetime(2026, 2, 7, 9, tzinfo=UTC), two_winters) == "the morning of 7 February 2026"
    assert on_day(date(2025, 2, 8), [first, date(2025, 2, 8)]) == "8 February"
