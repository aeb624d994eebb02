"""Marks at words that may be wrong, for the person who reads them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pipeline.hearing.weighty import weighs
from pipeline.values import Correction, HeardWord, Unsure

# From this chance of being wrong on a word is marked. It was set so that on clean speech about one word in ten is.
UNSURE_FROM = 0.07


class _Mark(NamedTuple):
    start: int
    end: int
    why: str
    chance: float


def marks(words: Sequence[HeardWord], corrections: Sequence[Correction]) -> tuple[Unsure, ...]:
    """Mark what may be wrong in an utterance.

    Args:
        words: as heard; the heard text is their texts joined by single spaces.
        corrections: of the heard text, in order and not overlapping.

    Returns:
        Marks at places of the read text, in order. Marked are words that are likely to be wrong and that no
        correction covers; numbers, sides, places and denials that the two looks heard differently, always; and words
        for which another reading is suggested but not applied.
    """
    found = [*_doubted(words, corrections)]
    found += [
        _Mark(one.start, one.end, f'this may have been "{one.read}"', one.score)
        for one in corrections
        if not one.applied
    ]
    return tuple(_in_read(mark, corrections) for mark in _runs(sorted(found)))


def _doubted(words: Sequence[HeardWord], corrections: Sequence[Correction]) -> Iterator[_Mark]:
    at = 0
    for word in words:
        start, end = at, at + len(word.text)
        at = end + 1
        matters = word.other is not None and (weighs(word.text) or weighs(word.other))
        corrected = any(one.start < end and one.end > start for one in corrections)
        if matters or (word.chance_wrong >= UNSURE_FROM and not corrected):
            yield _Mark(start, end, _why(word), word.chance_wrong)


def _why(word: HeardWord) -> str:
    if word.other:
        return f'heard again, this was "{word.other}"'
    if word.other == "":
        return "heard again, nothing was heard here: this may not have been said"
    return "this was hard to hear"


def _in_read(mark: _Mark, corrections: Iterable[Correction]) -> Unsure:
    """Move a mark from its place in the heard text to its place in the read text."""
    start, end, why, chance = mark
    start_moved, end_moved = start, end
    for one in corrections:
        if not one.applied:
            continue
        longer_by = len(one.read) - len(one.heard)
        if one.end <= start:
            start_moved += longer_by
        elif one.start < start:  # the mark begins inside the correction, which is then marked as a whole
            start_moved += one.start - start
        if one.end <= end:
            end_moved += longer_by
        elif one.start < end:
            end_moved += one.end + longer_by - end
    return Unsure(start=start_moved, end=end_moved, why=why, chance=chance)


def _runs(found: Iterable[_Mark]) -> Iterator[_Mark]:
    """Join marks with the same reason that stand side by side."""
    last: _Mark | None = None
    for mark in found:
        if last and mark.why == last.why and mark.start - last.end <= 1:
            last = last._replace(end=mark.end, chance=max(last.chance, mark.chance))
            continue
        if last:
            yield last
        last = mark
    if last:
        yield last
