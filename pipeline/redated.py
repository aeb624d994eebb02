"""What a run dated or placed anew, in a line each: nobody should find it out by chance."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, tzinfo
from pathlib import Path, PurePath
from typing import Any

from pipeline.english import day_text, named_up_to
from pipeline.history.events import Act
from pipeline.history.placings import Placings
from pipeline.records import EntryRecord, MediaRecord
from pipeline.spans import span_text
from pipeline.values import Kind

_WORTH_TELLING_S = 60.0
_MOST_NAMED = 3


def told_of_redated(
    then: Mapping[str, datetime], media: Sequence[MediaRecord], entries: Sequence[EntryRecord], page: Path
) -> str:
    """Return the line on entries and photos that stood at another time before; "" where none is a minute off or more.

    Args:
        then: when each piece of media was made as the last run had it, by its id.
        media: as it is dated now.
        entries: the book's, each at the time of its recording.
        page: that tells of the clocks.
    """
    moved = {
        one.id: abs((one.taken_at - then[one.id]).total_seconds())
        for one in media
        if one.id in then and abs((one.taken_at - then[one.id]).total_seconds()) >= _WORTH_TELLING_S
    }
    if not moved:
        return ""
    of_entries = sum(one.media in moved for one in entries)
    of_photos = sum(one.kind is Kind.PHOTO and one.id in moved for one in media)
    told = [
        f"{number:,} {noun if number == 1 else many}"
        for number, noun, many in ((of_entries, "entry", "entries"), (of_photos, "photo", "photos"))
        if number
    ] or [f"{len(moved):,} {'recording' if len(moved) == 1 else 'recordings'}"]
    return (
        f"Dated anew: {' and '.join(told)} stood at another time before, by up to {span_text(max(moved.values()))}. "
        f"Which clock, and why: {page}."
    )


def told_of_replaced(made: Iterable[Act], media: Sequence[MediaRecord], zone: tzinfo) -> str:
    """Return the line on photos that an entry lost, to another one at another time or to none; "" where none did.

    Args:
        made: what the run added to the history.
        media: as it is now.
        zone: in which times are told.
    """
    at: dict[str, datetime] = {}

    def noted() -> Iterator[Act]:
        for one in made:
            if one.act == "read" and (held := one.after or one.before):
                at[one.on] = _at(held)
            yield one

    placings = Placings.of(noted())
    names = {one.id: PurePath(one.path).name for one in media if one.id in placings.lost}
    told = sorted(
        (names[photo], before, now)
        for photo, before in placings.lost.items()
        for now in (placings.gained.get(photo, ""),)
        if photo in names and not (now and abs((at[now] - at[before]).total_seconds()) < _WORTH_TELLING_S)
    )
    if not told:
        return ""
    each = [
        f"{name} (before: {_day_and_time(at[before], zone)}; now: {where})"
        for name, before, now in told
        for where in (_day_and_time(at[now], zone) if now else "nowhere",)
    ]
    stand = "1 photo stands" if len(told) == 1 else f"{len(told):,} photos stand"
    return f"Placed anew: {stand} with other words than before, or with none: {named_up_to(each, _MOST_NAMED)}."


def _at(held: dict[str, Any]) -> datetime:
    return datetime.fromisoformat(held["at"])


def _day_and_time(at: datetime, zone: tzinfo) -> str:
    there = at.astimezone(zone)
    return f"{day_text(there.date())}, {there:%H:%M}"
