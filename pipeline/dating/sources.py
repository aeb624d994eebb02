"""One piece of media, dated by the best of what it says of itself, its name and its file.

How far off each source may be (``_MAY_BE_OUT_S``) is common practice, no source: a satellite receiver's second, a
clock that sets itself over a network and knows its offset, a clock that somebody once set by hand.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import chain
from os.path import basename, dirname
from zoneinfo import ZoneInfo

from pipeline.dating.names import date_in_name
from pipeline.dating.zones import local, wall_at_offset, wall_in_zone
from pipeline.values import Dated, Kind, Media, TimeClue, TimeSource

_MAY_BE_OUT_S = {
    TimeSource.GPS: 1.0,
    TimeSource.EXIF_OFFSET: 5.0,
    TimeSource.EXIF: 60.0,
    TimeSource.CONTAINER: 5.0,
    TimeSource.BWF: 60.0,
    TimeSource.NOTE: 1.0,
    TimeSource.NAME: 5.0,
    TimeSource.FILE: 86_400.0,
}
_TRUST = tuple(TimeSource)  # declared best first
NETWORK_SET = frozenset({TimeSource.EXIF_OFFSET, TimeSource.CONTAINER})
"""What devices write that set their clocks over a network, and know their offset."""
WALL_CLOCK = frozenset({TimeSource.EXIF, TimeSource.BWF})
"""What devices write that show a wall clock, and not by which offset it goes."""
_BY_LOCAL_TIME = frozenset({TimeSource.EXIF_OFFSET, TimeSource.NOTE})
"""What gives the time of the clock on the wall, and its offset beside it."""
_OWN_CLOCK = frozenset({TimeSource.EXIF_OFFSET, TimeSource.EXIF, TimeSource.CONTAINER, TimeSource.BWF})
BEFORE_THE_START = "is before the book starts; it was not believed."
"""How the flag ends of what shows a day that is too early to be believed."""
_SAID = {
    TimeSource.CARD: "clock card",
    TimeSource.GPS: "GPS time",
    TimeSource.EXIF_OFFSET: "camera's time",
    TimeSource.EXIF: "camera's time",
    TimeSource.CONTAINER: "recorder's time",
    TimeSource.BWF: "recorder's time",
    TimeSource.NOTE: "note of when it was taken",
    TimeSource.NAME: "name",
    TimeSource.FILE: "file time",
}
_RESET_YEARS = frozenset({1904, 1970, 1980, *range(2000, 2021)})
_HALF_DAY_S = 43_200.0
NOBODY_KNOWS_S = 10 * 365.25 * 86_400


@dataclass(frozen=True, slots=True)
class ClueReading:
    """One clue, read: the instant at which the media starts by it, and how far off that may be.

    ``wall`` is what the source itself shows, for messages; ``flags`` say what had to be assumed.
    """

    source: TimeSource
    at: datetime
    error_s: float
    wall: str
    flags: tuple[str, ...] = ()


def date_media(media: Media, zone: ZoneInfo, book_starts: date, now: datetime, marks_end: bool = False) -> Dated:
    """Say when a piece of media was made, from the best source whose date is possible.

    When no date is possible, the one nearest to the book's time is given, flagged, with an error of ten years; what
    is surely older than the book keeps its own date, with the same error.

    Args:
        media: what is dated; a still of a film is dated by that, with ``clocks.date_still``.
        zone: the book's time zone, for readings without an offset.
        book_starts: nothing in the book is more than a day older.
        now: the present; nothing is more than a day younger.
        marks_end: the device stamps a container's ``creation_time`` when it stops, not when it starts.
    """
    return date_by(media, readings_of(media, zone, marks_end), zone, *time_limits(zone, book_starts, now))


def date_by(
    media: Media, readings: Sequence[ClueReading], zone: ZoneInfo, earliest: datetime, latest: datetime
) -> Dated:
    """Say the same by what dates the media (``readings_of``), where nothing is believed outside these limits."""
    own = own_clock(readings)
    flags: list[str] = []
    older = _surely_older(readings, earliest)
    at_last = map(_file_reading, [media] if older is None else [], [zone])  # the file's own time only if it must be
    for reading in chain(readings, at_last):
        doubt = why_impossible(reading, earliest, latest)
        if doubt is None:
            return _dated(media, reading, own, (*flags, *reading.flags, *_disagreement(media, reading, readings)))
        flags.append(doubt)
    if older is not None:
        flags.append("If it belongs in the book, set book_starts in book.toml earlier.")
        return _dated(media, replace(older, error_s=NOBODY_KNOWS_S), own, tuple(flags))
    nearest = min(
        [*readings, _file_reading(media, zone)], key=lambda reading: _distance_s(reading.at, earliest, latest)
    )
    flags.append("No date that it gives is possible: set the clock of its device, or say here when it was made.")
    return _dated(media, replace(nearest, error_s=NOBODY_KNOWS_S), own, tuple(flags))


def readings_of(media: Media, zone: ZoneInfo, marks_end: bool = False) -> tuple[ClueReading, ...]:
    """Return everything that dates the media but for the file's own time, best first.

    A day that only the folder's name tells is there where there is nothing else.
    """
    clues = list(media.probe.clues)
    names = sorted({basename(file.path) for file in media.files})  # noqa: PTH119 - quicker, for 100,000 files
    in_names = [clue for name in names if (clue := date_in_name(name)) is not None]
    # A name with the time of day says more than one with the date alone, whichever comes first in the alphabet.
    clues.extend(sorted(in_names, key=lambda clue: clue.error_s)[:1])
    readings = [_read(clue, media, zone, marks_end) for clue in clues]
    kept = [reading for reading in readings if reading is not None] or _in_folders(media, zone, marks_end)
    kept.sort(key=lambda reading: _TRUST.index(reading.source))
    return tuple(kept)


def _in_folders(media: Media, zone: ZoneInfo, marks_end: bool) -> list[ClueReading]:
    """Return the day that the folders of the media's copies tell, if it is one, and not that of the file itself."""
    clues = [date_in_name(basename(dirname(file.path))) for file in media.files]  # noqa: PTH119, PTH120 - as above
    days = {clue.wall[:10] for clue in clues if clue is not None}
    if len(days) != 1 or days == {_file_reading(media, zone).wall[:10]}:
        return []
    clue = TimeClue(source=TimeSource.NAME, wall=f"{days.pop()}T12:00:00", error_s=_HALF_DAY_S)
    reading = _read(clue, media, zone, marks_end)
    flag = "Only the day is known, from the name of its folder."
    return [replace(reading, flags=(flag,))] if reading is not None else []


