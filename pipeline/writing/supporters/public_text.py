"""The words of a public page or text: taken out by sentences where the watch says so, the marks left as they are."""

import html
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from pipeline.writing.supporters.story import QUIET
from pipeline.writing.supporters.withheld_text import sentence_spans

Reasons = Callable[[str, str], tuple[str, ...]]
"""Takes a sentence and the paragraph around it; gives why it may not go out."""

_PIECE = re.compile(
    r"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<(?:style|script)\b.*?</(?:style|script)\s*>|<[/!?]?[A-Za-z][^<>\"']*(?:\"[^\"]*\"[^<>\"']*|'[^']*'[^<>\"']*)*>",
    re.DOTALL | re.IGNORECASE,
)
_TAG = re.compile(r"</?\s*([A-Za-z][\w:-]*)")
INLINE = frozenset({
    "a", "abbr", "b", "bdi", "bdo", "cite", "code", "data", "dfn", "em", "i", "kbd", "mark", "q", "s", "small",
    "span", "strong", "sub", "sup", "time", "tspan", "u", "var", "wbr", "br", "br/",
})  # fmt: skip
_TOLD = re.compile(
    r"(\s(?:alt|title|aria-label|aria-description|content|placeholder|label|summary|value|data-[\w-]+)\s*=\s*)(\"[^\"]*\"|'[^']*')",
    re.IGNORECASE,
)
_CHARACTER = re.compile(r"&(?:#\d+|#[xX][0-9A-Fa-f]+|[A-Za-z]\w*);|.", re.DOTALL)
_EMPTY = re.compile(
    r"<(p|h[2-6]|figcaption|li|dt|dd|div|span|b|strong|em|i|q|dl|ul|ol|section|aside|blockquote|td|tr|text|cite|caption|footer)\b[^<>]*>\s*"
    r"</\1\s*>\s*",
    re.IGNORECASE,
)
_LONE_TERM = re.compile(r"<div>\s*<(dt|dd)\b[^<>]*>[^<>]*</\1>\s*</div>\s*", re.IGNORECASE)
_LONE_HEADING = re.compile(r"<(section|aside)\b[^<>]*>\s*<h[2-6]\b[^<>]*>[^<>]*</h[2-6]>\s*</\1>\s*", re.IGNORECASE)
_HEADED = re.compile(r"(<(h1|title)\b[^<>]*>)\s*(</\2>)", re.IGNORECASE)
_MD_MARK = re.compile(r"\\(?=[\\`*_{}\[\]<>#|~()!+.-])|!\[|\]\([^)]*\)|\]\[[^\]]*\]|[*_`~\[\]]")
_MD_START = re.compile(r"^\s*(?:>\s?|[-*+]\s+|\d+[.)]\s+|#{1,6}\s+|\|)*")
_MD_BREAKS = re.compile(r"\n[ \t]*\n|\n(?=\s*(?:[-*+>#|]|\d+[.)]\s|!\[))|(?<=[^\n])\n(?=\s*#)")


@dataclass(frozen=True)
class Left:
    """A text without what may not go out, and (what was left out, why) of each sentence."""

    text: str
    out: tuple[tuple[str, str], ...]


def page_left(page: str, reasons: Reasons) -> Left:
    """Leave out of a page (HTML or SVG) every sentence, caption and told attribute that may not go out."""
    out: list[tuple[str, str]] = []
    made: list[str] = []
    run: list[tuple[bool, str]] = []  # (whether it is text, its source)
    for is_text, source in pieces(page):
        if is_text or _is_inline(source):
            run.append((is_text, source if is_text else _attributes_left(source, reasons, out)))
            continue
        made.append(_run_left(run, reasons, out))
        run = []
        made.append(_attributes_left(source, reasons, out))
    made.append(_run_left(run, reasons, out))
    text = "".join(made)
    return Left(_tidied(text) if out else text, tuple(out))


def pieces(page: str) -> Iterator[tuple[bool, str]]:
    """Yield the text and the marks of a page in order, as (whether it is text, its source)."""
    at = 0
    for mark in _PIECE.finditer(page):
        if mark.start() > at:
            yield True, page[at : mark.start()]
        yield False, mark[0]
        at = mark.end()
    if at < len(page):
        yield True, page[at:]


