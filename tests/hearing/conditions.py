"""What a hangar does to speech: noise at a set loudness and an echo, the same for the same file name.

All is made here from random numbers with a fixed seed: there is no recording behind it. The numbers are estimates,
common practice without a source; what matters is that every setting is judged in the same noise.
"""

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

RATE_HZ = 16_000
SAMPLES = npt.NDArray[np.float32]
Sound = npt.NDArray[np.float64]

# A big hall with hard walls, and a telephone held half a metre to a metre from the mouth: in a hall of 5,000 cubic
# metres, echo and voice are equally loud at some 2.5 to 4 m (0.057 times the root of volume over reverberation time;
# from memory), which makes the voice 8 to 14 dB and more louder at that distance.
REVERBERATION_S = (0.6, 1.2)
DIRECT_TO_REVERBERANT_DB = (8.0, 14.0)
FIRST_REFLECTION_S = 0.012
# Speech louder than this share of its own loudest frame counts as speech when its loudness is measured.
SPEECH_FRAME, FRAME = 0.1, 400
SHORTEST_CLIP_S, LONGEST_CLIP_S = 5, 40


@dataclass(frozen=True)
class Condition:
    """How speech is spoilt: noise so many decibels below the speech (None for none), and whether there is an echo."""

    noise_db: float | None = None
    echo: bool = False

    @property
    def name(self) -> str:
        noise = "clean" if self.noise_db is None else f"{self.noise_db:g} dB"
        return noise + (" with echo" if self.echo else "")


@dataclass(frozen=True)
class Clip:
    """Sound with no speech but, where ``said`` is given, a note from ``note_start_s`` to ``note_end_s``."""

    name: str
    samples: SAMPLES
    said: str = ""
    note_start_s: float = 0.0
    note_end_s: float = 0.0


def spoilt(samples: SAMPLES, condition: Condition, name: str) -> SAMPLES:
    """Spoil speech: first the echo, then the noise, measured against the speech with its echo.

    Args:
        samples: mono, 16,000 per second, from -1 to 1.
        condition: what is done to it.
        name: the same name and condition give the same noise and echo.
    """
    random = seeded(name)
    out = samples.astype(np.float64)
    room, noise = seeded(f"{name} room"), hangar(len(out), random)
    if condition.echo:
        out = echoed(out, room)
    if condition.noise_db is not None:
        out = out + noise * (loudness(out) / _level(noise) * 10 ** (-condition.noise_db / 20))
    return _within_range(out)


def seeded(name: str) -> np.random.Generator:
    return np.random.default_rng(int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], "big"))


def loudness(samples: Sound) -> float:
    """Give the root mean square of the frames in which somebody speaks, so that pauses do not make speech quieter."""
    frames = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME)
    levels = np.sqrt((frames**2).mean(axis=1)) if len(frames) else np.array([_level(samples)])
    return float(np.sqrt((levels[levels >= SPEECH_FRAME * levels.max()] ** 2).mean()))


def echoed(samples: Sound, random: np.random.Generator) -> Sound:
    """Add the echo of a hall: noise that dies away evenly, below the sound that comes straight from the mouth."""
    reverberation_s = random.uniform(*REVERBERATION_S)
    time_s = np.arange(int(reverberation_s * RATE_HZ)) / RATE_HZ
    tail = random.normal(size=len(time_s)) * 10 ** (-3 * time_s / reverberation_s)
    tail[: int(FIRST_REFLECTION_S * RATE_HZ)] = 0
    tail = _low_passed(tail, 4000)
    tail *= 10 ** (-random.uniform(*DIRECT_TO_REVERBERANT_DB) / 20) / np.sqrt((tail**2).sum())
    tail[0] += 1
    return _convolved(samples, tail)[: len(samples)]


def hangar(count: int, random: np.random.Generator) -> Sound:
    """Make the noise of a hangar at work: rumble and air, mains hum, a compressor that comes and goes, clanks."""
    noise = pink(count, random) + 0.25 * hum(count, random)
    if random.random() < 0.5:
        noise += 0.6 * _now_and_then(compressor(count, random), random)
    if random.random() < 0.4:
        noise += 0.8 * _now_and_then(drill(count, random), random)
    return noise + 1.2 * clanks(count, random)


def pink(count: int, random: np.random.Generator) -> Sound:
    spectrum = np.fft.rfft(random.normal(size=count))
    hertz = np.fft.rfftfreq(count, 1 / RATE_HZ)
    return _evened(np.fft.irfft(spectrum / np.sqrt(np.maximum(hertz, 40)), count))


def hum(count: int, random: np.random.Generator) -> Sound:
    time_s = np.arange(count) / RATE_HZ
    tones = (np.sin(2 * np.pi * 50 * n * time_s + random.uniform(0, 6)) / n for n in (1, 2, 3, 4, 6))
    return _evened(np.sum(list(tones), axis=0))


def compressor(count: int, random: np.random.Generator) -> Sound:
    """A piston compressor: noise in strokes, 7 to 14 a second."""
    time_s = np.arange(count) / RATE_HZ
    strokes = np.maximum(0, np.sin(2 * np.pi * random.uniform(7, 14) * time_s)) ** 3
    return _evened(_low_passed(random.normal(size=count), 900) * strokes + 0.1 * hum(count, random))


