"""All that the stages made, put together as the book's records."""

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property, lru_cache
from pathlib import Path, PurePath
from typing import Any, Self, TypedDict

import pipeline
from pipeline.adding_up import AddedUp, Once, added_up, labels_told_otherwise
from pipeline.bench import Bench
from pipeline.dating.clocks import date_still
from pipeline.digests import digest_of
from pipeline.history.answers import answers_in
from pipeline.history.applied import entry_record, photos_left, utterances_as_decided
from pipeline.history.decisions import Standing, as_decided
from pipeline.history.events import Event
from pipeline.history.past import Past
from pipeline.history.versions import ReadEntry
from pipeline.known import Dates, Known
from pipeline.lists.finding_photos import FindingPhotos
from pipeline.placing import NO_CODES
from pipeline.putting_down import Entries, SaidInRecording, part_numbers
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
from pipeline.values import Codes, Dated, Kind, Media
from pipeline.writing.advice import cautions

_RECORDING_AWAY = (
    "A person has decided on this entry, and the recording that it comes from is not in the book any more. What was "
    "decided is kept in the history. Give the run the recording's folder."
)
_NO_FACT = "no fact was read from it, and no photo goes with it"
_TAKEN_OUT = "a person took it out of an entry"


@dataclass(frozen=True)
class Gathered:
    """What of the stages' values the records are put together from: less than is known, so that the rest can go.

    ``starts`` says when each recording began of which something was heard, by its id. ``loose`` are the photos that
    fitted nothing. ``home`` is the book's folder, from which paths are told where they can be.
    """

    media: tuple[MediaRecord, ...]
    said: Mapping[str, SaidInRecording]
    starts: Mapping[str, datetime]
    loose: tuple[UnplacedPhoto, ...]
    dates: Dates
    made: Mapping[str, Results[Any]]
    home: Path


def gather(known: Known, home: Path) -> Gathered:
    """Gather what the records are put together from, given the book's folder."""
    said: dict[str, SaidInRecording] = dict(known.made["say"].each())
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
        home=home,
    )


class _Fields(TypedDict):
    """The fields of the records that people's decisions change, but for the photos that fitted nothing."""

    utterances: tuple[UtteranceRecord, ...]
    entries: tuple[EntryRecord, ...]
    unplaced_speech: tuple[UnplacedSpeech, ...]
    cautions: tuple[Caution, ...]
    lists: Lists


@dataclass(frozen=True)
class _AsLeft:
    """A book's entries and words as people left them; ``utterances`` in order of time."""

    entries: tuple[EntryRecord, ...]
    utterances: tuple[UtteranceRecord, ...]
    media: Sequence[MediaRecord]
    bench: Bench

    @classmethod
    def of(
        cls,
        stands: Iterable[Standing],
        said: Iterable[UtteranceRecord],
        media: Sequence[MediaRecord],
        bench: Bench,
    ) -> Self:
        """Return what of the entries and of what was said is of media that the book holds."""
        there, people = {one.id for one in media}, bench.settings.people
        entries = tuple(entry_record(one, people, there) for one in stands if one.read.entry.media in there)
        utterances = tuple(sorted((one for one in said if one.media in there), key=_said_at))
        return cls(entries, utterances, media, bench)

    def added_up(self) -> AddedUp:
        """Add up the lists."""
        return added_up(self.entries, self.utterances, self.bench, self.labels)

    @cached_property
    def labels(self) -> tuple[str, ...]:
        """Return the labels in photos whose numbers were told otherwise."""
        return labels_told_otherwise(self.entries, self.media)

    def fields(self, added: AddedUp, acts: Sequence[Event], whys: Mapping[str, str]) -> _Fields:
        """Return them as the records hold them; ``whys`` says why speech is in no entry, where that is known."""
        in_entries = {utterance for entry in self.entries for utterance in entry.utterances}
        return _Fields(
            utterances=self.utterances,
            entries=tuple(sorted(self.entries, key=_begun_at)),
            unplaced_speech=tuple(
                UnplacedSpeech(utterance=one.id, why=whys.get(one.id, _NO_FACT))
                for one in self.utterances
                if one.id not in in_entries
            ),
            cautions=_advice(added, acts, self.bench),
            lists=_with_photos(added.lists, self.entries, self.media),
        )


