"""A book's devices: what each one's clock showed, what tells how far it was out, and how far that is."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import cached_property
from itertools import pairwise
from os.path import basename, splitext
from zoneinfo import ZoneInfo

import numpy as np
from pydantic import Field

from pipeline.dating.clock_reasons import alone, as_clock, least_worth_moving_s
from pipeline.dating.device_clock import DeviceClock
from pipeline.dating.ends import stamped_on_stopping
from pipeline.dating.events import CARD, GPS, TOLD, ClockEvent, Fixed
from pipeline.dating.followed import Once, followed, settled
from pipeline.dating.lines import Track
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import Speech, ends_mislead, together
from pipeline.dating.recorders import Camera, Recorder, RecorderSettled, Recording, joined_speech
from pipeline.dating.sources import NETWORK_SET, WALL_CLOCK, ClueReading, date_by, own_clock, readings_of, time_limits
from pipeline.dating.spoken_times import CARD_ERROR_S
from pipeline.dating.talk import TimedTalk
from pipeline.dating.zones import seconds
from pipeline.intake.same_name import recordings_beside
from pipeline.reading.tags import as_label
from pipeline.values import Codes, Dated, Kind, Media, TimeSource, Value

_CARD_SEEN_ERROR_S = 1.5
_NOT_SPEECH_S = 600.0  # speech dated worse than this sets no clock
_NUMBER = re.compile(r"^(.*?)(\d{2,5})\D*$")
_MOST_STEPS_BACK = 3
_AS_TOLD_S = 43_200.0  # a clock that was told outright was as far out half a day before and after


class TellsOfTime(Value):
    """What recordings and photos tell of time, by the media's id."""

    talks: Mapping[str, TimedTalk] = Field(default_factory=dict)
    codes: Mapping[str, Codes] = Field(default_factory=dict)


NOTHING_TOLD = TellsOfTime()


@dataclass(frozen=True)
class Outright:
    """What a clock is out by (s) where that needs no other device: at each piece of media for which it is known.

    ``throughout_s`` is that of its whole life, as far as nothing speaks against it; None where it is not known.
    """

    offsets: Mapping[str, float] = field(default_factory=dict)
    throughout_s: float | None = None