def own_clock(readings: Sequence[ClueReading]) -> ClueReading | None:
    """Return what the device's own clock said, believable or not; None where it says nothing."""
    return next((reading for reading in readings if reading.source in _OWN_CLOCK), None)


def time_limits(zone: ZoneInfo, book_starts: date, now: datetime) -> tuple[datetime, datetime]:
    """Return the earliest and the latest instant that anything in the book may have."""
    starts = datetime(book_starts.year, book_starts.month, book_starts.day, tzinfo=zone).astimezone(UTC)
    return starts - timedelta(days=1), now.astimezone(UTC) + timedelta(days=1)


def why_impossible(reading: ClueReading, earliest: datetime, latest: datetime) -> str | None:
    """Return a sentence that says why a date cannot be right, or None where it can.

    A clock that lost its power starts again at the first of January of the year in which it was made, or at which its
    counting starts; common practice, no source.
    """
    said, shown = _SAID[reading.source], reading.wall.replace("T", " ")
    if _is_reset(reading):
        return f"Its {said}, {shown}, is where a clock starts that has lost its power; it was not believed."
    if reading.at < earliest:
        return f"Its {said}, {shown}, {BEFORE_THE_START}"
    if reading.at > latest:
        return f"Its {said}, {shown}, is in the future; it was not believed."
    return None


def _surely_older(readings: Sequence[ClueReading], earliest: datetime) -> ClueReading | None:
    """Return the reading by which media is older than the book, and not its clock wrong; None where there is none.

    A clock that knows its offset was set over a network or by satellites: it is not lost. Such media is somebody's
    holidays, or the book starts too late; the file's own time would make a day of their copying.
    """
    sure = (one for one in readings if one.source in (TimeSource.GPS, TimeSource.EXIF_OFFSET))
    return next((one for one in sure if one.at < earliest and not _is_reset(one)), None)


def _is_reset(reading: ClueReading) -> bool:
    if reading.source not in _OWN_CLOCK and reading.source is not TimeSource.FILE:
        return False
    shown = reading.wall
    return shown[5:10] == "01-01" and shown[11:13] == "00" and int(shown[:4]) in _RESET_YEARS


