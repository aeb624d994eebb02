"""Files of days before the book starts that are older work: several devices show the same day."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from zoneinfo import ZoneInfo

from pipeline.dating.sources import BEFORE_THE_START
from pipeline.english import span_of_days
from pipeline.records import Records


def devices_before_the_start(records: Records) -> dict[str, tuple[date, ...]]:
    """Return the days before the book starts that devices show whose clocks are not lost, one for each file.

    Another device shows one of these days too: a clock that has lost its power shows a day of its own, or the first
    of January.
    """
    days: dict[str, list[date]] = defaultdict(list)
    devices: dict[date, set[str]] = defaultdict(set)
    for device, day in _shown_before(records):
        days[device].append(day)
        devices[day].add(device)
    return {
        device: tuple(sorted(shown)) for device, shown in days.items() if any(len(devices[day]) > 1 for day in shown)
    }


def told_of_days_before(records: Records) -> tuple[str, ...]:
    """Return the line on such files and on what to do, none where there are none."""
    shown = sorted(day for days in devices_before_the_start(records).values() for day in days)
    if not shown:
        return ()
    return (
        f"{len(shown):,} files show days before the book starts, {span_of_days(shown[0], shown[-1])}, and several "
        "devices agree on them. None of these days was believed. If they are right, write "
        f"book_starts = {shown[0]} into book.toml, and run again.",
    )


def _shown_before(records: Records) -> Iterator[tuple[str, date]]:
    for one in records.media:
        if any(flag.endswith(BEFORE_THE_START) for flag in one.flags):
            day = one.shown_at.astimezone(ZoneInfo(records.book.zone)).date()
            if (day.month, day.day) != (1, 1):
                yield one.device, day
