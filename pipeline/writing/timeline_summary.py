"""The archivist's questions, answered first: what was moved, by how much and why, and what could not be placed."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from pipeline.english import capital, listed, minutes, month, plural, short_date
from pipeline.records import Records
from pipeline.spans import clock_text, span_text
from pipeline.values import Clock, Kind
from pipeline.writing.dated_by import DATED_BY
from pipeline.writing.entry_links import Link
from pipeline.writing.timeline_days import Day, Days, Happened, Photo, Running, Words, name_of
from pipeline.writing.timeline_list import row_id
from pipeline.writing.timeline_moves import WORTH_TELLING_S, Move, far_text, is_outside, way_text

MOST_NAMED = 24
"""So many files are named one by one; of more, how many they are on each day, or in each month."""
_SAME_S = 1.5
_LEAST_S = 0.05
_KINDS = ("photo", "still", "film", "recording", "caption file", "passage")
NOTHING = Happened()

Place = Callable[[date | None, str], str]
"""Gives the link to a line of a day's list (or of the undated), from the page that is written."""


@dataclass(frozen=True)
class Answer:
    """A short answer: "12 of 45 photos moved to another time"; ``kind`` names the section that tells more."""

    kind: str
    number: int
    of: int
    noun: str
    what: str

    @property
    def text(self) -> str:
        """The answer without its number: "of 45 photos moved to another time"."""
        return f"of {self.of:,} {plural(self.noun, self.of)} {self.what}"


@dataclass(frozen=True)
class Group:
    """Media or words of which the same is to be said.

    ``what`` counts them; ``device`` and ``by``, how far they were moved, are "" where those are not the point;
    ``clock`` is the number of the clock behind it; ``links`` lead to each, or to the first of each day or month.
    """

    what: str
    device: str
    by: str
    why: str
    clock: int | None
    links: tuple[Link, ...]


@dataclass(frozen=True)
class ClockView:
    """One fit of a device's clock, in words. ``turn`` says which of several settings; ``effect`` what it moved."""

    number: int
    device: str
    turn: str
    was: str
    sure: bool
    effect: str
    facts: tuple[tuple[str, str], ...]
    why: str


@dataclass(frozen=True)
class Summary:
    """All answers, the shortest first."""

    answers: tuple[Answer, ...]
    moved: tuple[Group, ...]
    photos: tuple[Group, ...]
    speech: tuple[Group, ...]
    hidden: tuple[Group, ...]
    clocks: tuple[ClockView, ...]


@dataclass(frozen=True)
class _Told:
    """A piece of media or an utterance on the day under which it is told (None for the undated)."""

    one: Photo | Words | Running
    day: date | None
    drawn: bool


def summary(records: Records, days: Days, zone: tzinfo, place: Place) -> Summary:
    """Answer for a whole book.

    Args:
        records: everything that the book holds.
        days: the same, sorted by day.
        zone: the book's time zone.
        place: gives the links.
    """
    told = tuple(_told(days.days, days.undated))
    moved = _moved(told, place)
    loose = [one for one in told if _why_loose(one)]
    return Summary(
        answers=answers(*days.days, undated=days.undated),
        moved=tuple(group for group, _ in moved),
        photos=_grouped([one for one in loose if isinstance(one.one, Photo)], place, _why_loose),
        speech=_grouped([one for one in loose if isinstance(one.one, Words)], place, _why_loose),
        hidden=_grouped(
            [one for one in told if not one.drawn and not isinstance(one.one, Words)], place, _how_uncertain
        ),
        clocks=tuple(_clocks(records, told, moved, zone)),
    )


def answers(*days: Day, undated: Happened = NOTHING) -> tuple[Answer, ...]:
    """Return the shortest answers for some days: how many were moved, how many stand nowhere, what is not drawn."""
    told = tuple(_told(days, undated))
    photos = [one.one for one in told if isinstance(one.one, Photo)]
    words = [one.one for one in told if isinstance(one.one, Words)]
    sound = [one.one for one in told if isinstance(one.one, Running)]
    hidden = [one for one in told if not one.drawn and not isinstance(one.one, Words)]
    every = (
        Answer("moved", sum(one.move is not None for one in photos), len(photos), "photo", "moved to another time"),
        Answer("moved", sum(one.move is not None for one in sound), len(sound), "recording", "moved to another time"),
        Answer("loose", sum(bool(one.loose) for one in photos), len(photos), "photo", "not placed"),
        Answer("unsaid", sum(bool(one.loose) for one in words), len(words), "passage", "of speech in no entry"),
        Answer("hidden", len(hidden), len(photos) + len(sound), "file", "with a time too uncertain to draw"),
    )
    told_if_none = ("photo", "passage")
    return tuple(one for one in every if one.of and (one.number or one.noun in told_if_none))


