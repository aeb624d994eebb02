"""What happened on each day, in order of time: what was said, what was seen, what ran, and what is in doubt."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, tzinfo

from pipeline.records import EntryRecord, MediaRecord, NotUnderstood, PhotoLink, Records, UtteranceRecord
from pipeline.values import Kind
from pipeline.writing.dated_by import day_known
from pipeline.writing.timeline_moves import Move, Moves

NOT_DRAWN_S = 900.0
"""Media whose time may be out by more are told and not drawn: a place in the drawing would be a guess."""
NO_ENTRY = "no entry has it"


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo or a still: when it was taken, why it was moved, what it stands with, and why it does not ("")."""

    media: MediaRecord
    at: datetime
    move: Move | None
    stands: tuple[tuple[EntryRecord, PhotoLink], ...]
    loose: str


@dataclass(frozen=True, slots=True)
class Words:
    """An utterance, with its recording and the entry that it is in; ``loose`` says why it is in none."""

    said: UtteranceRecord
    media: MediaRecord
    at: datetime
    until: datetime
    entry: EntryRecord | None
    loose: str


@dataclass(frozen=True, slots=True)
class Running:
    """A recording, a film, or captions that stand alone, from start to end as far as that is known."""

    media: MediaRecord
    at: datetime
    until: datetime
    move: Move | None


@dataclass(frozen=True, slots=True)
class Unheard:
    """Sound that did not become words."""

    one: NotUnderstood
    media: MediaRecord
    at: datetime
    until: datetime


@dataclass(frozen=True)
class Happened:
    """What happened, each kind in order of time."""

    photos: tuple[Photo, ...] = ()
    words: tuple[Words, ...] = ()
    runs: tuple[Running, ...] = ()
    unheard: tuple[Unheard, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.photos or self.words or self.runs or self.unheard)


@dataclass(frozen=True)
class Day:
    """One day in the book's zone.

    ``uncertain`` is what may not belong there, or not at that time; ``still_running`` began on an earlier day.
    """

    day: date
    drawn: Happened
    uncertain: Happened
    still_running: tuple[Running, ...]
    two_offsets: bool
    """Whether the clocks were changed on that day, so that a time without its offset may be two instants."""


@dataclass(frozen=True)
class Days:
    """The whole book: its days in order, and the media whose day nobody knows."""

    days: tuple[Day, ...]
    undated: Happened


MoveOf = Callable[[MediaRecord], Move | None]
"""Gives the move of a piece of media, None where it has none."""


def days_of(records: Records, zone: tzinfo, move_of: MoveOf | None = None) -> Days:
    """Sort everything that the records hold by its day in the book's zone.

    Args:
        records: everything that a book holds, or a part of it.
        zone: the book's time zone.
        move_of: gives the moves, where the records do not have the clocks that tell them.
    """
    found: dict[date, _Pile] = defaultdict(_Pile)
    undated = _Pile()
    for one in _everything(records, zone, move_of or Moves(records, zone).of):
        media = one.media
        if not day_known(media):
            undated.uncertain.append(one)
        elif media.time_error_s > NOT_DRAWN_S:
            found[one.at.date()].uncertain.append(one)
        else:
            found[one.at.date()].drawn.append(one)
    overnight = [
        one
        for pile in found.values()
        for one in pile.drawn
        if isinstance(one, Running) and one.at.date() < one.until.date()
    ]
    days = tuple(
        Day(
            day,
            _in_order(pile.drawn),
            _in_order(pile.uncertain),
            _in_order(one for one in overnight if one.at.date() < day <= one.until.date()).runs,
            _two_offsets(day, zone),
        )
        for day, pile in sorted(found.items())
    )
    return Days(days, _in_order(undated.uncertain))


Happening = Photo | Words | Running | Unheard


@dataclass
class _Pile:
    drawn: list[Happening] = field(default_factory=list)
    uncertain: list[Happening] = field(default_factory=list)


def _in_order(pile: Iterable[Happening]) -> Happened:
    # by the instant, not by what a clock shows: on the night on which clocks go back, an hour comes twice
    ordered = sorted(
        pile, key=lambda one: (one.at.timestamp(), one.media.id, one.said.id if isinstance(one, Words) else "")
    )
    return Happened(
        photos=tuple(one for one in ordered if isinstance(one, Photo)),
        words=tuple(one for one in ordered if isinstance(one, Words)),
        runs=tuple(one for one in ordered if isinstance(one, Running)),
        unheard=tuple(one for one in ordered if isinstance(one, Unheard)),
    )


def _everything(records: Records, zone: tzinfo, move_of: MoveOf) -> Iterable[Happening]:
    media = {one.id: one for one in records.media}
    stands: dict[str, list[tuple[EntryRecord, PhotoLink]]] = defaultdict(list)
    entry_of: dict[str, EntryRecord] = {}
    for entry in records.entries:
        entry_of |= {said: entry for said in entry.utterances}
        for link in entry.photos:
            stands[link.media].append((entry, link))
    no_photo = {one.media: one.why for one in records.unplaced_photos}
    no_speech = {one.utterance: one.why for one in records.unplaced_speech}
    ends: dict[str, float] = {}
    for said in records.utterances:
        ends[said.media] = max(ends.get(said.media, 0.0), said.end_s)
    for one in records.media:
        at = one.taken_at.astimezone(zone)
        if one.kind == Kind.PHOTO:
            placed = tuple(stands.get(one.id, ()))
            loose = no_photo.get(one.id, "" if placed else NO_ENTRY)
            yield Photo(one, at, move_of(one), placed, loose)
        elif one.kind in (Kind.RECORDING, Kind.FILM) or one.id in ends:  # captions may stand alone
            yield Running(one, at, _after(at, one.duration_s or ends.get(one.id, 0.0), zone), move_of(one))
    for said in records.utterances:
        if said.media not in media:
            continue  # without its recording there is no telling when it was said
        entry_or_none = entry_of.get(said.id)
        loose = no_speech.get(said.id, "" if entry_or_none else NO_ENTRY)
        start, end = said.start_at.astimezone(zone), said.end_at.astimezone(zone)
        until = max(start, end, key=datetime.timestamp)
        yield Words(said, media[said.media], start, until, entry_or_none, loose)
    for missed in records.not_understood:
        starts = media[missed.media].taken_at.astimezone(zone)
        from_, to = (_after(starts, seconds, zone) for seconds in (missed.start_s, missed.end_s))
        yield Unheard(missed, media[missed.media], from_, to)


def _after(at: datetime, seconds: float, zone: tzinfo) -> datetime:
    """Add seconds as they pass, also over a night in which the clocks are changed."""
    return (at.astimezone(UTC) + timedelta(seconds=seconds)).astimezone(zone)


def _two_offsets(day: date, zone: tzinfo) -> bool:
    starts = datetime(day.year, day.month, day.day, tzinfo=zone)
    return starts.utcoffset() != (starts + timedelta(days=1)).utcoffset()


def name_of(path: str) -> str:
    """Return a file's name, without its folders."""
    return path.replace("\\", "/").rsplit("/", 1)[-1]
