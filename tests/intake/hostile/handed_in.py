"""What is handed in beside media, each parser as a function of any bytes: an editor's file, forms, labels, bags.

As in ``parsers``: only the errors that a parser documents are let pass.
"""

import asyncio
import json
import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import cache

from pydantic import ValidationError

from pipeline.cards.labels import highest_number, label_number
from pipeline.errors import WrongCommand
from pipeline.evidence.bag_reading import looks_like_a_bag
from pipeline.evidence.check import check, seal_of
from pipeline.intake.codes import sorted_codes
from pipeline.reading.fact import MarkedFact
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.review.fact_form import fact_from
from pipeline.review.guard import Guard, Session
from pipeline.review.teach_page import lesson_in
from pipeline.settings import read_settings
from pipeline.shipped import shipped
from tests.intake.hostile.scratch import file_of, scratch, text_of

BAG_FILES = ("bagit.txt", "bag-info.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt", "carried-over.json")
BETWEEN_FILES = b"\x1e"
PAYLOAD = b"a note"
CSRF = "word"
_PORT, _SESSION, _MOST_LABELS = 8931, "s", 999_999_999


def edits(raw: bytes) -> None:
    """Read an ``edits.toml`` beside a good ``book.toml``."""
    book = file_of("book.toml", b'[time]\nzone = "Europe/London"\nbook_starts = 2025-09-01\n')
    try:
        found = read_settings(book, file_of("edits.toml", raw)).edits
    except WrongCommand as fault:
        assert "\n" not in str(fault)
        return
    found.model_dump_json()
    assert len({one.report for one in found.reports}) == len(found.reports)
    assert not any("/" in one.report or "\\" in one.report or ".." in one.report for one in found.reports)


def review_forms(raw: bytes) -> None:
    """Take a form of the review page as its guard does, and read it as a fact and as a word to be taught."""
    form = _through_the_guard(raw)
    if form is None:
        return
    assert all(key != "csrf" for key, _ in form)
    with suppress(WrongCommand):
        fact = fact_from(form, _vocabulary(), None)
        with suppress(ValidationError):  # an amendment tells of what its fact cannot be
            MarkedFact.model_validate(fact)
            json.dumps(fact, allow_nan=False)
    try:
        lesson = lesson_in(dict(form), _vocabulary())
    except WrongCommand:
        return
    assert lesson.heard
    assert lesson.means
    assert all(text.isprintable() for text in lesson)


def _through_the_guard(raw: bytes) -> Sequence[tuple[str, str]] | None:
    """Return what the guard of the review page lets through, None where it lets nothing through."""
    passed: list[Sequence[tuple[str, str]]] = []
    answered: list[int] = []

    async def app(scope: object, receive: object, send: object) -> None:
        passed.append(scope["state"]["form"])  # type: ignore[index]

    async def receive() -> dict[str, object]:
        return {"type": "http.request", "body": raw, "more_body": False}

    async def send(message: dict[str, object]) -> None:
        if message["type"] == "http.response.start":
            answered.append(int(str(message["status"])))

    guard = Guard(app, _PORT, "token")  # type: ignore[arg-type]
    guard._sessions[_SESSION] = Session(csrf=CSRF)
    here = f"127.0.0.1:{_PORT}".encode()
    headers = [
        (b"host", here),
        (b"origin", b"http://" + here),
        (b"cookie", f"saidseen_review_{_PORT}={_SESSION}".encode()),
        (b"content-type", b"application/x-www-form-urlencoded"),
    ]
    scope = {"type": "http", "method": "POST", "path": "/teach", "query_string": b"", "headers": headers}
    with ThreadPoolExecutor(1) as own:  # a thread has a loop of its own, whatever else was tested in this one
        own.submit(lambda: asyncio.run(guard(scope, receive, send))).result()  # type: ignore[arg-type]
    assert len(passed) + len(answered) == 1
    assert all(400 <= status < 500 for status in answered)
    return passed[0] if passed else None


@cache
def _vocabulary() -> Vocabulary:
    return load_vocabulary([shipped("vocab") / "base"])


def labels(raw: bytes) -> None:
    """Go on numbering from tags that were seen, one a line: the next label is read as what was printed."""
    tags = sorted_codes(text_of(raw).splitlines()).tags
    for prefix in ("P", "B", "AB"):
        number = highest_number(tags, prefix)
        assert 0 <= number <= _MOST_LABELS
        if number < _MOST_LABELS:
            printed = label_number(prefix, number + 1)
            assert printed not in tags
            assert sorted_codes([printed]).tags == (printed,)
            assert highest_number([*tags, printed], prefix) == number + 1


def bags(raw: bytes) -> None:
    """Check a bag of one note, whose other files are any bytes; and take the bytes for a seal."""
    folder = scratch() / f"{os.getpid()}-bag"
    (folder / "data").mkdir(parents=True, exist_ok=True)
    (folder / "data" / "a.txt").write_bytes(PAYLOAD)
    for name, content in zip(BAG_FILES, [*raw.split(BETWEEN_FILES), *[b""] * len(BAG_FILES)], strict=False):
        (folder / name).write_bytes(content)
    assert looks_like_a_bag(folder)
    for one in check(folder).differences:
        assert one.path
        str(one.why).encode("utf-8", "strict")
    try:
        seal = seal_of(text_of(raw))
    except WrongCommand as fault:
        assert "\n" not in str(fault)
        return
    assert len(seal) == 64
