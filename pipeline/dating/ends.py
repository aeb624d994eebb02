"""Whether a device stamps a recording when it starts or when it stops, from the files' own evidence."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import UTC, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

from pipeline.dating.sources import ClueReading, readings_of
from pipeline.values import Kind, Media, TimeSource

_SHORTEST_S = 10.0  # start and end of a shorter recording are too near each other to tell
_CLOSE_S = 3.0


def stamped_on_stopping(media: Sequence[Media], zone: ZoneInfo) -> dict[str, bool]:
    """Return, for recordings and films with a container's time (ids), whether that marks their end.

    A file that was not touched since keeps the time at which the device closed it. Where the container's time lies
    just before that, it was stamped on stopping; where it lies before it by the recording's length, on starting. A
    file time that equals the container's time to the second proves nothing: copying programs set it so. And no device
    records two things at once: where recordings would overlap if their stamps were starts, they are ends, and the
    other way round. The recordings of one device are judged together; those of unknown devices each on its own.
    Those that nothing tells of are left out.

    Source: common practice, no source; ISO/IEC 14496-12 leaves open which of the two ``creation_time`` is.
    """
    groups: dict[str, list[tuple[Media, ClueReading]]] = defaultdict(list)
    for one in media:
        reading = _stamp(one, zone)
        if reading is not None:
            groups[one.probe.device or one.id].append((one, reading))
    told: dict[str, bool] = {}
    for group in groups.values():
        votes = [_vote(one, reading) for one, reading in group] + _overlaps(group)
        for_end = votes.count("end") - votes.count("start")
        if for_end:
            told.update((one.id, for_end > 0) for one, _ in group)
    return told


def _stamp(media: Media, zone: ZoneInfo) -> ClueReading | None:
    stamped = any(clue.source is TimeSource.CONTAINER for clue in media.probe.clues)
    if media.probe.kind not in (Kind.RECORDING, Kind.FILM) or not stamped:
        return None
    return next((one for one in readings_of(media, zone) if one.source is TimeSource.CONTAINER), None)


def _vote(media: Media, reading: ClueReading) -> str:
    length_s = media.probe.duration_s
    if length_s is None or length_s < _SHORTEST_S:
        return ""
    modified_ns = min(file.modified_ns for file in media.files)
    after_s = modified_ns / 1e9 - (reading.at - datetime(1970, 1, 1, tzinfo=UTC)).total_seconds()
    # The rest of a second shows that the file system, not a copying program, set the file's time.
    if 0 < after_s <= _CLOSE_S and modified_ns % 1_000_000_000:
        return "end"
    return "start" if abs(after_s - length_s) <= _CLOSE_S else ""


def _overlaps(group: Sequence[tuple[Media, ClueReading]]) -> list[str]:
    votes = []
    stamps = sorted((reading.at, one.probe.duration_s or 0.0) for one, reading in group)
    for (before, before_s), (after, after_s) in pairwise(stamps):
        apart_s = (after - before).total_seconds()
        if apart_s < before_s - _CLOSE_S:  # the first would still run when the second starts
            votes.append("end")
        if apart_s < after_s - _CLOSE_S:  # the second would start before the first ends
            votes.append("start")
    return votes
