"""The last look at a report before it is written: every file, every byte, whatever made it.

What may not go out is left out, sentence by sentence. Where anything remains after that, nothing is written.
"""

import base64
import binascii
import html
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from urllib.parse import unquote, unquote_to_bytes

from pipeline.errors import ExitCode, RunFault
from pipeline.writing.supporters.public_pictures import hidden_in
from pipeline.writing.supporters.public_reading import PageReading
from pipeline.writing.supporters.public_text import markdown_left, page_left
from pipeline.writing.supporters.withheld import Watch, Withheld
from pipeline.writing.supporters.withheld_text import MARKS, sentence_spans

_PAGES = frozenset({".html", ".htm", ".svg", ".xml"})
_TEXTS = frozenset({".md", ".txt"})
PAGES_AND_TEXTS = _PAGES | _TEXTS
_PICTURES = frozenset({".jpg", ".jpeg", ".png"})
_MOST_ROUNDS = 3  # what is left of a paragraph may need a second look
_DATA = re.compile(r"data:([\w.+/-]*)((?:;[\w=.-]+)*),([^\"'\s)<>]*)", re.IGNORECASE)
_SAID_IN_CODE = re.compile(r"/\*(.*?)\*/|\"([^\"]*)\"|'([^']*)'|url\(([^)]*)\)", re.DOTALL)
_LEADS_OUT = re.compile(r"[a-z][a-z0-9+.-]*:|//", re.IGNORECASE)
_SETTINGS_OF_MARKS = frozenset({
    "style", "class", "width", "height", "viewbox", "d", "points", "transform", "x", "y", "x1", "x2", "y1", "y2",
    "cx", "cy", "r", "rx", "ry", "fill", "stroke", "xmlns", "lang", "charset", "sizes", "rel", "loading", "role",
    "http-equiv", "media",
})  # fmt: skip
_OF_LINKS = frozenset({"src", "href", "srcset", "xlink:href", "id", "name", "for", "aria-labelledby"})
_BLOCKS = re.compile(r"\n\s*\n|\n(?=\s*[-*+>#|!])")
_LEADING_NUMBER = re.compile(r"^\d{1,3}-")
_WORDS_OF_A_NAME = re.compile(r"[-_.\s]+")


class ReportHeldBack(RunFault):
    """Something that may not go out remained in the report, so it was not written."""

    exit_code = ExitCode.CHECK_FAILED


@dataclass(frozen=True)
class Public:
    """The files that may go out (none where anything remains), what was left out, and what remained in which."""

    files: Mapping[str, bytes]
    withheld: tuple[Withheld, ...]
    remains: tuple[Withheld, ...]

    @property
    def fault(self) -> str:
        """Why the report is not written, for the editor; "" where it is."""
        if not self.remains:
            return ""
        told = "; ".join(dict.fromkeys(f"{one.where}: {one.why}" for one in self.remains))
        return f"The report was not written: something that may not go out would have remained in it ({told})."


def let_out(files: Mapping[str, bytes], watch: Watch) -> Public:
    """Leave out of public files what may not go out, and look at every byte of what is left.

    Args:
        files: the content by place in the report's folder, with forward slashes.
        watch: tells why a text may not go out.
    """
    texts = (one for place in sorted(files) for one in _texts_of(place, files[place]))
    watch.look_ahead(text for what, text, *_ in texts if what == "words")
    withheld: list[Withheld] = []
    kept = {}
    for place in sorted(files):
        kept[place], left_out = _without(place, files[place], watch)
        withheld += left_out
    remains = tuple(dict.fromkeys(one for place in sorted(kept) for one in remaining(place, kept[place], watch)))
    return Public({} if remains else kept, tuple(dict.fromkeys(withheld)), remains)


def texts_of(files: Mapping[str, bytes]) -> Iterator[str]:
    """Yield every text that the last look finds in public files, their names included."""
    for place in sorted(files):
        yield from (text for _, text, *_ in _texts_of(place, files[place]))


