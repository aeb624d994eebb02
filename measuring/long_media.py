"""Recordings and films of hours, made up second by second, and whether what a run made of one is whole."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np

from measuring.speech import Samples, long_speech
from pipeline.hearing.recogniser import find_voice
from pipeline.records import Records

_RATE_HZ = 16_000
_MINUTE_S = 60
_WIDE, _HIGH = 640, 360

Stretch = tuple[float, float]


def write_long(path: Path, sound: Iterable[Samples], film: bool) -> float:
    """Write a recording, or a film of one picture a second; return how many seconds it is."""
    count = 0
    with av.open(str(path), "w") as out:
        pictures = out.add_stream("mpeg4", rate=1) if film else None
        if pictures is not None:
            pictures.width, pictures.height, pictures.pix_fmt = _WIDE, _HIGH, "yuv420p"
        stream = out.add_stream("flac", rate=_RATE_HZ, layout="mono")
        shown = 0
        for samples in sound:
            while pictures is not None and shown * _RATE_HZ <= count:
                out.mux(pictures.encode(_picture(shown)))
                shown += 1
            block = (np.clip(samples, -1, 1) * 32767).astype(np.int16).reshape(1, -1)
            part = av.AudioFrame.from_ndarray(block, format="s16", layout="mono")
            part.sample_rate, part.pts, part.time_base = _RATE_HZ, count, Fraction(1, _RATE_HZ)
            out.mux(stream.encode(part))
            count += len(samples)
        for one in (pictures, stream):
            if one is not None:
                out.mux(one.encode(None))
    return count / _RATE_HZ


def _picture(second: int) -> av.VideoFrame:
    """Return a picture that no other second of four minutes has."""
    across = np.arange(_WIDE, dtype=np.uint8)[None, :, None]
    pixels = np.broadcast_to(across + np.array([second, second // 2, second * 3]).astype(np.uint8), (_HIGH, _WIDE, 3))
    frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(pixels), format="rgb24")
    frame.pts, frame.time_base = second, Fraction(1, 1)
    return frame


def tones(minutes: int) -> Iterator[Samples]:
    """Yield each second of so many minutes: a tone that comes and goes, with some noise."""
    at_s = np.arange(_RATE_HZ) / _RATE_HZ
    for minute in range(minutes):
        noise = np.random.default_rng(minute)
        for second in range(_MINUTE_S):
            tone: Any = np.sin(2 * np.pi * (110 + second) * at_s) * (1 + np.sin(2 * np.pi * 4 * at_s))
            heard = (second % 8 < 5) * 0.3 * tone + 0.01 * noise.standard_normal(_RATE_HZ)
            yield heard.astype(np.float32)


def speech(minutes: float, spoken: list[Stretch]) -> Iterator[Samples]:
    """Yield speech and pauses in turn; ``spoken`` gets each stretch of voice, (start, end) in seconds."""
    count, voices = 0, dict[int, tuple[Stretch, ...]]()
    for said, pause in long_speech(minutes):
        if id(said) not in voices:  # the same few pieces come again and again
            voices[id(said)] = find_voice(said).stretches
        spoken += [(count / _RATE_HZ + start_s, count / _RATE_HZ + end_s) for start_s, end_s in voices[id(said)]]
        count += len(said) + len(pause)
        yield from (said, pause)


def accounted_for(records: Records, length_s: float, spoken: Sequence[Stretch]) -> dict[str, float]:
    """Tell how much of one recording's or film's speech stands in its records.

    Args:
        records: of a book that holds nothing else.
        length_s: how long it is.
        spoken: each stretch of voice, (start, end) in seconds, as it was laid down.

    Returns:
        ``length_off_s``, by which the records have its length wrong; ``voice_s``; of that ``in_words_s`` and
        ``not_understood_s``; ``stretches`` of voice; ``longest_gap_s``, the longest time within one of which nothing
        stands in the records; ``homeless``, utterances that are neither in an entry nor told of as not placed;
        ``set_aside``, files.
    """
    media = [one for one in records.media if one.duration_s is not None]
    said = [(one.start_s, one.end_s) for one in records.utterances]
    missed = [(one.start_s, one.end_s) for one in records.not_understood]
    placed = {one for entry in records.entries for one in entry.utterances}
    placed |= {one.utterance for one in records.unplaced_speech}
    gaps = [_gaps(piece, [*said, *missed]) for piece in spoken]
    in_words = [sum(end_s - start_s for start_s, end_s in _gaps(piece, said)) for piece in spoken]
    spoken_s = sum(end_s - start_s for start_s, end_s in spoken)
    left_s = sum(end_s - start_s for gap in gaps for start_s, end_s in gap)
    return {
        "length_off_s": abs(sum(one.duration_s or 0.0 for one in media) - length_s),
        "voice_s": spoken_s,
        "in_words_s": spoken_s - sum(in_words),
        "not_understood_s": sum(in_words) - left_s,
        "stretches": len(spoken),
        "longest_gap_s": max((end_s - start_s for gap in gaps for start_s, end_s in gap), default=0.0),
        "homeless": sum(one.id not in placed for one in records.utterances),
        "set_aside": len(records.set_aside),
    }


def _gaps(stretch: Stretch, covers: Iterable[Stretch]) -> list[Stretch]:
    """Return what of a stretch lies under no cover, in order."""
    at_s, end_s = stretch
    left = []
    for start_s, until_s in sorted(cover for cover in covers if cover[0] < end_s and cover[1] > at_s):
        if start_s > at_s:
            left.append((at_s, start_s))
        at_s = max(at_s, until_s)
    return [*left, (at_s, end_s)] if at_s < end_s else left