@dataclass(frozen=True)
class Decided:
    """All of a book's records but its lists: what they are added up from, and nothing of what it was worked out of.

    ``made_from`` is the fingerprint of what the lists are added up from. ``there`` are the entries that the program
    reads, whatever people decided on them, in order of time, each with its recording.
    """

    gathered: Gathered
    words: _AsLeft
    unlisted: tuple[UnlistedRecord, ...]
    unplaced_photos: tuple[UnplacedPhoto, ...]
    away: tuple[SetAside, ...]
    made_from: str
    there: Mapping[str, str]

    def records(self, set_aside: Iterable[SetAside], once: Once, acts: Sequence[Event]) -> Records:
        """Add up the lists, and return the records of the whole book, all in order of time and then of id.

        Args:
            set_aside: files that could not be used.
            once: see ``Once``.
            acts: what people decided and signed, from the book's history.
        """
        gathered, said = self.gathered, self.gathered.said
        return Records(
            book=_book(said.values(), self.words.bench),
            media=tuple(sorted(gathered.media, key=_taken_at)),
            clocks=gathered.dates.clocks,
            not_understood=tuple(one for recording in said.values() for one in recording.not_understood),
            unlisted=self.unlisted,
            unplaced_photos=self.unplaced_photos,
            set_aside=(
                *(SetAside(path=_from_home(one.path, gathered.home), why=one.why) for one in set_aside),
                *self.away,
            ),
            **self.words.fields(once(self.made_from, self.words.added_up), acts, {}),
        )


def decide(gathered: Gathered, bench: Bench, entered: Iterable[Entries], acts: Sequence[Event] = ()) -> Decided:
    """Put what people decided onto what the program reads.

    Args:
        gathered: of the stages' values.
        bench: for the settings and the vocabulary.
        entered: every recording's entries as the program reads them, asked for once.
        acts: what people decided and signed, from the book's history.
    """
    there = {one.id for one in gathered.media}
    machine, unlisted = _read_in(entered)
    stands = as_decided(machine, acts)
    heard = (one for recording in gathered.said.values() for one in recording.utterances)
    said = utterances_as_decided(heard, stands.values(), part_numbers)
    words = _AsLeft.of(stands.values(), said, gathered.media, bench)
    left = photos_left(gathered.loose, words.entries, machine)
    away = (one for one in stands if stands[one].read.entry.media not in there)
    gone = [one for one in machine if one not in stands]
    return Decided(
        gathered=gathered,
        words=words,
        unlisted=unlisted,
        unplaced_photos=tuple(sorted(left, key=_of_media)),
        away=tuple(SetAside(path=one, why=_RECORDING_AWAY) for one in away),
        made_from=_facts_from(gathered, words, gone, stands.values()),
        there={read.entry.id: read.entry.media for read in sorted(machine.values(), key=_read_at)},
    )