def markdown_left(text: str, reasons: Reasons) -> Left:
    """Leave out of a Markdown text every sentence and picture's text that may not go out."""
    out: list[tuple[str, str]] = []
    made: list[str] = []
    at = 0
    for end in (*(one.span() for one in _MD_BREAKS.finditer(text)), (len(text), len(text))):
        made.append(_block_left(text[at : end[0]], reasons, out))
        made.append(text[end[0] : end[1]])
        at = end[1]
    left = "".join(made)
    return Left(re.sub(r"\n{3,}", "\n\n", left).strip() + "\n" if out else left, tuple(out))


def _block_left(block: str, reasons: Reasons, out: list[tuple[str, str]]) -> str:
    start = _MD_START.match(block)
    lead = start[0] if start is not None else ""
    letters = _without_marks(block, len(lead))
    kept = _kept([one for one, _, _ in letters], reasons, out)
    if all(kept):
        return block
    if not any(keep and not letter.isspace() for keep, (letter, _, _) in zip(kept, letters, strict=True)):
        return f"# {QUIET}" if lead.startswith("# ") else ""
    gone = {at for keep, (_, first, last) in zip(kept, letters, strict=True) if not keep for at in range(first, last)}
    return "".join(letter for at, letter in enumerate(block) if at not in gone).rstrip()


def _without_marks(block: str, at: int) -> list[tuple[str, int, int]]:
    """Return each letter that is read, with where its source stands (from, to)."""
    letters = []
    while at < len(block):
        mark = _MD_MARK.match(block, at)
        if mark is not None and mark[0] == "\\":
            letters.append((block[at + 1], at, at + 2))
            at += 2
        elif mark is not None:
            at = mark.end()
        else:
            entity = _CHARACTER.match(block, at)
            source = entity[0] if entity is not None else block[at]
            letters.append((html.unescape(source), at, at + len(source)))
            at += len(source)
    return letters


def _is_inline(source: str) -> bool:
    tag = _TAG.match(source)
    return tag is not None and tag[1].lower() in INLINE


def _run_left(run: Sequence[tuple[bool, str]], reasons: Reasons, out: list[tuple[str, str]]) -> str:
    letters = [
        (html.unescape(one[0]), index, one.start(), one.end())
        for index, (is_text, source) in enumerate(run)
        if is_text
        for one in _CHARACTER.finditer(source)
    ]
    kept = _kept([letter for letter, *_ in letters], reasons, out)
    if all(kept):
        return "".join(source for _, source in run)
    gone = {(index, at) for keep, (_, index, start, end) in zip(kept, letters, strict=True) if not keep
            for at in range(start, end)}  # fmt: skip
    return "".join(
        "".join(letter for at, letter in enumerate(source) if (index, at) not in gone)
        for index, (_, source) in enumerate(run)
    )


def _kept(letters: Iterable[str], reasons: Reasons, out: list[tuple[str, str]]) -> list[bool]:
    """Tell of each letter whether it stays; an entity may be a letter of more than one sign."""
    each = list(letters)
    text = "".join(each)
    owner = [index for index, letter in enumerate(each) for _ in letter]
    kept = [True] * len(each)
    if not text.strip():
        return kept
    lost = False
    for start, end in sentence_spans(text):
        said = " ".join(text[start:end].split())
        if why := reasons(said, text):
            out.extend((said, one) for one in why)
            lost = True
            for at in range(start, end):
                kept[owner[at]] = False
    left = " ".join("".join(letter for keep, letter in zip(kept, each, strict=True) if keep).split())
    if left and (why := reasons(left, left)):
        # what stands together tells what no sentence tells alone
        out.extend((left, one) for one in why)
        return [False] * len(each)
    return kept if lost else [True] * len(each)


def _attributes_left(source: str, reasons: Reasons, out: list[tuple[str, str]]) -> str:
    if source.startswith("<!--"):
        return ""

    def left(found: re.Match[str]) -> str:
        mark, text = found[2][0], html.unescape(found[2][1:-1])
        kept = _kept(text, reasons, out)
        if all(kept):
            return found[0]
        said = "".join(letter for keep, letter in zip(kept, text, strict=True) if keep).strip()
        return f"{found[1]}{mark}{html.escape(said)}{mark}"

    return _TOLD.sub(left, source) if source.startswith("<") and not source.lower().startswith("<style") else source


def _tidied(page: str) -> str:
    """Take out elements that nothing is left in."""
    before = ""
    while before != page:
        before = page
        for pattern in (_EMPTY, _LONE_TERM, _LONE_HEADING):
            page = pattern.sub("", page)
    return _HEADED.sub(rf"\1{QUIET}\3", page)
