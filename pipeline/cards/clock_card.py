"""The clock card: the true time as the text of a QR code, and as words to be read aloud.

Every camera photographs the card and every recorder hears the words, so each device's clock can be set against them.
"""

import re
from datetime import UTC, datetime, timedelta, timezone

from pipeline.english import in_words, month, weekday

_CARD = re.compile(
    r"(?:CLOCK +)?"
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[T ]([0-9]{2}:[0-9]{2}:[0-9]{2})(?:\.([0-9]+))?"
    r"(?:Z|([+-])([0-9]{2}):([0-9]{2}))",
    re.IGNORECASE | re.ASCII,
)
_FIRST = {
    "one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth", "nine": "ninth",
    "twelve": "twelfth", "twenty": "twentieth", "thirty": "thirtieth",
}  # fmt: skip


def card_text(instant: datetime) -> str:
    """Return the text of the card's code: "CLOCK 2026-02-14T10:20:31Z".

    It has capitals, figures and the signs ``-``, ``:`` and space only, which a QR code packs tightest.

    Args:
        instant: an aware one; its parts of a second are left out.

    Source: RFC 3339, 5.6 (the form of the instant); ISO/IEC 18004, 7.3.4 (the alphanumeric characters; from memory).
    """
    return f"CLOCK {instant.astimezone(UTC).replace(tzinfo=None).isoformat(timespec='seconds')}Z"


def card_instant(text: str) -> datetime | None:
    """Return the instant that a code's text gives, in UTC; None where it is no clock card.

    Any offset, parts of a second, small letters, and an RFC 3339 instant without the word are read as well.

    Source: RFC 3339, 5.6. Its leap second (":60") is no instant of this program and gives None.
    """
    found = _CARD.fullmatch(text.strip())
    if found is None:
        return None
    day, clock, parts, sign, hours, minutes = found.groups()
    if sign and (int(hours) > 23 or int(minutes) > 59):
        return None
    ahead = timedelta(hours=int(hours), minutes=int(minutes)) if sign else timedelta()
    offset = timezone(-ahead if sign == "-" else ahead)
    try:
        shown = datetime.fromisoformat(f"{day}T{clock}").replace(tzinfo=offset)
        return (shown + timedelta(microseconds=int((parts or "0").ljust(6, "0")[:6]))).astimezone(UTC)
    except (ValueError, OverflowError):  # the 30th of February; the last hours of the year 9999 in UTC
        return None


def card_words(instant: datetime) -> str:
    """Return the time as a sentence to be read aloud, by the 24-hour clock and with every number as a word.

    "The time is ten hours, twenty minutes and thirty-one seconds, on Saturday the fourteenth of February twenty
    twenty-six."

    Args:
        instant: an aware one; the words give it in the offset that it has.
    """
    clock = (
        f"{_counted(instant.hour, 'hour')}, {_counted(instant.minute, 'minute')} "
        f"and {_counted(instant.second, 'second')}"
    )
    day = f"{weekday(instant)} the {_ordinal(instant.day)} of {month(instant)} {_year(instant.year)}"
    return f"The time is {clock}, on {day}."


def _counted(number: int, thing: str) -> str:
    return f"{_said(number)} {thing}{'' if number == 1 else 's'}"


def _said(number: int) -> str:
    return in_words(number) if number else "zero"


def _ordinal(number: int) -> str:
    before, hyphen, last = _said(number).rpartition("-")
    return f"{before}{hyphen}{_FIRST.get(last, last + 'th')}"


def _year(year: int) -> str:
    century, rest = divmod(year, 100)
    if century % 10 == 0 and rest < 10:  # "two thousand and five", as people say it, and not "twenty oh five"
        return f"{_said(century // 10)} thousand{f' and {_said(rest)}' if rest else ''}"
    if rest == 0:
        return f"{_said(century)} hundred"
    return f"{_said(century)} {_said(rest) if rest > 9 else f'oh {_said(rest)}'}"
