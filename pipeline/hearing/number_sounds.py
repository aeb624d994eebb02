"""Numbers, and letters of tags, heard as words that sound like them: "was too thou", "frame for", "tag bee 12".

Only where a number or a letter must stand: nothing is done to "fitted for the tailplane", "up to inches from it",
"looking for bolts" or "what is that box for?".

Source: common practice, no source.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipeline.hearing.heard_text import TextWord
from pipeline.reading.forms import word_set
from pipeline.values import Correction

_NUMBERS = {"to": "two", "too": "two", "for": "four", "fore": "four", "ate": "eight", "won": "one"}
# These are no preposition, so they cannot stand before a unit, or after a place, unless a number was meant.
_NO_PREPOSITION = frozenset({"too", "ate", "won", "fore"})
_ORDINALS = {
    "fourth": "four",
    "sixth": "six",
    "seventh": "seven",
    "ninth": "nine",
    "tenth": "ten",
    "twelfth": "twelve",
}
_UNITS = word_set(
    "thou millimetre millimetres millimeter millimeters mm centimetre centimetres centimeter centimeters cm inch "
    "inches psi lbs kilos kilograms kg litres liters gallons degrees"
)
_UNITS_OF_SEVERAL = word_set("thou millimetres millimeters centimetres centimeters inches")
_FASTENERS = word_set("bolts nuts rivets screws pins clips clamps studs washers holes hinges")
# What comes before a measure, and what comes before or after a counted thing.
_BEFORE_A_MEASURE = word_set(
    "was is by about around nearly roughly only just least another over under and reads read measured measures "
    "be been maybe say got it's that's are were of exactly"
)
_BEFORE_A_COUNT = word_set("the these those them by with last first other another only just our all")
_AFTER_A_COUNT = (("each",), ("apiece",), ("a", "side"), ("per", "side"), ("in", "all"), ("either", "side"))
# What a number comes after, and what shows that nothing else can come between.
_NUMBERED = word_set(
    "frame frames station stations rib ribs former formers bag bags box boxes rack racks shelf pallet bay crate "
    "number"
)
_AFTER_A_NUMBER = word_set("and or is was are were has")
# "In box four", but "the box for it": what is told by its number has none of these before it.
_NOT_BEFORE_A_NUMBERED = word_set(
    "the a an this that these those which what any each every another my our your whose"
)
_HAVE_A_NUMBER = word_set("engine cylinder tank hinge flap frame rib bolt")
_TAGS = word_set("tag tagged label labelled")
_LETTERS = {
    "bee": "B", "sea": "C", "dee": "D", "gee": "G", "jay": "J", "kay": "K", "ell": "L", "em": "M", "en": "N",
    "pea": "P", "pee": "P", "cue": "Q", "queue": "Q", "tea": "T", "tee": "T", "ex": "X",
}  # fmt: skip
_DIGITS = word_set("oh zero nought one two three four five six seven eight nine")
_SURE, _LIKELY = 0.95, 0.85


@dataclass(frozen=True)
class _WordInText:
    """A word in a text, and the words beside it ("" where a clause begins or ends)."""

    plain: str
    before: str
    before_that: str
    after: str
    following: tuple[str, ...]
    is_asked: bool


def number_corrections(text: str, words: Sequence[TextWord]) -> Iterator[Correction]:
    """Find number words and letters of tags that were heard as something else.

    Args:
        text: what was heard.
        words: its words.

    Returns:
        Corrections at their places in ``text``, all to be applied.
    """
    for at, word in enumerate(words):
        if not any(word.plain in table for table in (_NUMBERS, _ORDINALS, _LETTERS)):
            continue
        place = _place(text, words, at)
        read, score, why = _number(place) or _letter(place) or ("", 0.0, "")
        if read:
            yield corrected(text, word, read, score, why)


def corrected(text: str, word: TextWord, read: str, score: float, why: str) -> Correction:
    """Return the correction of one word that sounds like what must stand there, which ``why`` says."""
    heard = text[word.start : word.end]
    return Correction(
        start=word.start,
        end=word.end,
        heard=heard,
        read=read.capitalize() if heard[0].isupper() else read,
        score=score,
        why=f'"{word.plain}" sounds like "{read}", and {why}',
    )


def _place(text: str, words: Sequence[TextWord], at: int) -> _WordInText:
    following: list[str] = []
    for word in words[at + 1 : at + 4]:
        if not word.joined:
            break
        following.append(word.plain)
    return _WordInText(
        plain=words[at].plain,
        before=words[at - 1].plain if at and words[at].joined else "",
        before_that=words[at - 2].plain if at > 1 and words[at].joined and words[at - 1].joined else "",
        after=following[0] if following else "",
        following=tuple(following),
        is_asked=text[words[at].end :].lstrip()[:1] == "?",
    )


def _number(place: _WordInText) -> tuple[str, float, str] | None:
    ordinal = _ORDINALS.get(place.plain)
    if ordinal:
        fits = place.after in _UNITS_OF_SEVERAL and place.before not in _DIGITS and not place.before.isdigit()
        return (ordinal, _SURE, f'a number stands before "{place.after}"') if fits else None
    read, sure = _NUMBERS.get(place.plain, ""), place.plain in _NO_PREPOSITION
    if not read:
        return None
    if place.after in _UNITS and (sure or place.before in _BEFORE_A_MEASURE):
        return read, _SURE if sure else _LIKELY, f'a number stands before "{place.after}"'
    if place.after in _FASTENERS and (place.before in _BEFORE_A_COUNT or _is_count(place)):
        return read, _LIKELY, f'a number stands before "{place.after}"'
    if place.before in _NUMBERED and _is_after_a_place(place, sure):
        return read, _LIKELY, f'a number stands after "{place.before}"'
    return None


def _is_count(place: _WordInText) -> bool:
    return any(place.following[1 : 1 + len(words)] == words for words in _AFTER_A_COUNT)


def _is_after_a_place(place: _WordInText, sure: bool) -> bool:
    if place.before == "number" and place.after in _HAVE_A_NUMBER:
        return True
    if place.is_asked or place.before_that in _NOT_BEFORE_A_NUMBERED:
        return False
    return sure or place.after in _AFTER_A_NUMBER or place.after == ""


def _letter(place: _WordInText) -> tuple[str, float, str] | None:
    read = _LETTERS.get(place.plain)
    if read and place.before in _TAGS and (place.after in _DIGITS or place.after.isdigit()):
        return read, _LIKELY, f'a letter stands between "{place.before}" and "{place.after}"'
    return None
