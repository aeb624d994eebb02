"""Names of different parts that sound so alike that one may be heard for the other."""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from rapidfuzz.distance import Levenshtein
from rapidfuzz.process import cdist

from pipeline.hearing.phones import coarsely, phones, sounds_like

ALIKE = 0.9
"""How alike, from 0 to 1, the differing words of two names sound when a person should know of it."""

# Coarse runs of phones (all vowels one, voiced as voiceless) leave only slips that cost 0.4 or more, so a pair that
# is ALIKE differs in fewer than (1 - ALIKE) / 0.4 of its coarse phones; a wider net costs little.
_COARSELY_ALIKE = 0.6


class SoundAlike(NamedTuple):
    """Two names, each with its part, and how alike they sound (0 to 1)."""

    name: str
    part: str
    other: str
    other_part: str
    alike: float


def sound_alikes(names: Iterable[tuple[str, str]], least: float = ALIKE) -> list[SoundAlike]:
    """Find names of different parts that sound alike.

    Words that two names share at their beginning or end are left out: "oil pump" and "oil pipe" are as alike as
    "pump" and "pipe". A name that only has a word more than the other is not compared.

    Args:
        names: names with their parts' notations.
        least: how alike (0 to 1) the words that differ must sound.

    Returns:
        The pairs, most alike first.
    """
    known = sorted(set(names))
    runs = [coarsely("".join(phones(name))) for name, _part in known]
    near = cdist(runs, runs, scorer=Levenshtein.normalized_similarity, score_cutoff=_COARSELY_ALIKE, dtype=np.float32)
    found = []
    for first, second in np.argwhere(np.triu(near, k=1) > 0).tolist():
        (name, part), (other, other_part) = known[first], known[second]
        ours, theirs = _differing(name, other)
        if part != other_part and ours and theirs:
            alike = sounds_like(ours, theirs)
            if alike >= least:
                found.append(SoundAlike(name, part, other, other_part, round(alike, 2)))
    return sorted(found, key=lambda pair: (-pair.alike, pair.name, pair.other))


def _differing(name: str, other: str) -> tuple[str, str]:
    ours, theirs = name.split(), other.split()
    while ours and theirs and ours[0] == theirs[0]:
        ours, theirs = ours[1:], theirs[1:]
    while ours and theirs and ours[-1] == theirs[-1]:
        ours, theirs = ours[:-1], theirs[:-1]
    return " ".join(ours), " ".join(theirs)
