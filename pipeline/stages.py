"""The job, as the list of its stages in order.

A stage cuts its work into tasks. Each task is one item's frozen inputs, a key made of everything that its result
depends on, and a function from the inputs to a frozen value. The runner does what has no result under that key yet.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from functools import partial
from hashlib import sha256
from pathlib import Path, PurePath
from types import MappingProxyType
from typing import Any

from pipeline.bench import Bench
from pipeline.dating.clocks import date_all
from pipeline.dating.devices import TellsOfTime
from pipeline.dating.names import date_in_name
from pipeline.dating.talk import Talk, talk_of
from pipeline.hearing.captioned import from_captions
from pipeline.hearing.corrected import read_utterance
from pipeline.hearing.stretches import LONGEST_S, joined, stretches
from pipeline.hearing.utterances import cut
from pipeline.intake.captions import read_captions
from pipeline.intake.decoding import codes_in, look, sound_blocks, still
from pipeline.intake.twins import tell_apart
from pipeline.matching.links import FAR_S, Matched, Shot, Spoken, match
from pipeline.matching.passages import Passages, tell
from pipeline.matching.pointing import pointing_moments
from pipeline.settings import Settings
from pipeline.spans import clock_text
from pipeline.store import fingerprint
from pipeline.values import Clock, Codes, Dated, Heard, Kind, Media, Probe, Reading, Utterance, Value

WHOLE_BOOK, LOOK = "book", "look"
_WORTH_TELLING_S = 2.0


class Dates(Value):
    """When every piece of media was made, and how far each device's clock is out."""

    dated: tuple[Dated, ...]
    clocks: tuple[Clock, ...]


class Still(Value):
    """A still of a film: the id of the picture, and the second in the film."""

    media: str
    at_s: float


class Stills(Value):
    """The stills of one film, in order."""

    stills: tuple[Still, ...] = ()


class Told(Value):
    """What was said in one recording: its utterances, and their readings in the same order."""

    utterances: tuple[Utterance, ...]
    readings: tuple[Reading, ...]


@dataclass(frozen=True)
class Task:
    """One item's work. ``size`` is how much of the stage's unit it is, for the progress shown.

    ``hears`` is the recording that it hears: hearing may be done on another machine, by ``hear_sound``. ``reads`` are
    the originals that it opens: what is made of one that changed meanwhile is not of its id.
    """

    item: str
    key: str
    make: Callable[[], Value]
    size: float = 1.0
    path: str = ""
    hears: Media | None = None
    reads: tuple[Media, ...] = ()


@dataclass(frozen=True)
class Known:
    """What is known so far: the files taken in (media id to its files), and each stage's values by item.

    ``looked_at`` are all media with what each says of itself, sorted by id, once the stage ``look`` is done.
    """

    files: Mapping[str, Media]
    now: datetime
    made: Mapping[str, Mapping[str, Any]] = field(default_factory=lambda: MappingProxyType({}))
    looked_at: tuple[Media, ...] = ()

    def media(self, *kinds: Kind) -> list[Media]:
        """Return the media of these kinds, with what each says of itself, sorted by id."""
        return [one for one in self.looked_at if one.probe.kind in kinds or not kinds]

    def stills(self) -> list[Media]:
        """Return the stills of films as pieces of media of their own, sorted by id."""
        found = []
        for film in self.media(Kind.FILM):
            for one in self.made["stills"].get(film.id, Stills()).stills:
                looks = Probe(kind=Kind.PHOTO, content_type="image/jpeg", device=film.probe.device)
                found.append(
                    Media(id=one.media, files=film.files, probe=looks, still_of=film.id, still_at_s=one.at_s)
                )
        return sorted(found, key=lambda media: media.id)

    def with_made(self, stage: str, values: Mapping[str, Any]) -> "Known":
        """Return the same with one more stage's values."""
        made = MappingProxyType({**self.made, stage: MappingProxyType(dict(values))})
        looked_at = self._told_apart(values) if stage == LOOK else self.looked_at
        return Known(self.files, self.now, made, looked_at)

    def _told_apart(self, probes: Mapping[str, Probe]) -> tuple[Media, ...]:
        """Return the media with what each says of itself, sorted by id: once, because every stage asks for them."""
        told = sorted(tell_apart(probes).items())
        return tuple(self.files[item].model_copy(update={"probe": probe}) for item, probe in told)


