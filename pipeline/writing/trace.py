"""One entry's whole chain: from the words printed to events, facts, spans of words, seconds of sound, and files.

Made for one entry when it is asked for: a book of ten thousand entries gets no ten thousand pages.
"""

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path
from typing import Any
from urllib.parse import quote

from pipeline.english import long_date, named_up_to
from pipeline.errors import WrongCommand
from pipeline.history.events import Event
from pipeline.history.past import about
from pipeline.plain_text import visible
from pipeline.reading.learnt.deciding import RULE
from pipeline.records import EntryRecord, FactRecord, MediaRecord, Records, UtteranceRecord
from pipeline.spans import span_text
from pipeline.values import Kind
from pipeline.writing.dated_by import DATED_BY
from pipeline.writing.day_pages import percent
from pipeline.writing.decision_wording import ActInWords, acts_on, read_otherwise
from pipeline.writing.fact_names import FactNames, names_told
from pipeline.writing.history_words import REVIEWS, event_lines
from pipeline.writing.pages import page
from pipeline.writing.terms import Terms
from pipeline.writing.titles import entry_title
from pipeline.writing.wording import fact_text

_MOST_NAMED = 6


@dataclass(frozen=True)
class FactTrace:
    """One line as it is printed, the fact behind it, who or what read it, and the words that it was read from.

    ``spans`` are (utterance, from, to): characters of what was read there, end exclusive.
    """

    printed: str
    keys: str
    read_by: str
    said: str
    spans: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True)
class WordsTrace:
    """One utterance: as it was heard and is read, and its seconds in the recording."""

    id: str
    clock: str
    heard: str
    read: str
    start_s: float
    end_s: float


@dataclass(frozen=True)
class FileTrace:
    """One file: its path from the book, its whole SHA-256, how it was dated; for a photo why it stands here."""

    path: str
    sha256: str
    dated: str
    why: str = ""


@dataclass(frozen=True)
class Trace:
    """The whole chain of one entry; ``written`` tells that its words are a note in writing, which nobody heard."""

    id: str
    title: str
    at: str
    review: str
    version: str
    facts: tuple[FactTrace, ...]
    words: tuple[WordsTrace, ...]
    sound: FileTrace
    seconds: str
    start_s: float
    end_s: float
    photos: tuple[FileTrace, ...]
    acts: tuple[ActInWords, ...]
    otherwise: str
    events: tuple[str, ...]
    written: bool = False


def entry_called(records: Records, name: str) -> EntryRecord:
    """Return the entry whose id begins like this; raises WrongCommand as ``id_called`` does."""
    entries = {one.id: one for one in records.entries}
    return entries[id_called(entries, name)]


def id_called(ids: Iterable[str], name: str) -> str:
    """Return the id of an entry that begins like this; "#e-…" and a page's address with it will do too.

    Raises:
        WrongCommand: none does, or several do.
    """
    wanted = name.rpartition("#")[2].strip()
    found = [one for one in dict.fromkeys(ids) if one.startswith(wanted)] if wanted else []
    if wanted in found or len(found) == 1:
        return wanted if wanted in found else found[0]
    if found:
        raise WrongCommand(f"'{wanted}' may be {named_up_to(found, _MOST_NAMED)}. Write more of it.")
    raise WrongCommand(f"There is no entry '{wanted}'. The day pages show each entry's id, such as e-1a2b3c4d-5600.")


def trace_of(entry: EntryRecord, records: Records, events: Sequence[Event], terms: Terms, zone: tzinfo) -> Trace:
    """Return the chain of one entry.

    Args:
        entry: one of the records.
        records: everything that the book holds.
        events: the book's history.
        terms: the vocabulary.
        zone: the book's time zone.
    """
    media = {one.id: one for one in records.media}
    said = {one.id: one for one in records.utterances}
    at = entry.at.astimezone(zone)
    behind = {entry.id, entry.media, *(link.media for link in entry.photos)}
    names = names_told(entry, {one: said[one].read for one in entry.utterances if one in said}, terms)
    return Trace(
        id=entry.id,
        title=entry_title(entry, terms, names),
        at=f"{long_date(at.date())}, {at:%H:%M:%S}",
        review=f"{REVIEWS[entry.review]} as the pages stand",
        version=entry.version,
        facts=tuple(_fact(one, name, said, terms) for one, name in zip(entry.facts, names, strict=True)),
        words=tuple(_words(said[one], zone) for one in entry.utterances if one in said),
        sound=_file(media[entry.media]),
        seconds=f"{entry.start_s:.2f} s to {entry.end_s:.2f} s",
        start_s=entry.start_s,
        end_s=entry.end_s,
        photos=tuple(_file(media[one.media], f"{percent(one.p)}: {'; '.join(one.why)}") for one in entry.photos),
        acts=acts_on(entry, zone),
        otherwise=read_otherwise(entry, said, terms),
        events=tuple(event_lines(_behind(events, entry.id, behind), terms, zone, events)),
        written=media[entry.media].kind == Kind.CAPTIONS,
    )


def _behind(events: Sequence[Event], entry: str, files: set[str]) -> list[Event]:
    """Return the events on an entry and on its files, in their order."""
    there = {one.n for one in about(events, entry)}
    return [one for one in events if one.n in there or one.on in files]


