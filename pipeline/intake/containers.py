"""Sound and film: what a container says of itself, its sound as samples, and single pictures out of a film.

The only module that imports PyAV (FFmpeg). Each function takes the content type that ``content_type`` found, because
the reader of that one format is then used and no other: a file cannot choose a reader for itself.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

import av
import av.error
import av.logging
import numpy as np
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.stream import Disposition, Stream
from av.video.frame import VideoFrame
from av.video.stream import VideoStream
from numpy.typing import NDArray

from pipeline.errors import ItemFault
from pipeline.intake.at_work import still_at_work
from pipeline.intake.container_tags import Tags, read_tags
from pipeline.intake.pictures import jpeg_of_pixels
from pipeline.intake.sound import SOUND_RATE_HZ
from pipeline.intake.timeline import Timeline
from pipeline.values import TimeClue, Value

LONGEST_S = 24 * 3600.0
_LOWEST_HZ, _HIGHEST_HZ = 4_000, 768_000  # beyond what any recorder of speech writes: common practice, no source
_BLOCK_SAMPLES = 1 << 16
_ROUNDED_S = 0.3  # what the lengths that headers give are off by, because frames are whole
_GUESSED_LENGTH = frozenset({"audio/mpeg", "audio/aac", "audio/amr"})  # no index: by the bit rate
_MOST_TRIED = 500  # packets, until something in them decodes
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
_DAMAGED = (
    "The recording is damaged or was never finished (the recorder or phone stopped before it closed the file). "
    "Copy it from the device again; if it plays there, save it anew from there."
)
_TOO_LONG = (
    "By its own account it lasts longer than a day. Cut it into shorter ones, or copy it from the device again."
)
_NO_SPEECH = (
    "It has so few or so many samples of sound a second that it cannot be speech, so it is probably damaged. Copy it "
    "from the device again."
)
_UNKNOWN_FORM = "Its sound or picture is in a form that is not read here. Convert it to MP4 (film) or MP3 (sound)."

av.logging.set_level(av.logging.PANIC)  # FFmpeg's own notes mean nothing to a user; faults are reported as ItemFault


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
    with _opened(path, content_type) as container:
        kinds: set[Literal["film", "sound"]] = set()
        if _film_stream(container) is not None:
            kinds.add("film")
        if container.streams.audio:
            kinds.add("sound")
    return frozenset(kinds)


def probe_container(path: Path, content_type: str) -> ContainerFound:
    """Read what a container says of itself, and walk through it once to see how much is really there.

    Raises:
        ItemFault: it cannot be opened, or nothing in it can be decoded.
    """
    with _opened(path, content_type) as container:
        film = _film_stream(container)
        sound = _sound_stream(container)
        if film is None and sound is None:
            raise ItemFault("There is neither sound nor film in it. Leave it out.")
        if film is None and sound is not None and _is_known(sound) and 0 < sound.rate < _LOWEST_HZ:
            raise ItemFault(_NO_SPEECH)
        tags = read_tags(container.metadata, *(stream.metadata for stream in (film, sound) if stream is not None))
        claimed_s = container.duration / av.time_base if container.duration else None
        found_s, decoded, turned = _walk_through(container, film, sound)
        size = (film.width, film.height) if film is not None and _is_known(film) else (None, None)
        unread = [
            name for name, stream in (("sound", sound), ("picture", film)) if stream and stream.index not in decoded
        ]
        unknown = [stream for stream in (film, sound) if stream is not None and not _is_known(stream)]
    if not decoded or found_s <= 0:
        raise ItemFault(_UNKNOWN_FORM if unknown else _DAMAGED)
    if found_s > LONGEST_S:
        raise ItemFault(_TOO_LONG)
    found = _found(tags, claimed_s, found_s, content_type, size[::-1] if turned else size, sound is not None)
    remarks = [f"Its {name} could not be decoded." for name in unread]
    return found.model_copy(update={"remarks": (*found.remarks, *remarks)})


class SoundBlocks:
    """A recording's or a film's sound, decoded block by block to mono samples at ``SOUND_RATE_HZ``.

    A packet that cannot be decoded becomes silence of its length and is counted, so that later times still hold.
    Going through the blocks raises ItemFault where there is sound in it but none of it can be decoded.
    ``duration_s``, ``lost_s`` and ``early_s`` mean what they do in ``Sound`` and are complete at the end.
    """

    def __init__(self, path: Path, content_type: str) -> None:
        self._path, self._content_type = path, content_type
        self.duration_s = self.lost_s = self.early_s = 0.0

    def __iter__(self) -> Iterator[NDArray[np.float32]]:
        with _opened(self._path, self._content_type) as container:
            stream = _sound_stream(container)
            if stream is None:
                self.duration_s, _, _ = _walk_through(container, _film_stream(container), None)
                return
            track = _SoundTrack(container, stream, SOUND_RATE_HZ, self._content_type)
            samples = 0
            for block in track.blocks():
                samples += len(block)
                yield block
        if track.decoded_s <= 0:
            raise ItemFault(_DAMAGED)
        self.duration_s, self.lost_s, self.early_s = samples / SOUND_RATE_HZ, track.lost_s, track.early_s


def still(path: Path, content_type: str, at_s: float, longest_px: int | None = None) -> bytes:
    """Return the film's picture at ``at_s`` seconds as a JPEG, upright and without tags.

    The last picture is taken where the film ends earlier.

    Raises:
        ItemFault: the film has no picture that can be decoded.
    """
    with _opened(path, content_type) as container:
        film = _film_stream(container)
        if film is None:
            raise ItemFault("There is no picture in it to take a still from.")
        if not _is_known(film):
            raise ItemFault(_UNKNOWN_FORM)
        start_s = (container.start_time or 0) / av.time_base
        frame = _frame_at(container, film, start_s + max(0.0, at_s))
        if frame is None:
            raise ItemFault(_DAMAGED)
        turned = np.rot90(frame.to_ndarray(format="rgb24"), k=round(frame.rotation / 90) % 4)
        pixels = np.ascontiguousarray(turned, dtype=np.uint8)
    return jpeg_of_pixels(pixels, longest_px)


def write_listening_copy(path: Path, content_type: str, to: Path) -> None:
    """Write the sound as a small mono AAC file (``.m4a``) that any browser plays.

    What is in ``to`` after a fault is of no use.

    Raises:
        ItemFault: there is no sound that can be decoded.
        OSError: it cannot be written.
    """
    with _opened(path, content_type) as container:
        sound_stream = _sound_stream(container)
        if sound_stream is None:
            raise ItemFault("There is no sound in it to listen to.")
        track = _SoundTrack(container, sound_stream, 32_000, content_type)
        _write_aac(track, str(to))
    if track.decoded_s <= 0:
        raise ItemFault(_DAMAGED)


def _write_aac(track: "_SoundTrack", to: str) -> None:
    options = {"movflags": "faststart", "fflags": "bitexact"}
    with av.open(to, "w", format="ipod", options=options) as out:
        stream = out.add_stream("aac", rate=track.rate_hz, layout="mono")
        stream.bit_rate = 64_000
        at = 0
        for block in track.blocks():
            # Short frames: the encoder buffers what does not fill one of its own.
            for start in range(0, len(block), 1 << 16):
                part = np.ascontiguousarray(block[start : start + (1 << 16)]).reshape(1, -1)
                frame = av.AudioFrame.from_ndarray(part, format="fltp", layout="mono")
                frame.sample_rate = track.rate_hz
                frame.pts = at
                at += frame.samples
                out.mux(stream.encode(frame))
        out.mux(stream.encode(None))


class _SoundTrack:
    """A container's sound stream, decoded block by block to mono float32 at ``rate_hz``.

    ``decoded_s``, ``lost_s`` and ``early_s`` (how much of the lost could not be given its place) are complete once
    ``blocks`` is used up.
    """

    def __init__(self, container: InputContainer, stream: AudioStream, rate_hz: int, content_type: str) -> None:
        if not _is_known(stream):
            raise ItemFault(_UNKNOWN_FORM)
        self.rate_hz = rate_hz
        self.decoded_s = 0.0
        self.lost_s = 0.0
        self.early_s = 0.0
        self._container = container
        self._stream = stream
        self._origin_s = (container.start_time or 0) / av.time_base
        self._timeline = Timeline(_claimed_sound_s(container, self._stream, content_type))
        self._content_type = content_type
        self._junk_s = 0.0  # in unreadable bytes since the last frame, where the format has no time stamps
        self._bytes = self._good_bytes = 0
        self._good_s = 0.0
        self._resampler: av.AudioResampler | None = None
        self._failed = False  # since the last frame that decoded

    def blocks(self) -> Iterator[NDArray[np.float32]]:
        """Yield the sound in order; each block has shape (n,)."""
        for frame in self._frames():
            if not _LOWEST_HZ <= frame.sample_rate <= _HIGHEST_HZ:
                raise ItemFault(_NO_SPEECH)
            length_s = frame.samples / frame.sample_rate
            start_s = None if frame.time is None else frame.time - self._origin_s
            gap_s = self._timeline.skip(self._junk_s) + self._timeline.gap_before(start_s, length_s)
            self._junk_s = 0.0
            if gap_s:
                if self.decoded_s or self._failed:  # else the sound merely starts later than the picture
                    self.lost_s += gap_s
                yield from self._flush()
                yield from _silence(round(gap_s * self.rate_hz))
            self._failed = False
            self.decoded_s += length_s
            if self._timeline.at_s > LONGEST_S:
                raise ItemFault(_TOO_LONG)
            yield from self._resampled(frame)
        yield from self._flush()
        if self._failed or self._timeline.rest_s > _ROUNDED_S:
            self.lost_s += self._timeline.rest_s
        self.early_s = self._dropped_s()
        self.lost_s += self.early_s

    def _frames(self) -> Iterator[av.AudioFrame]:
        try:
            for packet in self._container.demux(self._stream):
                still_at_work()
                try:
                    frames = packet.decode()
                except av.error.FFmpegError:
                    self._failed = True
                    self._count(packet, failed=True)
                    continue
                self._count(packet, failed=False)
                yield from (frame for frame in frames if frame.samples and frame.sample_rate)
        except av.error.FFmpegError:
            self._failed = True

    def _count(self, packet: "av.Packet[AudioStream]", failed: bool) -> None:
        """Note how much sound there was in unreadable bytes, where the format has no time stamps to show the hole."""
        if self._content_type not in _GUESSED_LENGTH or packet.duration is None or not packet.size:
            return
        self._bytes += packet.size
        length_s = float(packet.duration * packet.time_base)
        if not failed:
            self._good_bytes += packet.size
            self._good_s += length_s
        elif self._good_bytes:
            self._junk_s += max(0.0, packet.size * self._good_s / self._good_bytes - length_s)

    def _dropped_s(self) -> float:
        """Return how much sound there was in bytes that FFmpeg's ADTS reader passed over without a word."""
        if self._content_type != "audio/aac" or not self._good_bytes:
            return 0.0
        dropped_s = (self._container.size - self._bytes) * self._good_s / self._good_bytes
        return dropped_s if dropped_s > _ROUNDED_S else 0.0

    def _resampled(self, frame: av.AudioFrame) -> Iterator[NDArray[np.float32]]:
        frame.pts = None
        try:
            yield from self._through(frame)
        except ValueError:  # the recorder changed its format on the way
            yield from self._flush()
            yield from self._through(frame)

    def _through(self, frame: av.AudioFrame | None) -> list[NDArray[np.float32]]:
        if self._resampler is None:
            self._resampler = av.AudioResampler(format="flt", layout="mono", rate=self.rate_hz)
        return [np.asarray(out.to_ndarray(), dtype=np.float32).reshape(-1) for out in self._resampler.resample(frame)]

    def _flush(self) -> list[NDArray[np.float32]]:
        if self._resampler is None:
            return []
        rest = self._through(None)
        self._resampler = None
        return rest


