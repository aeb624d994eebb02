"""Which second of the sound each word of a read text belongs to, so that it lights up as it is spoken."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from pipeline.values import HeardWord

_WORD = re.compile(r"\S+")
_LETTERS = re.compile(r"[\W_]+")


@dataclass(frozen=True)
class Run:
    """A run of text, with the seconds of the sound in which it is spoken; None where that is not known."""

    text: str
    from_s: float | None = None
    to_s: float | None = None


def runs(read: str, start: int, end: int, spoken: Sequence[tuple[int, int, float, float]]) -> tuple[Run, ...]:
    """Return ``read[start:end]`` cut where words begin and end.

    Args:
        read: a whole text as it is read.
        start: where the run begins.
        end: where it ends.
        spoken: where each word stands, and from which second to which it is spoken.
    """
    made, at = [], start
    for first, last, from_s, to_s in spoken:
        first, last = max(first, start), min(last, end)
        if first >= last:
            continue
        if at < first:
            made.append(Run(read[at:first]))
        made.append(Run(read[first:last], from_s, to_s))
        at = last
    return (*made, Run(read[at:end])) if at < end else tuple(made)


def spoken_words(read: str, heard: Sequence[HeardWord]) -> tuple[tuple[int, int, float, float], ...]:
    """Return where each word of a read text stands, with the seconds of what was heard there.

    A word that was heard as it is read has its own seconds; words that were put right share those of the words that
    they stand for; words that nobody heard have none.
    """
    return tuple(_spoken(read, heard))


def _spoken(read: str, heard: Sequence[HeardWord]) -> Iterator[tuple[int, int, float, float]]:
    places = [(found.start(), found.end()) for found in _WORD.finditer(read)]
    ours = [_plain(read[start:end]) for start, end in places]
    theirs = [_plain(one.text) for one in heard]
    for what, a, b, c, d in SequenceMatcher(None, theirs, ours, autojunk=False).get_opcodes():
        if what == "equal":
            for one, (start, end) in zip(heard[a:b], places[c:d], strict=True):
                yield start, end, one.start_s, one.end_s
        elif what == "replace":
            for start, end in places[c:d]:
                yield start, end, heard[a].start_s, heard[b - 1].end_s


def _plain(word: str) -> str:
    return _LETTERS.sub("", word).lower()


def replaced(heard: str, read: str, most: int) -> tuple[tuple[str, str], ...]:
    """Return what was put right in a text, as (heard, read), where that is no more than so many words."""
    theirs, ours = heard.split(), read.split()
    blocks = SequenceMatcher(None, [_plain(one) for one in theirs], [_plain(one) for one in ours], autojunk=False)
    return tuple(
        (_bare(" ".join(theirs[a:b])), _bare(" ".join(ours[c:d])))
        for what, a, b, c, d in blocks.get_opcodes()
        if what == "replace" and max(b - a, d - c) <= most
    )


def _bare(text: str) -> str:
    return text.strip(".,;:!?\u2026\"'\u201c\u201d\u2018\u2019()")
