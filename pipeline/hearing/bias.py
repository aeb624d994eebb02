"""Which words the recogniser is told to lean towards."""

from collections import Counter
from collections.abc import Iterable
from math import sqrt

from pipeline.hearing.frequency import zipf
from pipeline.hearing.heard_text import name_words

# With more, the decoder starts to lose words; 26 was measured to help and to lose nothing.
MOST_WORDS = 26
# Words more common than this are heard without help (zipf scale).
EVERYDAY_ZIPF = 3.7
SHORTEST_WORD, SHORTEST_HALF = 3, 3


def hotwords(names: Iterable[str], limit: int = MOST_WORDS) -> str:
    """Choose the words of the trade that everyday English least prepares a recogniser for.

    A word counts for more the rarer it is in everyday English, and the more names it is part of: parts are said by
    many names ("aileron hinge", "aileron hinge bracket"), and all of them need the one word. A word made of two
    everyday ones ("tailwheel") is heard without help.

    Args:
        names: names of parts, in any order; the answer does not depend on it.
        limit: at most so many words are chosen.

    Returns:
        Words separated by ", ", the most needed first; "" for none.
    """
    names_with = Counter(word for words in {name_words(name) for name in names} for word in set(words))
    need = {
        word: (EVERYDAY_ZIPF - _familiarity(word)) * sqrt(count)
        for word, count in names_with.items()
        if len(word) >= SHORTEST_WORD and _familiarity(word) < EVERYDAY_ZIPF
    }
    return ", ".join(sorted(need, key=lambda word: (-need[word], word))[:limit])


def _familiarity(word: str) -> float:
    """Give how common a word is, or the rarer half of the two words that it is best taken apart into."""
    halves = [(word[:at], word[at:]) for at in range(SHORTEST_HALF, len(word) - SHORTEST_HALF + 1)]
    return max([zipf(word), *(min(zipf(a), zipf(b)) for a, b in halves)])
