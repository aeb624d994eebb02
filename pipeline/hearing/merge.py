"""Two looks at the same sound, made into one.

The first look leans towards no word; the second leans towards words of the trade. The second knows the trade's words
better, but it may put them where they were not said, lose a clause, or run on into silence. Where they differ, one of
them is believed; the weights that say which are those of a logistic regression over synthetic notes, clean and in
noise (``python -m tests.hearing.fit_hearing`` fits them again).
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from statistics import fmean

from rapidfuzz.distance import Levenshtein

from pipeline.hearing.frequency import rarest_zipf
from pipeline.hearing.phones import sounds_like
from pipeline.hearing.same_words import said, same_said
from pipeline.hearing.utterances import said_in_s
from pipeline.hearing.weighing import chance, logit
from pipeline.values import HeardWord

# So many words in a row that only one look heard are a clause that the other lost, or that this one invented.
CLAUSE = 3
# Nobody says words faster than this for long.
QUICKEST_WORD_S = 0.15
# Words more common than this are no sign that a look heard nonsense (zipf scale).
COMMON_ZIPF = 3.5
LEAST_P = 0.01
STOPS = ".,;:?!"

# What speaks for the first look where the looks differ (above 0) or for the second (below).
WEIGHTS = {
    "one": 0.324,
    "first's probability": 0.353,
    "probability over the second's": 0.126,
    "alike in sound": 0.115,
    "support over the second's": 1.494,
    "first is rare": -0.206,
    "first has a trade word": 1.653,
    "second has a trade word": -4.165,
    "second is empty": 0.767,
    "first is empty": 0.674,
    "words more": -0.233,
    "a clause more": 1.179,
}


@dataclass(frozen=True)
class Region:
    """Words of each look that stand for the same stretch of sound; ``same`` if they say the same."""

    first: tuple[HeardWord, ...]
    second: tuple[HeardWord, ...]
    same: bool


@dataclass(frozen=True)
class KeptWord:
    """A word that is kept, and the chance that the other look heard it better: 0 where they agree."""

    word: HeardWord
    other_better: float = 0.0

    def told_of(self, other: str) -> "KeptWord":
        """Return the same word with what the other look heard in its place."""
        return KeptWord(self.word.model_copy(update={"other": other}), self.other_better)


@dataclass(frozen=True)
class Merged:
    """What is kept of two looks, and the runs of words that were left out as invented."""

    kept: tuple[KeptWord, ...]
    invented: tuple[tuple[HeardWord, ...], ...] = ()


def merge(first: Sequence[HeardWord], second: Sequence[HeardWord], trade_in: Callable[[str], float]) -> Merged:
    """Make one run of words of two looks at the same sound.

    Args:
        first: words of the look without leaning, in order of time.
        second: words of the look that leans towards the trade's words, likewise.
        trade_in: how much of the trade is in a text, from 0 to 1.

    Returns:
        The words, in order of time, each with what the other look heard in its place (None where that is the same).
        A word that only the other look heard, and that is not kept, is told of at the word beside it.
    """
    kept: list[KeptWord] = []
    invented: list[tuple[HeardWord, ...]] = []
    dropped = ""
    found = list(regions(first, second))
    for at, region in enumerate(found):
        if region.same:
            words = _agreed(region)
        else:
            after = found[at + 1].first[:1] if at + 1 < len(found) else ()
            room_s = _room_s(found[at - 1].first[-1:] if at else (), region.first, after)
            words, other = _chosen(region, room_s, trade_in)
            if not words and len(other) >= CLAUSE:
                invented.append(other)
            elif not words:
                dropped = text_of(other)
                continue
        if dropped and words:
            words = (words[0].told_of(f"{dropped} {words[0].word.text}"), *words[1:])
            dropped = ""
        kept += words
    if dropped and kept:
        kept[-1] = kept[-1].told_of(f"{kept[-1].word.text} {dropped}")
    return Merged(_in_order(kept), tuple(invented))


def first_is_better(region: Region, trade_in: Callable[[str], float]) -> float:
    """Return the chance that the first look is nearer to what was said, of a region in which the looks differ."""
    return chance(evidence_for_first(region, trade_in), WEIGHTS)


def evidence_for_first(region: Region, trade_in: Callable[[str], float]) -> dict[str, float]:
    """Measure what speaks for either look, by the names that the weights have."""
    first, second = text_of(region.first), text_of(region.second)
    more = len(region.first) - len(region.second)
    both = bool(first and second)
    trade = trade_in(second)
    return {
        "one": 1.0,
        "first's probability": _logit(region.first) if first else 0.0,
        "probability over the second's": _logit(region.first) - _logit(region.second) if both else 0.0,
        "alike in sound": sounds_like(first, second) if both else 0.0,
        "support over the second's": _support(region.first) - _support(region.second) if both else 0.0,
        "first is rare": max(0.0, COMMON_ZIPF - rarest_zipf(first)) if first else 0.0,
        "first has a trade word": trade_in(first),
        "second has a trade word": trade,
        "second is empty": float(not second),
        "first is empty": float(not first),
        "words more": float(max(-CLAUSE, min(CLAUSE, more))),
        "a clause more": float(more >= CLAUSE),
    }


def regions(first: Sequence[HeardWord], second: Sequence[HeardWord]) -> Iterator[Region]:
    """Align two looks word by word.

    Returns:
        Regions in order, which together hold every word of both looks.
    """
    runs: list[tuple[bool, list[HeardWord], list[HeardWord]]] = []
    for step in Levenshtein.opcodes([said(word.text) for word in first], [said(word.text) for word in second]):
        same = step.tag == "equal"
        if not runs or runs[-1][0] != same:
            runs.append((same, [], []))
        runs[-1][1].extend(first[step.src_start : step.src_end])
        runs[-1][2].extend(second[step.dest_start : step.dest_end])
    for same, one, other in runs:
        yield Region(tuple(one), tuple(other), same or same_said(text_of(one), text_of(other)))


def text_of(words: Iterable[HeardWord]) -> str:
    """Join words by single spaces."""
    return " ".join(word.text for word in words)


def _agreed(region: Region) -> tuple[KeptWord, ...]:
    """Keep words that both looks heard, as sure as the two are together."""
    if len(region.first) != len(region.second):
        return tuple(map(KeptWord, _in_style(region.second, region.first)))
    return tuple(
        KeptWord(
            word.model_copy(
                update={
                    "probability": round((word.probability + other.probability) / 2, 4),
                    "support": round((word.support + other.support) / 2, 4),
                }
            )
        )
        for word, other in zip(region.first, region.second, strict=True)
    )


def _in_style(words: Sequence[HeardWord], first: Sequence[HeardWord]) -> tuple[HeardWord, ...]:
    """Put the first look's stops and commas to words of the second.

    The second look falls in with the list of names that it leans towards, and leaves most of them out.
    """
    if not words:
        return ()
    like = first if len(first) == len(words) else [*words[:-1], *first[-1:]] if first else words
    return tuple(
        word.model_copy(update={"text": word.text.rstrip(STOPS) + one.text[len(one.text.rstrip(STOPS)) :]})
        for word, one in zip(words, like, strict=True)
    )


def _chosen(
    region: Region, room_s: float, trade_in: Callable[[str], float]
) -> tuple[tuple[KeptWord, ...], tuple[HeardWord, ...]]:
    """Return what is kept of a region in which the looks differ, and what is not."""
    first, second = region.first, region.second
    for_first = first_is_better(region, trade_in)
    if len(second) - len(first) >= CLAUSE:  # a clause that the first look lost, if there is time for it
        for_first = 0.25 if room_s >= len(second) * QUICKEST_WORD_S else 0.75
    if len(first) >= CLAUSE and not second:  # nothing is lost on the word of one look
        for_first = max(for_first, 0.5)
    words, other, better = (
        (first, second, 1 - for_first) if for_first >= 0.5 else (_in_style(second, first), first, for_first)
    )
    if len(words) == len(other):
        return tuple(_beside(word, one.text, better) for word, one in zip(words, other, strict=True)), other
    return tuple(_beside(word, text_of(other), better) for word in words), other


def _beside(word: HeardWord, other: str, better: float) -> KeptWord:
    return KeptWord(word) if same_said(word.text, other) else KeptWord(word, better).told_of(other)


def _room_s(before: Sequence[HeardWord], inside: Sequence[HeardWord], after: Sequence[HeardWord]) -> float:
    """Return how much time the first look leaves between the words on either side.

    The decoder stretches the word before a clause that it lost, so that word is given the time that it needs.
    """
    start_s = before[0].start_s + said_in_s(before[0].text) if before else inside[0].start_s if inside else 0.0
    return (after[0].start_s if after else float("inf")) - start_s


def _support(words: Sequence[HeardWord]) -> float:
    return fmean(word.support for word in words)


def _logit(words: Sequence[HeardWord]) -> float:
    return logit(fmean(word.probability for word in words), LEAST_P)


def _in_order(kept: Iterable[KeptWord]) -> tuple[KeptWord, ...]:
    """Let no word begin before the one before it, and each sentence with a capital."""
    ordered: list[KeptWord] = []
    start_s, before = 0.0, "."
    for one in kept:
        start_s, text = max(one.word.start_s, start_s), one.word.text
        if before.endswith((".", "?", "!")):
            text = text[:1].upper() + text[1:]
        word = one.word.model_copy(update={"start_s": start_s, "end_s": max(one.word.end_s, start_s), "text": text})
        ordered.append(KeptWord(word, one.other_better))
        before = text
    return tuple(ordered)