def _silence(samples: int) -> Iterator[NDArray[np.float32]]:
    for start in range(0, samples, _BLOCK_SAMPLES):
        yield np.zeros(min(_BLOCK_SAMPLES, samples - start), dtype=np.float32)


def _claimed_sound_s(container: InputContainer, stream: AudioStream, content_type: str) -> float | None:
    """Return how long the sound is by the header, from the container's start; None where nothing certain says so."""
    if content_type in _GUESSED_LENGTH:
        return None
    if stream.duration is not None and stream.time_base is not None:
        late_s = float((stream.start_time or 0) * stream.time_base) - (container.start_time or 0) / av.time_base
        return float(stream.duration * stream.time_base) + max(0.0, late_s)
    if container.duration and not container.streams.video:
        return container.duration / av.time_base
    return None


@contextmanager
def _opened(path: Path, content_type: str) -> Iterator[InputContainer]:
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
        raise ItemFault(_DAMAGED) from error


def _film_stream(container: InputContainer) -> VideoStream | None:
    not_film = Disposition.attached_pic | Disposition.timed_thumbnails
    films = [stream for stream in container.streams.video if not stream.disposition & not_film]
    return next((stream for stream in films if _is_known(stream)), films[0] if films else None)


def _sound_stream(container: InputContainer) -> AudioStream | None:
    """Return the first sound stream that can be decoded: some phones put one beside it that only they can."""
    sounds = container.streams.audio
    return next((stream for stream in sounds if _is_known(stream)), sounds[0] if sounds else None)


def _is_known(stream: Stream) -> bool:
    # PyAV has no codec context for a codec that FFmpeg does not know, whatever its type hints say.
    return getattr(stream, "codec_context", None) is not None


def _walk_through(
    container: InputContainer, film: VideoStream | None, sound_stream: AudioStream | None
) -> tuple[float, frozenset[int], bool]:
    """Return (seconds that are really there, indices of the streams that decode, whether the film is on its side)."""
    streams = tuple(stream for stream in (sound_stream, film) if stream is not None)
    start_s = (container.start_time or 0) / av.time_base
    end = {stream.index: 0 for stream in streams}  # in ticks of the stream: fractions of seconds would take long
    summed = {stream.index: 0 for stream in streams}
    wanted = {stream.index for stream in streams if _is_known(stream)}  # nothing has been decoded of these yet
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


def _found(
    tags: Tags,
    claimed_s: float | None,
    found_s: float,
    content_type: str,
    size: tuple[int | None, int | None],
    has_sound: bool,
) -> ContainerFound:
    remarks = list(tags.remarks)
    if claimed_s is not None and content_type not in _GUESSED_LENGTH and found_s < 0.98 * claimed_s - 0.5:
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
