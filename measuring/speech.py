"""Speech to measure with: recordings of many lengths, cut and joined from the recorded speech that is here.

Sources: the sample media (synthetic voices, trade words, some of it in noise), and the test data of the pocketsphinx
5.1.1 source package, which ``make test`` fetches (people who read a novel and playing cards). Together they are some
eleven minutes. They are cut at pauses, and the pieces are joined again in an order drawn with a fixed seed, until
there is as much as was asked for: no two recordings are the same, though every sentence comes back.
"""

import io
import random
import sys
import tarfile
import wave
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path

import numpy as np
import numpy.typing as npt

from pipeline.hearing.recogniser import RATE_HZ, find_voice
from pipeline.hearing.stretches import stretches
from pipeline.intake.decoding import look, sound_blocks

Samples = npt.NDArray[np.float32]

SAMPLE_MEDIA = Path(__file__).parent.parent / "sample_media" / "media"
REAL_SPEECH = Path(sys.prefix) / "speech" / "pocketsphinx-5.1.1.tar.gz"
_RECORDED = frozenset({".wav", ".mp3", ".opus", ".m4a", ".mp4"})
_LENGTHS_S = (6, 12, 20, 40, 75, 150)
_LONG_SHARE = 0.3
"""So much of the speech is one long recording."""
_LONGEST_PIECE_S, _PAUSES_S = 15.0, (0.3, 0.8, 2.0)


def made_speech(folder: Path, minutes: float) -> float:
    """Write recordings (WAV, 16,000 samples a second, mono) into a new folder; return how many seconds they are."""
    folder.mkdir(parents=True)
    pieces = list(_pieces())
    drawn = random.Random(1944)
    left_s, total_s, number = minutes * 60 * (1 - _LONG_SHARE), 0.0, 0
    lengths = cycle(_LENGTHS_S)
    while left_s > 0:
        number += 1
        length_s = _write(folder / f"note-{number:03}.wav", pieces, next(lengths), drawn)
        left_s, total_s = left_s - length_s, total_s + length_s
    return total_s + _write(folder / "long.wav", pieces, minutes * 60 * _LONG_SHARE, drawn)


def long_speech(minutes: float) -> Iterator[tuple[Samples, Samples]]:
    """Yield speech and the pause after it, 16,000 samples a second, until there are so many minutes of both."""
    return _drawn(list(_pieces()), minutes * 60, random.Random(1944))


def _drawn(pieces: list[Samples], least_s: float, drawn: random.Random) -> Iterator[tuple[Samples, Samples]]:
    count = 0
    while count < least_s * RATE_HZ:
        pause = np.zeros(round(drawn.choice(_PAUSES_S) * RATE_HZ), np.float32)
        piece = drawn.choice(pieces)
        yield piece, pause
        count += len(piece) + len(pause)


def _write(file: Path, pieces: list[Samples], least_s: float, drawn: random.Random) -> float:
    samples = np.concatenate([part for both in _drawn(pieces, least_s, drawn) for part in both])
    with wave.open(str(file), "wb") as out:
        out.setparams((1, 2, RATE_HZ, 0, "NONE", ""))
        out.writeframes((np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes())
    return len(samples) / RATE_HZ


def _pieces() -> Iterator[Samples]:
    """Cut all speech that is here at its pauses."""
    for samples in (*_sample_media(), *_real_speech()):
        start_s = end_s = 0.0
        for voice_start_s, voice_end_s in find_voice(samples).stretches:
            if end_s and voice_end_s - start_s > _LONGEST_PIECE_S:
                yield _cut(samples, start_s, end_s)
                end_s = 0.0
            start_s = start_s if end_s else voice_start_s
            end_s = voice_end_s
        if end_s:
            yield _cut(samples, start_s, end_s)


def _cut(samples: Samples, start_s: float, end_s: float) -> Samples:
    return samples[max(0, round((start_s - 0.1) * RATE_HZ)) : round((end_s + 0.1) * RATE_HZ)]


def _sample_media() -> Iterator[Samples]:
    for file in sorted(path for path in SAMPLE_MEDIA.rglob("*") if path.suffix.lower() in _RECORDED):
        for _, samples in stretches(sound_blocks(file, look(file).content_type)):
            yield samples


def _real_speech() -> Iterator[Samples]:
    if not REAL_SPEECH.is_file():
        print(f"{REAL_SPEECH} is not here (make test fetches it): the sample media alone are used.", file=sys.stderr)
        return
    with tarfile.open(REAL_SPEECH) as archive:
        names = sorted(one.name for one in archive.getmembers() if one.name.endswith(".wav"))
        for name in names:
            held = archive.extractfile(name) if "/librivox/" in name or "/cards/" in name else None
            if held:
                with wave.open(io.BytesIO(held.read())) as file:
                    frames = file.readframes(file.getnframes())
                yield (np.frombuffer(frames, "<i2") / 32768).astype(np.float32)
