"""Whether a device stamps a recording when it starts or when it stops, from the files' own evidence."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from pipeline.dating.sources import readings_of
from pipeline.values import Kind, Media, TimeSource

_SHORTEST_S = 10.0  # start and end of a shorter recording are too near each other to tell
_CLOSE_S = 3.0


def stamped_on_stopping(media: Sequence[Media], zone: ZoneInfo) -> frozenset[str]:
    """Return the ids of the recordings and films whose container's time marks their end.

    A file that was not touched since keeps the time at which the device closed it. Where the container's time lies
    just before that, it was stamped on stopping; where it lies before it by the recording's length, on starting. A
    file time that equals the container's time to the second proves nothing: copying programs set it so. The
    recordings of one device are judged together; those of unknown devices each on its own. Without evidence the time
    marks the start.

    Source: common practice, no source; ISO/IEC 14496-12 leaves open which of the two ``creation_time`` is.
    """
    groups: dict[str, list[Media]] = defaultdict(list)
    for one in media:
        if one.probe.kind in (Kind.RECORDING, Kind.FILM):
            groups[one.probe.device or one.id].append(one)
    ended: set[str] = set()
    for group in groups.values():
        votes = [_vote(one, zone) for one in group]
        if votes.count("end") > votes.count("start"):
            ended.update(one.id for one in group)
    return frozenset(ended)


def _vote(media: Media, zone: ZoneInfo) -> str:
    length_s = media.probe.duration_s
    reading = next((one for one in readings_of(media, zone) if one.source is TimeSource.CONTAINER), None)
    if reading is None or length_s is None or length_s < _SHORTEST_S:
        return ""
    modified_ns = min(file.modified_ns for file in media.files)
    after_s = modified_ns / 1e9 - (reading.at - datetime(1970, 1, 1, tzinfo=UTC)).total_seconds()
    # The rest of a second shows that the file system, not a copying program, set the file's time.
    if 0 < after_s <= _CLOSE_S and modified_ns % 1_000_000_000:
        return "end"
    return "start" if abs(after_s - length_s) <= _CLOSE_S else ""
