"""What a container says of itself, and how much is really in it."""

from pathlib import Path
from typing import Literal

import av
import av.error
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.stream import Stream
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from pipeline.errors import ItemFault
from pipeline.intake.at_work import still_at_work
from pipeline.intake.container_tags import Tags, read_tags
from pipeline.intake.containers.opening import (
    DAMAGED,
    GUESSED_LENGTH,
    LONGEST_S,
    LOWEST_HZ,
    NO_SPEECH,
    TOO_LONG,
    UNKNOWN_FORM,
    film_stream,
    is_known,
    opened,
    sound_stream,
)
from pipeline.values import TimeClue, Value

_MOST_TRIED = 500  # packets, until something in them decodes


class ContainerFound(Value):
    """What a container says of itself. ``duration_s`` is what is really in it, not what its header claims."""

    duration_s: float
    device: str = ""
    clues: tuple[TimeClue, ...] = ()
    width_px: int | None = None
    height_px: int | None = None
    gps_deg: tuple[float, float] | None = None
    has_sound: bool = True
    remarks: tuple[str, ...] = ()


def stream_kinds(path: Path, content_type: str) -> frozenset[Literal["film", "sound"]]:
    """Return which kinds of stream the container has; an attached cover picture is not film.

    Raises:
        ItemFault: the container cannot be opened.
    """
    with opened(path, content_type) as container:
        kinds: set[Literal["film", "sound"]] = set()
        if film_stream(container) is not None:
            kinds.add("film")
        if container.streams.audio:
            kinds.add("sound")
    return frozenset(kinds)


def probe_container(path: Path, content_type: str) -> ContainerFound:
    """Read what a container says of itself, and walk through it once to see how much is really there.

    Raises:
        ItemFault: it cannot be opened, or nothing in it can be decoded.
    """
    with opened(path, content_type) as container:
        film = film_stream(container)
        sound = sound_stream(container)
        if film is None and sound is None:
            raise ItemFault("There is neither sound nor film in it. Leave it out.")
        if film is None and sound is not None and is_known(sound) and 0 < sound.rate < LOWEST_HZ:
            raise ItemFault(NO_SPEECH)
        tags = read_tags(container.metadata, *(stream.metadata for stream in (film, sound) if stream is not None))
        claimed_s = container.duration / av.time_base if container.duration else None
        found_s, decoded, turned = walk_through(container, film, sound)
        size = (film.width, film.height) if film is not None and is_known(film) else (None, None)
        unread = [
            name for name, stream in (("sound", sound), ("picture", film)) if stream and stream.index not in decoded
        ]
        unknown = [stream for stream in (film, sound) if stream is not None and not is_known(stream)]
    if not decoded or found_s <= 0:
        raise ItemFault(UNKNOWN_FORM if unknown else DAMAGED)
    if found_s > LONGEST_S:
        raise ItemFault(TOO_LONG)
    found = _found(tags, claimed_s, found_s, content_type, size[::-1] if turned else size, sound is not None)
    remarks = [f"Its {name} could not be decoded." for name in unread]
    return found.model_copy(update={"remarks": (*found.remarks, *remarks)})


def _found(
    tags: Tags,
    claimed_s: float | None,
    found_s: float,
    content_type: str,
    size: tuple[int | None, int | None],
    has_sound: bool,
) -> ContainerFound:
    remarks = list(tags.remarks)
    if claimed_s is not None and content_type not in GUESSED_LENGTH and found_s < 0.98 * claimed_s - 0.5:
        remarks.append(f"It says that it lasts {claimed_s:.0f} s, but stops after {found_s:.0f} s: it was cut short.")
    if not has_sound:
        remarks.append("The film has no sound.")
    return ContainerFound(
        duration_s=round(found_s, 3),
        device=tags.device,
        clues=tags.clues,
        width_px=size[0],
        height_px=size[1],
        gps_deg=tags.gps_deg,
        has_sound=has_sound,
        remarks=tuple(remarks),
    )


def walk_through(
    container: InputContainer, film: VideoStream | None, sound: AudioStream | None
) -> tuple[float, frozenset[int], bool]:
    """Return (seconds that are really there, indices of the streams that decode, whether the film is on its side)."""
    streams = tuple(stream for stream in (sound, film) if stream is not None)
    start_s = (container.start_time or 0) / av.time_base
    end = {stream.index: 0 for stream in streams}  # in ticks of the stream: fractions of seconds would take long
    summed = {stream.index: 0 for stream in streams}
    wanted = {stream.index for stream in streams if is_known(stream)}  # nothing has been decoded of these yet
    decoded: set[int] = set()
    turned = False
    tried = 0
    try:
        for packet in container.demux(*streams):
            still_at_work()
            if packet.size == 0:
                continue
            length = packet.duration or 0
            summed[packet.stream_index] += length
            if packet.pts is not None:
                end[packet.stream_index] = max(end[packet.stream_index], packet.pts + length)
            if tried == _MOST_TRIED and not decoded:
                break  # what follows is not looked into either
            if packet.stream_index in wanted and tried < _MOST_TRIED:
                tried += 1
                frames = _frames(packet)
                if frames:
                    wanted.discard(packet.stream_index)
                    decoded.add(packet.stream_index)
                turned = turned or any(isinstance(one, VideoFrame) and one.rotation % 180 for one in frames)
    except av.error.FFmpegError:
        pass  # cut short: what was read so far counts
    longest_s = 0.0
    for stream in streams:
        base = float(stream.time_base or 0)
        stamped_s = max(0.0, end[stream.index] * base - start_s) if end[stream.index] else 0.0
        longest_s = max(longest_s, stamped_s or summed[stream.index] * base)
    return longest_s, frozenset(decoded), turned


def _frames(packet: "av.Packet[Stream]") -> list[object]:
    try:
        return list(packet.decode())
    except av.error.FFmpegError:
        return []
