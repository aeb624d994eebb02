"""A container opened, by the reader of its format and no other, and which of its streams are read.

Each function takes the content type that ``content_type`` found: a file cannot choose a reader for itself.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import av
import av.error
import av.logging
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.stream import Disposition, Stream
from av.video.stream import VideoStream

from pipeline.errors import ItemFault

LONGEST_S = 24 * 3600.0
LOWEST_HZ = 4_000  # below what any recorder of speech writes: common practice, no source
GUESSED_LENGTH = frozenset({"audio/mpeg", "audio/aac", "audio/amr"})  # no index: by the bit rate
_DEMUXERS = {
    "mp4": "mov",
    "quicktime": "mov",
    "3gpp": "mov",
    "aac": "aac",
    "mpeg": "mp3",
    "wav": "wav",
    "flac": "flac",
    "ogg": "ogg",
    "amr": "amr",
    "x-matroska": "matroska",
    "webm": "matroska",
    "x-msvideo": "avi",
}
DAMAGED = (
    "The recording is damaged or was never finished (the recorder or phone stopped before it closed the file). "
    "Copy it from the device again; if it plays there, save it anew from there."
)
TOO_LONG = (
    "By its own account it lasts longer than a day. Cut it into shorter ones, or copy it from the device again."
)
NO_SPEECH = (
    "It has so few or so many samples of sound a second that it cannot be speech, so it is probably damaged. Copy it "
    "from the device again."
)
UNKNOWN_FORM = "Its sound or picture is in a form that is not read here. Convert it to MP4 (film) or MP3 (sound)."

av.logging.set_level(av.logging.PANIC)  # FFmpeg's own notes mean nothing to a user; faults are reported as ItemFault


@contextmanager
def opened(path: Path, content_type: str) -> Iterator[InputContainer]:
    """Open a container by the reader of its format alone; raises ItemFault, also for what is wrong further on."""
    demuxer = _DEMUXERS.get(content_type.partition("/")[2])
    if demuxer is None:
        raise ItemFault("It is not a recording or a film.")
    try:
        with av.open(
            str(path),
            "r",
            format=demuxer,
            metadata_errors="replace",
            container_options={"protocol_whitelist": "file"},
        ) as container:
            yield container
    except (av.error.FFmpegError, ValueError, OverflowError, EOFError) as error:  # PyAV's ways with bad data
        raise ItemFault(DAMAGED) from error


def film_stream(container: InputContainer) -> VideoStream | None:
    """Return the first film that can be decoded, else the first; an attached cover picture is not film."""
    not_film = Disposition.attached_pic | Disposition.timed_thumbnails
    films = [stream for stream in container.streams.video if not stream.disposition & not_film]
    return next((stream for stream in films if is_known(stream)), films[0] if films else None)


def sound_stream(container: InputContainer) -> AudioStream | None:
    """Return the first sound stream that can be decoded: some phones put one beside it that only they can."""
    sounds = container.streams.audio
    return next((stream for stream in sounds if is_known(stream)), sounds[0] if sounds else None)


def is_known(stream: Stream) -> bool:
    """Tell whether a stream's codec is one that can be decoded."""
    # PyAV has no codec context for a codec that FFmpeg does not know, whatever its type hints say.
    return getattr(stream, "codec_context", None) is not None
