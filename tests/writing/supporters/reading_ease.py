"""Reading ease, by R. Flesch, "A new readability yardstick", Journal of Applied Psychology 32 (1948): from memory.

Grade, by J. P. Kincaid and others, Naval Technical Training Command report 8-75 (1975): from memory.

206.835 - 1.015 x (words / sentences) - 84.6 x (syllables / words), and 0.39 x (words / sentences) + 11.8 x
(syllables / words) - 15.59. Syllables are counted by groups of vowels, which
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


def _per_sentence_and_word(text: str) -> tuple[float, float]:
    """Return words a sentence, and syllables a word."""
    sentences = [one for one in re.split(r"[.!?:;]+\s", text + " ") if one.strip()]
    words = re.findall(r"[A-Za-z]+(?:['-][A-Za-z]+)*", text)
    total = sum(syllables(word) for word in words)
    return len(words) / len(sentences), total / len(words)


def reading_ease(text: str) -> float:
    """Return Flesch's reading ease of a text: 60 to 70 is plain English."""
    length, syllables_a_word = _per_sentence_and_word(text)
    return 206.835 - 1.015 * length - 84.6 * syllables_a_word


def grade(text: str) -> float:
    """Return Kincaid's grade of a text: the school year that can read it."""
    length, syllables_a_word = _per_sentence_and_word(text)
    return 0.39 * length + 11.8 * syllables_a_word - 15.59
