"""How well speech is heard and repaired, in figures. A command for a developer, not a test.

    python -m tests.hearing.evaluate notes FOLDER [--noise-db N] [--echo] [--model M] [--show] [--test]
    python -m tests.hearing.evaluate silence FOLDER       silence and tools, some clips with a note of FOLDER in them
    python -m tests.hearing.evaluate speed FOLDER         seconds of work per second of sound, one look against a run
    python -m tests.hearing.evaluate false-repairs FILE…  right text, one a line, or JSON Lines with "text" or "said"
    python -m tests.hearing.evaluate repair-text FILE     JSON Lines: "heard", "said" and perhaps "probabilities"
    python -m tests.hearing.evaluate dump FOLDER --out FILE [--noise-db N] [--echo]    what either look heard

FOLDER is made by ``python -m tests.hearing.say`` or ``python -m tests.hearing.real_speech``. Figures of a folder
whose name has "test" in it are printed only with --test, and never with --show: they are for judging, not for tuning.

Words are compared as ``plain_words`` makes them: figures one by one, whichever way a number is written. A word that
was heard in two parts ("tail plane") is right; the stricter figure, which calls it wrong, stands beside it. A word
that was left out makes an error, but no word that stands in the text wrong: doubts are judged on the words that
stand there. Synthetic speech flatters and maligns by turns: take the figures as a comparison between settings.
"""

import argparse
import os
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from pipeline.values import Heard, HeardWord
from tests.hearing.conditions import RATE_HZ, SAMPLES, Clip, Condition, clips_without_speech, spoilt
from tests.hearing.corpus import Spoken, one_after_the_other, spoken_in
from tests.hearing.dump import dump
from tests.hearing.listen import Listened, Listener, vocabulary
from tests.hearing.repair_text import count_false_repairs, score_repairs
from tests.hearing.report import print_scores
from tests.hearing.scores import Comparison, Score, effect, score, terms_of

# A word's time is off by so much at most; words further from the note than that are not of it.
EDGE_S = 0.5
CLIPS_WITHOUT_SPEECH = 30
LONG_S, ROUNDS = 300, 3


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(dest="command", required=True)
    for name, work in (
        ("notes", score_notes),
        ("silence", score_silence),
        ("speed", time_looks),
        ("dump", dump_looks),
    ):
        command = commands.add_parser(name)
        command.set_defaults(work=work)
        command.add_argument("folder", type=Path)
        command.add_argument(
            "--notes", type=Path, help="what is said, a note a line, if not that of the folder's name"
        )
        command.add_argument("--model", default="base")
        command.add_argument("--most", type=int, help="take so many files only, spread evenly")
        command.add_argument("--test", action="store_true", help="print figures of a folder for judging")
        if name in ("notes", "dump"):
            command.add_argument("--noise-db", type=float)
            command.add_argument("--echo", action="store_true")
        if name == "dump":
            command.add_argument("--out", type=Path, required=True)
        else:
            command.add_argument("--show", action="store_true", help="print what went wrong, file by file")
    text = commands.add_parser("false-repairs")
    text.add_argument("files", type=Path, nargs="+")
    text.set_defaults(work=lambda asked: count_false_repairs(asked.files, vocabulary()))
    text = commands.add_parser("repair-text")
    text.add_argument("file", type=Path)
    text.add_argument("--show", action="store_true")
    text.set_defaults(work=lambda asked: score_repairs(asked.file, vocabulary(), asked.show))
    asked = parser.parse_args()
    if "folder" in asked and "test" in asked.folder.name and (not asked.test or getattr(asked, "show", False)):
        parser.error(f"{asked.folder.name} is for judging: say --test, without --show, to see its figures")
    asked.work(asked)


def score_notes(asked: argparse.Namespace) -> None:
    """Hear every file of a folder in one condition, and print the scores by voice and in all."""
    listener, condition = Listener(asked.model), Condition(asked.noise_db, asked.echo)
    terms = terms_of(listener.names)
    by_voice: dict[str, Score] = {}
    for one, listened in heard_in(chosen(asked), condition, listener.listen):
        scored = score(one.said, listened.heard_text, listened.words, listened.repairs, terms)
        by_voice.setdefault(one.voice, Score()).add(scored)
        if asked.show and scored.counts["read errors"]:
            show(one, listened)
    print_scores(f"{asked.folder.name}, {condition.name}, {asked.model}", by_voice)


