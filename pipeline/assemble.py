"""All that the stages made, put together as the book's records."""

import os
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path

import pipeline
from pipeline.bench import Bench
from pipeline.hardware.part_numbers import PartNumber, describe, find_part_numbers
from pipeline.history.answers import answers_in
from pipeline.history.applied import entry_record, photos_left, utterances_as_decided
from pipeline.history.decisions import as_decided
from pipeline.history.events import Event
from pipeline.history.past import Past
from pipeline.history.versions import ReadEntry, WordsRead
from pipeline.lists.cautions import causes
from pipeline.lists.disconnections import disconnections
from pipeline.lists.fasteners import fasteners
from pipeline.lists.findings import findings
from pipeline.lists.holding_up import holding_up
from pipeline.lists.lifting_gear import LiftingGear
from pipeline.lists.logged import LoggedFact, sentence_of
from pipeline.lists.parts_off import parts_off
from pipeline.lists.to_do import to_do
from pipeline.lists.way_back import way_back
from pipeline.matching.links import Matched
from pipeline.matching.passages import Passage, Passages, SaidFact
from pipeline.reading.fact import Fact
from pipeline.records import (
    BookRecord,
    CorrectionRecord,
    EntryRecord,
    FactRecord,
    Lists,
    MediaRecord,
    NotUnderstood,
    PartNumberRecord,
    PhotoLink,
    Records,
    SetAside,
    UnlistedRecord,
    UnplacedPhoto,
    UnplacedSpeech,
    UnsureRecord,
    UtteranceRecord,
)
from pipeline.stages import WHOLE_BOOK, Dates, Known, Told
from pipeline.values import Correction, Dated, Heard, Kind, Media, Reading, TimeSource, Utterance
from pipeline.writing.advice import cautions

_RECORDING_AWAY = (
    "A person has decided on this entry, and the recording that it comes from is not in the book any more. What was "
    "decided is kept in the history. Give the run the recording's folder."
)
_NO_FACT = "no fact was read from it, and no photo goes with it"
_TAKEN_OUT = "a person took it out of an entry"


def assemble(
    known: Known, bench: Bench, set_aside: Sequence[SetAside], home: Path, acts: Sequence[Event] = ()
) -> Records:
    """Return the records of the whole book, everything in order of time and then of id.

    What people decided is put onto what the program reads; the lists are added up from the facts as they stand then.

    Args:
        known: every stage's values.
        bench: for the settings and the vocabulary.
        set_aside: files that could not be used.
        home: the book's folder, from which paths are told where they can be.
        acts: what people decided and signed, from the book's history.
    """
    dates: Dates = known.made["date"][WHOLE_BOOK]
    dated = {one.media: one for one in dates.dated}
    heard: Mapping[str, Heard] = known.made["hear"]
    media = [_media(one, dated[one.id], heard.get(one.id), home) for one in known.media()] + [
        _still(one, dated, home) for one in known.stills()
    ]
    starts = {one.media: one.at for one in dates.dated}
    _, loose = _links(known)
    machine = {one.entry.id: one for one in read_entries(known)}
    stands = as_decided(machine, acts)
    there = {one.id for one in media}
    entries = [
        entry_record(one, bench.settings.people, there) for one in stands.values() if one.read.entry.media in there
    ]
    in_entries = {utterance for entry in entries for utterance in entry.utterances}
    said = utterances_as_decided(_utterances(known, starts), stands.values(), _part_numbers)
    utterances = sorted((one for one in said if one.media in there), key=lambda one: (one.start_at, one.id))
    logged = _logged(entries, {one.id: one.read for one in utterances}, bench)
    lists = _lists(logged, bench)
    return Records(
        book=_book(known, bench),
        media=tuple(sorted(media, key=lambda one: (one.taken_at, one.id))),
        clocks=dates.clocks,
        utterances=tuple(utterances),
        entries=tuple(sorted(entries, key=lambda one: (one.at, one.id))),
        unplaced_speech=tuple(
            UnplacedSpeech(utterance=one.id, why=_NO_FACT) for one in utterances if one.id not in in_entries
        ),
        not_understood=tuple(_not_understood(known)),
        unlisted=tuple(_unlisted(known)),
        unplaced_photos=tuple(sorted(photos_left(loose, entries, machine), key=lambda one: one.media)),
        set_aside=(
            *(SetAside(path=_from_home(one.path, home), why=one.why) for one in set_aside),
            *(SetAside(path=one, why=_RECORDING_AWAY) for one in stands if stands[one].read.entry.media not in there),
        ),
        cautions=cautions(
            causes(logged, lists.holding_up, bench.vocabulary),
            bench.vocabulary.rules,
            (*answers_in(acts), *bench.settings.answers),
            bench.vocabulary,
        ),
        lists=lists,
    )


