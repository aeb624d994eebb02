"""How far the decoder's other readings of the same sound bear a word out."""

from collections.abc import Sequence

from rapidfuzz.distance import Levenshtein

from pipeline.hearing.same_words import said
from pipeline.values import HeardSegment

# Readings of the same sound as (text, chance); the chances add up to 1.
Rivals = tuple[tuple[str, float], ...]


def supported(segment: HeardSegment, rivals: Rivals) -> HeardSegment:
    """Give each word of a segment its support.

    Args:
        segment: what was heard.
        rivals: all readings that the decoder weighed in the end, what was heard among them.
    """
    keys = [said(word.text) for word in segment.words]
    support = [0.0] * len(keys)
    for text, chance in rivals:
        for at in _shared(keys, [said(word) for word in text.split()]):
            support[at] += chance
    words = tuple(
        word.model_copy(update={"support": round(min(1.0, share), 4)})
        for word, share in zip(segment.words, support, strict=True)
    )
    return segment.model_copy(update={"words": words})


def _shared(keys: Sequence[str], others: Sequence[str]) -> list[int]:
    """List which of the keys stand among the others, both in order."""
    steps = Levenshtein.opcodes(keys, others)
    return [at for step in steps if step.tag == "equal" for at in range(step.src_start, step.src_end)]