def score_silence(asked: argparse.Namespace) -> None:
    """Hear clips without speech, some with a note in the middle, and count the words kept where nobody speaks."""
    listener = Listener(asked.model)
    notes = ((one.said, one.samples()) for one in chosen(asked))
    kept = left_out = clips = files = 0
    for clip in clips_without_speech(CLIPS_WITHOUT_SPEECH, notes):
        heard = listener.hear(clip.samples)
        outside = [word.text for word in not_of_the_note(heard, clip)]
        clips, files, kept = clips + 1, files + bool(outside), kept + len(outside)
        left_out += sum(len(one.guess.split()) for one in heard.not_understood)
        if asked.show and outside:
            print(f"{clip.name}: {' '.join(outside)}")
    print(
        f"{clips} clips: {kept} words kept where nobody speaks, in {files} clips; {left_out} words heard and left out"
    )


def not_of_the_note(heard: Heard, clip: Clip) -> list[HeardWord]:
    """List the words that are away from the note in time and, as a time may be wrong, not among its words either."""
    words = [word for segment in heard.segments for word in segment.words]
    if not clip.said:
        return words
    wrong = {word.token for word, _ in Comparison(clip.said, " ".join(word.text for word in words)).wrong()}
    return [
        word
        for at, word in enumerate(words)
        if at in wrong and (word.end_s < clip.note_start_s - EDGE_S or word.start_s > clip.note_end_s + EDGE_S)
    ]


def time_looks(asked: argparse.Namespace) -> None:
    """Time one biased look and what a run does, by turns, on short files in two threads and on one long file."""
    listener = Listener(asked.model)
    speech = chosen(asked)
    short = [one.samples() for one in speech]
    long = [one_after_the_other(speech, LONG_S)]
    # The names nearest to all that is said here: as many as a look of a run leans towards.
    hotwords = listener.leaning.hotwords(" ".join(one.said for one in speech))
    looks: dict[str, Callable[[SAMPLES], object]] = {
        "one look": lambda samples: listener.one_look(samples, hotwords),
        "as a run": listener.hear,
    }
    for name, files in (("short files", short), ("one long file", long)):
        seconds = sum(map(len, files)) / RATE_HZ
        spent: dict[str, list[tuple[float, float]]] = {look: [] for look in looks}
        for _ in range(ROUNDS):
            for look, hear in looks.items():
                start, start_work = time.perf_counter(), time.process_time()
                with ThreadPoolExecutor(os.cpu_count() or 2) as pool:
                    list(pool.map(hear, files))
                spent[look].append((time.perf_counter() - start, time.process_time() - start_work))
        medians = {look: [statistics.median(times) / seconds for times in zip(*spent[look], strict=True)]
                   for look in looks}  # fmt: skip
        ratio = statistics.median(b[0] / a[0] for a, b in zip(*spent.values(), strict=True))
        for look, (wall, work) in medians.items():
            per = f"{wall:.3f} s by the clock, {work:.3f} s of work"
            print(f"{name}, {seconds:.0f} s, {look}: {per} per second of sound")
        print(f"{name}: as a run takes {ratio:.2f} times one look (median of {ROUNDS} pairs)")


def dump_looks(asked: argparse.Namespace) -> None:
    dump(chosen(asked), Listener(asked.model), Condition(asked.noise_db, asked.echo), asked.out)


def chosen(asked: argparse.Namespace) -> list[Spoken]:
    speech = spoken_in(asked.folder, asked.notes)
    if asked.most and len(speech) > asked.most:
        return [speech[at * len(speech) // asked.most] for at in range(asked.most)]
    return speech


def heard_in(
    speech: Sequence[Spoken], condition: Condition, listen: Callable[[SAMPLES], Listened]
) -> Iterator[tuple[Spoken, Listened]]:
    with ThreadPoolExecutor(os.cpu_count() or 2) as pool:
        yield from zip(
            speech,
            pool.map(lambda one: listen(spoilt(one.samples(), condition, one.path.name)), speech),
            strict=True,
        )


def show(one: Spoken, listened: Listened) -> None:
    print(f"{one.path.name}\n  said  {one.said}\n  heard {listened.heard_text}")
    print("  read  " + " ".join(f"[{word.text}]" if word.marked else word.text for word in listened.words))
    for repair in listened.repairs:
        did = effect(one.said, listened.heard_text, repair)
        print(f"  {did}: {listened.heard_text[repair.start : repair.end]} -> {repair.read}")


if __name__ == "__main__":
    main()