@dataclass(frozen=True)
class Stage:
    """One step of the job.

    ``version`` is raised when the step would make something else of the same inputs. ``unit`` names what the tasks'
    sizes count. A stage with ``threads`` may do several tasks at once; one with ``processes`` shares them out over
    processes when there is much to do, because Python does no two of them at once in one.
    """

    name: str
    version: int
    doing: str
    unit: str
    gives: type[Value]
    tasks: Callable[[Known, Bench], Iterable[Task]]
    threads: bool = False
    processes: bool = False


def _look(known: Known, bench: Bench) -> Iterable[Task]:
    for media in known.files.values():
        yield Task(media.id, media.id, partial(look, Path(media.path)), path=media.path, reads=(media,))


def _hear(known: Known, bench: Bench) -> Iterable[Task]:
    beside = _captions_beside(known)
    used = set(beside.values())
    for media in known.media(Kind.RECORDING, Kind.FILM, Kind.CAPTIONS):
        seconds = media.probe.duration_s or 0.0
        if media.id in used:
            continue
        if media.id in beside or media.probe.kind is Kind.CAPTIONS:
            captions = known.files[beside.get(media.id, media.id)]
            key = fingerprint("captions", captions.id)
            make, hears, reads = partial(_hear_captions, Path(captions.path)), None, captions
        else:
            in_pieces = ("in pieces",) if seconds > LONGEST_S else ()
            key = fingerprint("recogniser", media.id, bench.model.sha256, *in_pieces)
            make = partial(hear_sound, Path(media.path), media.probe.content_type, bench)
            hears = reads = media
        yield Task(media.id, key, make, size=seconds, path=media.path, hears=hears, reads=(reads,))


def hear_sound(path: Path, content_type: str, bench: Bench) -> Heard:
    """Hear a recording that lies at ``path``; raises ItemFault."""
    blocks = sound_blocks(path, content_type)
    heard = joined([(start_s, bench.hear(samples)) for start_s, samples in stretches(blocks)])
    return heard.model_copy(update={"remarks": blocks.remarks})


def _hear_captions(path: Path) -> Heard:
    captions = read_captions(path)
    return from_captions(captions.cues).model_copy(update={"remarks": captions.remarks})


def _captions_beside(known: Known) -> dict[str, str]:
    """Return, for each recording with a caption file of the same name beside it, the caption file's media id."""
    by_stem = {
        Path(file.path).with_suffix(""): captions.id
        for captions in known.media(Kind.CAPTIONS)
        for file in captions.files
    }
    found = {}
    for media in known.media(Kind.RECORDING, Kind.FILM):
        for file in media.files:
            captions = by_stem.get(Path(file.path).with_suffix(""))
            if captions:
                found[media.id] = captions
                break
    return found


def _stills(known: Known, bench: Bench) -> Iterable[Task]:
    for film in known.media(Kind.FILM):
        told: Told | None = known.made["read"].get(film.id)
        if told and film.probe.width_px:
            moments = _still_moments(told, film.probe.duration_s or 0.0)
            key, make = fingerprint(film.id, moments), partial(_take_stills, film, moments)
            yield Task(film.id, key, make, path=film.path, reads=(film,))


def _still_moments(told: Told, duration_s: float) -> tuple[float, ...]:
    """Return the seconds at which the speaker points, a moment after the words, at least five seconds apart."""
    moments: list[float] = []
    for utterance in told.utterances:
        for second, _ in pointing_moments(utterance.heard, utterance.words):
            at_s = round(min(second + 0.5, utterance.end_s, max(0.0, duration_s - 0.2)), 2)
            if not moments or at_s - moments[-1] >= 5.0:
                moments.append(at_s)
    return tuple(moments)


def _take_stills(film: Media, moments: Iterable[float]) -> Stills:
    taken: dict[str, float] = {}
    for at_s in moments:
        picture = still(Path(film.path), film.probe.content_type, at_s)
        taken.setdefault(f"sha256:{sha256(picture).hexdigest()}", at_s)
    return Stills(stills=tuple(Still(media=media, at_s=at_s) for media, at_s in taken.items()))


