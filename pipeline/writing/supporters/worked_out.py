"""What reports take long to work out, kept from run to run: tags of texts, how common words are, earlier reports.

The tagger and the list of common words take long to load, and what they say depends on a text or a word alone; what
earlier reports told depends on the records before a day alone. So no report reads otherwise for it.
"""

import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter
from pydantic_core import from_json

from pipeline.hearing import frequency
from pipeline.reading.parse import Token, tag_words_and_people
from pipeline.writing.made_from import made_by
from pipeline.writing.supporters.past import Past
from pipeline.writing.written_files import write_file

Tagged = tuple[tuple[Token, ...], tuple[tuple[int, int], ...]]
"""The words of a text, and the first character of each person's name in it and the one after its last."""

_LIST = ".worked-out.json"
_MOST_TEXTS = 20_000  # the words around the photos of some large months
_MOST_WORDS = 20_000
_MOST_PASTS = 100
_TAGGED: dict[str, Tagged] = {}
_COMMON: dict[str, float] = {}
_PASTS: dict[str, Past] = {}


def tagged(texts: Iterable[str]) -> dict[str, Tagged]:
    """Return some texts as they are tagged: those that are new at once, which is far quicker than one by one."""
    asked = dict.fromkeys(texts)
    new = [one for one in asked if one not in _TAGGED]
    found = {one: _TAGGED[one] for one in asked if one in _TAGGED}
    found.update(zip(new, tag_words_and_people(new), strict=True) if new else ())
    for one in asked:
        _keep(_TAGGED, one, found[one], _MOST_TEXTS)
    return found


def zipf(word: str) -> float:
    """Give how common a word is, as ``frequency.zipf``."""
    common = _COMMON.get(word)
    if common is None:
        common = frequency.zipf(word)
        _keep(_COMMON, word, common, _MOST_WORDS)
    return common


def past_kept(made_from: str, work_out: Callable[[], Past]) -> Past:
    """Return what earlier reports told by what that is made from; "" is never known."""
    past = _PASTS.get(made_from) or work_out()
    if made_from:
        _keep(_PASTS, made_from, past, _MOST_PASTS)
    return past


def _keep(known: dict[str, Any], key: str, value: object, most: int) -> None:
    """Keep a value as the latest, and no more than so many."""
    known.pop(key, None)
    known[key] = value
    while len(known) > most:
        del known[next(iter(known))]


@contextmanager
def kept_in(out: Path) -> Iterator[None]:
    """Take what was worked out before from a book's ``out`` folder, and keep what is worked out meanwhile there."""
    texts, common, pasts = _read(out / _LIST)
    _forget()  # no book keeps what was said in another
    _TAGGED.update(texts)
    _COMMON.update(common)
    _PASTS.update(pasts)
    try:
        yield
        if _TAGGED.keys() - texts.keys() or _COMMON.keys() - common.keys() or _PASTS.keys() - pasts.keys():
            whole = [_made_by(), _TAGGED, _COMMON, _of_pasts().dump_python(_PASTS, mode="json")]
            told = json.dumps(whole, ensure_ascii=False, separators=(",", ":"))
            write_file(out / _LIST, told.encode("utf-8", "surrogatepass"))
    finally:
        _forget()


def _forget() -> None:
    _TAGGED.clear()
    _COMMON.clear()
    _PASTS.clear()


def _made_by() -> str:
    return f"{made_by()} {' '.join(map(version, ('spacy', 'wordfreq')))}"


@cache
def _of_pasts() -> TypeAdapter[dict[str, Past]]:
    return TypeAdapter(dict[str, Past])


def _read(path: Path) -> tuple[dict[str, Tagged], dict[str, float], dict[str, Past]]:
    """Return what is kept; nothing of another program, or where the file is not as it was written."""
    try:
        by, texts, common, pasts = from_json(path.read_bytes())
        if by != _made_by():
            return {}, {}, {}
        tags = {
            text: (tuple(Token(*word) for word in words), tuple((first, last) for first, last in people))
            for text, (words, people) in texts.items()
        }
        return tags, {word: float(one) for word, one in common.items()}, _of_pasts().validate_python(pasts)
    except (OSError, ValueError, TypeError, AttributeError):
        return {}, {}, {}
