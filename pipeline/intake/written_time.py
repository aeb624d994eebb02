"""When something was done, as a person writes it: "2026-02-14T10:15:00", "5 Sept 2026 10am", "Sat 5 September 2026".

How days are written: common practice, no source.
"""

import re
from calendar import monthrange
from datetime import datetime

from pipeline.english import MONTHS
from pipeline.values import TimeClue, TimeSource

_MONTHS = {name[:3].lower(): number for number, name in enumerate(MONTHS, start=1)}
_MONTH = r"(?P<month>[a-z]{3,9})\.?"
_DAYS = tuple(
    re.compile(rf"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?{day}", re.IGNORECASE)
    for day in (
        r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})",
        rf"(?P<day>\d{{1,2}})(?:st|nd|rd|th)?(?:\s+of)?\s+{_MONTH},?\s+(?P<year>\d{{4}})",
        rf"{_MONTH}\s+(?P<day>\d{{1,2}})(?:st|nd|rd|th)?,?\s+(?P<year>\d{{4}})",
    )
)
_CLOCK = re.compile(
    r"(?:T|,?\s+(?:at\s+)?)(?P<hour>\d{1,2})(?:[:.h](?P<minute>\d{2}))?(?::(?P<second>\d{2})(?P<part>\.\d{1,9})?)?"
    r"\s*(?P<half>[ap]\.?m\.?)?\s*(?P<offset>Z|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)
_WHOLE_MONTHS = (*map(str.lower, MONTHS), "sept")
_IN_FIGURES = re.compile(r"\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d{2})\b")
_HALF_DAY_S, _HALF_HOUR_S = 43_200.0, 1800.0


def written_time(text: str) -> TimeClue | None:
    """Return the instant that a person wrote down; None where no day, or no time behind it, can be told.

    A day alone is its midday, half a day unsure, and an hour alone half an hour. A day in figures alone counts only
    with the year first: "05/09/2026" is two days.

    Args:
        text: all that was written.
    """
    text = " ".join(text.split())
    found, month = _day_in(text)
    if found is None or not month:
        return None
    rest = text[found.end() :]
    clock = _CLOCK.fullmatch(rest)
    time = _time(clock) if clock else None
    if rest and time is None:
        return None
    hour, minute, second = time or (12, 0, 0)
    try:
        wall = datetime(int(found["year"]), month, int(found["day"]), hour, minute, second)  # noqa: DTZ001 - a wall clock
    except ValueError:
        return None
    part = (clock["part"] or "") if clock else ""
    return TimeClue(
        source=TimeSource.NOTE,
        wall=f"{wall.isoformat()}{part}",
        offset=_offset(clock["offset"]) if clock else None,
        error_s=_error_s(clock),
    )


def why_no_time(text: str) -> str:
    """Return why ``written_time`` tells no instant, as a sentence: "There is no 31 Feb 2026.", "" for none.

    Args:
        text: all that was written.
    """
    text = " ".join(text.split())
    if _IN_FIGURES.match(text):
        return "In figures alone, a day is read only with its year first."
    found, month = _day_in(text)
    if found is None or not month:
        return ""
    year, day = int(found["year"]), int(found["day"])
    if not (1 <= month <= 12 and 1 <= day <= 31 and year and day <= monthrange(year, month)[1]):
        return f"There is no {found[0].rstrip()}."
    return f"{text[found.end() :].lstrip(' ,T')} is no time of day." if text[found.end() :].strip() else ""


def _day_in(text: str) -> tuple[re.Match[str] | None, int]:
    """Return the day that a text begins with, and its month (0 for none)."""
    found = next((match for pattern in _DAYS if (match := pattern.match(text))), None)
    return found, _month(found["month"]) if found else 0


def _month(text: str) -> int:
    if text.isdigit():
        return int(text)
    name = text.lower()
    return _MONTHS.get(name[:3], 0) if len(name) == 3 or name in _WHOLE_MONTHS else 0


def _time(clock: re.Match[str]) -> tuple[int, int, int] | None:
    """Return hour, minute and second; None where it cannot be a time: an hour alone must say of which half."""
    hour, half = int(clock["hour"]), (clock["half"] or "").lower()[:1]
    if (half and not 1 <= hour <= 12) or not (half or clock["minute"]):
        return None
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return hour, int(clock["minute"] or 0), int(clock["second"] or 0)


def _error_s(clock: re.Match[str] | None) -> float:
    if clock is None:
        return _HALF_DAY_S
    if clock["second"]:
        return 1.0
    return 60.0 if clock["minute"] else _HALF_HOUR_S


def _offset(text: str | None) -> str | None:
    if text is None:
        return None
    return "+00:00" if text in "Zz" else f"{text[:3]}:{text[-2:]}"
