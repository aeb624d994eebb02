"""English as it is written: plurals, a or an, lists, numbers in words, dates and times. No locale is asked."""

from collections.abc import Sequence
from datetime import date, datetime

_IRREGULAR = {
    "person": "people",
    "nut and bolt": "nuts and bolts",
    "ft": "ft",
}
_SAME_IN_PLURAL = ("wiring", "locking wire", "sealant", "primer", "perspex", "beaching gear", "landing gear")
_SOUNDS_LIKE_A_VOWEL = ("hour", "honest", "heir", "8", "11", "18", "80")
_SOUNDS_LIKE_A_CONSONANT = ("uni", "use", "usu", "eu", "one", "once", "ubi")
_LETTERS_SAID_WITH_A_VOWEL = "AEFHILMNORSX"
_ONES = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ["_", "_", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
ORDINALS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth",
    "twentieth",
)  # fmt: skip
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def plural(noun: str, count: int | None = None) -> str:
    """Return the noun for ``count`` things, and its plural without a count ("bush" -> "bushes")."""
    if count == 1:
        return noun
    for single, many in _IRREGULAR.items():
        if noun == single or noun.endswith(" " + single):
            return noun[: len(noun) - len(single)] + many
    if noun.endswith(_SAME_IN_PLURAL):
        return noun
    if noun.endswith(("s", "x", "z", "ch", "sh")):
        return noun + "es"
    if noun.endswith("y") and noun[-2:-1] not in tuple("aeiou"):
        return noun[:-1] + "ies"
    return noun + "s"


def with_article(phrase: str) -> str:
    """Put "a" or "an" before a phrase by how it sounds ("an aileron", "a unit", "an MS part")."""
    first = phrase.split(" ", 1)[0]
    low = first.lower()
    if first.isupper() and first.isalpha() and len(first) <= 3:
        vowel = first[0] in _LETTERS_SAID_WITH_A_VOWEL
    elif low[:1].isdigit():
        number = low.split("-")[0].split(".")[0]
        vowel = number in ("8", "11", "18") or (number.startswith("8") and len(number) in (2, 4))
    elif low.startswith(_SOUNDS_LIKE_A_CONSONANT):
        vowel = False
    else:
        vowel = low.startswith(_SOUNDS_LIKE_A_VOWEL) or low[:1] in tuple("aeiou")
    return f"{'an' if vowel else 'a'} {phrase}"


def listed(phrases: Sequence[str]) -> str:
    """Join phrases as a sentence does: "a", "a and b", "a, b and c"."""
    if len(phrases) < 2:
        return "".join(phrases)
    return f"{', '.join(phrases[:-1])} and {phrases[-1]}"


def named_up_to(names: Sequence[str], most: int) -> str:
    """Return the first names, and how many more there are: "a, b and 1,200 more"; all of them up to ``most``."""
    more = f" and {len(names) - most:,} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def in_words(number: int) -> str:
    """Write a whole number from 0 to 999 in words, and anything else in figures with thousands set apart."""
    if not 0 <= number <= 999:
        return f"{number:,}"
    if number < 20:
        return _ONES[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return _TENS[tens] + (f"-{_ONES[ones]}" if ones else "")
    hundreds, rest = divmod(number, 100)
    return f"{_ONES[hundreds]} hundred" + (f" and {in_words(rest)}" if rest else "")


def running_number(number: int) -> str:
    """Write a number inside running text: words up to twenty, figures above."""
    return in_words(number) if number <= 20 else f"{number:,}"


def nth(number: int) -> str:
    """Return "1st", "2nd", "11th"."""
    ending = "th" if 10 <= number % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def capital(text: str) -> str:
    """Give the text a capital first letter and leave the rest as it is."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Make a clause a sentence: a capital at the front and a full stop at the end."""
    return capital(text if text.endswith((".", "?", "!")) else text + ".")


def weekday(day: date) -> str:
    """Return "Saturday"."""
    return _DAYS[day.weekday()]


def day_and_month(day: date) -> str:
    """Return "14 February"."""
    return f"{day.day} {month(day)}"


def month(day: date) -> str:
    """Return "February"."""
    return MONTHS[day.month - 1]


def day_text(day: date) -> str:
    """Return a day with its year: "14 February 2026"."""
    return f"{day_and_month(day)} {day.year}"


def long_date(day: date) -> str:
    """Return "Saturday 14 February 2026"."""
    return f"{weekday(day)} {day_text(day)}"


def short_date(day: date | None) -> str:
    """Return "14 Feb 2026", "" for none."""
    return "" if day is None else f"{day.day} {month(day)[:3]} {day.year}"


def utc_offset(at: datetime) -> str:
    """Return an instant's offset as it is written: "+01:00"."""
    shown = f"{at:%z}"
    return f"{shown[:3]}:{shown[3:5]}"


def minutes(at_s: float) -> str:
    """Return a place in a recording: "4:05"."""
    whole, left = divmod(int(at_s), 60)
    return f"{whole}:{left:02d}"


def span_of_days(first: date, last: date) -> str:
    """Return "14 February 2026", "14 to 15 February 2026" or "30 January to 2 February 2026"."""
    if first == last:
        return day_text(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {day_text(last)}"
    start = day_and_month(first) + ("" if first.year == last.year else f" {first.year}")
    return f"{start} to {day_text(last)}"