def decided_anew(records: Records, past: Past, bench: Bench) -> Records:
    """Return a book's records with what people have decided since: as the next run would give, without its stages.

    Entries, words and lists are those of the history; media, clocks and what was heard stay as the last run left
    them. Words that a person had amended, and took back, stand without their marks until the next run.

    Args:
        records: as the last run wrote them.
        past: the book's whole history.
        bench: for the settings and the vocabulary.
    """
    stands = past.stands()
    there = {one.id for one in records.media}
    entries = [
        entry_record(one, bench.settings.people, there) for one in stands.values() if one.read.entry.media in there
    ]
    said = utterances_as_decided(records.utterances, stands.values(), _part_numbers, undecided=True)
    utterances = sorted((one for one in said if one.media in there), key=lambda one: (one.start_at, one.id))
    in_entries = {utterance for entry in entries for utterance in entry.utterances}
    whys = {one.utterance: one.why for one in records.unplaced_speech}
    loose = {one.media: one for one in photos_left(records.unplaced_photos, entries, past.machine)}
    placed = {link.media for entry in entries for link in entry.photos}
    left = [
        loose.get(one.id, UnplacedPhoto(media=one.id, why=_TAKEN_OUT))
        for one in records.media
        if one.kind == Kind.PHOTO and one.id not in placed
    ]
    logged = _logged(entries, {one.id: one.read for one in utterances}, bench)
    lists = _lists(logged, bench)
    answers = (*answers_in(past.acts), *bench.settings.answers)
    found = causes(logged, lists.holding_up, bench.vocabulary)
    return records.model_copy(
        update={
            "utterances": tuple(utterances),
            "entries": tuple(sorted(entries, key=lambda one: (one.at, one.id))),
            "unplaced_speech": tuple(
                UnplacedSpeech(utterance=one.id, why=whys.get(one.id, _NO_FACT))
                for one in utterances
                if one.id not in in_entries
            ),
            "unplaced_photos": tuple(sorted(left, key=lambda one: one.media)),
            "cautions": cautions(found, bench.vocabulary.rules, answers, bench.vocabulary),
            "lists": lists,
        }
    )


def _book(known: Known, bench: Bench) -> BookRecord:
    heard: Mapping[str, Heard] = known.made["hear"]
    models = sorted(
        {
            f"{one.settings.get('model', '')} sha256:{one.settings.get('model_sha256', '')}"
            for one in heard.values()
            if one.by == "recogniser"
        }
    )
    return BookRecord(
        title=bench.settings.supporters.title,
        aircraft=bench.settings.aircraft.name,
        zone=bench.settings.time.zone,
        program=f"saidseen {pipeline.__version__}",
        model=", ".join(models),
        vocabulary=bench.vocabulary.fingerprint,
    )


def _from_home(path: str, home: Path) -> str:
    try:
        return Path(os.path.relpath(path, home)).as_posix()
    except ValueError:  # another drive
        return path


def _media(media: Media, dated: Dated, heard: Heard | None, home: Path) -> MediaRecord:
    changed = () if media.held else ("the file has changed since it was taken in; this is what it held then",)
    return MediaRecord(
        id=media.id,
        path=_from_home(media.path, home),
        other_paths=tuple(_from_home(file.path, home) for file in media.files[1:]),
        kind=media.probe.kind,
        content_type=media.probe.content_type,
        taken_at=dated.at,
        time_source=dated.source,
        time_error_s=dated.error_s,
        shown_at=dated.shown_at,
        moved_s=dated.moved_s,
        device=media.probe.device,
        duration_s=media.probe.duration_s,
        flags=tuple(dict.fromkeys((*dated.flags, *media.probe.remarks, *(heard.remarks if heard else ()), *changed))),
    )


def _still(still: Media, dated: Mapping[str, Dated], home: Path) -> MediaRecord:
    film = dated[str(still.still_of)]
    after = timedelta(seconds=still.still_at_s or 0.0)
    return MediaRecord(
        id=still.id,
        path=_from_home(still.path, home),
        kind=still.probe.kind,
        content_type=still.probe.content_type,
        taken_at=film.at + after,
        time_source=TimeSource.FILM,
        time_error_s=film.error_s,
        shown_at=film.shown_at + after,
        moved_s=film.moved_s,
        device=still.probe.device,
        still_of=still.still_of,
        still_at_s=still.still_at_s,
    )


