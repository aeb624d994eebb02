"""Recordings that seem to be copies of one another, as a messenger or a film program makes them."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import nsmallest
from itertools import islice
from pathlib import Path
from zlib import crc32

from pipeline.book import Book
from pipeline.english import listed
from pipeline.mistyped import to_type
from pipeline.plain_text import file_name
from pipeline.records import MediaRecord, Records, UtteranceRecord
from pipeline.values import Kind

_WORD = re.compile(r"[a-z0-9']+")
_FEWEST_WORDS = 12  # of fewer, two people may well say the same in the same time
_ALIKE = 0.6  # the share of pairs of words that a copy has: it sounds a little worse, and is heard so
_IN_STEP, _AT_ONCE_S, _FEWEST_PAUSES = 0.7, 0.2, 3  # how many of its pauses come at the same seconds
_IN_A_ROW, _IN_A_SKETCH = 4, 8
_MOST_COMPARED = 3  # a copy shares more of its sketch with its like than others do
_TOO_COMMON = 20  # what so many recordings say tells none of them apart
_MOST_NAMED = 3


@dataclass(frozen=True)
class _Talk:
    """What was said in one recording: the seconds at which utterances begin and end, and the words of all."""

    pauses_s: tuple[float, ...]
    words: Sequence[str]

    @classmethod
    def of(cls, utterances: Sequence[UtteranceRecord]) -> "_Talk":
        bounds = [at_s for one in utterances for at_s in (one.start_s, one.end_s)]
        words = [word for one in utterances for word in _WORD.findall(one.heard.lower())]
        return cls(tuple(bounds[1:]), words)  # every recording begins with the first of them

    def in_a_row(self, count: int) -> Iterator[tuple[str, ...]]:
        return zip(*(islice(self.words, at, None) for at in range(count)), strict=False)

    def sketch(self) -> list[int]:
        """Return the smallest of the hashes of its rows of words: a few numbers, of which copies share some.

        Source: Broder, "On the resemblance and containment of documents", 1997, from memory.
        """
        return nsmallest(_IN_A_SKETCH, {crc32(" ".join(row).encode()) for row in self.in_a_row(_IN_A_ROW)})

    def seems_a_copy_of(self, other: "_Talk") -> bool:
        """Tell whether the same was said with the same pauses, which nobody does twice."""
        mine, theirs = frozenset(self.in_a_row(2)), frozenset(other.in_a_row(2))
        alike = 2 * len(mine & theirs) / (len(mine) + len(theirs))
        return alike >= _ALIKE and self._in_step_with(other)

    def _in_step_with(self, other: "_Talk") -> bool:
        few, many = sorted((self.pauses_s, other.pauses_s), key=len)
        met = sum(any(abs(one - at) <= _AT_ONCE_S for at in many) for one in few)
        return met >= max(_FEWEST_PAUSES, _IN_STEP * len(few))


def told_of_copies(book: Book, records: Records) -> tuple[str, ...]:
    """Return a line for each recording with its copies, best dated first; none where only one of them counts.

    A copy has other bytes and so is another piece of media; what is said in it stands in the lists twice, until a
    person rejects its entries.
    """
    copies = list(_copies(records))
    lines = [
        f"{_named(others)} {'seem to be copies' if others[1:] else 'seems to be a copy'} of {file_name(first.path)} "
        "(the same words at the same seconds): all that is said there counts more than once. Listen, and reject a "
        f"copy as a whole: saidseen decide {to_type(book.folder)} {_to_name(others[0], records)} --reject "
        '--who NAME --why "a copy"; or on the page of saidseen review, under Reject'
        for first, *others in copies[:_MOST_NAMED]
    ]
    if more := len(copies[_MOST_NAMED:]):
        lines.append(
            f"Of {more} {'other recording' if more == 1 else 'other recordings'} there seem to be copies too."
        )
    return tuple(lines)


def _copies(records: Records) -> Iterator[list[MediaRecord]]:
    """Yield each recording that has copies, with them behind it; of each only its sketch is held meanwhile."""
    said = _said(records)
    recordings = [one for one in records.media if one.id in said and one.kind is not Kind.CAPTIONS]
    recordings.sort(key=lambda one: (one.time_error_s, one.path))
    sketched: dict[int, list[int]] = defaultdict(list)
    first_of: dict[int, int] = {}
    for number, one in enumerate(recordings):
        talk = _Talk.of(said[one.id])
        if len(talk.words) < _FEWEST_WORDS:
            continue
        common = [there for value in talk.sketch() if len(there := sketched[value]) < _TOO_COMMON]
        shared = Counter(other for there in common for other in there).most_common(_MOST_COMPARED)
        for other, _ in shared:
            if talk.seems_a_copy_of(_Talk.of(said[recordings[other].id])):
                first_of[number] = first_of.get(other, other)
                break
        for there in common:
            there.append(number)
    copies: dict[int, list[MediaRecord]] = {}
    for number, first in first_of.items():
        copies.setdefault(first, [recordings[first]]).append(recordings[number])
    yield from (copies[first] for first in sorted(copies))


def _said(records: Records) -> Mapping[str, Sequence[UtteranceRecord]]:
    """Return the utterances, in order, of each recording with facts that count."""
    counted = {one.media for one in records.entries if one.facts and one.review != "rejected"}
    said: dict[str, list[UtteranceRecord]] = defaultdict(list)
    for utterance in records.utterances:
        if utterance.media in counted:
            said[utterance.media].append(utterance)
    for utterances in said.values():
        utterances.sort(key=lambda one: one.start_s)
    return said


def _to_name(one: MediaRecord, records: Records) -> str:
    """Return what names a recording in a command: its file, and the folder too where several are called so."""
    name = file_name(one.path)
    alone = sum(file_name(other.path) == name for other in records.media) == 1
    return to_type(Path(name if alone else one.path))


def _named(media: Sequence[MediaRecord]) -> str:
    names = [file_name(one.path) for one in media[:_MOST_NAMED]]
    more = len(media) - _MOST_NAMED
    return listed([*names, f"{more} more"] if more > 0 else names)
