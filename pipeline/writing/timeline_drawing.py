"""One day, drawn: time runs down; words are bars on the left, photos are marks on the right, and lines join them."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime, tzinfo
from itertools import groupby, pairwise
from typing import TypeVar

from pipeline.english import minutes, short_date, utc_offset
from pipeline.plain_text import cut_short
from pipeline.records import EntryRecord
from pipeline.spans import span_text
from pipeline.values import Kind
from pipeline.writing.day_pages import percent
from pipeline.writing.drawn_time import MINUTE_S, Band, DrawnTime, minute_of, spread
from pipeline.writing.timeline_days import Day, Photo, Running, Unheard, Words, name_of
from pipeline.writing.timeline_lanes import Lanes
from pipeline.writing.timeline_marks import (
    Drawing,
    Gap,
    Mark,
    NoWords,
    PhotoMark,
    Piece,
    Rule,
    RunLine,
    SaidMark,
    StartMark,
    Tie,
)

PIECE_PX = 400.0
"""A drawing is cut into pieces about so tall, of which two or three fit on a printed page."""
SURE = 0.9
"""A photo that stands with words less surely than this gets its probability in the drawing."""
_PHOTO_PX, _LABEL_PX, _BAR_PX = 13.0, 15.0, 6.0
_LABEL_COLUMNS, _NAME_COLUMNS = 52, 20
_ONE_BREATH_S = 8.0
_RING_LEAST_PX, _RING_MOST_PX = 7.0, 140.0
_CHANCES_APART_PX = 12.0
_ROOM_FOR_DAY_AND_TIME_PX = 76.0
_LEAST_BAR_PX = 2.0
_BRACKET_PX = 10.5
_TOLD_EVERY_MIN = 5

_Placed = TypeVar("_Placed", SaidMark | StartMark, PhotoMark)


def draw(day: Day, zone: tzinfo, row_of: Callable[[object], str]) -> Drawing | None:
    """Draw what happened on a day at times that are known well enough; None where that is nothing.

    Args:
        day: what happened.
        zone: the book's time zone.
        row_of: gives the place of the line in the day's list where a photo, an utterance or a recording is told.
    """
    if not day.drawn:
        return None
    return _Draughtsman(day, zone, row_of).drawing()


class _Draughtsman:
    def __init__(self, day: Day, zone: tzinfo, row_of: Callable[[object], str]) -> None:
        self._day = day
        self._zone = zone
        self._row_of = row_of
        self._lanes = Lanes.of(day)
        self._groups = _groups(day.drawn.words)
        self._of_entry: dict[str, list[Sequence[Words]]] = {}
        for group in self._groups:
            if group[0].entry is not None:
                self._of_entry.setdefault(group[0].entry.id, []).append(group)
        self._time = DrawnTime.of(self._needs_px())

    def drawing(self) -> Drawing:
        marks: list[Mark] = [*self._said_and_started(), *self._photos()]
        marks.sort(key=lambda one: (one.at.timestamp(), one.row))
        ties = [tie for photo in self._day.drawn.photos for tie in self._ties(photo)]
        return Drawing(self._lanes, tuple(self._pieces(marks, ties)), self._time.height)

    def _pieces(self, marks: Sequence[Mark], ties: Sequence[Tie]) -> Iterable[Piece]:
        no_words = tuple(self._no_words())
        cut = list(self._cut())
        labels = [rule.y for bands in cut for rule in self._rules(bands) if rule.label]
        legible = _legible(ties, labels)
        for bands in cut:
            top, bottom = bands[0].top, bands[-1].bottom
            until = float("inf") if bands is cut[-1] else bottom
            yield Piece(
                top=top,
                bottom=bottom,
                rules=tuple(self._rules(bands)),
                gaps=tuple(self._gaps(bands)),
                runs=tuple(self._runs(top, bottom)),
                no_words=tuple(one for one in no_words if top <= one.top < until),
                ties=tuple(one for one in legible if top <= one.from_y < until),
                marks=tuple(one for one in marks if top <= one.top < until),
            )

    def _cut(self) -> Iterable[Sequence[Band]]:
        piece: list[Band] = []
        for band in self._time.bands:
            if piece and band.bottom - piece[0].top > PIECE_PX:
                yield piece
                piece = []
            piece.append(band)
        yield piece

    # Time --------------------------------------------------------------------------------------------------------

    def _y(self, at: datetime) -> float:
        return round(self._time.y(at.timestamp()), 1)

    def _needs_px(self) -> dict[int, float]:
        happened = self._day.drawn
        photos = Counter(minute_of(one.at.timestamp()) for one in happened.photos)
        labels = Counter(
            minute_of(at.timestamp())
            for at in (*(group[0].at for group in self._groups), *(one.at for one in happened.runs))
        )
        voices: tuple[Words | Unheard, ...] = (*happened.words, *happened.unheard)
        bars = Counter(
            minute
            for one in voices
            for minute in range(minute_of(one.at.timestamp()), minute_of(one.until.timestamp()) + 1, MINUTE_S)
        )
        return {
            minute: max(photos[minute] * _PHOTO_PX, labels[minute] * _LABEL_PX, bars[minute] * _BAR_PX) + 4
            for minute in photos.keys() | labels.keys() | bars.keys()
        }

    def _rules(self, bands: Sequence[Band]) -> Iterable[Rule]:
        fresh = True
        for band in bands:
            if not band.shortened:
                at = datetime.fromtimestamp(band.from_s, tz=self._zone)
                told = fresh or at.minute % _TOLD_EVERY_MIN == 0
                offset = utc_offset(at) if told and self._day.two_offsets else ""
                yield Rule(round(band.top, 1), f"{at:%H:%M}" if told else "", offset, at.minute == 0)
            fresh = band.shortened

    def _gaps(self, bands: Sequence[Band]) -> Iterable[Gap]:
        for band in bands:
            if band.shortened:
                yield Gap(band.to_s, round(band.top, 1), round(band.bottom, 1), span_text(band.to_s - band.from_s))

    def _apart(self, marks: Sequence[_Placed], apart: float) -> Iterable[_Placed]:
        """Keep marks clear of one another, each within its own minute, which is tall enough for all of its marks."""
        for minute, own in groupby(marks, key=lambda one: minute_of(one.at.timestamp())):
            there = list(own)
            top, bottom = self._time.y(minute), self._time.y(minute + MINUTE_S)
            places = spread([one.top for one in there], apart, top + apart / 2, bottom - apart / 2)
            for one, y in zip(there, places, strict=True):
                yield replace(one, y=round(y, 1))

    # What was said -----------------------------------------------------------------------------------------------

    def _said_and_started(self) -> Iterable[Mark]:
        made: list[SaidMark | StartMark] = [self._said(group) for group in self._groups]
        made += [self._started(one) for one in self._day.drawn.runs]
        made.sort(key=lambda one: (one.at.timestamp(), one.row))
        return self._apart(made, _LABEL_PX)

    def _said(self, group: Sequence[Words]) -> SaidMark:
        first = group[0]
        tops = [(self._y(one.at), self._y(one.until)) for one in group]
        bars = tuple((top, max(_LEAST_BAR_PX, round(bottom - top - 0.8, 1))) for top, bottom in tops)
        words = cut_short(" ".join(one.said.read for one in group), _LABEL_COLUMNS)
        return SaidMark(
            at=first.at,
            row=self._row_of(first),
            title=f"{first.at:%H:%M:%S} \u201c{words}\u201d{'' if first.entry else ', not placed'}",
            x=self._lanes.said_axis(first.media.device),
            top=bars[0][0],
            bottom=max(top + height for top, height in bars),
            bars=bars,
            loose=first.entry is None,
            label=f"\u201c{words}\u201d",
            y=bars[0][0],
        )

    def _started(self, one: Running) -> StartMark:
        told = f"{one.media.kind}: {cut_short(name_of(one.media.path), _NAME_COLUMNS)}"
        moved = f", {one.move.text}" if one.move else ""
        return StartMark(
            at=one.at,
            row=self._row_of(one),
            title=f"{one.at:%H:%M:%S} {told}{moved}",
            x=self._lanes.said_axis(one.media.device),
            top=self._y(one.at),
            label=told + moved,
            y=self._y(one.at),
            shown=one.move.shown if one.move else "",
        )

    def _runs(self, top: float, bottom: float) -> Iterable[RunLine]:
        for one in (*self._day.drawn.runs, *self._day.still_running):
            first, last = self._y(one.at), self._y(one.until)
            if last < top or first >= bottom:
                continue
            film = one.media.kind == Kind.FILM
            axes = [self._lanes.said_axis(one.media.device)]
            axes += [self._lanes.seen_axis(one.media.device)] if film else []
            yield RunLine(
                xs=tuple(axes),
                top=max(first, top),
                bottom=min(last, bottom),
                starts=first >= top and one.at.date() == self._day.day,
                ends=last < bottom,
                film=film,
            )

    def _no_words(self) -> Iterable[NoWords]:
        for one in self._day.drawn.unheard:
            top = self._y(one.at)
            bottom = max(self._y(one.until), top + _LEAST_BAR_PX)
            yield NoWords(self._lanes.said_axis(one.media.device), top, bottom)

    # What was seen -----------------------------------------------------------------------------------------------

    def _photos(self) -> Iterable[Mark]:
        return self._apart([self._photo(one) for one in self._day.drawn.photos], _PHOTO_PX)

    def _photo(self, photo: Photo) -> PhotoMark:
        y = self._y(photo.at)
        still = photo.media.still_of is not None
        name = cut_short(name_of(photo.media.path), _NAME_COLUMNS)
        if still:
            name = f"still at {minutes(photo.media.still_at_s or 0.0)}"
        told = ["not placed"] if photo.loose else [percent(link.p) for _, link in photo.stands if link.p < SURE]
        if photo.move:
            told.append(photo.move.text.removeprefix("moved ") if told else photo.move.text)
        return PhotoMark(
            at=photo.at,
            row=self._row_of(photo),
            title=", ".join((f"{photo.at:%H:%M:%S} {name}", *told)),
            x=self._lanes.seen_axis(photo.media.device),
            top=y,
            y=y,
            loose=bool(photo.loose),
            still=still,
            name=name,
            note=" \u00b7 ".join(told),
            shown=self._shown(photo),
            ring_y=self._ring_y(photo),
        )

    def _shown(self, photo: Photo) -> str:
        """Return what its clock showed, briefly: of another day the day, with the time where the lane has room."""
        if photo.move is None:
            return ""
        shown = photo.move.shown_at
        if shown.date() == photo.at.date():
            return f"{shown:%H:%M:%S}"
        if shown.year != photo.at.year:
            return short_date(shown)
        roomy = self._lanes.seen[0].right - self._lanes.seen[0].left >= _ROOM_FOR_DAY_AND_TIME_PX
        return short_date(shown).rsplit(" ", 1)[0] + (f" {shown:%H:%M}" if roomy else "")

    def _ring_y(self, photo: Photo) -> float | None:
        if photo.move is None:
            return None
        at_s, shown_s = photo.at.timestamp(), photo.move.shown_at.timestamp()
        away = abs(self._time.y(at_s) - self._time.y(shown_s))
        near = self._time.on_one_stretch(at_s, shown_s) and _RING_LEAST_PX <= away <= _RING_MOST_PX
        return self._y(photo.move.shown_at) if near else None

    def _ties(self, photo: Photo) -> Iterable[Tie]:
        for entry, link in photo.stands:
            group = self._group_near(entry, photo.at)
            if not group:
                continue
            from_y = self._y(photo.at)
            top, bottom = self._y(group[0].at), max(self._y(one.until) for one in group)
            yield Tie(
                from_x=self._lanes.seen_axis(photo.media.device),
                from_y=from_y,
                to_x=self._lanes.said_axis(group[0].media.device) + _BRACKET_PX,
                to_y=min(max(from_y, top), bottom),
                weak=link.p < SURE,
                percent=percent(link.p) if link.p < SURE else "",
            )

    def _group_near(self, entry: EntryRecord, at: datetime) -> Sequence[Words]:
        own = self._of_entry.get(entry.id, [])
        return min(own, key=lambda group: abs(group[0].at.timestamp() - at.timestamp()), default=())


def _legible(ties: Sequence[Tie], labels: Sequence[float]) -> list[Tie]:
    """Leave out the probabilities that would stand on one another or on a time; the list tells them all."""
    made: list[Tie] = []
    taken = sorted(labels)
    last = float("-inf")
    for tie in sorted(ties, key=lambda one: one.from_y):
        place = bisect_left(taken, tie.from_y - _CHANCES_APART_PX)
        free = place == len(taken) or taken[place] >= tie.from_y + _CHANCES_APART_PX
        if tie.percent and free and tie.from_y - last >= _CHANCES_APART_PX:
            last = tie.from_y
            made.append(tie)
        else:
            made.append(replace(tie, percent=""))
    return made


def _groups(words: Sequence[Words]) -> tuple[Sequence[Words], ...]:
    """Put together what belongs together: an entry's words, and words in no entry said in one breath."""
    found: list[list[Words]] = []
    by_recording: dict[str, list[Words]] = {}
    for one in words:
        by_recording.setdefault(one.media.id, []).append(one)
    for own in by_recording.values():
        found.append(own[:1])
        for before, after in pairwise(own):
            same = (before.entry is None) == (after.entry is None)
            if before.entry is not None and after.entry is not None:
                same = before.entry.id == after.entry.id
            elif same:
                same = after.at.timestamp() - before.until.timestamp() <= _ONE_BREATH_S
            if same:
                found[-1].append(after)
            else:
                found.append([after])
    return tuple(sorted(found, key=lambda group: (group[0].at.timestamp(), group[0].said.id)))
