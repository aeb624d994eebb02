"""Why a piece of media does not stand at the time that its own device showed: the clock behind each move."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from pipeline.english import day_text, plural
from pipeline.records import MediaRecord, Records
from pipeline.spans import span_text
from pipeline.values import Clock, TimeSource
from pipeline.writing.dated_by import DATED_BY

WORTH_TELLING_S = 2.0
"""Devices and people differ by a second or so: less is no move."""
_SAME_S = 1.5
_DAY_S = 86_400.0
_YEAR_S = 365.25 * _DAY_S


@dataclass(frozen=True, slots=True)
class Move:
    """How far a time was moved, what its device had shown, and why.

    ``why`` is for this one; ``reason`` is the whole of it, the same for all that were moved for it. ``clock`` is the
    place in the records' clocks of the fit that it was moved by, None where there is another reason.
    """

    by_s: float
    shown_at: datetime
    shown: str
    why: str
    reason: str
    clock: int | None = None

    @property
    def text(self) -> str:
        """The move in words: "moved 1 h 4 s later"."""
        return f"moved {way_text(self.by_s)}"


def far_text(by_s: float) -> str:
    """Return how far something was moved: "1 h 4 s", and of more than a year only the years."""
    years = int(abs(by_s) / _YEAR_S)
    return span_text(by_s) if years < 1 else f"over {years} {plural('year', years)}"


def way_text(by_s: float) -> str:
    """Return how far and which way: "1 h 4 s later"."""
    return f"{far_text(by_s)} {'later' if by_s > 0 else 'earlier'}"


class Moves:
    """Finds the reasons of one book's moves."""

    def __init__(self, records: Records, zone: tzinfo) -> None:
        """Make ready.

        Args:
            records: everything that the book holds.
            zone: the book's time zone, in which times are told.
        """
        self._zone = zone
        self._media = {media.id: media for media in records.media}
        self._clocks = records.clocks
        self._fits: dict[str, list[tuple[int, Clock]]] = {}
        for place, clock in enumerate(records.clocks):
            self._fits.setdefault(clock.device, []).append((place, clock))

    def of(self, media: MediaRecord) -> Move | None:
        """Return the move of a piece of media; None where its time is its device's own to within 2 s."""
        if abs(media.moved_s) < WORTH_TELLING_S:
            return None
        shown, at = media.shown_at.astimezone(self._zone), media.taken_at.astimezone(self._zone)
        day = "" if shown.date() == at.date() else f"{day_text(shown.date())}, "
        why, reason, clock = self._why(media)
        return Move(media.moved_s, shown, f"{day}{shown:%H:%M:%S}", why, reason, clock)

    def _why(self, media: MediaRecord) -> tuple[str, str, int | None]:
        film = self._media.get(media.still_of or "")
        if film is not None and film.still_of is None:
            why, reason, clock = self._why(film)
            return f"with its film, as {why}", reason, clock
        if media.time_source is TimeSource.CARD:
            return "it shows a clock card", "A clock card is in the picture, and its time is taken.", None
        fit = self._fit(media)
        if fit is not None:
            by_gps = "its GPS time says so, and " if media.time_source is TimeSource.GPS else ""
            way = "slow" if media.moved_s > 0 else "fast"
            return f"{by_gps}its clock was {way}", self._clocks[fit].why, fit
        by = f"dated by {DATED_BY[media.time_source]}"
        doubted = any("not believed" in flag for flag in media.flags)
        doubt = ": the device\u2019s own clock was not believed" if doubted else ""
        return by, f"{by}{doubt}.", None

    def _fit(self, media: MediaRecord) -> int | None:
        """Return which fit of the device's clock the media was moved by: the one that gives the move itself."""
        apart = [
            (is_outside(clock, media.shown_at), abs(media.moved_s + offset_then_s(clock, media.shown_at)), place)
            for place, clock in self._fits.get(media.device, ())
            if clock.sure
        ]
        near = [one for one in apart if one[1] <= _SAME_S]
        return min(near)[2] if near else None


def offset_then_s(clock: Clock, shown_at: datetime) -> float:
    """Return what a clock showed less the true time when it showed ``shown_at``."""
    if clock.since is None or clock.until is None:
        return clock.offset_s
    middle_s = (clock.since.timestamp() + clock.until.timestamp()) / 2
    return clock.offset_s + clock.drift_s_per_day * (shown_at.timestamp() - middle_s) / _DAY_S


def is_outside(clock: Clock, shown_at: datetime) -> bool:
    """Tell whether a device's clock showed this time in another stretch than this fit's."""
    if clock.since is None or clock.until is None:
        return False
    return not clock.since.timestamp() <= shown_at.timestamp() <= clock.until.timestamp()
