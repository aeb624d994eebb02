"""Reading ease, by R. Flesch, "A new readability yardstick", Journal of Applied Psychology 32 (1948): from memory.

206.835 - 1.015 x (words / sentences) - 84.6 x (syllables / words). Syllables are counted by groups of vowels, which
is near enough for a bound.
"""

import re

_SILENT_ENDINGS = re.compile(r"(?:[^laeiouy]es|[^laeiouydt]ed|[^laeiouy]e)$")


def syllables(word: str) -> int:
    """Return the number of syllables of a word, at least one."""
    bare = word.lower()
    if len(bare) <= 3:
        return 1
    bare = _SILENT_ENDINGS.sub("", bare)
    return max(1, len(re.findall(r"[aeiouy]+", bare)))


def reading_ease(text: str) -> float:
    """Return Flesch's reading ease of a text: 60 to 70 is plain English."""
    sentences = [one for one in re.split(r"[.!?:;]+\s", text + " ") if one.strip()]
    words = re.findall(r"[A-Za-z]+(?:['-][A-Za-z]+)*", text)
    total = sum(syllables(word) for word in words)
    return 206.835 - 1.015 * len(words) / len(sentences) - 84.6 * total / len(words)