def _fact(fact: FactRecord, name: FactNames, said: dict[str, UtteranceRecord], terms: Terms) -> FactTrace:
    keys = fact.model_dump(
        mode="json", exclude_none=True, exclude={"said", "utterances", "rule", "confidence", "check", "inferred"}
    )
    told = [fact.rule or "not noted"]
    if fact.confidence < 1:
        told.append(_how_sure(fact))
    told += [f"{key} inferred: {why}" for key, why in fact.inferred]
    told += [f"to check: {one}" for one in fact.check]
    return FactTrace(
        printed=fact_text(fact, terms, name),
        keys=", ".join(f"{key}: {_value(value)}" for key, value in keys.items()),
        read_by="; ".join(told),
        said=fact.said,
        spans=tuple(_spans(fact, said)),
    )


def _how_sure(fact: FactRecord) -> str:
    """Say what a fact's confidence is: a chance of this very reading, or a share that was measured of its rules."""
    sure = percent(fact.confidence)
    if fact.rule == RULE:
        return f"this reading was given a chance of {sure}, which promises nothing"
    return f"facts read by these rules were right {sure} of the time on marked notes"


def _value(value: Any) -> str:
    """Return the value of a fact's key as plain words: "yes", "spar rear; rib 1-2", "rack 2 shelf top"."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(_value(one) for one in value)
    if isinstance(value, dict):
        named = value.keys() - {"scheme", "at", "value", "unit"}
        return " ".join(f"{key} {one}" if key in named else str(one) for key, one in value.items())
    return str(value)


def _spans(fact: FactRecord, said: dict[str, UtteranceRecord]) -> Iterator[tuple[str, int, int]]:
    """Yield where the words stand: in one utterance, or through to the end of one and into the next."""
    there = [said[one] for one in fact.utterances if one in said]
    for one in there:
        at = one.read.find(fact.said) if fact.said else -1
        if at >= 0:
            yield one.id, at, at + len(fact.said)
            return
    whole = " ".join(one.read for one in there)
    at = whole.find(fact.said) if fact.said else -1
    start = 0
    for one in there:
        end = start + len(one.read)
        if at < 0:
            yield one.id, 0, len(one.read)
        elif at < end and at + len(fact.said) > start:
            yield one.id, max(0, at - start), min(end, at + len(fact.said)) - start
        start = end + 1


def _words(one: UtteranceRecord, zone: tzinfo) -> WordsTrace:
    clock = f"{one.start_at.astimezone(zone):%H:%M:%S}"
    return WordsTrace(one.id, clock, one.heard, one.read, one.start_s, one.end_s)


def _file(media: MediaRecord, why: str = "") -> FileTrace:
    dated = f"{DATED_BY[media.time_source]}, within {span_text(media.time_error_s)}"
    path = media.path
    if media.still_of is not None:
        path = f"{path}, its picture at {media.still_at_s or 0.0:.2f} s"
    return FileTrace(path, media.id.removeprefix("sha256:"), dated, why)


def trace_lines(one: Trace) -> Iterator[str]:
    """Yield the chain as lines of text, every hash whole."""
    for line in _lines(one):
        yield visible(line)


def _lines(one: Trace) -> Iterator[str]:
    yield f"{one.id}  {one.at}  {one.title}  ({one.review})"
    if one.version:
        yield f"what it says has the SHA-256 {one.version}"
    yield ""
    for fact in one.facts:
        yield f"printed  {fact.printed}"
        yield f"  fact   {fact.keys}"
        yield f"  read   {fact.read_by}"
        for utterance, start, end in fact.spans:
            yield f"  words  “{fact.said}”, characters {start} to {end} of {utterance}"
    of, came = ("note", "written") if one.written else ("sound", "heard")
    for said in one.words:
        yield f"said     {said.id} at {said.clock}, {said.start_s:.2f} s to {said.end_s:.2f} s of the {of}"
        yield f"  {came:6} “{said.heard}”"
        if said.read != said.heard:
            yield f"  read   “{said.read}”"
    yield f"{of:8} {one.sound.path}, {one.seconds}"
    yield f"  SHA-256 {one.sound.sha256}"
    yield f"  dated by {one.sound.dated}"
    for photo in one.photos:
        yield f"photo    {photo.path}"
        yield f"  SHA-256 {photo.sha256}"
        yield f"  dated by {photo.dated}"
        yield f"  here   {photo.why}"
    for act in one.acts:
        yield f"people   {act.text}{f' {act.doubt}' if act.doubt else ''}"
    if one.otherwise:
        yield f"to settle  {one.otherwise}"
    yield "history"
    yield from one.events


def trace_page(one: Trace, records: Records, home: Path, file: Path) -> str:
    """Return the chain as a page.

    Args:
        one: the chain.
        records: everything that the book holds.
        home: the book's folder, from which paths are read.
        file: where the page will lie, so that its links lead to the originals.
    """

    def link(path: str) -> str:
        try:
            return quote(Path(os.path.relpath(home / path, file.parent)).as_posix())
        except ValueError:  # another drive
            return (home / path).resolve().as_uri()

    media = {photo.id.removeprefix("sha256:"): photo.path for photo in records.media}
    return page(
        "trace.html",
        book=records.book,
        trace=one,
        sound=f"{link(media[one.sound.sha256])}#t={one.start_s:.2f},{one.end_s:.2f}",
        links={photo.sha256: link(media[photo.sha256]) for photo in one.photos},
    )
