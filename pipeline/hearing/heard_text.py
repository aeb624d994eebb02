"""The words of a heard text, with where they stand in it."""

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

_WORD = re.compile(r"[A-Za-z]+(?:['\u2019][A-Za-z]+)?|\d+")
_PIECE = re.compile(r"\S+")
_SENTENCE_END = re.compile(r"[.?!\u2026][\"'\u201d\u2019)]*\s*$")


@dataclass(frozen=True)
class TextWord:
    """A word at ``text[start:end]``; a hyphen parts words, "'s" belongs to its word.

    ``token`` is which of the text's space-separated pieces it stands in, from 0. ``plain`` is in small letters and
    without "'s". ``joined`` is True when only a space or a hyphen stands between it and the word before.
    """

    start: int
    end: int
    token: int
    plain: str
    joined: bool
    possessive: bool

    @property
    def is_number(self) -> bool:
        """Whether it is written in digits."""
        return self.plain.isdigit()


def words_of(text: str) -> tuple[TextWord, ...]:
    """Find the words of a text, in order."""
    words: list[TextWord] = []
    pieces = [found.end() for found in _PIECE.finditer(text)]
    for found in _WORD.finditer(text):
        before = text[words[-1].end : found.start()] if words else None
        lower = found[0].lower().replace("\u2019", "'")
        possessive = lower.endswith("'s")
        words.append(
            TextWord(
                start=found.start(),
                end=found.end(),
                token=bisect_right(pieces, found.start()),
                plain=lower.removesuffix("'s"),
                joined=before in (" ", "-"),
                possessive=possessive,
            )
        )
    return tuple(words)


def starts_sentence(text: str, at: int) -> bool:
    """Say whether a sentence begins at a position of a text."""
    before = text[:at].strip()
    return not before or bool(_SENTENCE_END.search(before))


def plurals(words: Sequence[str]) -> tuple[str, ...]:
    """Put the last of a name's words into the plural."""
    last = words[-1]
    if last.endswith(("s", "x", "z", "ch", "sh")):
        many = last if last.endswith("s") and not last.endswith("ss") else last + "es"
    elif last.endswith("y") and last[-2:-1] not in "aeiou":
        many = last[:-1] + "ies"
    else:
        many = last + "s"
    return (*words[:-1], many)


def inflections(word: str) -> tuple[str, ...]:
    """List the forms that English makes of a word as a noun or a regular verb, and some that it does not."""
    stems = {word, word.removesuffix("e"), word + word[-1:]}
    return (word, *plurals((word,)), *sorted(stem + end for stem in stems for end in ("ed", "ing", "er", "ers", "y")))


def name_words(name: str) -> tuple[str, ...]:
    """Take a name apart into plain words, as ``words_of`` would."""
    return tuple(word.plain for word in words_of(name))
