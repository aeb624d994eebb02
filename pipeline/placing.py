"""Days of photos, each with the words of that day: what the photos of a day are placed by."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from zoneinfo import ZoneInfo

from pipeline.bench import Bench
from pipeline.dating.clocks import date_still
from pipeline.dating.talk import TimedTalk, talk_of
from pipeline.known import Known, RecordingRead, Task
from pipeline.matching.links import FAR_S, Matched, Shot, TimedUtterance, match
from pipeline.matching.passages import Passages
from pipeline.matching.pointing import pointing_moments
from pipeline.reading.tags import as_label
from pipeline.results import Given
from pipeline.spans import clock_text
from pipeline.store import fingerprint
from pipeline.values import Codes, Kind, Media, Value

_WORTH_TELLING_S = 2.0
NO_CODES = Codes()


class SaidWhen(Value):
    """An utterance as far as time goes, in seconds from its recording's start: where it points, which tags it has."""

    passage: str
    start_s: float
    end_s: float
    points: tuple[tuple[float, str], ...] = ()
    tags: tuple[str, ...] = ()
    utterance: str = ""


class Timed(Value):
    """One recording as far as time goes: what it tells of the time, and its utterances in order."""

    talk: TimedTalk
    said: tuple[SaidWhen, ...] = ()


def timed(media: str, told: RecordingRead, passages: Passages) -> Timed:
    """Return one recording as far as time goes."""
    tagged: dict[str, list[str]] = {}
    for said in (said for passage in passages.passages for said in passage.facts):
        if said.fact.tag:
            tagged.setdefault(said.utterances[0], []).append(said.fact.tag)
    talk = talk_of(media, told.utterances, told.readings, tagged)
    passage_of = {utterance: passage.id for passage in passages.passages for utterance in passage.utterances}
    return Timed(
        talk=talk,
        said=tuple(
            SaidWhen(
                passage=passage_of[one.id],
                start_s=one.start_s,
                end_s=one.end_s,
                points=pointing_moments(one.heard, one.words),
                tags=tuple(tag for at_s, tag in talk.tags if one.start_s <= at_s <= one.end_s),
                utterance=one.id,
            )
            for one in told.utterances
        ),
    )


@dataclass(frozen=True)
class Recorded:
    """A recording: by which recorder, when it truly starts, and how far off that may be."""

    media: str
    recorder: str
    start: datetime
    error_s: float

    def spoken(self, said: SaidWhen) -> TimedUtterance:
        """Return one of its utterances in real time."""
        return TimedUtterance(
            passage=said.passage,
            recording=self.media,
            start=self.at(said.start_s),
            end=self.at(said.end_s),
            start_s=said.start_s,
            end_s=said.end_s,
            error_s=self.error_s,
            points=tuple((self.at(at_s), phrase) for at_s, phrase in said.points),
            recorder=self.recorder,
            tags=said.tags,
            utterance=said.utterance,
        )

    def at(self, after_s: float) -> datetime:
        """Return the instant at which so many seconds of it have passed."""
        return self.start + timedelta(seconds=after_s)

    def days_of_all(self, spans: Sequence[tuple[float, float]], zone: ZoneInfo) -> set[str]:
        """Return the days whose photos any of its utterances may belong to, by where each begins and ends (s)."""
        if not spans:
            return set()
        whole = set(self.days(min(first for first, _ in spans), max(last for _, last in spans), zone))
        return whole if len(whole) == 1 else {day for span in spans for day in self.days(*span, zone)}

    def days(self, start_s: float, end_s: float, zone: ZoneInfo) -> tuple[str, str]:
        """Return the days whose photos an utterance may belong to: near midnight, those of either day."""
        return _day(self.at(start_s - FAR_S), zone), _day(self.at(end_s + FAR_S), zone)


def place(known: Known, bench: Bench) -> Iterable[Task]:
    """Yield a task for each day that has photos: it is given the recordings of that day, and of its photos' tags."""
    zone = bench.settings.zone
    shots: dict[str, list[Shot]] = {}
    for shot in _shots(known):
        shots.setdefault(_day(shot.at, zone), []).append(shot)
    recorded = {one.media: one for one in _recordings(known)}
    of_day: dict[str, set[str]] = {}
    reading_out: dict[str, set[str]] = {}
    for media, one in known.made["time"].each_plain():
        for day in recorded[media].days_of_all([(said["start_s"], said["end_s"]) for said in one["said"]], zone):
            of_day.setdefault(day, set()).add(media)
        for tag in (tag for said in one["said"] for tag in said["tags"]):
            reading_out.setdefault(tag, set()).add(media)
    for day, photos in sorted(shots.items()):
        tags = {as_label(tag) for shot in photos for tag in shot.tags}
        near = sorted(of_day.get(day, set()).union(*(reading_out.get(tag, ()) for tag in tags)))
        recordings = [recorded[media] for media in near]
        yield Task(
            day,
            fingerprint(bench.settings.time.zone, list(map(_as_text, photos)), list(map(_as_text, recordings))),
            partial(_place_day, day, zone, photos, recordings),
            tuple(Given("time", media) for media in near),
            partial(_number, len(photos)),
        )


def _as_text(one: Shot | Recorded) -> list[object]:
    """Return all that a shot or a recording holds: quicker than ``fingerprint`` finds it out for 100,000 of them."""
    return [held.isoformat() if isinstance(held, datetime) else held for held in one.__dict__.values()]


def _number(number: int, *given: Timed) -> float:
    return number


def _place_day(
    day: str, zone: ZoneInfo, photos: Sequence[Shot], recordings: Sequence[Recorded], *times: Timed
) -> Matched:
    tags = {as_label(tag) for shot in photos for tag in shot.tags}
    spoken = [
        recorded.spoken(said)
        for recorded, one in zip(recordings, times, strict=True)
        for said in one.said
        if day in recorded.days(said.start_s, said.end_s, zone) or not tags.isdisjoint(said.tags)
    ]
    return match(photos, spoken)


def _day(at: datetime, zone: ZoneInfo) -> str:
    return at.astimezone(zone).date().isoformat()


def _shots(known: Known) -> Iterator[Shot]:
    codes = dict(known.made["codes"].each_but(NO_CODES))
    for media in known.media(Kind.PHOTO):
        one = known.dated[media.id]
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
        own = date_still(media, known.dated[str(media.still_of)])
        yield Shot(
            media=media.id,
            at=own.at,
            error_s=own.error_s,
            film=media.still_of,
            film_at_s=media.still_at_s,
        )


def _recordings(known: Known) -> Iterator[Recorded]:
    for media in known.media(Kind.RECORDING, Kind.FILM, Kind.CAPTIONS):
        dated = known.dated[media.id]
        yield Recorded(media.id, _recorder(media), dated.at, dated.error_s)


def _recorder(media: Media) -> str:
    """Return the recorder, or where it is not known what its files share: the folder and the name without numbers."""
    path = Path(media.path)
    return media.probe.device or f"{path.parent}/{re.sub(r'[0-9]+', '', path.stem)}"
