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


def hotwords(names: Iterable[str], limit: int = MOST_WORDS) -> str:
    """Choose the words of the trade that everyday English least prepares a recogniser for.

    A word counts for more the rarer it is in everyday English, and the more names it is part of: parts are said by
    many names ("aileron hinge", "aileron hinge bracket"), and all of them need the one word.

    Args:
        names: names of parts, in any order; the answer does not depend on it.
        limit: at most so many words are chosen.

    Returns:
        Words separated by ", ", the most needed first; "" for none.
    """
    names_with = Counter(word for words in {name_words(name) for name in names} for word in set(words))
    need = {
        word: (EVERYDAY_ZIPF - zipf(word)) * sqrt(count)
        for word, count in names_with.items()
        if len(word) > 2 and zipf(word) < EVERYDAY_ZIPF
    }
    return ", ".join(sorted(need, key=lambda word: (-need[word], word))[:limit])