def _read(clue: TimeClue, media: Media, zone: ZoneInfo, marks_end: bool) -> ClueReading | None:
    instant = wall_at_offset(clue.wall, clue.offset, zone) if clue.offset else wall_in_zone(clue.wall, zone)
    if instant is None:
        return None
    flags: list[str] = []
    shown = clue.wall.replace("T", " ")
    if instant.ambiguous:
        flags.append(f"The clocks went back that night, so that {shown} occurs twice; the first is taken.")
    if instant.missing:
        flags.append(f"The clocks went forward over {shown}; its clock is taken not to have been put forward yet.")
    if clue.error_s >= _HALF_DAY_S:
        flags.append(f"Only the day is known, from its {_SAID[clue.source]}.")
    at, error_s = instant.at, max(clue.error_s, _MAY_BE_OUT_S[clue.source], instant.hour_s)
    if clue.source is TimeSource.EXIF_OFFSET:
        flags.extend(_odd_offset(at, clue))
    ends = clue.marks_end or (marks_end and clue.source is TimeSource.CONTAINER)
    if ends and media.probe.duration_s:
        at = _earlier(at, media.probe.duration_s, zone)
    return ClueReading(source=clue.source, at=at, error_s=error_s, wall=clue.wall, flags=tuple(flags))


def _odd_offset(at: datetime, clue: TimeClue) -> list[str]:
    there = at.isoformat()[-len("+00:00") :]
    if there == clue.offset:
        return []
    return [f"The camera was set to {clue.offset}, but the book's place had {there} then."]


def _file_reading(media: Media, zone: ZoneInfo) -> ClueReading:
    """Read the file's own time: the oldest of its copies. Sound and film are written until they end."""
    modified_ns = min(file.modified_ns for file in media.files)
    try:
        at = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=modified_ns // 1000)
    except OverflowError:
        at = datetime(1970, 1, 1, tzinfo=UTC)
    there = local(at, zone)
    if media.probe.kind in (Kind.RECORDING, Kind.FILM) and media.probe.duration_s:
        at = _earlier(at, media.probe.duration_s, zone)
    return ClueReading(
        source=TimeSource.FILE,
        at=local(at, zone),
        error_s=_MAY_BE_OUT_S[TimeSource.FILE],
        wall=there.replace(tzinfo=None).isoformat(timespec="seconds"),
        flags=("Only the file's own time is known, which copying may have changed.",),
    )


def _earlier(at: datetime, by_s: float, zone: ZoneInfo) -> datetime:
    try:
        return local(at - timedelta(seconds=by_s), zone)
    except OverflowError:
        return at


def _disagreement(media: Media, chosen: ClueReading, readings: Sequence[ClueReading]) -> tuple[str, ...]:
    """Say where the file's name gives another time than the source that was believed.

    A name has no offset: it is as good where it shows what the clock on the wall showed, in whichever zone that was.
    """
    name = next((reading for reading in readings if reading.source is TimeSource.NAME), None)
    if name is None or chosen.source in (TimeSource.NAME, TimeSource.FILE):
        return ()
    apart_s = abs((name.at - chosen.at).total_seconds())
    if chosen.source in _BY_LOCAL_TIME:
        named, shown = (datetime.fromisoformat(one.wall).replace(tzinfo=None) for one in (name, chosen))
        apart_s = min(apart_s, abs((named - shown).total_seconds()))
    if apart_s <= 120 + chosen.error_s + name.error_s + (media.probe.duration_s or 0.0):
        return ()
    says, is_so = name.wall.replace("T", " "), chosen.wall.replace("T", " ")
    return (f"Its name says {says}, but its {_SAID[chosen.source]} is {is_so}.",)


def _dated(media: Media, chosen: ClueReading, own: ClueReading | None, flags: tuple[str, ...]) -> Dated:
    shown_at = own.at if own is not None else chosen.at
    return Dated(
        media=media.id,
        at=chosen.at,
        source=chosen.source,
        error_s=chosen.error_s,
        shown_at=shown_at,
        moved_s=round((chosen.at - shown_at).total_seconds(), 3),
        flags=tuple(dict.fromkeys(flags)),
    )


def _distance_s(at: datetime, earliest: datetime, latest: datetime) -> float:
    return max((earliest - at).total_seconds(), (at - latest).total_seconds(), 0.0)