def _utterances(known: Known, starts: Mapping[str, datetime]) -> Iterable[UtteranceRecord]:
    told: Mapping[str, Told] = known.made["read"]
    for media, one in told.items():
        for utterance, reading in zip(one.utterances, one.readings, strict=True):
            yield _utterance(utterance, reading, starts[media])


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
        part_numbers=_part_numbers(reading.read),
    )


def _part_numbers(read: str) -> tuple[PartNumberRecord, ...]:
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


def _correction(one: Correction) -> CorrectionRecord:
    return CorrectionRecord(**one.model_dump(exclude={"applied"}))


def _passages(known: Known) -> list[Passage]:
    told: Mapping[str, Passages] = known.made["tell"]
    return [passage for passages in told.values() for passage in passages.passages]


def _links(known: Known) -> tuple[dict[str, list[PhotoLink]], list[UnplacedPhoto]]:
    links: dict[str, list[PhotoLink]] = {}
    loose = []
    days: Mapping[str, Matched] = known.made["match"]
    for day in days.values():
        for link in day.links:
            links.setdefault(link.passage, []).append(PhotoLink(media=link.photo, p=link.p, why=link.why))
        loose += [UnplacedPhoto(media=one.photo, why=one.why) for one in day.loose]
    return links, loose


def read_entries(known: Known) -> list[ReadEntry]:
    """Return every entry as the program reads it, with its words, before any decision of a person."""
    dates: Dates = known.made["date"][WHOLE_BOOK]
    starts = {one.media: one.at for one in dates.dated}
    links, _ = _links(known)
    words = _words(known)
    return [
        ReadEntry(
            entry=_entry(passage, starts, links),
            words=tuple(words[one] for one in passage.utterances if one in words),
        )
        for passage in _passages(known)
        if passage.facts or passage.id in links
    ]


def _words(known: Known) -> dict[str, WordsRead]:
    told: Mapping[str, Told] = known.made["read"]
    return {
        said.id: WordsRead(id=said.id, start_s=said.start_s, end_s=said.end_s, heard=said.heard, read=reading.read)
        for one in told.values()
        for said, reading in zip(one.utterances, one.readings, strict=True)
    }


def _entry(passage: Passage, starts: Mapping[str, datetime], links: Mapping[str, list[PhotoLink]]) -> EntryRecord:
    return EntryRecord(
        id=passage.id,
        at=starts[passage.media] + timedelta(seconds=passage.start_s),
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


def _unlisted(known: Known) -> Iterable[UnlistedRecord]:
    found: dict[str, list[str]] = {}
    told: Mapping[str, Passages] = known.made["tell"]
    for one in told.values():
        for part in one.unlisted:
            found.setdefault(part.name, []).append(part.utterance)
    for name, utterances in sorted(found.items()):
        yield UnlistedRecord(name=name, utterances=tuple(utterances))


def _not_understood(known: Known) -> Iterable[NotUnderstood]:
    heard: Mapping[str, Heard] = known.made["hear"]
    for media, one in heard.items():
        for missed in one.not_understood:
            yield NotUnderstood(media=media, **missed.model_dump())


def _logged(entries: Iterable[EntryRecord], read: Mapping[str, str], bench: Bench) -> list[LoggedFact]:
    """Return the facts that count in the lists: those of every entry that no person has rejected."""
    return [
        LoggedFact(
            at=entry.at.astimezone(bench.settings.zone),
            entry=entry.id,
            fact=Fact(**fact.model_dump(exclude={"check", "said", "utterances"}), doubts=fact.check),
            said=fact.said,
            photos=tuple(photo.media for photo in entry.photos),
            around=sentence_of(" ".join(read.get(one, "") for one in fact.utterances), fact.said),
        )
        for entry in entries
        if entry.review != "rejected"
        for fact in entry.facts
    ]


def _lists(logged: Sequence[LoggedFact], bench: Bench) -> Lists:
    return Lists(
        parts_off=parts_off(logged, bench.vocabulary),
        fasteners=fasteners(logged, bench.vocabulary),
        disconnections=disconnections(logged, bench.vocabulary),
        findings=findings(logged, bench.vocabulary),
        way_back=way_back(logged, bench.vocabulary),
        to_do=to_do(logged, bench.vocabulary),
        holding_up=holding_up(logged, LiftingGear(bench.vocabulary), bench.vocabulary.is_a),
    )
