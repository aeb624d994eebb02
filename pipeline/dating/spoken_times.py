"""What the speaker says of the time: "it's twenty past ten", and a clock card read aloud.

A time of day is said to the minute, by a watch that nobody has checked; a clock card is read to the second, with its
date.
"""

import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta

from pipeline.english import MONTHS, ORDINALS
from pipeline.reading.numbers import Number, find_numbers
from pipeline.values import Value

WATCH_ERROR_S = 45.0
CARD_ERROR_S = 2.5
_HALF_DAY_S, _DAY_S = 43_200, 86_400

# Only words that tell the time now: not when something was done, will be done, or how long it took.
_OPENS = re.compile(
    r"\b(?:(?:it'?s(?: now)?|it is(?: now)?|it has|(?:the )?time(?:'s| is)(?: now)?|time now(?: is)?|"
    r"time(?: check)?[,:]?)(?: just| about| exactly| now| nearly| coming up to| gone| all of)*)\s+",
    re.IGNORECASE,
)
_PAST_TO = re.compile(r"\s*(?:minutes?\s+)?(past|after|to|till|before)\s+", re.IGNORECASE)
_OCLOCK = re.compile(r"\s*o['\u2019]?\s?clock\b", re.IGNORECASE)
_HALF = re.compile(r"(half|(?:a\s+)?quarter)\s+(past|after|to|till)\s+", re.IGNORECASE)
_FIGURES = re.compile(
    r"(\d{1,2})[:.](\d{2})(?:[:.](\d{2}))?\b(?!\s*(?:mm|inch|in\b|cm|metres?|volts?))", re.IGNORECASE
)
_PART_OF_DAY = re.compile(
    r"[\s,]*(?:exactly|now)?[\s,]*(?:(a\.?\s?m\b|in the morning)|(p\.?\s?m\b|in the (?:afternoon|evening)))",
    re.IGNORECASE,
)
_AFTER_TIME = re.compile(r"(?:and|now|so|here|in the|on|a\.?\s?m|p\.?\s?m)\b", re.IGNORECASE)
_CARD = re.compile(
    r"(?P<hours>[\w\s-]+?)\s+hours?[\s,]+(?P<minutes>[\w\s-]+?)\s+minutes?[\s,]+(?:and\s+)?(?P<seconds>[\w\s-]+?)\s+seconds?\b",
    re.IGNORECASE,
)
_MONTHS = tuple(map(str.lower, MONTHS))
_DATE = re.compile(
    rf"(?P<day>[\w-]+(?:\s[\w-]+)?)\s+(?:of\s+)?(?P<month>{'|'.join(_MONTHS)})(?:[\s,]+(?P<year>[\w\s-]+))?",
    re.IGNORECASE,
)
_ORDINALS = {word: number for number, word in enumerate(ORDINALS, start=1)} | {"thirtieth": 30}


class SpokenTime(Value):
    """A time of day that was said: where in the text, seconds since midnight, and how far off it may be (s).

    ``half_day`` says that morning or afternoon was not told. ``on`` is the date where it was said with it.
    """

    start: int
    of_day_s: int
    error_s: float
    half_day: bool
    on: date | None = None

    def near(self, shown: datetime) -> datetime:
        """Return the instant that was meant: the one nearest to what a clock showed, in that clock's zone."""
        if self.on is not None:
            midnight = shown.replace(year=self.on.year, month=self.on.month, day=self.on.day)
            midnight = midnight.replace(hour=0, minute=0, second=0, microsecond=0)
            return midnight + timedelta(seconds=self.of_day_s)
        midnight = shown.replace(hour=0, minute=0, second=0, microsecond=0)
        step_s = _HALF_DAY_S if self.half_day else _DAY_S
        meant = midnight + timedelta(seconds=self.of_day_s)
        turns = round((shown - meant).total_seconds() / step_s)
        return meant + timedelta(seconds=turns * step_s)


def spoken_times(text: str) -> tuple[SpokenTime, ...]:
    """Return the times of day that ``text`` says it is now, in order."""
    found = [*_cards(text), *_told(text)]
    taken: list[SpokenTime] = []
    for one in sorted(found, key=lambda one: (one.start, one.error_s)):
        if not taken or one.start != taken[-1].start:
            taken.append(one)
    return tuple(taken)


def _told(text: str) -> Iterator[SpokenTime]:
    numbers = {number.start: number for number in find_numbers(text)}
    for opening in _OPENS.finditer(text):
        found = _time_at(text, opening.end(), numbers)
        if found is None:
            continue
        of_day_s, end = found
        part = _PART_OF_DAY.match(text, end)
        if part and part[2] and of_day_s < _HALF_DAY_S:
            of_day_s += _HALF_DAY_S
        told = bool(part) or of_day_s >= _HALF_DAY_S + 3600
        yield SpokenTime(start=opening.start(), of_day_s=of_day_s, error_s=WATCH_ERROR_S, half_day=not told)


