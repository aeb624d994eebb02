"""One recording as the records hold it: what was said in it, and the entries that the program reads in it."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from functools import partial
from typing import Any

from pipeline.bench import Bench
from pipeline.hardware.part_numbers import PartNumber, describe, find_part_numbers
from pipeline.history.versions import ReadEntry, WordsRead, with_version
from pipeline.known import Known, RecordingRead, Task
from pipeline.matching.passages import Passage, Passages, SaidFact, UnlistedPart
from pipeline.records import (
    CorrectionRecord,
    EntryRecord,
    FactRecord,
    NotUnderstood,
    PartNumberRecord,
    PhotoLink,
    UnsureRecord,
    UtteranceRecord,
)
from pipeline.results import Given
from pipeline.store import fingerprint
from pipeline.values import Correction, Heard, Reading, Utterance, Value

_LINK = ("media", "p", "why", "utterance", "label")
_NOTHING_READ = RecordingRead(utterances=(), readings=())


class SaidInRecording(Value):
    """What was said in one recording: by which model it was heard ("" where a person wrote it), and each utterance.

    ``remarks`` tell of sound that was lost.
    """

    model: str = ""
    remarks: tuple[str, ...] = ()
    utterances: tuple[UtteranceRecord, ...] = ()
    not_understood: tuple[NotUnderstood, ...] = ()


class Entries(Value):
    """The entries of one recording as the program reads them, and what seem to be parts that no list has."""

    entries: tuple[ReadEntry, ...] = ()
    unlisted: tuple[UnlistedPart, ...] = ()


def put_down_speech(known: Known, bench: Bench) -> Iterable[Task]:
    """Yield a task for each recording: it is given what was heard and read in it."""
    for media in known.made["hear"]:
        start = known.dated[media].at
        given = [Given("hear", media), *([Given("read", media)] if media in known.made["read"] else [])]
        yield Task(media, fingerprint(start), partial(_said, media, start), tuple(given))


def speech_from(known: Known, bench: Bench) -> Sequence[object]:
    """Return all that the tasks of ``put_down_speech`` are made from."""
    starts = [known.dated[media].at.isoformat() for media in known.made["hear"]]
    return starts, known.made["hear"].digest, known.made["read"].digest


def put_down_entries(known: Known, bench: Bench) -> Iterable[Task]:
    """Yield a task for each recording: it is given what was read and told in it, and knows its photos."""
    links: dict[str, list[tuple[str, dict[str, Any]]]] = {}
    for _, day in known.made["match"].each_plain():
        for link in day["links"]:
            told = (link["utterance"], link["label"] or None)
            photo = dict(zip(_LINK, (link["photo"], link["p"], link["why"], *told), strict=True))
            links.setdefault(_beginning(link["passage"]), []).append((link["passage"], photo))
    for media in known.made["tell"]:
        start, own = known.dated[media].at, links.get(_beginning(media), [])
        key = fingerprint(start, own)
        yield Task(media, key, partial(_entries, start, own), (Given("read", media), Given("tell", media)))


def _beginning(name: str) -> str:
    """Return the eight digits with which a recording's hash begins, out of its id or that of a passage of it."""
    return name.removeprefix("sha256:").removeprefix("e-")[:8]


def part_numbers(read: str) -> tuple[PartNumberRecord, ...]:
    """Return the part numbers in some words."""
    return tuple(map(_part_number, find_part_numbers(read)))


def _part_number(one: PartNumber) -> PartNumberRecord:
    return PartNumberRecord(
        start=one.start,
        end=one.end,
        number=one.number,
        says=describe(one),
        doubt=one.doubt,
        source=one.decoded.source,
    )


def _said(media: str, start: datetime, heard: Heard, told: RecordingRead = _NOTHING_READ) -> SaidInRecording:
    by, settings = heard.by, heard.settings
    return SaidInRecording(
        model=f"{settings.get('model', '')} sha256:{settings.get('model_sha256', '')}" if by == "recogniser" else "",
        remarks=heard.remarks,
        utterances=tuple(_utterance(*one, start) for one in zip(told.utterances, told.readings, strict=True)),
        not_understood=tuple(NotUnderstood(media=media, **one.model_dump()) for one in heard.not_understood),
    )


def _utterance(utterance: Utterance, reading: Reading, start: datetime) -> UtteranceRecord:
    return UtteranceRecord(
        id=utterance.id,
        media=utterance.media,
        start_s=utterance.start_s,
        end_s=utterance.end_s,
        start_at=start + timedelta(seconds=utterance.start_s),
        end_at=start + timedelta(seconds=utterance.end_s),
        heard=utterance.heard,
        read=reading.read,
        corrections=tuple(_correction(one) for one in reading.corrections if one.applied),
        suggestions=tuple(_correction(one) for one in reading.corrections if not one.applied),
        unsure=tuple(UnsureRecord(**one.model_dump()) for one in reading.unsure),
        part_numbers=part_numbers(reading.read),
        speaker=utterance.speaker or None,
    )


def _correction(one: Correction) -> CorrectionRecord:
    return CorrectionRecord(**one.model_dump(exclude={"applied"}))


def _entries(
    start: datetime, photos: Iterable[tuple[str, Mapping[str, Any]]], told: RecordingRead, passages: Passages
) -> Entries:
    links: dict[str, list[PhotoLink]] = {}
    for passage, photo in photos:
        links.setdefault(passage, []).append(PhotoLink(**photo))
    words = {
        said.id: WordsRead(id=said.id, start_s=said.start_s, end_s=said.end_s, heard=said.heard, read=reading.read)
        for said, reading in zip(told.utterances, told.readings, strict=True)
    }
    return Entries(
        entries=tuple(
            with_version(
                ReadEntry(
                    entry=_entry(passage, start, links),
                    words=tuple(words[one] for one in passage.utterances if one in words),
                )
            )
            for passage in passages.passages
            if passage.facts or passage.id in links
        ),
        unlisted=passages.unlisted,
    )


def _entry(passage: Passage, start: datetime, links: Mapping[str, list[PhotoLink]]) -> EntryRecord:
    return EntryRecord(
        id=passage.id,
        at=start + timedelta(seconds=passage.start_s),
        media=passage.media,
        start_s=passage.start_s,
        end_s=passage.end_s,
        utterances=passage.utterances,
        facts=tuple(_fact(said) for said in passage.facts),
        photos=tuple(links.get(passage.id, ())),
    )


def _fact(said: SaidFact) -> FactRecord:
    fields = said.fact.model_dump(exclude={"words", "doubts"})
    return FactRecord(**fields, check=said.fact.doubts, said=said.said, utterances=said.utterances)
