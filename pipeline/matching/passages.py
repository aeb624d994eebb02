"""Speech into passages: stretches of one recording that belong together, each with the facts read from it.

A passage becomes an entry of the logbook when it has facts or photos.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import accumulate, groupby

from pipeline.reading.fact import Fact
from pipeline.reading.reader import NoteRead
from pipeline.values import Reading, Utterance, Value

FORGET_AFTER_S = 90.0
"""After so long a silence, "it" and "the port one" no longer mean what was spoken of before."""
LONGEST_WORDS = 6_000
"""So many words are read together at most: about 40 minutes of talk without a break. What was named longer ago than
that nobody means by "it", and reading costs more than in proportion to what is read together."""

_PAUSE_S = 4.0
_PAUSE_AT_TURN_S = 0.8
_FULL_AFTER_S = 40.0
_SHORTEST_WORDS = 12
_TURN = re.compile(
    r"^(?:right|ok(?:ay)?|so next|now(?: then)?|next(?: one| thing| job| up)?|moving on|last (?:one|thing)|"
    r"another (?:one|thing)|that'?s (?:that|it)|anyway|meanwhile|hi|hello|morning|afternoon)\b",
    re.IGNORECASE,
)


class SaidFact(Value):
    """A fact, the words that it was read from, and the utterances that those words are in."""

    fact: Fact
    said: str
    utterances: tuple[str, ...]


class Passage(Value):
    """A stretch of one recording. ``id`` is "e-", eight digits of its hash, "-" and the start in milliseconds."""

    id: str
    media: str
    start_s: float
    end_s: float
    utterances: tuple[str, ...]
    facts: tuple[SaidFact, ...] = ()


class UnlistedPart(Value):
    """A name of what seems to be a part, that no list has, and the utterance in which it was said first."""

    name: str
    utterance: str


class Passages(Value):
    """All passages of one recording, in order. Together they hold every utterance once."""

    passages: tuple[Passage, ...] = ()
    unlisted: tuple[UnlistedPart, ...] = ()


def cut_passages(utterances: Sequence[Utterance]) -> list[list[int]]:
    """Cut the utterances of one recording, in order, into passages; returns their indices.

    A new passage begins after a long pause, at words with which people turn to something else, and at the next
    pause when a passage has become long.
    """
    passages: list[list[int]] = []
    words = 0
    for index, utterance in enumerate(utterances):
        if passages and not _begins_anew(utterances[passages[-1][0]], utterances[index - 1], words, utterance):
            passages[-1].append(index)
        else:
            passages.append([index])
            words = 0
        words += len(utterance.words)
    return passages


def _begins_anew(first: Utterance, last: Utterance, words: int, utterance: Utterance) -> bool:
    """Tell whether a passage is over that has so many words, from ``first`` to ``last``."""
    pause_s = utterance.start_s - last.end_s
    if pause_s >= _PAUSE_S:
        return True
    if words < _SHORTEST_WORDS:
        return False
    if _TURN.match(utterance.heard) and pause_s >= _PAUSE_AT_TURN_S:
        return True
    return utterance.end_s - first.start_s > _FULL_AFTER_S and pause_s >= _PAUSE_AT_TURN_S / 2


def tell(
    media: str,
    utterances: Sequence[Utterance],
    readings: Sequence[Reading],
    read: Callable[[str, Sequence[int]], NoteRead],
) -> Passages:
    """Cut one recording into passages and read the facts of each.

    The facts are read over longer stretches than a passage, so that a side or a part named in one passage is still
    known in the next; each then belongs to the passage in which its words begin. Talk that goes on for more than
    ``LONGEST_WORDS`` is read in several such stretches, cut where a passage begins.

    Args:
        media: the recording's id.
        utterances: in order.
        readings: one for each utterance, in the same order.
        read: the fact reader: a text and the character positions at which the speaker paused, to what is read in it.
    """
    facts_of: dict[int, list[SaidFact]] = {}
    unlisted: dict[str, str] = {}
    cut = cut_passages(utterances)
    for stretch in _stretches(utterances, cut):
        text, spans = _text(stretch, readings)
        found = read(text, [start for start, _ in spans[1:]])
        for fact in found.facts:
            inside = _inside(spans, fact.words)
            said = text[slice(*fact.words)]
            ids = tuple(utterances[stretch[at]].id for at in inside)
            facts_of.setdefault(stretch[inside[0]], []).append(SaidFact(fact=fact, said=said, utterances=ids))
        for one in found.unlisted:
            unlisted.setdefault(one.name, utterances[stretch[_inside(spans, (one.start, one.end))[0]]].id)
    passages = []
    for indices in cut:
        facts = [one for at in indices for one in facts_of.get(at, ())]
        passages.append(_passage(media, [utterances[at] for at in indices], facts))
    return Passages(
        passages=tuple(passages),
        unlisted=tuple(UnlistedPart(name=name, utterance=utterance) for name, utterance in sorted(unlisted.items())),
    )


def _passage(media: str, said: Sequence[Utterance], facts: Iterable[SaidFact]) -> Passage:
    return Passage(
        id="e-" + said[0].id.removeprefix("u-"),
        media=media,
        start_s=said[0].start_s,
        end_s=said[-1].end_s,
        utterances=tuple(one.id for one in said),
        facts=tuple(facts),
    )


def _stretches(utterances: Sequence[Utterance], passages: Sequence[Sequence[int]]) -> Iterator[list[int]]:
    """Yield what is read together: whole passages, as far as no one of them alone is too long."""
    stretch: list[int] = []
    words = 0
    for part in _parts(utterances, passages):
        silent = bool(stretch) and utterances[part[0]].start_s - utterances[stretch[-1]].end_s > FORGET_AFTER_S
        more = sum(len(utterances[index].words) for index in part)
        if stretch and (silent or words + more > LONGEST_WORDS):
            yield stretch
            stretch, words = [], 0
        stretch.extend(part)
        words += more
    if stretch:
        yield stretch


def _parts(utterances: Sequence[Utterance], passages: Sequence[Sequence[int]]) -> Iterator[Sequence[int]]:
    """Yield the passages; one that is too long to be read together, as where nobody ever pauses, in parts."""
    for passage in passages:
        ends = accumulate(len(utterances[index].words) for index in passage)
        for _, part in groupby(zip(passage, ends, strict=True), lambda one: one[1] // LONGEST_WORDS):
            yield [index for index, _ in part]


def _text(stretch: Sequence[int], readings: Sequence[Reading]) -> tuple[str, list[tuple[int, int]]]:
    """Join what was read in a stretch, and tell where each utterance begins, and the next one after it."""
    text = ""
    starts = []
    for index in stretch:
        text += " " if text else ""
        starts.append(len(text))
        text += readings[index].read
    return text, list(zip(starts, [*starts[1:], len(text) + 1], strict=True))


def _inside(spans: Sequence[tuple[int, int]], words: tuple[int, int]) -> list[int]:
    """List which utterances of a stretch words are in, one at least."""
    first = bisect_right(spans, words[0], key=lambda span: span[1])
    last = first
    while last < len(spans) and spans[last][0] < words[1]:
        last += 1
    return list(range(first, last)) or [0]