def drill(count: int, random: np.random.Generator) -> Sound:
    """A drill: a whine with overtones whose pitch sags and rises with the load."""
    time_s = np.arange(count) / RATE_HZ
    pitch_hz = random.uniform(250, 600) * (1 + 0.15 * np.sin(2 * np.pi * random.uniform(0.2, 0.6) * time_s))
    turn = 2 * np.pi * np.cumsum(pitch_hz) / RATE_HZ
    whine = np.sum([np.sin(n * turn) / n for n in range(1, 8)], axis=0)
    return _evened(whine + 0.3 * random.normal(size=count))


def clanks(count: int, random: np.random.Generator) -> Sound:
    """Things of metal put down: a few tones that ring out, every few seconds."""
    out = np.zeros(count)
    for start in _starts(count, 0.3, random):
        time_s = np.arange(min(count - start, RATE_HZ)) / RATE_HZ
        for _ in range(5):
            ring = np.sin(2 * np.pi * random.uniform(400, 5000) * time_s) * np.exp(
                -time_s / random.uniform(0.05, 0.3)
            )
            out[start : start + len(time_s)] += random.uniform(0.5, 2) * ring
    return out


def hammering(count: int, random: np.random.Generator) -> Sound:
    """A hammer, or with 20 to 30 blows a second a rivet or rattle gun, in bursts."""
    out = np.zeros(count)
    for start in _starts(count, 0.6, random):
        per_s = random.choice([random.uniform(2, 4), random.uniform(20, 30)])
        for blow in range(start, min(count, start + int(random.uniform(0.5, 2.5) * RATE_HZ)), int(RATE_HZ / per_s)):
            time_s = np.arange(min(count - blow, RATE_HZ // 10)) / RATE_HZ
            out[blow : blow + len(time_s)] += random.normal(size=len(time_s)) * np.exp(-time_s / 0.012)
    return _evened(out + 0.001 * random.normal(size=count))


def wind(count: int, random: np.random.Generator) -> Sound:
    gusts = 0.4 + np.abs(_low_passed(random.normal(size=count), 0.4) * 60)
    return _evened(_low_passed(random.normal(size=count), 350) * gusts)


def silence(count: int, random: np.random.Generator) -> Sound:
    """What a recorder writes where nothing sounds: nothing, or the last bit wavering."""
    return np.zeros(count) if random.random() < 0.5 else random.integers(-1, 2, size=count) / 32768


NOISES: dict[str, Callable[[int, np.random.Generator], Sound]] = {
    "silence": silence,
    "pink noise": pink,
    "compressor": compressor,
    "hammering": hammering,
    "drill": drill,
    "clanks": clanks,
    "wind": wind,
    "hangar": hangar,
}


def clips_without_speech(count: int, notes: Iterator[tuple[str, SAMPLES]]) -> Iterator[Clip]:
    """Make clips of silence, noise and tools, 5 to 40 s long; every third has a note in its middle.

    Args:
        count: how many.
        notes: what was said in each note, and its sound.
    """
    for number in range(count):
        kind = list(NOISES)[number % len(NOISES)]
        name = f"{number:02d} {kind}"
        random = seeded(name)
        length = int(random.uniform(SHORTEST_CLIP_S, LONGEST_CLIP_S) * RATE_HZ)
        noise = NOISES[kind](length, random)
        if kind != "silence":
            noise *= random.uniform(0.02, 0.15)
        if number % 3 or (note := next(notes, None)) is None:
            yield Clip(name, _within_range(noise))
            continue
        said, speech = note
        lead = int(random.uniform(3, 12) * RATE_HZ)
        whole = NOISES[kind](lead + len(speech) + lead, random)
        if kind != "silence":
            whole *= loudness(speech.astype(np.float64)) / _level(whole) * 10 ** (-15 / 20)
        whole[lead : lead + len(speech)] += speech
        yield Clip(f"{name} and a note", _within_range(whole), said, lead / RATE_HZ, (lead + len(speech)) / RATE_HZ)


def _now_and_then(sound: Sound, random: np.random.Generator) -> Sound:
    """Let a sound be heard in stretches of a few seconds, with soft edges."""
    switch = np.repeat(random.random(len(sound) // (2 * RATE_HZ) + 1) < 0.5, 2 * RATE_HZ)[: len(sound)]
    return sound * np.convolve(switch.astype(np.float64), np.ones(800) / 800, "same")


def _starts(count: int, per_s: float, random: np.random.Generator) -> list[int]:
    many = random.poisson(per_s * count / RATE_HZ)
    return sorted(int(start) for start in random.integers(0, max(1, count), size=many))


def _convolved(a: Sound, b: Sound) -> Sound:
    size = len(a) + len(b) - 1
    return np.fft.irfft(np.fft.rfft(a, size) * np.fft.rfft(b, size), size)


def _low_passed(sound: Sound, hertz: float) -> Sound:
    spectrum = np.fft.rfft(sound)
    frequencies = np.fft.rfftfreq(len(sound), 1 / RATE_HZ)
    return np.fft.irfft(spectrum / (1 + (frequencies / hertz) ** 2), len(sound))


def _level(sound: Sound) -> float:
    return float(np.sqrt((sound**2).mean())) or 1.0


def _evened(sound: Sound) -> Sound:
    return sound / _level(sound)


def _within_range(sound: Sound) -> SAMPLES:
    return (sound / max(1.0, float(np.abs(sound).max(initial=0)))).astype(np.float32)
