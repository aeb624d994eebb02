"""When something was done, as a person would say it in a report of one day, a weekend, a month or a year."""

from collections.abc import Sequence
from datetime import date, datetime

from pipeline.english import MONTHS, day_and_month, day_text, in_words, listed, month, plural, weekday

_LONG_DAYS = 7


def is_long(days: Sequence[date]) -> bool:
    """Tell whether a weekday's name alone would leave open which week is meant."""
    return bool(days) and (days[-1] - days[0]).days >= _LONG_DAYS


def is_of_years(days: Sequence[date]) -> bool:
    """Tell whether a month's name alone would leave open which year is meant: some month comes twice."""
    return bool(days) and _month_of_all(days[-1]) - _month_of_all(days[0]) >= len(MONTHS)


def on_day(day: date, days: Sequence[date]) -> str:
    """Return "Saturday", "14 February" in a report of more than a week, "14 February 2026" in one of years."""
    return _dated(day, days) if is_long(days) else weekday(day)


def on_days(own: Sequence[date], days: Sequence[date]) -> str:
    """Return "on 7 and 28 February", "on Saturday and Sunday", "on three days between 7 and 28 February".

    In a report of years each year stands once: "on 8 December 2024 and 7 February 2026".
    """
    if not is_long(days):
        return f"on {listed([weekday(day) for day in own])}"
    first, last = _dated(own[0], days), _dated(own[-1], days)
    if own[0].year == own[-1].year:
        first = str(own[0].day) if own[0].month == own[-1].month else day_and_month(own[0])
    if len(own) == 2:
        return f"on {first} and {last}"
    return f"on {in_words(len(own))} days between {first} and {last}"


def in_span(days: Sequence[date]) -> str:
    """Return "on Saturday 14 February", "over a weekend in February", "on 20 days in February"."""
    if len(days) == 1:
        return f"on {weekday(days[0])} {day_and_month(days[0])}"
    if is_weekend(days):
        return f"over a weekend in {month(days[0])}"
    return f"on {in_words(len(days))} {plural('day', len(days))} in {months(days)}"


def months(days: Sequence[date]) -> str:
    """Return "February", "January and February", "the months from November 2024 to February 2026"."""
    years = is_of_years(days)
    names = list(dict.fromkeys(f"{month(day)} {day.year}" if years else month(day) for day in days))
    return listed(names) if len(names) < 4 else f"the months from {names[0]} to {names[-1]}"


def is_weekend(days: Sequence[date]) -> bool:
    """Tell whether these are a Saturday and the Sunday after it."""
    return len(days) == 2 and (days[0].weekday(), (days[1] - days[0]).days) == (5, 1)


def at_time(local: datetime, days: Sequence[date]) -> str:
    """Return "Saturday morning", or "the morning of 14 February" in a report of more than a week."""
    part = time_of_day(local)
    if is_long(days):
        return f"the {part} of {_dated(local.date(), days)}"
    return f"{weekday(local.date())} {part}"


def time_of_day(local: datetime) -> str:
    """Return "morning", "afternoon" or "evening"."""
    return "morning" if local.hour < 12 else "afternoon" if local.hour < 17 else "evening"


def _dated(day: date, days: Sequence[date]) -> str:
    return day_text(day) if is_of_years(days) else day_and_month(day)


def _month_of_all(day: date) -> int:
    return day.year * len(MONTHS) + day.month