def _date(known: Known, bench: Bench) -> Iterable[Task]:
    media = known.media()
    talks = {one: _talk(known, one) for one in known.made["tell"]}
    told = TellsOfTime(talks=talks, codes=known.made["codes"])
    on = known.now.date().isoformat() if looks_ahead(media, bench.settings.time.book_starts, known.now) else ""
    key = fingerprint(media, bench.settings.time, bench.settings.pinned_clocks, told, on)
    yield Task(WHOLE_BOOK, key, partial(_set_clocks, media, bench.settings, known.now, told), size=len(media))


def looks_ahead(media: Iterable[Media], book_starts: date, now: datetime) -> bool:
    """Tell whether something claims to be of a day to come, so that what is believed depends on the day.

    Dates are believed up to a day from now: what claims less cannot become believable later, whatever its offset. A
    file's own time counts where nothing else can be believed.
    """
    latest = now.astimezone(UTC) + timedelta(hours=10)
    starts, ends, ends_ns = book_starts.isoformat(), latest.replace(tzinfo=None).isoformat(), latest.timestamp() * 1e9
    for one in media:
        names = (date_in_name(PurePath(file.path).name) for file in one.files)
        walls = [clue.wall for clue in (*one.probe.clues, *names) if clue is not None]
        if any(wall > ends for wall in walls):
            return True
        if not any(wall >= starts for wall in walls) and any(file.modified_ns > ends_ns for file in one.files):
            return True
    return False


def _talk(known: Known, media: str) -> Talk:
    told: Told = known.made["read"][media]
    passages: Passages = known.made["tell"][media]
    tagged: dict[str, list[str]] = {}
    for said in (said for passage in passages.passages for said in passage.facts):
        if said.fact.tag:
            tagged.setdefault(said.utterances[0], []).append(said.fact.tag)
    return talk_of(media, told.utterances, told.readings, tagged)


def _set_clocks(media: Sequence[Media], settings: Settings, now: datetime, told: TellsOfTime) -> Dates:
    dated, clocks = date_all(media, settings.zone, settings.time.book_starts, now, settings.pinned_clocks, told)
    return Dates(dated=dated, clocks=clocks)


def _codes(known: Known, bench: Bench) -> Iterable[Task]:
    for media in known.media(Kind.PHOTO):
        make = partial(codes_in, Path(media.path), media.probe.content_type)
        yield Task(media.id, media.id, make, path=media.path, reads=(media,))


def _read(known: Known, bench: Bench) -> Iterable[Task]:
    for media, heard in known.made["hear"].items():
        key = fingerprint(heard, bench.vocabulary.fingerprint)
        words = sum(len(segment.words) for segment in heard.segments)
        yield Task(media, key, partial(_repair, media, heard, bench), size=words, path=known.files[media].path)


def _repair(media: str, heard: Heard, bench: Bench) -> Told:
    utterances = cut(heard, media)
    if heard.by == "captions":  # a person has checked the words
        return Told(utterances=utterances, readings=tuple(_as_heard(one) for one in utterances))
    readings = (read_utterance(one, bench.repairer) for one in utterances)
    return Told(utterances=utterances, readings=tuple(readings))


def _as_heard(utterance: Utterance) -> Reading:
    return Reading(utterance=utterance.id, read=utterance.heard)


def _tell(known: Known, bench: Bench) -> Iterable[Task]:
    for media, told in known.made["read"].items():
        said = " ".join(reading.read for reading in told.readings)
        key = fingerprint(told, bench.vocabulary.seen_from(said))
        words = sum(len(utterance.words) for utterance in told.utterances)
        yield Task(media, key, partial(_tell_one, media, told, bench), size=words, path=known.files[media].path)


def _tell_one(media: str, told: Told, bench: Bench) -> Passages:
    return tell(media, told.utterances, told.readings, bench.reader.read_note)


