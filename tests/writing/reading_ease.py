"""Reading ease and grade of English, with the figures for a report: ``python -m tests.writing.reading_ease FILE``.

Source: R. Flesch, "A new readability yardstick", Journal of Applied Psychology 32 (1948), 221-233: 206.835 less
1.015 times the words a sentence less 84.6 times the syllables a word; 60 and more is plain English. J. P. Kincaid and
others, "Derivation of new readability formulas …", Naval Technical Training Command report 8-75 (1975): 0.39 times
words a sentence plus 11.8 times the syllables a word less 15.59. Both from memory. Syllables are counted by groups of
vowels, which is near enough for a bound; ``tests/outside/test_reading_ease.py`` compares with another program.
"""

import re
import sys
from pathlib import Path

_SILENT_ENDINGS = re.compile(r"(?:[^laeiouy]es|[^laeiouydt]ed|[^laeiouy]e)$")


def syllables(word: str) -> int:
    """Return the number of syllables of a word, at least one."""
    bare = word.lower()
    if len(bare) <= 3:
        return 1
    bare = _SILENT_ENDINGS.sub("", bare)
    return max(1, len(re.findall(r"[aeiouy]+", bare)))


def per_sentence_and_word(text: str) -> tuple[float, float]:
    """Return words a sentence, and syllables a word."""
    sentences = [one for one in re.split(r"[.!?:;]+\s", text + " ") if one.strip()]
    words = re.findall(r"[A-Za-z]+(?:['-][A-Za-z]+)*", text)
    total = sum(syllables(word) for word in words)
    return len(words) / len(sentences), total / len(words)


def flesch(words_a_sentence: float, syllables_a_word: float) -> float:
    """Return Flesch's reading ease of two averages."""
    return 206.835 - 1.015 * words_a_sentence - 84.6 * syllables_a_word


def kincaid(words_a_sentence: float, syllables_a_word: float) -> float:
    """Return Kincaid's grade of two averages."""
    return 0.39 * words_a_sentence + 11.8 * syllables_a_word - 15.59


def reading_ease(text: str) -> float:
    """Return Flesch's reading ease of a text: 60 to 70 is plain English."""
    return flesch(*per_sentence_and_word(text))


def grade(text: str) -> float:
    """Return Kincaid's grade of a text: the school year that can read it."""
    return kincaid(*per_sentence_and_word(text))


def prose_of(markdown: str) -> str:
    """Return the running text of a report in Markdown: no headings, pictures, captions or lists."""
    lines = [line for line in markdown.splitlines() if line and not line.startswith(("#", "!", "*", ">", "-"))]
    return " ".join(line.replace("\\", "") for line in lines)


if __name__ == "__main__":
    for name in sys.argv[1:]:
        told = prose_of(Path(name).read_text(encoding="utf-8"))
        print(f"{name}: reading ease {reading_ease(told):.1f} (plain is 60), grade {grade(told):.1f}")