def _without(place: str, content: bytes, watch: Watch) -> tuple[bytes, list[Withheld]]:
    kind = PurePosixPath(place).suffix.lower()
    if kind not in PAGES_AND_TEXTS:
        return content, []
    try:
        text = content.decode()
    except UnicodeDecodeError:
        return content, []
    withheld: list[Withheld] = []
    for _ in range(_MOST_ROUNDS):
        left = page_left(text, watch.reasons) if kind in _PAGES else markdown_left(text, watch.reasons)
        withheld += [Withheld(what, why, place) for what, why in left.out]
        text = left.text
        if not left.out:
            break
    return text.encode(), withheld


def remaining(place: str, content: bytes, watch: Watch) -> Iterator[Withheld]:
    """Yield everything in a file, its name included, that may not go out."""
    texts = list(_texts_of(place, content))
    watch.look_ahead(text for what, text, *_ in texts if what == "words")
    for what, text, *around in texts:
        for why in watch.reasons(text, *around) if what == "words" else watch.names_somebody(text):
            yield Withheld(text, why, place)
    kind = PurePosixPath(place).suffix.lower()
    if kind in _PICTURES:
        if found := hidden_in(content):
            yield Withheld(place, f"a picture that holds {found}", place)
    elif kind not in PAGES_AND_TEXTS | {".css", ".json", ".csv"}:
        yield Withheld(place, "a file of a kind that has no business in a report", place)
    else:
        for data in _data_in(content):
            yield from (Withheld("a picture in the page", f"it holds {found}", place)
                        for found in [hidden_in(data)] if data[:1] in (b"\xff", b"\x89") and found)  # fmt: skip


def _texts_of(place: str, content: bytes) -> Iterator[tuple[str, ...]]:
    """Yield ("words" or "marks", text) of all that a file holds: words are judged whole, marks for names alone.

    Words of a paragraph come with it, for who is quoted.
    """
    name = PurePosixPath(place)
    for part in name.parts:
        bare = _LEADING_NUMBER.sub("", PurePosixPath(part).stem if part == name.name else part)
        yield "words", unquote(_WORDS_OF_A_NAME.sub(" ", bare))
        yield "marks", unquote(bare)
    kind = name.suffix.lower()
    if kind in _PICTURES:
        return
    text = content.decode("utf-8", "replace")
    if kind in _PAGES:
        yield from _texts_of_page(text)
    elif kind in _TEXTS:
        for block in _BLOCKS.split(text):
            told = MARKS.sub("", re.sub(r"\]\([^)]*\)", "] ", block))
            yield from (("words", " ".join(told[start:end].split()), told) for start, end in sentence_spans(told))
        yield from (("marks", unquote(one)) for one in re.findall(r"\]\(([^)]*)\)", text))
    else:
        yield "marks", text
    for data in _data_in(content):
        yield from _decoded(data)


def _texts_of_page(page: str) -> Iterator[tuple[str, ...]]:
    read = PageReading(page)
    for one in read.paragraphs:
        yield from (("words", one[start:end].strip(), one) for start, end in sentence_spans(one))
        yield "marks", one
    yield from (("words", one) for one in read.comments)
    yield from (("marks", one) for code in read.code for found in _SAID_IN_CODE.findall(code) for one in found if one)
    yield from (one for name, value in read.attributes for one in _of_attribute(name.lower(), value))


def _of_attribute(name: str, value: str) -> Iterator[tuple[str, ...]]:
    if name in _SETTINGS_OF_MARKS:
        return
    if name in _OF_LINKS:
        link = unquote(_DATA.sub("", value))
        yield "marks", link
        if _LEADS_OUT.match(link):
            yield "words", link
    elif not _DATA.match(value) and (name not in ("content", "name") or " " in value.strip()):
        yield "words", value


def _data_in(content: bytes) -> Iterator[bytes]:
    for _, settings, data in _DATA.findall(html.unescape(content.decode("utf-8", "replace"))):
        if "base64" not in settings.lower():
            yield unquote_to_bytes(data)
            continue
        try:
            yield base64.b64decode(unquote(data) + "==", validate=False)
        except (binascii.Error, ValueError):
            yield data.encode()


def _decoded(data: bytes) -> Iterator[tuple[str, ...]]:
    if data[:1] in (b"\xff", b"\x89"):
        return
    yield from _texts_of_page(data.decode("utf-8", "replace"))
