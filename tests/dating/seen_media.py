"""Pieces of media for tests of dating, made of values alone."""

import itertools
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from hypothesis import strategies as st

from pipeline.values import FileSeen, Kind, Media, Probe, TimeClue, TimeSource

LONDON = ZoneInfo("Europe/London")
STARTS = date(2026, 1, 1)
NOW = datetime(2026, 12, 1, 12, tzinfo=UTC)
_numbers = itertools.count(1)


def wall_times(first_year: int, last_year: int) -> st.SearchStrategy[datetime]:
    """Return any readings of a wall clock from the start of one year to the end of another."""
    return st.datetimes(
        datetime(first_year, 1, 2),  # noqa: DTZ001 - a wall clock has no zone
        datetime(last_year, 12, 31),  # noqa: DTZ001
    )


def clue(source: TimeSource, wall: str, offset: str | None = None, **more: object) -> TimeClue:
    return TimeClue(source=source, wall=wall, offset=offset, **more)  # type: ignore[arg-type]


def piece(
    *clues: TimeClue,
    name: str = "note",
    kind: Kind = Kind.PHOTO,
    device: str = "",
    duration_s: float | None = None,
    modified: datetime = datetime(2026, 6, 1, tzinfo=UTC),
    modified_ns: int | None = None,
    **more: object,
) -> Media:
    ns = round(modified.timestamp()) * 10**9 if modified_ns is None else modified_ns
    return Media(
        id=f"sha256:{next(_numbers):064x}",
        files=(FileSeen(path=f"/media/{name}", size=1, modified_ns=ns),),
        probe=Probe(kind=kind, content_type="x/y", device=device, clues=clues, duration_s=duration_s),
        **more,  # type: ignore[arg-type]
    )