def _told(days: Iterable[Day], undated: Happened) -> Iterable[_Told]:
    for day in days:
        for happened, drawn in ((day.drawn, True), (day.uncertain, False)):
            for one in _told_of(happened):
                yield _Told(one, day.day, drawn)
    for one in _told_of(undated):
        yield _Told(one, None, drawn=False)


def _told_of(happened: Happened) -> tuple[Photo | Words | Running, ...]:
    return (*happened.photos, *happened.runs, *happened.words)


def _moved(told: Sequence[_Told], place: Place) -> list[tuple[Group, int | None]]:
    """Group what was moved by its device and by the clock, or the other reason, that it was moved by."""
    groups: dict[tuple[str, int, str], list[tuple[_Told, Move]]] = defaultdict(list)
    for each in told:
        if not isinstance(each.one, Words) and (move := each.one.move) is not None:
            key = (each.one.media.device, -1 if move.clock is None else move.clock, move.reason)
            groups[key].append((each, move))
    made = []
    for (_, clock, reason), ones in sorted(groups.items()):
        group = Group(
            what=_counted([each for each, _ in ones]),
            device=ones[0][0].one.media.device,
            by=_by([move.by_s for _, move in ones]),
            why=capital(reason),
            clock=None if clock < 0 else clock + 1,
            links=_links([each for each, _ in ones], place),
        )
        made.append((group, None if clock < 0 else clock))
    return made


def _grouped(told: Sequence[_Told], place: Place, why: Callable[[_Told], str]) -> tuple[Group, ...]:
    groups: dict[str, list[_Told]] = defaultdict(list)
    for one in told:
        groups[why(one)].append(one)
    ordered = sorted(groups.items(), key=lambda item: (-len(item[1]), item[0]))
    return tuple(
        Group(_counted(ones), "", "", capital(reason), None, _links(ones, place)) for reason, ones in ordered
    )


def _why_loose(told: _Told) -> str:
    return "" if isinstance(told.one, Running) else told.one.loose


def _how_uncertain(told: _Told) -> str:
    media = told.one.media
    if told.day is None:
        return f"nobody knows the day; dated by {DATED_BY[media.time_source]}"
    return f"right to within {span_text(media.time_error_s)} only; dated by {DATED_BY[media.time_source]}"


def _links(ones: Sequence[_Told], place: Place) -> tuple[Link, ...]:
    """Link to each, by name, where they are few; else to the first of each day or month, with how many they are."""
    if len(ones) <= MOST_NAMED:
        return tuple(Link(place(one.day, row_id(one.one)), _name(one)) for one in ones)
    named = short_date if len({one.day for one in ones}) <= MOST_NAMED else _month
    periods: dict[str, list[_Told]] = defaultdict(list)
    for one in sorted(ones, key=lambda each: each.day or date.max):
        periods[named(one.day) if one.day else "day not known"].append(one)
    return tuple(
        Link(place(own[0].day, row_id(own[0].one)), f"{period}: {len(own):,}") for period, own in periods.items()
    )


def _month(day: date) -> str:
    return f"{month(day)} {day.year}"


def _name(told: _Told) -> str:
    if isinstance(told.one, Words):
        return f"{short_date(told.one.at)} {told.one.at:%H:%M:%S}"
    name = name_of(told.one.media.path)
    return name if told.one.media.still_of is None else f"{name} at {minutes(told.one.media.still_at_s or 0.0)}"


def _counted(ones: Sequence[_Told]) -> str:
    """Return "12 photos, 3 stills and 1 film"."""
    kinds = Counter(_kind(one.one) for one in ones)
    return listed([f"{kinds[kind]:,} {plural(kind, kinds[kind])}" for kind in _KINDS if kinds[kind]])


