"""Single pictures out of a film."""

from pathlib import Path

import av
import av.error
import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from pipeline.errors import ItemFault
from pipeline.intake.at_work import still_at_work
from pipeline.intake.containers.opening import DAMAGED, UNKNOWN_FORM, film_stream, is_known, opened
from pipeline.intake.pictures import jpeg_of_pixels


def still(path: Path, content_type: str, at_s: float, longest_px: int | None = None) -> bytes:
    """Return the film's picture at ``at_s`` seconds as a JPEG, upright and without tags.

    The last picture is taken where the film ends earlier.

    Raises:
        ItemFault: the film has no picture that can be decoded.
    """
    with opened(path, content_type) as container:
        film = film_stream(container)
        if film is None:
            raise ItemFault("There is no picture in it to take a still from.")
        if not is_known(film):
            raise ItemFault(UNKNOWN_FORM)
        start_s = (container.start_time or 0) / av.time_base
        frame = _frame_at(container, film, start_s + max(0.0, at_s))
        if frame is None:
            raise ItemFault(DAMAGED)
        turned = np.rot90(frame.to_ndarray(format="rgb24"), k=round(frame.rotation / 90) % 4)
        pixels = np.ascontiguousarray(turned, dtype=np.uint8)
    return jpeg_of_pixels(pixels, longest_px)


def _frame_at(container: InputContainer, film: VideoStream, at_s: float) -> VideoFrame | None:
    """Return the frame shown at ``at_s``, else the last before it that decodes."""
    assert film.time_base is not None
    for seek_to_s in (at_s, 0.0):
        try:
            container.seek(int(seek_to_s / film.time_base), stream=film, backward=True)
        except av.error.FFmpegError:
            continue
        film.codec_context.flush_buffers()
        best = _last_frame_until(container, film, at_s)
        if best is not None:
            return best
    return None


def _last_frame_until(container: InputContainer, film: VideoStream, at_s: float) -> VideoFrame | None:
    best: VideoFrame | None = None
    try:
        for packet in container.demux(film):
            still_at_work()
            try:
                frames = packet.decode()
            except av.error.FFmpegError:
                continue
            for frame in frames:
                # The first frame is taken whatever its time: film may start a little after its sound.
                if frame.time is None or frame.time <= at_s + 1e-6 or best is None:
                    best = frame
                else:
                    return best
    except av.error.FFmpegError:
        pass
    return best
