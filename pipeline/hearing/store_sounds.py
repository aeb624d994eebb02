"""Where things are put, heard as what sounds like it: "two bolts in mag six", "put it on rag B", "nuts and bag 3".

What is told by its number or letter after "in" or "on" is nearly always a store where something is put there: a word
that sounds like one is then read as one. "There's play in mag two", of a magneto, puts nothing anywhere and stays.
Who speaks in single words leaves "in" out: "off, ten bolts, veg ten".

Source: common practice, no source.
"""

from collections.abc import Iterator, Sequence

from pipeline.hearing.evidence import NUMBERS
from pipeline.hearing.heard_text import TextWord
from pipeline.hearing.number_sounds import corrected
from pipeline.hearing.phones import sounds_like
from pipeline.reading.forms import word_set
from pipeline.reading.numbers import find_numbers
from pipeline.values import Correction

_STORES = ("bag", "box", "rack")
_LEAST_LIKE = 0.8
# These are stores, or are numbered themselves: they stay whatever is put there.
_STAY = word_set("bag bags box boxes rack racks track tracks block blocks tag tags book books")
# Before a number these are stores also where nothing is said to be put: they are nothing that is numbered.
_NEVER_NUMBERED = {
    "back": "bag", "bad": "bag", "beg": "bag", "bagged": "bag", "rag": "rack", "wreck": "rack", "wrack": "rack",
}  # fmt: skip
# What "bag" is heard as where only its number stands with it, behind fasteners.
_AFTER_FASTENERS = word_set("bed veg beg bad bagged badge")
_INTO = word_set("in into on onto from")
_FASTENERS = word_set(
    "bolt bolts nut nuts rivet rivets screw screws pin pins clip clips clamp clamps stud studs washer washers bush "
    "bushes shim shims spring springs collar collars circlip circlips fastener fasteners"
)
# Said of what is put somewhere; "is" and "are" are not among them: a fault is in a magneto too.
_PUT = word_set("put puts putting went go goes going gone stowed stored kept they're them both all now away up")
_LETTERS = frozenset("bcdefghjklmnopqrstuvwxyz")
_SAID_NEAR = 3  # words before "in": "put the cover in", "ten bolts, all in"
_LIKELY = 0.85


def store_corrections(text: str, words: Sequence[TextWord]) -> Iterator[Correction]:
    """Find words for stores, and "in" before them, that were heard as something else.

    Args:
        text: what was heard.
        words: its words.

    Returns:
        Corrections at their places in ``text``, all to be applied.
    """
    for at in range(1, len(words) - 1):
        before, word, after = words[at - 1 : at + 2]
        if not after.joined:
            continue
        if word.plain == "and":
            if before.plain in _FASTENERS and _ends_in_a_store(text, words, at):
                yield corrected(text, word, "in", _LIKELY, f'what is said of "{before.plain}" ends with a store')
        elif word.joined and _is_numbered(after) and (read := _store(text, words, at)):
            why = f'a place stands between "{before.plain}" and "{after.plain}"'
            yield corrected(text, word, read, _LIKELY, why)
        elif word.plain in _AFTER_FASTENERS and _stands_behind_fasteners(text, words, at):
            yield corrected(text, word, "bag", _LIKELY, f'a store stands behind "{before.plain}"')


def _stands_behind_fasteners(text: str, words: Sequence[TextWord], at: int) -> bool:
    """Tell whether a clause is nothing but this word and a number, and the one before counts fasteners."""
    clause = at - 1
    while clause and words[clause].joined:
        clause -= 1
    counted = find_numbers(text[words[clause].start : words[at].start])
    own = {one.plain for one in words[clause:at]}
    return not words[at].joined and bool(counted) and not _FASTENERS.isdisjoint(own) and _is_numbered_alone(words, at)


def _is_numbered_alone(words: Sequence[TextWord], at: int) -> bool:
    """Tell whether a clause ends with the number behind a word."""
    end = _end_of_number(words, at + 1)
    return end > at + 1 and (end == len(words) or not words[end].joined)


def _end_of_number(words: Sequence[TextWord], at: int) -> int:
    while at < len(words) and words[at].joined and (words[at].is_number or words[at].plain in NUMBERS):
        at += 1
    return at


def _store(text: str, words: Sequence[TextWord], at: int) -> str:
    """Return the store that the word before a number or letter was meant as, "" for none."""
    word, before = words[at], words[at - 1]
    said = [one.plain for one in words[max(0, at - 1 - _SAID_NEAR) : at - 1]]
    if before.plain == "and" and said[-1:] and said[-1] in _FASTENERS:
        return "bag" if word.plain == "bagged" and _ends_in_a_store(text, words, at - 1) else ""
    if before.plain not in _INTO or word.plain in _STAY | NUMBERS:
        return ""
    if word.plain in _NEVER_NUMBERED:
        return _NEVER_NUMBERED[word.plain]
    if (_FASTENERS | _PUT).isdisjoint(said):
        return ""
    likeness, store = max((sounds_like(word.plain, one), one) for one in _STORES)
    return store if likeness >= _LEAST_LIKE else ""


def _is_numbered(after: TextWord) -> bool:
    return after.is_number or after.plain in NUMBERS or after.plain in _LETTERS or after.plain == "number"


def _ends_in_a_store(text: str, words: Sequence[TextWord], at: int) -> bool:
    """Tell whether a clause ends with a store and its number after "and": "and bag 30", said as "in bag 30".

    "And bagged 30" is that only of fewer fasteners than 30: "eight bolts, and bagged six" tells what was done.
    """
    store, end = words[at + 1].plain, _end_of_number(words, at + 2)
    if not _is_numbered_alone(words, at + 1):
        return False
    if store in _STORES:
        return True
    counted = find_numbers(text[: words[at].start])
    bagged = find_numbers(text[words[at + 2].start : words[end - 1].end])
    return store == "bagged" and bool(counted and bagged) and bagged[0].value > counted[-1].value
