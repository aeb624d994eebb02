"""Dates in file names, as phones, cameras, recorders and people write them."""

import re
from datetime import date

from pipeline.values import TimeClue, TimeSource

_HALF_DAY_S = 43_200.0
_DAY = r"(?P<year>(?:19|20)\d\d)(?P<sep>[-_. ]?)(?P<month>\d\d)(?P=sep)(?P<day>\d\d)"
_CLOCK = (
    r"(?P<hour>\d\d)(?P<csep>[-_.:h]?)(?P<minute>\d\d)(?:(?P=csep)(?P<second>\d\d)(?:[.,_]?(?P<fraction>\d{3}))?)?"
    r"(?P<half> ?[AaPp][Mm](?![A-Za-z]))?(?P<offset>Z|[+-]\d{2}:?\d{2})?"
)
_DAY_AND_CLOCK = re.compile(rf"(?<!\d){_DAY}(?P<gap>(?:[ _T-]|, | at |)){_CLOCK}(?!\d)")
_DAY_ALONE = re.compile(rf"(?<!\d){_DAY}(?!\d)")
_YEAR = re.compile(r"(?:19|20)\d\d")  # without one, a name is not looked at any further: most of a book's have none
_UTC_PREFIX = "PXL_"


def date_in_name(name: str) -> TimeClue | None:
    """Return the date, with the time where there is one, that a file's name gives; None where it gives none.

    A date alone is taken as its midday, half a day unsure. Impossible dates are none, and four digits behind a date
    that would be before five in the morning are a running number. Names that give two different dates give none.

    Args:
        name: the file's name, without its folder.

    Source: common practice, no source; that names which start with PXL_ are UTC is from memory.
    """
    if _YEAR.search(name) is None:
        return None
    for match in _DAY_AND_CLOCK.finditer(name):
        clue = _with_clock(match, name.startswith(_UTC_PREFIX))
        if clue is not None:
            return clue
    days = {day for match in _DAY_ALONE.finditer(name) if (day := _day(match)) is not None}
    if len(days) != 1:
        return None
    return TimeClue(source=TimeSource.NAME, wall=f"{days.pop()}T12:00:00", error_s=_HALF_DAY_S)


def _with_clock(match: re.Match[str], utc: bool) -> TimeClue | None:
    day = _day(match)
    second = match["second"]
    hour, minute = int(match["hour"]), int(match["minute"])
    # Without any mark between date and time, only the full fourteen digits are told from a longer number.
    if day is None or (not match["gap"] and second is None):
        return None
    if second is None and not match["csep"] and not match["half"] and hour < 5:
        return None
    if match["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match["half"].strip().lower() == "pm" else 0)
    if hour > 23 or minute > 59 or int(second or 0) > 59:
        return None
    wall = f"{day}T{hour:02d}:{minute:02d}:{second or '00'}"
    if match["fraction"]:
        wall = f"{wall}.{match['fraction']}"
    return TimeClue(
        source=TimeSource.NAME,
        wall=wall,
        offset="+00:00" if utc else _offset(match),
        error_s=2.0 if second else 60.0,
    )


def _offset(match: re.Match[str]) -> str | None:
    text = match["offset"]
    if text is None or match["gap"] != "T" or match["second"] is None:
        return None
    if text == "Z":
        return "+00:00"
    return f"{text[:3]}:{text[-2:]}" if int(text[1:3]) <= 14 and int(text[-2:]) < 60 else None


def _day(match: re.Match[str]) -> str | None:
    try:
        return date(int(match["year"]), int(match["month"]), int(match["day"])).isoformat()
    except ValueError:
        return None
