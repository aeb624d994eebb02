"""All that the stages made, put together as the book's records."""

import os
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from pathlib import Path, PurePath
from typing import Any

import pipeline
from pipeline.bench import Bench
from pipeline.digests import digest_of
from pipeline.history.answers import answers_in
from pipeline.history.applied import entry_record, photos_left, utterances_as_decided
from pipeline.history.decisions import Standing, as_decided
from pipeline.history.events import Event
from pipeline.history.past import Past
from pipeline.history.versions import ReadEntry
from pipeline.known import Dates, Known
from pipeline.lists.bags import bags_emptied, taken_out
from pipeline.lists.cautions import Cause, causes
from pipeline.lists.disconnections import disconnections
from pipeline.lists.fasteners import fasteners
from pipeline.lists.finding_photos import FindingPhotos, words_told_in
from pipeline.lists.findings import findings
from pipeline.lists.holding_up import holding_up
from pipeline.lists.logged import LoggedFact, sentence_of
from pipeline.lists.parts_off import parts_off
from pipeline.lists.positions import with_positions
from pipeline.lists.slipped_sides import without_slipped_sides
from pipeline.lists.to_do import to_do
from pipeline.lists.way_back import way_back
from pipeline.placing import NO_CODES
from pipeline.putting_down import Entries, Said, part_numbers
from pipeline.records import (
    BookRecord,
    Caution,
    EntryRecord,
    Lists,
    MediaRecord,
    Records,
    SetAside,
    UnlistedRecord,
    UnplacedPhoto,
    UnplacedSpeech,
    UtteranceRecord,
)
from pipeline.results import Results
from pipeline.store import fingerprint
from pipeline.values import Codes, Dated, Kind, Media, TimeSource, Value
from pipeline.writing.advice import cautions
from pipeline.writing.made_from import made_by

_RECORDING_AWAY = (
    "A person has decided on this entry, and the recording that it comes from is not in the book any more. What was "
    "decided is kept in the history. Give the run the recording's folder."
)
_NO_FACT = "no fact was read from it, and no photo goes with it"
_TAKEN_OUT = "a person took it out of an entry"


class AddedUp(Value):
    """What the facts add up to: the lists, and what sets off the rules.

    The photos of a finding stand here as the words that they stand with. So nothing in it changes with a photo.
    """

    lists: Lists
    causes: tuple[Cause, ...]


Once = Callable[[str, Callable[[], AddedUp]], AddedUp]
"""Gives what was added up from the same before, by its fingerprint; else adds up, and keeps that."""


@dataclass(frozen=True)
class Gathered:
    """What of the stages' values the records are put together from: less than is known, so that the rest can go.

    ``starts`` says when each recording began of which something was heard, by its id. ``loose`` are the photos that
    fitted nothing.
    """

    media: tuple[MediaRecord, ...]
    said: Mapping[str, Said]
    starts: Mapping[str, datetime]
    loose: tuple[UnplacedPhoto, ...]
    dates: Dates
    made: Mapping[str, Results[Any]]


def gather(known: Known, home: Path) -> Gathered:
    """Gather what the records are put together from; paths are told from ``home`` where they can be."""
    said: dict[str, Said] = dict(known.made["say"].each())
    codes: dict[str, Codes] = dict(known.made["codes"].each_but(NO_CODES)) if "codes" in known.made else {}
    return Gathered(
        media=(
            *(_media(one, known.dated[one.id], said.get(one.id), codes.get(one.id), home) for one in known.media()),
            *(_still(one, known.dated, home) for one in known.stills()),
        ),
        said=said,
        starts={one: known.dated[one].at for one in said},
        loose=tuple(_loose(known)),
        dates=known.dates.model_copy(update={"dated": ()}),
        made=known.made,
    )


