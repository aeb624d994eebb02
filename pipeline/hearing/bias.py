"""Which words the recogniser is told to lean towards."""

from collections.abc import Iterable

from pipeline.hearing.frequency import zipf

# With more, the decoder starts to lose words; 26 was measured to help and to lose nothing.
MOST_TERMS = 26


def hotwords(names: Iterable[str], limit: int = MOST_TERMS) -> str:
    """Choose the trade's names that everyday English least prepares a recogniser for.

    A word is given once: of "rudder hinge" and "rudder pedal" the first that comes brings "rudder". A name whose
    words are all everyday ("front spar" is not, "seat" is) is not given, because it is heard without help.

    Args:
        names: names of parts, in any order; the answer does not depend on it.
        limit: at most so many are chosen.

    Returns:
        Names separated by ", ", rarest first, "" for none.
    """
    by_rarity = sorted(
        {name.lower().strip() for name in names if name.strip()}, key=lambda name: (_rarest(name), name)
    )
    chosen: list[str] = []
    brought: set[str] = set()
    for name in by_rarity:
        rare = {word for word in name.replace("-", " ").split() if zipf(word) < EVERYDAY_ZIPF}
        if len(chosen) < limit and rare - brought:
            chosen.append(name)
            brought |= rare
    return ", ".join(chosen)


EVERYDAY_ZIPF = 3.7


def _rarest(name: str) -> float:
    return min(zipf(word) for word in name.replace("-", " ").split())