@dataclass(frozen=True)
class Devices:
    """A book's devices and their media, and what tells of their clocks."""

    zone: ZoneInfo
    book_starts: date
    now: datetime
    pinned: Mapping[str, float]
    told: TellsOfTime
    once: Once
    plain: Mapping[str, Dated] = field(default_factory=dict)
    """Each piece of media as it is dated without knowing its device's clock."""
    owns: Mapping[str, ClueReading | None] = field(default_factory=dict)
    """What its device's clock showed; None where it showed nothing."""
    media: Mapping[str, tuple[Media, ...]] = field(default_factory=dict)
    """The media of each device that showed a time, by the device's name."""
    speech: Mapping[str, tuple[Media, ...]] = field(default_factory=dict)
    """The recordings whose time is good enough to set clocks by, by device; "" where that is not known."""
    ends: Mapping[str, bool] = field(default_factory=dict)
    """Whether a container's time marks the end of a recording, by its id, where something tells."""
    recorders: Mapping[str, RecorderSettled] = field(default_factory=dict)

    @staticmethod
    def of(
        media: Sequence[Media],
        zone: ZoneInfo,
        book_starts: date,
        now: datetime,
        pinned: Mapping[str, float],
        told: TellsOfTime,
        once: Once,
    ) -> "Devices":
        """Read what each piece of media says of its time, and settle the recorders."""
        by_files = stamped_on_stopping(media, zone)
        nothing = Devices(zone, book_starts, now, pinned, told, once)
        first = nothing._read(media, by_files)
        known = {name: first._without_others(name) for name in {*first.media, *first.speech}}
        recorders = first._recorders({name: one.throughout_s for name, one in known.items()})
        of_recorders = settled(recorders, first._cameras(known), once)
        late = {
            one.id: True
            for name, found in of_recorders.items()
            if recorders[name].ends is None and found.ends
            for one in first.media.get(name, ())
            if one.id not in by_files and _by_container(first.owns[one.id])
        }
        whole = first._read(media, {**by_files, **late}) if late else first
        return replace(whole, recorders={name: found for name, found in of_recorders.items() if name})

    def _read(self, media: Sequence[Media], ends: Mapping[str, bool]) -> "Devices":
        owns: dict[str, ClueReading | None] = {}
        plain: dict[str, Dated] = {}
        for one in media:
            readings = readings_of(one, self.zone, ends.get(one.id, False))
            owns[one.id], plain[one.id] = own_clock(readings), date_by(one, readings, self.zone, *self.limits)
        devices: dict[str, list[Media]] = defaultdict(list)
        speech: dict[str, list[Media]] = defaultdict(list)
        beside = recordings_beside(media)
        for one in media:
            named = one.probe.device if owns[one.id] is not None else ""
            if named:
                devices[named].append(one)
            if one.id in self.told.talks and one.id not in beside and plain[one.id].error_s <= _NOT_SPEECH_S:
                speech[named].append(one)
        return replace(
            self,
            plain=plain,
            owns=owns,
            media={name: tuple(devices[name]) for name in sorted(devices)},
            speech={name: tuple(speech[name]) for name in sorted(speech)},
            ends=ends,
        )

    @cached_property
    def limits(self) -> tuple[datetime, datetime]:
        """The earliest and the latest instant that anything in the book may have."""
        return time_limits(self.zone, self.book_starts, self.now)

    def _followed(self, device: str, events: Sequence[ClockEvent], said: Speech, prior: Prior) -> tuple[Track, ...]:
        earliest, latest = self.limits
        return followed(device, events, said, prior, (seconds(earliest), seconds(latest)), self.once)

    def card_at(self, media: str) -> datetime | None:
        """Return the time of the clock card that a photo shows, if it shows one."""
        codes = self.told.codes.get(media)
        return codes.card_at if codes is not None else None

    # The clocks of recorders -------------------------------------------------------------------------------------

    def _recorders(self, known: Mapping[str, float | None]) -> dict[str, Recorder]:
        return {
            name: Recorder(
                recordings=tuple(self._recording(one) for one in ones),
                prior=self._prior(ones),
                ends=None if name and all(self._open_end(one) for one in ones) else False,
                offset_s=known[name],
                named=bool(name),
            )
            for name, ones in self.speech.items()
        }

    def _recording(self, one: Media) -> Recording:
        own = self.owns[one.id] if one.probe.device else None
        at = own.at if own is not None else self.plain[one.id].at
        return Recording(seconds(at), one.probe.duration_s or 0.0, self.told.talks[one.id])

    def _open_end(self, one: Media) -> bool:
        """Tell whether nothing in the file says if its time marks the start or the end."""
        told = one.id in self.ends or any(clue.marks_end for clue in one.probe.clues)
        return _by_container(self.owns[one.id]) and not told

    def _without_others(self, device: str) -> Outright:
        """Return what a clock is out by where that needs no other device: GPS, clock cards, spoken times.

        These hold between the first and the last that agree, and for half a day about each. What the clock was out by
        long before or after nothing has told: somebody may have set it, or not have changed it when the zone's clocks
        were.
        """
        media = self.media.get(device, ())
        if device in self.pinned:
            return Outright({one.id: self.pinned[device] for one in media}, self.pinned[device])
        if not any(map(self._tells, media)):
            return Outright()
        order, events = self._events(device)
        tracks = self._followed(f"{device}, by itself", events, joined_speech(()), self._prior(media))
        offsets = {}
        for track in (one for one in tracks if one.sure):
            since_s, until_s = (events[at].shown_s for at in track.firm)
            for at in range(track.first, track.last):
                shown_s = events[at].shown_s
                if since_s - _AS_TOLD_S <= shown_s <= until_s + _AS_TOLD_S:
                    offsets[order[at]] = track.offset_at(shown_s)
        return Outright(offsets, tracks[0].offset_s if len(tracks) == 1 and tracks[0].sure else None)

    def _tells(self, one: Media) -> bool:
        """Tell whether a piece of media may give the true time outright."""
        talk, photo = self.told.talks.get(one.id), one.probe.kind is Kind.PHOTO
        by_gps = photo and self.plain[one.id].source is TimeSource.GPS
        return by_gps or (photo and self.card_at(one.id) is not None) or bool(talk is not None and talk.times)

    def _cameras(self, known: Mapping[str, Outright]) -> list[Camera]:
        """Return each camera's photos: those whose true time is known apart from the others."""
        found = []
        for name in self.media:
            photos, offsets = self._photos(name), known[name].offsets
            true = [self._shown_s(one.id) - offsets[one.id] for one in photos if one.id in offsets]
            shown = [self._shown_s(one.id) for one in photos if one.id not in offsets]
            for times, right in ((true, True), (shown, False)):
                if times:
                    found.append(Camera(name, np.array(sorted(times), dtype=np.float64), self._prior(photos), right))
        return found

    def _photos(self, device: str) -> list[Media]:
        return [one for one in self.media.get(device, ()) if one.probe.kind is Kind.PHOTO]

    def _prior(self, media: Iterable[Media]) -> Prior:
        """Return how likely a clock is to be out: little where every time that it showed came with its offset."""
        sources = {own.source for one in media if (own := self.owns[one.id]) is not None}
        return Prior.network_set() if sources and sources <= NETWORK_SET else Prior.hand_set()

    # The clocks of all devices -----------------------------------------------------------------------------------

    def clock(self, device: str) -> DeviceClock:
        """Fit one device's clock."""
        found, stamps = self.recorders.get(device), self._stamps(device)
        if device in self.pinned:
            return alone(device, self.pinned[device], True, "Set in the book's settings.", stamps)
        if found is not None and found.sure:
            why = "Photos stand with its words only then, and the cameras' clocks speak for it."
            return alone(device, found.offset_s, True, why, stamps, found.anchors)
        order, events = self._events(device)
        prior = self._prior(self.media.get(device, ()))
        tracks = self._followed(device, events, self._speech_of_others(device), prior)
        if not tracks:
            why = "Nothing tells how far it is out."
            if found is not None:
                why = (
                    "Nothing tells how far it is out. It is taken as right, and cameras are set by what it recorded."
                )
            return alone(device, 0.0, False, why, stamps)
        least_s = least_worth_moving_s(prior, tracks)
        fits = tuple((as_clock(device, one, events, self.zone, stamps, least_s), one) for one in tracks)
        shown_s = [one.shown_s for one in events]
        return DeviceClock(fits, {name: index for index, name in enumerate(order)}, shown_s, least_s)

    def _speech_of_others(self, device: str) -> Speech:
        """Return what other devices recorded, in true time as far as their clocks are known."""
        said = together([speech for name, speech in self._said.items() if name != device])
        return replace(said, ends_mislead=self._ends_mislead)

    @cached_property
    def _ends_mislead(self) -> bool:
        """Whether photos of devices that set their clocks themselves speak against the ends of sentences."""
        photos = (self._photos(name) for name in self.media)
        shown = [self._shown_s(one.id) for ones in photos if self._prior(ones) == Prior.network_set() for one in ones]
        return ends_mislead(np.array(shown, dtype=np.float64), together(list(self._said.values())))

    @cached_property
    def _said(self) -> dict[str, Speech]:
        """What each device recorded, in true time as far as its clock is known."""
        return {
            name: joined_speech((self.told.talks[one.id], self._start_s(one, name)) for one in ones)
            for name, ones in self.speech.items()
        }

    def _start_s(self, recording: Media, device: str) -> float:
        """Return when a recording truly started, as far as its recorder's clock is known."""
        own, found = self.owns[recording.id], self.recorders.get(device)
        known_s = found.offset_s if found is not None and found.sure else None
        known_s = self.pinned.get(device, known_s)
        if own is None or known_s is None:
            return seconds(self.plain[recording.id].at)
        return seconds(own.at) - known_s

    def _events(self, device: str) -> tuple[list[str], list[ClockEvent]]:
        """Return what tells of a device's clock, in order, with the media that each event comes from."""
        shown = {one.id: self._shown_s(one.id) for one in self._photos(device)}
        photos = sorted(self._photos(device), key=lambda one: (shown[one.id], one.id))
        fixes: set[datetime] = set()
        found: list[tuple[str, ClockEvent]] = []
        for one in photos:
            plain, codes, fixed = self.plain[one.id], self.told.codes.get(one.id), []
            if plain.source is TimeSource.GPS and plain.at not in fixes:  # a fix repeated tells only once
                fixes.add(plain.at)
                fixed.append(Fixed(GPS, seconds(plain.at), 1.0, stale=True))
            if codes is not None and codes.card_at is not None:
                fixed.append(Fixed(CARD, seconds(codes.card_at), _CARD_SEEN_ERROR_S, decides=True))
            tags = tuple(map(as_label, codes.tags)) if codes is not None else ()
            found.append(
                (one.id, ClockEvent(shown[one.id], tags=tags, fixed=tuple(fixed), zone_s=self._zone_s(one.id)))
            )
        counted = _numbered(photos, shown, seconds(self.limits[0]))
        found.sort(key=lambda pair: counted.get(pair[0], 0))
        spoken = [(one.id, event) for one in self.media.get(device, ()) for event in self._spoken(one)]
        whole = _each_before_what_is_later(sorted(spoken, key=lambda pair: pair[1].shown_s), found)
        return [one for one, _ in whole], [event for _, event in whole]

    def _spoken(self, media: Media) -> Iterator[ClockEvent]:
        """Yield the times of day that are told in a recording."""
        talk, own = self.told.talks.get(media.id), self.owns[media.id]
        if talk is None or own is None:
            return
        for at_s, said in talk.times:
            shown = own.at + timedelta(seconds=at_s)
            card = said.error_s <= CARD_ERROR_S
            fixed = Fixed(CARD if card else TOLD, seconds(said.near(shown)), said.error_s, decides=card)
            yield ClockEvent(seconds(shown), photo=False, fixed=(fixed,), zone_s=self._zone_s(media.id))

    def _zone_s(self, media: str) -> float | None:
        """Return the zone's offset by which the wall clock of its device was read; None where that gave its own."""
        own = self.owns[media]
        if own is None or own.source not in WALL_CLOCK:
            return None
        return (own.at.utcoffset() or timedelta(0)).total_seconds()

    def _shown_s(self, media: str) -> float:
        own = self.owns[media]
        if own is None:
            raise LookupError(media)
        return seconds(own.at)

    def _stamps(self, device: str) -> str:
        """Return whether a recorder stamps start or end, "" where it is none or its files say so themselves."""
        recordings = [one for one in self.media.get(device, ()) if _by_container(self.owns[one.id])]
        if not recordings:
            return ""
        return "end" if any(self.ends.get(one.id) for one in recordings) else "start"