def assemble(
    gathered: Gathered,
    bench: Bench,
    entered: Sequence[Entries],
    set_aside: Sequence[SetAside],
    home: Path,
    once: Once,
    acts: Sequence[Event] = (),
) -> Records:
    """Return the records of the whole book, everything in order of time and then of id.

    What people decided is put onto what the program reads; the lists are added up from the facts as they stand then.

    Args:
        gathered: of the stages' values.
        bench: for the settings and the vocabulary.
        entered: every recording's entries as the program reads them.
        set_aside: files that could not be used.
        home: the book's folder, from which paths are told where they can be.
        once: see ``Once``.
        acts: what people decided and signed, from the book's history.
    """
    said, media = gathered.said, gathered.media
    machine = {one.entry.id: one for one in read_entries(entered)}
    stands = as_decided(machine, acts)
    there = {one.id for one in media}
    entries = [
        entry_record(one, bench.settings.people, there) for one in stands.values() if one.read.entry.media in there
    ]
    in_entries = {utterance for entry in entries for utterance in entry.utterances}
    spoken = utterances_as_decided(
        (one for recording in said.values() for one in recording.utterances), stands.values(), part_numbers
    )
    utterances = sorted((one for one in spoken if one.media in there), key=_said_at)
    made_from = _facts_from(gathered, bench, [one for one in machine if one not in stands], stands.values(), there)
    added = once(made_from, lambda: _added_up(entries, utterances, bench))
    return Records(
        book=_book(said.values(), bench),
        media=tuple(sorted(media, key=_taken_at)),
        clocks=gathered.dates.clocks,
        utterances=tuple(utterances),
        entries=tuple(sorted(entries, key=_begun_at)),
        unplaced_speech=tuple(
            UnplacedSpeech(utterance=one.id, why=_NO_FACT) for one in utterances if one.id not in in_entries
        ),
        not_understood=tuple(one for recording in said.values() for one in recording.not_understood),
        unlisted=tuple(_unlisted(entered)),
        unplaced_photos=tuple(sorted(photos_left(gathered.loose, entries, machine), key=lambda one: one.media)),
        set_aside=(
            *(SetAside(path=_from_home(one.path, home), why=one.why) for one in set_aside),
            *(SetAside(path=one, why=_RECORDING_AWAY) for one in stands if stands[one].read.entry.media not in there),
        ),
        cautions=_advice(added, acts, bench),
        lists=_with_photos(added.lists, entries, media),
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
    said = utterances_as_decided(records.utterances, stands.values(), part_numbers, undecided=True)
    utterances = sorted((one for one in said if one.media in there), key=_said_at)
    in_entries = {utterance for entry in entries for utterance in entry.utterances}
    whys = {one.utterance: one.why for one in records.unplaced_speech}
    loose = {one.media: one for one in photos_left(records.unplaced_photos, entries, past.machine)}
    placed = {link.media for entry in entries for link in entry.photos}
    left = [
        loose.get(one.id, UnplacedPhoto(media=one.id, why=_TAKEN_OUT))
        for one in records.media
        if one.kind == Kind.PHOTO and one.id not in placed
    ]
    added = _added_up(entries, utterances, bench)
    return records.model_copy(
        update={
            "utterances": tuple(utterances),
            "entries": tuple(sorted(entries, key=_begun_at)),
            "unplaced_speech": tuple(
                UnplacedSpeech(utterance=one.id, why=whys.get(one.id, _NO_FACT))
                for one in utterances
                if one.id not in in_entries
            ),
            "unplaced_photos": tuple(sorted(left, key=lambda one: one.media)),
            "cautions": _advice(added, past.acts, bench),
            "lists": _with_photos(added.lists, entries, records.media),
        }
    )


# Instants as seconds: Python compares two datetimes of other time zones a good deal slower.


def _taken_at(one: MediaRecord) -> tuple[float, str]:
    return one.taken_at.timestamp(), one.id


def _said_at(one: UtteranceRecord) -> tuple[float, str]:
    return one.start_at.timestamp(), one.id


def _begun_at(one: EntryRecord) -> tuple[float, str]:
    return one.at.timestamp(), one.id


def read_entries(entered: Iterable[Entries]) -> list[ReadEntry]:
    """Return every entry as the program reads it, with its words, before any decision of a person."""
    return [entry for recording in entered for entry in recording.entries]


def _book(said: Iterable[Said], bench: Bench) -> BookRecord:
    models = sorted({one.model for one in said if one.model})
    return BookRecord(
        title=bench.settings.supporters.title,
        aircraft=bench.settings.aircraft.name,
        zone=bench.settings.time.zone,
        program=f"saidseen {pipeline.__version__}",
        model=", ".join(models),
        vocabulary=bench.vocabulary.fingerprint,
    )


def _from_home(path: str, home: Path) -> str:
    folder, name = os.path.split(path)
    there = _folder_from_home(folder, home)
    return path if there is None else f"{there}{name}"


@lru_cache(maxsize=1000)
def _folder_from_home(folder: str, home: Path) -> str | None:
    """Return what stands before a file's name; None where there is no way from home."""
    try:
        there = PurePath(os.path.relpath(folder, home)).as_posix()
        return "" if there == "." else f"{there}/"
    except ValueError:  # another drive
        return None


def _media(media: Media, dated: Dated, said: Said | None, codes: Codes | None, home: Path) -> MediaRecord:
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
        labels=codes.tags if codes else (),
        card_at=codes.card_at if codes else None,
        codes=codes.others if codes else (),
        flags=tuple(dict.fromkeys((*dated.flags, *media.probe.remarks, *(said.remarks if said else ()), *changed))),
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


def _loose(known: Known) -> Iterable[UnplacedPhoto]:
    for _, day in known.made["match"].each():
        for one in day.loose:
            yield UnplacedPhoto(media=one.photo, why=one.why)


def _unlisted(entered: Iterable[Entries]) -> Iterable[UnlistedRecord]:
    found: dict[str, list[str]] = {}
    for one in entered:
        for part in one.unlisted:
            found.setdefault(part.name, []).append(part.utterance)
    for name, utterances in sorted(found.items()):
        yield UnlistedRecord(name=name, utterances=tuple(utterances))


def _facts_from(
    gathered: Gathered, bench: Bench, gone: Sequence[str], stands: Iterable[Standing], there: Container[str]
) -> str:
    """Return the fingerprint of all that lists and advice are added up from: every fact with the words around it.

    Args:
        gathered: of the stages' values. An entry as the program reads it comes from what was said and told in its
            recording, and from when that began.
        bench: for the settings and the vocabulary.
        gone: what the program reads and no entry is left of.
        stands: every entry as it stands; where people decided, what it says then.
        there: the media that the book holds.
    """
    told, spoken = (gathered.made[stage].digests for stage in ("tell", "say"))
    said = [(one, gathered.starts[one].isoformat(), digest, told.get(one)) for one, digest in spoken.items()]
    decided = [
        [one.review, one.read.model_dump_json(exclude={"entry": {"photos", "version"}})]
        for one in stands
        if (one.decided or one.read is not one.machine) and one.read.entry.media in there
    ]
    whole = (made_by(), bench.vocabulary.model_dump_json(), bench.settings.time.zone)
    return digest_of([*whole, fingerprint(said, gone, decided)])


def _added_up(entries: Iterable[EntryRecord], utterances: Iterable[UtteranceRecord], bench: Bench) -> AddedUp:
    entries, read = tuple(entries), {one.id: one.read for one in utterances}
    text = {one.id: " ".join(read.get(said, "") for said in one.utterances) for one in entries}
    told = with_positions(_logged(entries, read, bench), text)
    logged = without_slipped_sides(told, bench.vocabulary)
    said = [
        (one.id, one.at.astimezone(bench.settings.zone), text[one.id]) for one in entries if one.review != "rejected"
    ]
    lists = _lists(logged, said, bench)
    return AddedUp(lists=lists, causes=causes(logged, lists.holding_up, bench.vocabulary))


def _advice(added: AddedUp, acts: Sequence[Event], bench: Bench) -> tuple[Caution, ...]:
    answers = (*answers_in(acts), *bench.settings.answers)
    return cautions(added.causes, bench.vocabulary.rules, answers, bench.vocabulary)


def _with_photos(lists: Lists, entries: Iterable[EntryRecord], media: Iterable[MediaRecord]) -> Lists:
    """Return the lists with the photos of each finding in place of the words that they stand with."""
    photos = FindingPhotos(entries, media)
    shown = [line.model_copy(update={"photos": photos.of(line)}) for line in lists.findings]
    return lists.model_copy(update={"findings": tuple(shown)})


def _logged(entries: Iterable[EntryRecord], read: Mapping[str, str], bench: Bench) -> list[LoggedFact]:
    """Return the facts that count in the lists: those of every entry that no person has rejected."""
    return [
        LoggedFact(
            at=entry.at.astimezone(bench.settings.zone),
            entry=entry.id,
            fact=fact,
            said=fact.said,
            photos=words_told_in(entry.id, fact.utterances),  # see ``AddedUp``
            around=sentence_of(" ".join(read.get(one, "") for one in fact.utterances), fact.said),
        )
        for entry in entries
        if entry.review != "rejected"
        for fact in entry.facts
    ]


def _lists(logged: Sequence[LoggedFact], said: Sequence[tuple[str, datetime, str]], bench: Bench) -> Lists:
    off = parts_off(logged, bench.vocabulary)
    parted = disconnections(logged, bench.vocabulary)
    return Lists(
        parts_off=off,
        fasteners=fasteners(logged, bench.vocabulary, bags_emptied(said), taken_out(said)),
        disconnections=parted,
        findings=findings(logged, bench.vocabulary),
        way_back=way_back(logged, bench.vocabulary, off, parted),
        to_do=to_do(logged, bench.vocabulary),
        holding_up=holding_up(logged, bench.vocabulary),
    )