def _match(known: Known, bench: Bench) -> Iterable[Task]:
    shots: dict[str, list[Shot]] = {}
    spoken: dict[str, dict[Spoken, None]] = {}
    reading_out: dict[str, list[Spoken]] = {}
    zone = bench.settings.zone
    for shot in _shots(known):
        shots.setdefault(shot.at.astimezone(zone).date().isoformat(), []).append(shot)
    for words in _spoken(known):  # near midnight, to photos of either day
        for at in (words.start - timedelta(seconds=FAR_S), words.end + timedelta(seconds=FAR_S)):
            spoken.setdefault(at.astimezone(zone).date().isoformat(), {})[words] = None
        for tag in words.tags:
            reading_out.setdefault(tag, []).append(words)
    for day, photos in sorted(shots.items()):
        said = spoken.get(day, {})
        said |= dict.fromkeys(words for shot in photos for tag in shot.tags for words in reading_out.get(tag, ()))
        yield Task(day, fingerprint(photos, tuple(said)), partial(match, photos, tuple(said)), size=len(photos))


def _shots(known: Known) -> Iterable[Shot]:
    dates: Dates = known.made["date"][WHOLE_BOOK]
    dated = {one.media: one for one in dates.dated}
    codes: Mapping[str, Codes] = known.made["codes"]
    for media in known.media(Kind.PHOTO):
        one = dated[media.id]
        moved = abs(one.moved_s) >= _WORTH_TELLING_S
        yield Shot(
            media=media.id,
            at=one.at,
            error_s=one.error_s,
            moved_why=f"the clock of its camera was {clock_text(-one.moved_s)}, and is corrected" if moved else "",
            camera=media.probe.device,
            tags=codes[media.id].tags if media.id in codes else (),
        )
    for media in known.stills():
        film = dated[str(media.still_of)]
        yield Shot(
            media=media.id,
            at=film.at + timedelta(seconds=media.still_at_s or 0.0),
            error_s=film.error_s,
            film=media.still_of,
            film_at_s=media.still_at_s,
        )


def _spoken(known: Known) -> Iterable[Spoken]:
    dates: Dates = known.made["date"][WHOLE_BOOK]
    dated = {one.media: one for one in dates.dated}
    recorders = {one.id: _recorder(one) for one in known.media(Kind.RECORDING, Kind.FILM, Kind.CAPTIONS)}
    for media, passages in known.made["tell"].items():
        start, talk = dated[media], _talk(known, media)
        told: Told = known.made["read"][media]
        passage_of = {u: passage.id for passage in passages.passages for u in passage.utterances}
        for utterance in told.utterances:
            points = pointing_moments(utterance.heard, utterance.words)
            yield Spoken(
                passage=passage_of[utterance.id],
                recording=media,
                start=start.at + timedelta(seconds=utterance.start_s),
                end=start.at + timedelta(seconds=utterance.end_s),
                start_s=utterance.start_s,
                end_s=utterance.end_s,
                error_s=start.error_s,
                points=tuple((start.at + timedelta(seconds=second), phrase) for second, phrase in points),
                recorder=recorders[media],
                tags=tuple(tag for at_s, tag in talk.tags if utterance.start_s <= at_s <= utterance.end_s),
            )


def _recorder(media: Media) -> str:
    """Return the recorder, or where it is not known what its files share: the folder and the name without numbers."""
    path = Path(media.path)
    return media.probe.device or f"{path.parent}/{re.sub(r'[0-9]+', '', path.stem)}"


STAGES: tuple[Stage, ...] = (
    Stage(LOOK, 2, "Looking at each file", "files", Probe, _look),
    Stage("hear", 3, "Hearing what was said", "s of sound", Heard, _hear, threads=True),
    Stage("read", 2, "Reading the trade's words", "words", Told, _read, processes=True),
    Stage("stills", 1, "Taking stills from film", "films", Stills, _stills),
    Stage("codes", 1, "Reading codes in photos", "photos", Codes, _codes, threads=True),
    Stage("tell", 6, "Reading the facts", "words", Passages, _tell, processes=True),
    Stage("date", 2, "Setting the clocks", "files", Dates, _date),
    Stage("match", 2, "Placing the photos", "photos", Matched, _match),
)
"""Take in, then these in order, then add up and write (see ``pipeline.runner``)."""