def _numbered(photos: Sequence[Media], shown: Mapping[str, float], earliest_s: float) -> dict[str, int]:
    """Return each photo's place by the numbers in their names, which a camera counts up whatever its clock says.

    Of the names under which one is there, that with the same words in front as all others tells. Empty where none
    does: other words in front, a number twice, or time that goes back more than thrice (a clock that begins anew, and
    shows what is earlier than anything may be, goes back each time that it is switched on).
    """
    each = [_numbers_in(one) for one in photos]
    words = set(each[0]).intersection(*each[1:]) if each else ()
    if not words:
        return {}
    in_front = min(words)
    named = {numbers[in_front]: one.id for numbers, one in zip(each, photos, strict=True)}
    if len(named) < len(photos):
        return {}
    order = [named[number] for number in sorted(named)]
    back = sum(earliest_s <= shown[after] < shown[before] for before, after in pairwise(order))
    return {one: place for place, one in enumerate(order)} if back <= _MOST_STEPS_BACK else {}


def _numbers_in(media: Media) -> dict[str, int]:
    """Return the number in each name of a file, by the words in front of it: who passes a photo on renames it."""
    matches = (_NUMBER.match(splitext(basename(file.path))[0]) for file in media.files)  # noqa: PTH119, PTH122 - quicker
    return {match[1]: int(match[2]) for match in matches if match is not None}


def _each_before_what_is_later(
    some: Sequence[tuple[str, ClockEvent]], others: Iterable[tuple[str, ClockEvent]]
) -> list[tuple[str, ClockEvent]]:
    """Return the others in their order, and each of some, which are in order, before the first shown later."""
    merged: list[tuple[str, ClockEvent]] = []
    next_one = 0
    for other in others:
        while next_one < len(some) and other[1].shown_s > some[next_one][1].shown_s:
            merged.append(some[next_one])
            next_one += 1
        merged.append(other)
    return [*merged, *some[next_one:]]


def _by_container(own: ClueReading | None) -> bool:
    return own is not None and own.source is TimeSource.CONTAINER
