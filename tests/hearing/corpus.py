"""Folders of recorded speech, with what is said in each file."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from pipeline.intake.decoding import sound
from tests.hearing.conditions import RATE_HZ, SAMPLES

NOTES = Path(__file__).parent / "notes"


@dataclass(frozen=True)
class Spoken:
    """A sound file, who speaks in it, and what is said."""

    path: Path
    voice: str
    said: str

    def samples(self) -> SAMPLES:
        """Read it: mono, 16,000 samples per second, from -1 to 1."""
        return sound(self.path, "audio/wav").samples


def spoken_in(folder: Path, notes: Path | None = None) -> list[Spoken]:
    """List a folder's speech in order of name.

    Args:
        folder: with ``texts.jsonl`` ({"file", "voice", "said"} lines), or of files called NNN-voice.wav, where NNN is
            the number of a line of the notes.
        notes: a note a line; if not given, the file of the folder's name in ``tests/hearing/notes``.
    """
    texts = folder / "texts.jsonl"
    if texts.is_file():
        lines = map(json.loads, texts.read_text(encoding="utf-8").splitlines())
        return sorted(
            (Spoken(folder / line["file"], line["voice"], line["said"]) for line in lines), key=lambda one: one.path
        )
    lines_said = (notes or NOTES / f"{folder.name}.txt").read_text(encoding="utf-8").splitlines()
    out = []
    for path in sorted(folder.glob("[0-9]*-*.wav")):
        number, _, voice = path.stem.partition("-")
        out.append(Spoken(path, voice, lines_said[int(number) - 1]))
    return out


def one_after_the_other(speech: Sequence[Spoken], least_s: float, pause_s: float = 0.6) -> SAMPLES:
    """Join speech with pauses into one recording of at least so many seconds, or of all there is."""
    pieces: list[SAMPLES] = []
    for one in speech:
        if sum(map(len, pieces)) >= least_s * RATE_HZ:
            break
        pieces += [one.samples(), np.zeros(int(pause_s * RATE_HZ), dtype=np.float32)]
    return np.concatenate(pieces) if pieces else np.zeros(0, dtype=np.float32)
