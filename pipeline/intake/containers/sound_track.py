"""A recording's or a film's sound, decoded block by block, each block in its place in time."""

from collections.abc import Iterator
from pathlib import Path

import av
import av.error
import numpy as np
from av.audio.stream import AudioStream
from av.container import InputContainer
from numpy.typing import NDArray

from pipeline.errors import ItemFault
from pipeline.intake.at_work import still_at_work
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
from pipeline.intake.containers.probing import walk_through
from pipeline.intake.sound import SOUND_RATE_HZ
from pipeline.intake.timeline import Timeline

_HIGHEST_HZ = 768_000  # beyond what any recorder of speech writes: common practice, no source
_BLOCK_SAMPLES = 1 << 16
_ROUNDED_S = 0.3  # what the lengths that headers give are off by, because frames are whole


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
        with opened(self._path, self._content_type) as container:
            stream = sound_stream(container)
            if stream is None:
                self.duration_s, _, _ = walk_through(container, film_stream(container), None)
                return
            track = _SoundTrack(container, stream, SOUND_RATE_HZ, self._content_type)
            samples = 0
            for block in track.blocks():
                samples += len(block)
                yield block
        if track.decoded_s <= 0:
            raise ItemFault(DAMAGED)
        self.duration_s, self.lost_s, self.early_s = samples / SOUND_RATE_HZ, track.lost_s, track.early_s


def write_listening_copy(path: Path, content_type: str, to: Path) -> None:
    """Write the sound as a small mono AAC file (``.m4a``) that any browser plays.

    What is in ``to`` after a fault is of no use.

    Raises:
        ItemFault: there is no sound that can be decoded.
        OSError: it cannot be written.
    """
    with opened(path, content_type) as container:
        stream = sound_stream(container)
        if stream is None:
            raise ItemFault("There is no sound in it to listen to.")
        track = _SoundTrack(container, stream, 32_000, content_type)
        _write_aac(track, str(to))
    if track.decoded_s <= 0:
        raise ItemFault(DAMAGED)


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
        if not is_known(stream):
            raise ItemFault(UNKNOWN_FORM)
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
            if not LOWEST_HZ <= frame.sample_rate <= _HIGHEST_HZ:
                raise ItemFault(NO_SPEECH)
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
                raise ItemFault(TOO_LONG)
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
        if self._content_type not in GUESSED_LENGTH or packet.duration is None or not packet.size:
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
    if content_type in GUESSED_LENGTH:
        return None
    if stream.duration is not None and stream.time_base is not None:
        late_s = float((stream.start_time or 0) * stream.time_base) - (container.start_time or 0) / av.time_base
        return float(stream.duration * stream.time_base) + max(0.0, late_s)
    if container.duration and not container.streams.video:
        return container.duration / av.time_base
    return None
