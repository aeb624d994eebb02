"""The sound of the hangar: its echo, rain on its roof, a compressor and dropped spanners, all made from numbers."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, sosfilt

Samples = NDArray[np.float32]
HISS_RMS = 0.0009


@dataclass(frozen=True)
class Room:
    """An echo: its fall by 60 dB, how far it lies under the voice, and what it keeps of the treble."""

    decay_s: float
    wet_db: float
    treble_hz: float
    first_echoes_s: tuple[float, ...]


ROOMS = {
    "hangar": Room(1.5, -15.0, 3200.0, (0.019, 0.031, 0.047, 0.071, 0.102)),
    "near": Room(0.35, -20.0, 5000.0, (0.006, 0.011, 0.017)),
}


def echoed(dry: Samples, room: str, rate_hz: int, rng: np.random.Generator) -> Samples:
    """Add a room's echo to a sound; the length stays the same."""
    shape = ROOMS[room]
    length = round(shape.decay_s * rate_hz)
    since = np.arange(length) / rate_hz
    tail = rng.standard_normal(length) * 10 ** (-3 * since / shape.decay_s)
    tail[: round(0.012 * rate_hz)] = 0
    low = butter(2, shape.treble_hz, "low", fs=rate_hz, output="sos")
    tail = sosfilt(low, tail)
    for number, at_s in enumerate(shape.first_echoes_s):
        tail[round(at_s * rate_hz)] += 9.0 * 0.75**number * (-1) ** number
    wet = fftconvolve(dry, tail)[: len(dry)]
    wet *= _rms(dry) * 10 ** (shape.wet_db / 20) / max(_rms(wet), 1e-9)
    return (dry + wet).astype(np.float32)


def rain(length: int, rate_hz: int, rng: np.random.Generator) -> Samples:
    """Make rain on a tin roof: a steady hiss that swells, and single drops that ring."""
    band = butter(2, (500, 6500), "band", fs=rate_hz, output="sos")
    hiss = sosfilt(band, rng.standard_normal(length))
    swell = 1 + 0.35 * np.interp(np.arange(length), *_wander(length, rate_hz, 1.7, rng))
    drops = np.zeros(length)
    ring = np.arange(round(0.05 * rate_hz)) / rate_hz
    for pitch_hz in rng.uniform(600, 4200, 9):
        falls = np.zeros(length)
        at = rng.integers(0, length, max(1, round(length / rate_hz * 6)))
        falls[at] = rng.exponential(1.0, len(at))
        drop = np.exp(-ring / rng.uniform(0.002, 0.006)) * np.sin(2 * np.pi * pitch_hz * ring)
        drops += fftconvolve(falls, drop)[:length]
    return _levelled(hiss * swell / _rms(hiss) + 1.6 * drops)


def compressor(length: int, rate_hz: int, rng: np.random.Generator) -> Samples:
    """Make a piston compressor across the hangar: mains hum, a thump 11 times a second, and rushing air."""
    at_s = np.arange(length) / rate_hz
    hum = sum(
        strength * np.sin(2 * np.pi * 49.3 * part * at_s + rng.uniform(0, 6.28))
        for part, strength in ((1, 0.5), (2, 1.0), (3, 0.45), (4, 0.4), (6, 0.3), (9, 0.16), (12, 0.1))
    )
    beat = 0.5 + 0.5 * np.sin(2 * np.pi * 10.9 * at_s + 0.3 * np.sin(2 * np.pi * 0.4 * at_s))
    air = sosfilt(butter(2, (180, 2600), "band", fs=rate_hz, output="sos"), rng.standard_normal(length))
    return _levelled(hum / _rms(hum) + 0.9 * air / _rms(air) * (0.4 + beat**4 * 1.6))


def clanks(length: int, rate_hz: int, rng: np.random.Generator) -> Samples:
    """Make metal strike metal now and then: inharmonic rings of different size, heard through the hangar's echo."""
    sound = np.zeros(length)
    at_s = rng.uniform(0.5, 2.5)
    while at_s * rate_hz < length - rate_hz:
        since = np.arange(rate_hz) / rate_hz
        size = rng.uniform(0.5, 1.5)
        blow = sum(
            rng.uniform(0.3, 1.0)
            * np.sin(2 * np.pi * pitch * size * since + rng.uniform(0, 6.28))
            * np.exp(-since / rng.uniform(0.03, 0.22))
            for pitch in (520, 1130, 1790, 2610, 3480)
        )
        begin = round(at_s * rate_hz)
        sound[begin : begin + rate_hz] += blow * rng.uniform(0.25, 1.0)
        at_s += rng.choice([rng.uniform(0.15, 0.5), rng.uniform(2.0, 6.0)], p=[0.3, 0.7])
    return _levelled(echoed(sound.astype(np.float32), "hangar", rate_hz, rng))


NOISES = {"rain": rain, "compressor": compressor, "clanks": clanks}


def noise(kinds: list[str], length: int, rate_hz: int, rng: np.random.Generator) -> Samples:
    """Mix noises of equal strength; the result has an RMS of 1."""
    return _levelled(np.sum([NOISES[kind](length, rate_hz, rng) for kind in kinds], axis=0))


def hiss(length: int, rng: np.random.Generator) -> Samples:
    """Make the noise of the microphone itself, so that a pause is quiet but never silent."""
    return (HISS_RMS * rng.standard_normal(length)).astype(np.float32)


def _wander(length: int, rate_hz: int, every_s: float, rng: np.random.Generator) -> tuple[NDArray, NDArray]:
    points = max(2, round(length / rate_hz / every_s))
    return np.linspace(0, length, points), rng.uniform(-1, 1, points)


def _rms(sound: NDArray) -> float:
    return float(np.sqrt(np.mean(np.square(sound))))


def _levelled(sound: NDArray) -> Samples:
    return (sound / _rms(sound)).astype(np.float32)
