"""What gave a piece of media its time, in words."""

from pipeline.values import TimeSource

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
