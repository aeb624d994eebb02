"""What a run says to whoever runs it: what came of it, what they are to see to, and where to start reading."""

import csv
import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from pipeline.book import Book
from pipeline.commands.opened import from_here
from pipeline.english import named_up_to, plural
from pipeline.mistyped import to_type
from pipeline.plain_text import cell

if TYPE_CHECKING:  # they take a while to import
    from pipeline.outcome import Outcome
    from pipeline.unchanged import Left

Listed = frozenset[tuple[str, ...]]
"""Rows of ``set-aside.csv``: file and reason."""

_MOST_NAMED = 10
_MONTH = re.compile(r"\d{4}-\d{2}")


def set_aside_before(book: Book) -> Listed:
    """Return what the last run set aside, as it listed it; nothing where there is no such list."""
    try:
        with (book.out / "set-aside.csv").open(encoding="utf-8-sig", newline="") as listed:
            return frozenset(tuple(row) for row in csv.reader(listed))
    except (OSError, ValueError, csv.Error):
        return frozenset()


def summary_of(book: Book, outcome: "Outcome", left: "Left") -> dict[str, object]:
    """Return the numbers of a run, for programs."""
    return {
        "media": left.media,
        "utterances": left.utterances,
        "entries": left.entries,
        "facts": left.facts,
        "photos_placed": left.photos_placed,
        "photos_not_placed": left.photos_not_placed,
        "set_aside": len(left.told),
        "done": outcome.made,
        "done_before": outcome.already,
        "out": str(book.out),
    }


def came_to(book: Book, left: "Left") -> str:
    """Return the line on what a book holds after a run."""
    if not left.media:
        return (
            f"{book.folder} holds no photo and no recording yet. Give it some: saidseen run {to_type(book.folder)} "
            "FOLDER"
        )
    media = f"{left.media:,} photos and recordings" if left.media > 1 else "1 photo or recording"
    placed = f"{left.photos_placed} {plural('photo', left.photos_placed)}"
    return (
        f"{media}, {left.entries} logbook {plural('entry', left.entries)}, "
        f"{left.facts} {plural('fact', left.facts)}, {placed} placed and {left.photos_not_placed} "
        f"not. Written to {book.out}."
    )


def what_to_see_to(book: Book, outcome: "Outcome", left: "Left", before: Listed) -> Iterator[str]:
    """Yield what stands otherwise than before, and what somebody has to see to.

    Args:
        book: the book.
        outcome: what the run did.
        left: what it left.
        before: what was set aside before it: that is counted, and not told once more among what is new.
    """
    yield from filter(None, (outcome.redated, outcome.replaced, outcome.rewritten))
    yield from _changed(book, outcome.changed)
    for place in outcome.nothing_in:
        yield f"There is nothing to take in in {place}: no photo, no sound, no film. Is it the right folder?"
    yield from left.to_say
    new = [one for one in left.told if (cell(one.path), cell(one.why)) not in before]
    by_reason: dict[str, list[str]] = {}
    for aside in new:
        by_reason.setdefault(aside.why, []).append(from_here(aside.path, book))
    for why, paths in by_reason.items():
        yield f"Set aside: {named_up_to(paths, _MOST_NAMED)}: {why}"
    if any(len(paths) > _MOST_NAMED for paths in by_reason.values()):
        yield f"All that is set aside is listed in {book.out / 'set-aside.csv'}"
    if old := len(left.told) - len(new):
        many = f"{old} {'more ' if new else ''}{plural('file', old)} {'is' if old == 1 else 'are'}"
        yield f"{many} set aside as before: {book.out / 'set-aside.csv'}"
    for path, why in outcome.copies_missing:
        if path.endswith(".pdf"):  # no original is one: it is a page to print, told by its place in out/
            yield f"Could not be made: {book.out / path}: {why}"
        else:
            yield f"Could not be copied for the pages: {from_here(path, book)}: {why}"


def _changed(book: Book, paths: Sequence[str]) -> Iterator[str]:
    """Yield what to do about files that were changed where they lie after they had been taken in."""
    if not paths:
        return
    files_have, they_were = ("files have", "they were") if len(paths) > 1 else ("file has", "it was")
    named = named_up_to([from_here(path, book) for path in paths], _MOST_NAMED)
    yield (
        f"{len(paths)} {files_have} changed since {they_were} taken in: {named}. What {they_were} stays in the book "
        "beside what is there now, and what is said in both counts twice: reject the entries of one, in saidseen "
        f"review {to_type(book.folder)}. Copy what {they_were} from the card or a sealed bag into the folder, under "
        "another name: a seal wants every original."
    )


def start_here(book: Book) -> Iterator[str]:
    """Yield the lines that lead to the logbook, and to the newest report for supporters."""
    yield f"Start here: {book.out / 'logbook' / 'index.html'}"
    reports = sorted((book.out / "supporters").glob("*/report.html"))
    months = [one for one in reports if _MONTH.fullmatch(one.parent.name)]
    if reports:
        yield f"The newest report for supporters: {(months or reports)[-1]}"
