"""A whole book as a run leaves it, for tests of its pages: the invented weekend, its recordings, and all of ``out/``.

The weekend is ``tests/writing/a_weekend.py``, with a way back worked out from it; its recordings are silence, made on
the spot. Nothing is recognised.
"""

import shutil
from pathlib import Path

import numpy as np
import pytest

from pipeline.book import vocabulary_folders
from pipeline.history.events import Event
from pipeline.lists.logged import LoggedFact
from pipeline.lists.way_back import way_back
from pipeline.reading.fact import Fact, MarkedFact
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import Records
from pipeline.writing import timeline_places
from pipeline.writing.trace import trace_of, trace_page
from pipeline.writing.viewing_copies import Links, wanted_copies
from pipeline.writing.write import write_book
from tests.small_media import media_file
from tests.writing.a_weekend import MAKERS, looked_at, records, settings
from tests.writing.all_pages import timeline_pages

_RATE_HZ, _LONGEST_S = 16_000, 330


def write_weekend(home: Path) -> Path:
    """Write the book into a folder and return its ``out/``; its media lie beside it, where the pages link to them."""
    vocabulary = load_vocabulary(vocabulary_folders("crew-trainer"))
    book = looked_at(_way_back_of(records(), vocabulary))
    (home / "media").mkdir(parents=True)
    still = np.zeros((1, _RATE_HZ * _LONGEST_S), np.int16)
    aac = media_file(home / "quiet.m4a", "ipod", "aac", _RATE_HZ, samples=still)
    mp3 = media_file(home / "quiet.mp3", "mp3", "libmp3lame", _RATE_HZ, samples=still)
    for media in book.media:
        path = home / media.path
        if media.duration_s is not None:
            shutil.copyfile(mp3 if path.suffix == ".mp3" else aac, path)
        elif media.still_of is None:
            path.write_bytes(MAKERS.picture(path, 40))
    makers = type(MAKERS)(picture=MAKERS.picture, still=MAKERS.still, sound=_listening_copy)
    write_book(book, settings(), vocabulary, home / "out", makers)
    _trace(book, vocabulary, home)
    _timeline_by_days(book, home / "out")
    return home / "out"


def every_page(out: Path) -> tuple[Path, ...]:
    """Return every page of the book, and those of a timeline that has a page for each day."""
    many = out.parent / "out-of-many-days"
    return (*sorted(out.rglob("*.html")), *sorted(many.glob("timeline*.html")), *sorted(many.glob("timeline/*.html")))


def _way_back_of(book: Records, vocabulary: Vocabulary) -> Records:
    said = [
        LoggedFact(at=entry.at, entry=entry.id, fact=_as_read(fact), said=fact.said)
        for entry in book.entries
        for fact in entry.facts
    ]
    return book.model_copy(update={"lists": book.lists.model_copy(update={"way_back": way_back(said, vocabulary)})})


def _trace(book: Records, vocabulary: Vocabulary, home: Path) -> None:
    """Write the page that follows the first entry back, as ``saidseen trace --page`` does."""
    first = book.entries[0]
    took_in = Event(
        n=1, at=first.at, who="saidseen", act="took-in", on=first.media, after={"path": "x"}, previous="0"
    )
    traced = trace_of(first, book, [took_in], vocabulary, settings().zone)
    place = home / "out" / "trace" / "first.html"
    place.parent.mkdir()
    place.write_text(trace_page(traced, book, home, place), encoding="utf-8")


def _as_read(fact: MarkedFact) -> Fact:
    return Fact.model_validate(fact.model_dump(include=set(MarkedFact.model_fields)))


def _listening_copy(path: Path, content_type: str, to: Path) -> None:
    shutil.copyfile(path, to)


def _timeline_by_days(book: Records, out: Path) -> None:
    """Write the timeline once more as a large book has it, a page a day, into a folder of its own beside ``out/``."""
    many = out.parent / "out-of-many-days"
    shutil.copytree(out, many)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(timeline_places, "MOST_ON_ONE_PAGE", 1)
        links = Links.for_records(book, many, wanted_copies(book))
        for place, text in timeline_pages(book, links, settings().zone).items():
            (many / place).parent.mkdir(exist_ok=True)
            (many / place).write_text(text, encoding="utf-8")
