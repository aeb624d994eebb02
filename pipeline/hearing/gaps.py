"""Voice that became no words, and words that nobody said."""

from collections.abc import Iterable, Sequence

import numpy as np

from pipeline.hearing.recogniser import SAMPLES, VOICE_STEP_S, Stretch
from pipeline.hearing.utterances import said_in_s
from pipeline.values import HeardWord, NotUnderstood

WORDLESS = "somebody speaks here, and no word was understood"
# Voice without a word is worth telling of when it is longer than this.
LONGEST_MISSED_S = 1.0
# A word's time, as the decoder gives it, is this far off at most in clean sound.
WORD_EDGE_S = 0.3


def wordless(words: Iterable[HeardWord], voice: Sequence[Stretch]) -> tuple[NotUnderstood, ...]:
    """Find voice without words.

    The decoder stretches a word over a clause that it lost, or over the pause beside it: a word is taken to have been
    said at either end of its time, and to last no longer than it needs.

    Args:
        words: what was heard.
        voice: stretches of voice, (start, end) in seconds, in order and not overlapping.

    Returns:
        Stretches of more than 1 s, in order of time, rounded to milliseconds.
    """
    said = []
    for word in words:
        needed_s = min(word.end_s - word.start_s, said_in_s(word.text))
        said.append((word.start_s - WORD_EDGE_S, word.start_s + needed_s + WORD_EDGE_S))
        said.append((word.end_s - needed_s - WORD_EDGE_S, word.end_s + WORD_EDGE_S))
    return tuple(
        NotUnderstood(start_s=round(start_s, 3), end_s=round(end_s, 3), why=WORDLESS)
        for start_s, end_s in _without(voice, said)
        if end_s - start_s > LONGEST_MISSED_S
    )


def voice_under(word: HeardWord, chances: SAMPLES) -> float:
    """Return the highest mean chance of voice, over 0.2 s, from 0.3 s before a word to 0.3 s after it.

    Args:
        word: with its times.
        chances: the chance of voice in each step of 32 ms of the recording.
    """
    start = max(0, int((word.start_s - WORD_EDGE_S) / VOICE_STEP_S))
    near = chances[start : int((word.end_s + WORD_EDGE_S) / VOICE_STEP_S) + 1]
    if not len(near):
        return 0.0
    steps = min(len(near), 6)
    return float(np.convolve(near, np.ones(steps) / steps, "valid").max())


def _without(stretches: Iterable[Stretch], holes: Iterable[Stretch]) -> list[Stretch]:
    """Cut the holes out of the stretches."""
    left = list(stretches)
    for hole_start, hole_end in holes:
        left = [
            part
            for start, end in left
            for part in ((start, min(end, hole_start)), (max(start, hole_end), end))
            if part[1] > part[0]
        ]
    return left
