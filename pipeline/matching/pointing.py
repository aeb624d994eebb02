"""Words with which a speaker points at what they are looking at or photographing."""

import re
from bisect import bisect_right
from collections.abc import Sequence

from pipeline.values import HeardWord

_POINTING = re.compile(
    r"\b(?:you(?:'ll| can|'d)? (?:just )?(?:see|notice)|as you (?:can )?see|"
    r"(?:photo|photograph|picture|shot|snap|close[- ]?up)s? of|"
    r"(?:take|taking|get|getting|took|taken|here's) an?(?:other)? (?:photo|photograph|picture|shot|snap)|"
    r"(?:this|that) one(?: here)?|(?:this|that|these|those)(?:'s| is| are) (?:the|a|an|what|where|how|it|them)|"
    r"there (?:it is|they are|she is)|(?:look|looking) (?:at (?:this|that|these|those|it|them)|here)|"
    r"(?:over|just|right|up|down|in) here|here(?:'s| is| are|'re)|like (?:this|that|so)|have a look)\b",
    re.IGNORECASE,
)


def pointing_phrases(text: str) -> tuple[tuple[int, int], ...]:
    """Return (from, to) in characters for each phrase in the text that points at something seen."""
    return tuple(match.span() for match in _POINTING.finditer(text))


def pointing_moments(heard: str, words: Sequence[HeardWord]) -> tuple[tuple[float, str], ...]:
    """Return (second in the recording, phrase) for each phrase that points.

    Args:
        heard: the utterance as heard: the words' texts joined by single spaces.
        words: its words with their times.
    """
    starts: list[int] = []
    at = 0
    for word in words:
        starts.append(at)
        at += len(word.text) + 1
    moments = []
    for start, end in pointing_phrases(heard):
        moments.append((words[bisect_right(starts, start) - 1].start_s, heard[start:end]))
    return tuple(moments)
