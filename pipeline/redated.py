"""What a run dated anew by minutes or more, in one line: nobody should find it out by chance."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from pipeline.records import EntryRecord, MediaRecord
from pipeline.spans import span_text
from pipeline.values import Dated, Kind

_WORTH_TELLING_S = 60.0


def told_of_redated(
    before: Iterable[Dated], media: Sequence[MediaRecord], entries: Sequence[EntryRecord], page: Path
) -> str:
    """Return the line on entries and photos that stood at another time before; "" where none is a minute off or more.

    Args:
        before: how everything was dated by the last run.
        media: as it is dated now.
        entries: the book's, each at the time of its recording.
        page: that tells of the clocks.
    """
    then = {one.media: one.at for one in before}
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