def _time_at(text: str, at: int, numbers: dict[int, Number]) -> tuple[int, int] | None:
    """Return the seconds since midnight of the time that begins at a character, and where it ends."""
    figures = _FIGURES.match(text, at)
    if figures and int(figures[1]) < 24 and int(figures[2]) < 60:
        return _of_day(int(figures[1]), int(figures[2])), figures.end()
    half = _HALF.match(text, at)
    if half:
        hour = _whole(numbers.get(half.end()), 1, 12)
        minutes = 30 if half[1].lower() == "half" else 15
        return None if hour is None else (_beside(hour, minutes, half[2]), _end(numbers, half.end()))
    first = numbers.get(at)
    if first is None:
        return None
    between = _PAST_TO.match(text, first.end)
    minutes_past = _whole(first, 1, 59)
    if between and minutes_past is not None:
        hour = _whole(numbers.get(between.end()), 1, 12)
        return None if hour is None else (_beside(hour, minutes_past, between[1]), _end(numbers, between.end()))
    clock = _OCLOCK.match(text, first.end)
    hour = _whole(first, 1, 12)
    if clock and hour is not None:
        return _of_day(hour, 0), clock.end()
    return _hour_and_minutes(text, first, numbers)


def _hour_and_minutes(text: str, first: Number, numbers: dict[int, Number]) -> tuple[int, int] | None:
    """Read "ten fifteen" and "fourteen oh five", where nothing is counted by them."""
    digits, end = first.digits, first.end
    if len(digits) <= 2:
        second = numbers.get(end + 1)
        if second is None or len(second.digits) != 2 or not text[end:].startswith((" ", "-")):
            return None
        digits, end = digits + second.digits, second.end
    rest = text[end:].lstrip()
    counts = rest and rest[0] not in ".,;!?" and not _AFTER_TIME.match(rest)
    if counts or not digits.isdigit() or len(digits) > 4 or int(digits[:-2]) > 23 or int(digits[-2:]) > 59:
        return None
    return _of_day(int(digits[:-2]), int(digits[-2:])), end


def _cards(text: str) -> Iterator[SpokenTime]:
    for match in _CARD.finditer(text):
        hours, minutes, seconds = (
            _said(match[name], last) for name, last in (("hours", 1), ("minutes", 0), ("seconds", 0))
        )
        if hours is None or minutes is None or seconds is None or hours > 23 or minutes > 59 or seconds > 59:
            continue
        yield SpokenTime(
            start=match.start(),
            of_day_s=hours * 3600 + minutes * 60 + seconds,
            error_s=CARD_ERROR_S,
            half_day=False,
            on=_date_after(text[match.end() : match.end() + 80]),
        )


def _date_after(text: str) -> date | None:
    match = _DATE.search(text)
    if match is None:
        return None
    day = _day_of_month(match["day"])
    year = int("".join(number.digits for number in find_numbers(match["year"] or "")[:2]) or 0)
    try:
        return date(year, _MONTHS.index(match["month"].lower()) + 1, day or 0)
    except ValueError:
        return None


def _day_of_month(said: str) -> int | None:
    words = re.findall(r"[a-z]+", said.lower().replace("-", " "))
    figures = re.search(r"(\d{1,2})(?:st|nd|rd|th)?\b", said)
    if figures:
        return int(figures[1])
    if len(words) >= 2 and words[-2] in ("twenty", "thirty") and words[-1] in _ORDINALS:
        return (20 if words[-2] == "twenty" else 30) + _ORDINALS[words[-1]]
    return _ORDINALS.get(words[-1]) if words else None


def _said(words: str, last: int) -> int | None:
    """Return the whole number that these words end in (``last``) or are."""
    numbers = find_numbers(words)
    if not numbers:
        return None
    number = numbers[-1] if last else numbers[0]
    return int(number.value) if number.value.denominator == 1 else None


def _whole(number: Number | None, least: int, most: int) -> int | None:
    if number is None or number.value.denominator != 1:
        return None
    value = int(number.value)
    return value if least <= value <= most else None


def _end(numbers: dict[int, Number], at: int) -> int:
    return numbers[at].end


def _beside(hour: int, minutes: int, word: str) -> int:
    return _of_day(hour, minutes if word.lower() in ("past", "after") else -minutes)


def _of_day(hour: int, minutes: int) -> int:
    return (hour * 3600 + minutes * 60) % _DAY_S
