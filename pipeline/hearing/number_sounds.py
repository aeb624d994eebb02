"""Numbers that were heard as the small words they sound like: "was too thou", "held by for bolts".

Only where a number must stand: nothing is done to "fitted for the tailplane", "up to inches from it" or "looking for
bolts".

Source: common practice, no source.
"""

from collections.abc import Iterator, Sequence

from pipeline.hearing.heard_text import TextWord, word_set
from pipeline.values import Correction

_NUMBERS = {"to": "two", "too": "two", "for": "four", "fore": "four", "ate": "eight", "won": "one"}
# These are no preposition, so they cannot stand before a unit unless a number was meant.
_NEVER_BEFORE_A_UNIT = frozenset({"too", "ate", "won", "fore"})
_UNITS = word_set(
    "thou millimetre millimetres millimeter millimeters mm centimetre centimetres centimeter centimeters cm inch "
    "inches psi lbs kilos kilograms kg litres liters gallons degrees"
)
_FASTENERS = word_set("bolts nuts rivets screws pins clips clamps washers holes hinges")
# What comes before a measure, and what comes before a counted thing.
_BEFORE_A_MEASURE = word_set(
    "was is by about around nearly roughly only just least another over under and reads read measured measures "
    "be been maybe say got it's that's are were of exactly"
)
_BEFORE_A_COUNT = word_set("the these those them by with last first other another only just our")
_SCORE_SURE, _SCORE_LIKELY = 0.95, 0.85


def number_corrections(text: str, words: Sequence[TextWord]) -> Iterator[Correction]:
    """Find number words that were heard as something else.

    Args:
        text: what was heard.
        words: its words.

    Returns:
        Corrections at their places in ``text``, all to be applied.
    """
    for at, word in enumerate(words[:-1]):
        number, after = _NUMBERS.get(word.plain), words[at + 1]
        if number is None or not after.joined:
            continue
        before = words[at - 1].plain if at and word.joined else ""
        if after.plain in _UNITS:
            sure = word.plain in _NEVER_BEFORE_A_UNIT
            fits = sure or before in _BEFORE_A_MEASURE
        else:
            sure = False
            fits = after.plain in _FASTENERS and before in _BEFORE_A_COUNT
        if fits:
            heard = text[word.start : word.end]
            yield Correction(
                start=word.start,
                end=word.end,
                heard=heard,
                read=number.capitalize() if heard[0].isupper() else number,
                score=_SCORE_SURE if sure else _SCORE_LIKELY,
                why=f'"{word.plain}" sounds like "{number}", and a number stands before "{after.plain}"',
            )
