"""What a file of the originals is to a person: the sound or photo of which minute, and in which entries it is."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

from pipeline.english import long_date
from pipeline.evidence.differences import Difference, Kind
from pipeline.records import EntryRecord, MediaRecord, Records
from pipeline.values import Kind as MediaKind
from pipeline.writing.dated_by import day_known, time_told

_CALLED = {
    MediaKind.PHOTO: "the photo",
    MediaKind.RECORDING: "the sound",
    MediaKind.FILM: "the film",
    MediaKind.CAPTIONS: "the captions",
}
_MOST_ENTRIES = 3


def described(differences: Iterable[Difference], media: Mapping[str, str], records: Path | None) -> list[Difference]:
    """Return differences, those of originals with what each original is, as the records tell it.

    Args:
        differences: in any order.
        media: the id of the media that lies at a path, by path.
        records: ``records.json``; where it cannot be read, nothing is told.
    """
    found = list(differences)
    told = {one.path for one in found if one.kind in (Kind.CHANGED, Kind.MISSING) and one.path in media}
    known = _known(records, {media[path] for path in told}) if told else {}
    return [replace(one, of=known.get(media[one.path], "")) if one.path in told else one for one in found]


def _known(path: Path | None, wanted: set[str]) -> dict[str, str]:
    try:
        records = Records.model_validate_json(path.read_bytes()) if path is not None else None
    except (OSError, ValueError):
        return {}
    if records is None:
        return {}
    zone = ZoneInfo(records.book.zone)
    return {one.id: _text(one, records.entries, zone) for one in records.media if one.id in wanted}


def _text(media: MediaRecord, entries: Iterable[EntryRecord], zone: ZoneInfo) -> str:
    at = media.taken_at.astimezone(zone)
    there = list(_entries_of(media.id, entries))
    named = ", ".join(there[:_MOST_ENTRIES]) + (" and more" if len(there) > _MOST_ENTRIES else "")
    behind = f", in {named}" if there else ""
    day = f" of {long_date(at.date())}" if day_known(media) else ""
    return f"{_CALLED[media.kind]}{day}, {time_told(media, f'{at:%H:%M}')}{behind}"


def _entries_of(media: str, entries: Iterable[EntryRecord]) -> Iterator[str]:
    for entry in entries:
        if entry.media == media or any(link.media == media for link in entry.photos):
            yield entry.id