def _kind(one: Photo | Words | Running) -> str:
    if isinstance(one, Words):
        return "passage"
    if isinstance(one, Photo):
        return "photo" if one.media.still_of is None else "still"
    return "caption file" if one.media.kind == Kind.CAPTIONS else str(one.media.kind)


def _by(moves_s: Sequence[float]) -> str:
    """Return "1 h 4 s later", or from how much to how much."""
    low, high = min(moves_s), max(moves_s)
    if high - low <= _SAME_S:
        return way_text(moves_s[0])
    if low * high > 0:
        near, far = sorted((low, high), key=abs)
        alike = far_text(near) == far_text(far)  # "over 14 years" both
        return way_text(far) if alike else f"{far_text(near)} to {way_text(far)}"
    return f"{way_text(low)} to {way_text(high)}"


def _clocks(
    records: Records, told: Sequence[_Told], moved: Sequence[tuple[Group, int | None]], zone: tzinfo
) -> Iterable[ClockView]:
    fits = Counter(clock.device for clock in records.clocks if not clock.untouched)
    seen: Counter[str] = Counter()
    for place, clock in enumerate(records.clocks):
        seen[clock.device] += not clock.untouched
        turns = [f"stretch {seen[clock.device]} of {fits[clock.device]}"] if fits[clock.device] > 1 else []
        turns += ["left as it was when the clocks changed"] if clock.untouched else []
        effects = [f"{group.what} moved {group.by}" for group, of in moved if of == place]
        yield ClockView(
            number=place + 1,
            device=clock.device,
            turn=", ".join(turns),
            was=_was(clock),
            sure=clock.sure,
            effect="; ".join(effects) or _without_clock(clock, told),
            facts=tuple(_facts(clock, zone)),
            why=capital(clock.why),
        )


def _without_clock(clock: Clock, told: Sequence[_Told]) -> str:
    """Say what became of the media of a clock by which nothing was moved: they may stand elsewhere all the same.

    Of a device with several clocks these are the media that showed a time within this one's stretch.
    """
    others: dict[str, list[tuple[_Told, Move]]] = defaultdict(list)
    for each in told:
        move = None if isinstance(each.one, Words) else each.one.move
        of_clock = move is not None and each.one.media.device == clock.device and not is_outside(clock, move.shown_at)
        if move is not None and move.clock is None and of_clock:
            others[move.reason].append((each, move))
    moved = (
        f"{_counted([each for each, _ in own])} moved {_by([move.by_s for _, move in own])}, not by this clock"
        for _, own in sorted(others.items())
    )
    return "; ".join(moved) or "nothing moved"


def _was(clock: Clock) -> str:
    if not clock.sure:
        return "not enough to tell"
    return "right" if abs(clock.offset_s) < WORTH_TELLING_S else clock_text(clock.offset_s)


def _facts(clock: Clock, zone: tzinfo) -> Iterable[tuple[str, str]]:
    if clock.since is not None and clock.until is not None:
        yield "By its own clock", f"{_moment(clock.since, zone)} to {_moment(clock.until, zone)}"
    if clock.sure:
        # of a drift the offset is only its middle
        yield "It showed", f"{_shown(clock.offset_s)}{', half-way between these' if clock.drift_s_per_day else ''}"
    elif clock.anchors:
        yield "Perhaps", _shown(clock.offset_s)
    if round(clock.drift_s_per_day, 1):
        yield "Drift", f"{'gained' if clock.drift_s_per_day > 0 else 'lost'} {span_text(clock.drift_s_per_day)} a day"
    if clock.anchors:
        agree = f" that agree to {span_text(max(clock.spread_s, 0.1))}" if clock.anchors > 1 else ""
        yield "Told by", f"{clock.anchors} {plural('anchor', clock.anchors)}{agree}"
    if clock.stamps:
        yield "Stamps", f"the {clock.stamps} of a recording"


def _shown(offset_s: float) -> str:
    if abs(offset_s) < _LEAST_S:
        return "the true time"
    return f"{span_text(offset_s)} {'more' if offset_s > 0 else 'less'} than the true time"


def _moment(at: datetime, zone: tzinfo) -> str:
    local = at.astimezone(zone)
    return f"{short_date(local)}, {local:%H:%M:%S}"
