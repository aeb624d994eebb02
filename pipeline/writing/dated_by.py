"""What gave a piece of media its time, in words, and whether that tells the day and the hour."""

from pipeline.records import MediaRecord
from pipeline.values import Kind, TimeSource

DAY_UNKNOWN_S = 86_400.0
"""Of media whose time may be out by more nobody knows the day: they make none of the logbook's."""
_HOUR_UNKNOWN_S = 10_800.0

DATED_BY = {
    TimeSource.PINNED: "the clock setting of the book",
    TimeSource.CARD: "a clock card in the picture",
    TimeSource.GPS: "GPS time",
    TimeSource.EXIF_OFFSET: "the camera, with its offset",
    TimeSource.EXIF: "the camera, in the book\u2019s zone",
    TimeSource.CONTAINER: "the recording\u2019s own creation time",
    TimeSource.BWF: "the recorder\u2019s origination time",
    TimeSource.NOTE: "the note in the captions",
    TimeSource.NAME: "the date in its name",
    TimeSource.FILE: "the file\u2019s own time",
    TimeSource.FILM: "its place in the film",
}


def day_known(media: MediaRecord) -> bool:
    """Tell whether it is known on which day a piece of media was made.

    The time of a photo's file may be that of copying, sending or scanning it, and makes no day of the logbook alone.
    """
    if media.kind == Kind.PHOTO and media.time_source == TimeSource.FILE:
        return media.time_error_s < DAY_UNKNOWN_S
    return media.time_error_s <= DAY_UNKNOWN_S


def time_told(media: MediaRecord, clock: str) -> str:
    """Return a time of day as ``clock`` has it, or what is not known of it: nothing is named surer than it is."""
    if not day_known(media):
        return "not dated"
    return clock if media.time_error_s <= _HOUR_UNKNOWN_S else "hour not known"