def _read_in(entered: Iterable[Entries]) -> tuple[dict[str, ReadEntry], tuple[UnlistedRecord, ...]]:
    """Return every entry as the program reads it, by its id, and what seem to be parts that no list has."""
    machine: dict[str, ReadEntry] = {}
    unlisted: dict[str, list[str]] = {}
    for one in entered:
        machine |= {read.entry.id: read for read in one.entries}
        for part in one.unlisted:
            unlisted.setdefault(part.name, []).append(part.utterance)
    return machine, tuple(
        UnlistedRecord(name=name, utterances=tuple(said)) for name, said in sorted(unlisted.items())
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
    said = utterances_as_decided(records.utterances, stands.values(), part_numbers, undecided=True)
    decided = _AsLeft.of(stands.values(), said, records.media, bench)
    whys = {one.utterance: one.why for one in records.unplaced_speech}
    loose = {one.media: one for one in photos_left(records.unplaced_photos, decided.entries, past.machine)}
    placed = {link.media for entry in decided.entries for link in entry.photos}
    left = [
        loose.get(one.id, UnplacedPhoto(media=one.id, why=_TAKEN_OUT))
        for one in records.media
        if one.kind == Kind.PHOTO and one.id not in placed
    ]
    fields = decided.fields(decided.added_up(), past.acts, whys)
    return records.model_copy(update={**fields, "unplaced_photos": tuple(sorted(left, key=_of_media))})


# Instants as seconds: Python compares two datetimes of other time zones a good deal slower.


def _taken_at(one: MediaRecord) -> tuple[float, str]:
    return one.taken_at.timestamp(), one.id


def _said_at(one: UtteranceRecord) -> tuple[float, str]:
    return one.start_at.timestamp(), one.id


def _begun_at(one: EntryRecord) -> tuple[float, str]:
    return one.at.timestamp(), one.id


def _read_at(one: ReadEntry) -> tuple[float, str]:
    return _begun_at(one.entry)


def _of_media(one: UnplacedPhoto) -> str:
    return one.media


def _book(said: Iterable[SaidInRecording], bench: Bench) -> BookRecord:
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


def _media(media: Media, dated: Dated, said: SaidInRecording | None, codes: Codes | None, home: Path) -> MediaRecord:
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
    own = date_still(still, dated[str(still.still_of)])
    return MediaRecord(
        id=still.id,
        path=_from_home(still.path, home),
        kind=still.probe.kind,
        content_type=still.probe.content_type,
        taken_at=own.at,
        time_source=own.source,
        time_error_s=own.error_s,
        shown_at=own.shown_at,
        moved_s=own.moved_s,
        device=still.probe.device,
        still_of=still.still_of,
        still_at_s=still.still_at_s,
    )


def _loose(known: Known) -> Iterable[UnplacedPhoto]:
    for _, day in known.made["match"].each():
        for one in day.loose:
            yield UnplacedPhoto(media=one.photo, why=one.why)


def _facts_from(gathered: Gathered, words: _AsLeft, gone: Sequence[str], stands: Iterable[Standing]) -> str:
    """Return the fingerprint of all that lists and advice are added up from: every fact with the words around it.

    Args:
        gathered: of the stages' values. An entry as the program reads it comes from what was said and told in its
            recording, and from when that began.
        words: the entries and the words as people left them.
        gone: what the program reads and no entry is left of.
        stands: every entry as it stands; where people decided, what it says then.
    """
    bench, there = words.bench, {one.id for one in words.media}
    told, spoken = (gathered.made[stage].digests for stage in ("tell", "say"))
    said = [(one, gathered.starts[one].isoformat(), digest, told.get(one)) for one, digest in spoken.items()]
    decided = [
        [one.review, one.read.model_dump_json(exclude={"entry": {"photos", "version"}})]
        for one in stands
        if (one.decided or one.read is not one.machine) and one.read.entry.media in there
    ]
    whole = (bench.vocabulary.model_dump_json(), bench.settings.time.zone)
    return digest_of([*whole, fingerprint(said, gone, decided, words.labels)])


def _advice(added: AddedUp, acts: Sequence[Event], bench: Bench) -> tuple[Caution, ...]:
    answers = (*answers_in(acts), *bench.settings.answers)
    return cautions(added.causes, bench.vocabulary.rules, answers, bench.vocabulary)


def _with_photos(lists: Lists, entries: Iterable[EntryRecord], media: Iterable[MediaRecord]) -> Lists:
    """Return the lists with the photos of each finding in place of the words that they stand with."""
    photos = FindingPhotos(entries, media)
    shown = [line.model_copy(update={"photos": photos.of(line)}) for line in lists.findings]
    return lists.model_copy(update={"findings": tuple(shown)})
