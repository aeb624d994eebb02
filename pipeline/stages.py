"""The job, as the list of its stages in order.

What a task is, and how it is known that its result still stands, is told in ``pipeline.known``. The runner does what
has no result under its key yet.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from functools import partial
from hashlib import sha256
from os.path import basename
from pathlib import Path

from pipeline.bench import Bench
from pipeline.dating.clocks import date_all
from pipeline.dating.devices import TellsOfTime
from pipeline.dating.followed import Once
from pipeline.dating.names import date_in_name
from pipeline.hearing.captioned import from_captions, speakers_apart
from pipeline.hearing.stretches import LONGEST_S, joined, stretches
from pipeline.hearing.utterances import cut
from pipeline.intake.captions import read_captions
from pipeline.intake.decoding import codes_in, look, sound_blocks, still
from pipeline.intake.same_name import captions_beside
from pipeline.known import Dates, Known, RecordingRead, Stage, Still, Stills, Task
from pipeline.matching.links import Matched
from pipeline.matching.passages import Passages, tell
from pipeline.matching.pointing import pointing_moments
from pipeline.placing import NO_CODES, Timed, place, timed
from pipeline.putting_down import Entries, SaidInRecording, put_down_entries, put_down_speech, speech_from
from pipeline.results import DATE, LOOK, WHOLE_BOOK, Given, Results
from pipeline.settings import Settings
from pipeline.store import fingerprint
from pipeline.uncollected import uncollected
from pipeline.values import Codes, Heard, Kind, Media, Probe, Reading, Utterance, Value


class TermsSeen(Value):
    """What a reading of one recording can depend on in the vocabulary, as a fingerprint."""

    fingerprint: str


def _look(known: Known, bench: Bench) -> Iterable[Task]:
    for media in known.files.values():
        yield Task(media.id, media.id, partial(_look_at, media.path), path=media.path, reads=(media,))


def _look_at(path: str) -> Probe:
    return look(Path(path))


_CAPTIONS = "captions with voices and all paragraphs"  # what is taken from a caption file


def _hear(known: Known, bench: Bench) -> Iterable[Task]:
    beside = captions_beside(known.looked_at)
    used = set(beside.values())
    for media in known.media(Kind.RECORDING, Kind.FILM, Kind.CAPTIONS):
        if media.id in used:
            continue
        if media.id in beside or media.probe.kind is Kind.CAPTIONS:
            captions = known.files[beside.get(media.id, media.id)]
            key = fingerprint(_CAPTIONS, captions.id)
            make, hears, reads = partial(_hear_captions, Path(captions.path)), None, captions
        else:
            in_pieces = ("in pieces",) if _seconds(media) > LONGEST_S else ()
            key = fingerprint("recogniser", media.id, bench.model.sha256, *in_pieces)
            make = partial(hear_sound, Path(media.path), media.probe.content_type, bench)
            hears = reads = media
        size_of = partial(_seconds, media)
        yield Task(media.id, key, make, (), size_of, media.path, hears, (reads,))


def _heard_from(known: Known, bench: Bench) -> Sequence[object]:
    beside = captions_beside(known.looked_at)
    media = known.media(Kind.RECORDING, Kind.FILM, Kind.CAPTIONS)
    seen = [(one.id, one.held, one.probe.kind, _seconds(one), beside.get(one.id)) for one in media]
    heard = any(one.id not in beside and one.probe.kind is not Kind.CAPTIONS for one in media)
    return bench.model.sha256 if heard else "", _CAPTIONS, seen


def _seconds(media: Media) -> float:
    return media.probe.duration_s or 0.0


def hear_sound(path: Path, content_type: str, bench: Bench) -> Heard:
    """Hear a recording that lies at ``path``; raises ItemFault."""
    blocks = sound_blocks(path, content_type)
    heard = joined([(start_s, bench.hear(samples)) for start_s, samples in stretches(blocks)])
    return heard.model_copy(update={"remarks": blocks.remarks})


def _hear_captions(path: Path) -> Heard:
    captions = read_captions(path)
    return from_captions(captions.cues).model_copy(update={"remarks": captions.remarks})


def _stills(known: Known, bench: Bench) -> Iterable[Task]:
    for film in known.media(Kind.FILM):
        told: RecordingRead | None = known.made["read"].get(film.id)
        if told and film.probe.width_px:
            moments = _still_moments(told, film.probe.duration_s or 0.0)
            key, make = fingerprint(film.id, moments), partial(_take_stills, film, moments)
            yield Task(film.id, key, make, path=film.path, reads=(film,))


def _still_moments(told: RecordingRead, duration_s: float) -> tuple[float, ...]:
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


def _time(known: Known, bench: Bench) -> Iterable[Task]:
    for media in known.made["tell"]:
        given = (Given("read", media), Given("tell", media))
        yield Task(media, "", partial(timed, media), given, path=known.files[media].path)


def _timed_from(known: Known, bench: Bench) -> Sequence[object]:
    return known.made["read"].digest, known.made["tell"].digest


def _date(known: Known, bench: Bench) -> Iterable[Task]:
    media = known.media()
    on = known.now.date().isoformat() if _looks_ahead(media, bench.settings.time.book_starts, known.now) else ""
    key = fingerprint(known.media_digest(), bench.settings.time, bench.settings.pinned_clocks, on)
    make = partial(_set_clocks, media, bench.settings, known.now, on, known.once_followed)
    yield Task(WHOLE_BOOK, key, make, (Given("time"), Given("codes")), lambda *given: len(media))


def _looks_ahead(media: Iterable[Media], book_starts: date, now: datetime) -> bool:
    """Tell whether something claims to be of a day to come, so that what is believed depends on the day.

    Dates are believed up to a day from now: what claims less cannot become believable later, whatever its offset. A
    file's own time counts where nothing else can be believed.
    """
    latest = now.astimezone(UTC) + timedelta(hours=10)
    starts, ends, ends_ns = book_starts.isoformat(), latest.replace(tzinfo=None).isoformat(), latest.timestamp() * 1e9
    for one in media:
        names = (date_in_name(basename(file.path)) for file in one.files)  # noqa: PTH119 - quicker
        walls = [clue.wall for clue in (*one.probe.clues, *names) if clue is not None]
        if any(wall > ends for wall in walls):
            return True
        if not any(wall >= starts for wall in walls) and any(file.modified_ns > ends_ns for file in one.files):
            return True
    return False


@uncollected()
def _set_clocks(
    media: Sequence[Media],
    settings: Settings,
    now: datetime,
    only_on: str,
    once: Once,
    times: Results[Timed],
    codes: Results[Codes],
) -> Dates:
    told = TellsOfTime(
        talks={one: time.talk for one, time in times.each()},
        codes=dict(codes.each_but(NO_CODES)),
    )
    time = settings.time
    dated, clocks = date_all(media, settings.zone, time.book_starts, now, settings.pinned_clocks, told, once)
    return Dates(dated=dated, clocks=clocks, only_on=only_on)


def _codes(known: Known, bench: Bench) -> Iterable[Task]:
    for media in known.media(Kind.PHOTO):
        make = partial(_codes_at, media.path, media.probe.content_type)
        yield Task(media.id, media.id, make, path=media.path, reads=(media,))


def _codes_at(path: str, content_type: str) -> Codes:
    return codes_in(Path(path), content_type)


def _read(known: Known, bench: Bench) -> Iterable[Task]:
    key = fingerprint(bench.vocabulary.fingerprint, bench.team)
    for media in known.made["hear"]:
        make = partial(_repair, media, bench)
        path = known.files[media].path
        yield Task(media, key, make, (Given("hear", media),), _words_heard, path)


def _read_from(known: Known, bench: Bench) -> Sequence[object]:
    return bench.vocabulary.fingerprint, bench.team, known.made["hear"].digest


def _words_heard(heard: Heard) -> float:
    return sum(len(segment.words) for segment in heard.segments)


def _repair(media: str, bench: Bench, heard: Heard) -> RecordingRead:
    if heard.by == "captions":  # a person has checked the words
        utterances = cut(speakers_apart(heard, bench.team), media)
        return RecordingRead(utterances=utterances, readings=tuple(_as_heard(one) for one in utterances))
    utterances = cut(heard, media)
    from pipeline.hearing.corrected import read_utterance

    readings = (read_utterance(one, bench.repairer) for one in utterances)
    return RecordingRead(utterances=utterances, readings=tuple(readings))


def _as_heard(utterance: Utterance) -> Reading:
    return Reading(utterance=utterance.id, read=utterance.heard)


def _terms(known: Known, bench: Bench) -> Iterable[Task]:
    for media in known.made["read"]:
        path = known.files[media].path
        yield Task(media, bench.vocabulary.fingerprint, partial(_seen, bench), (Given("read", media),), path=path)


def _terms_from(known: Known, bench: Bench) -> Sequence[object]:
    return bench.vocabulary.fingerprint, known.made["read"].digest


def _seen(bench: Bench, told: RecordingRead) -> TermsSeen:
    return TermsSeen(fingerprint=bench.vocabulary.seen_from(" ".join(reading.read for reading in told.readings)))


def _tell(known: Known, bench: Bench) -> Iterable[Task]:
    for media in known.made["terms"]:
        given = (Given("read", media), Given("terms", media))
        yield Task(media, bench.learnt, partial(_tell_one, media, bench), given, _words_told, known.files[media].path)


def _told_from(known: Known, bench: Bench) -> Sequence[object]:
    return bench.learnt, known.made["read"].digest, known.made["terms"].digest


def _words_told(told: RecordingRead, seen: TermsSeen) -> float:
    return sum(len(utterance.words) for utterance in told.utterances)


def _tell_one(media: str, bench: Bench, told: RecordingRead, seen: TermsSeen) -> Passages:
    return tell(media, told.utterances, told.readings, bench.reader.read_note)


STAGES: tuple[Stage, ...] = (
    Stage(LOOK, 5, "Looking at each file", "files", Probe, _look),
    Stage("hear", 5, "Hearing what was said", "s of sound", Heard, _hear, threads=True, made_from=_heard_from),
    Stage(
        "read", 5, "Reading the trade's words", "words", RecordingRead, _read, processes=True, made_from=_read_from
    ),
    Stage("stills", 1, "Taking stills from film", "films", Stills, _stills),
    Stage("codes", 1, "Reading codes in photos", "photos", Codes, _codes, threads=True),
    Stage("terms", 2, "Looking up the trade's words", "recordings", TermsSeen, _terms, made_from=_terms_from),
    Stage("tell", 19, "Reading the facts", "words", Passages, _tell, processes=True, made_from=_told_from),
    Stage("time", 4, "Finding what tells of the time", "recordings", Timed, _time, made_from=_timed_from),
    Stage(DATE, 9, "Setting the clocks", "files", Dates, _date),
    Stage("match", 6, "Placing the photos", "photos", Matched, place),
    Stage(
        "say", 1, "Putting down what was said", "recordings", SaidInRecording, put_down_speech, made_from=speech_from
    ),
    Stage("enter", 3, "Putting down the entries", "recordings", Entries, put_down_entries),
)
"""Take in, then these in order, then add up and write (see ``pipeline.runner``).

What ``say`` and ``enter`` make stands in the records as it is: a change of those, or of how part numbers are read,
raises their versions.
"""
