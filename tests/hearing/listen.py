"""Hears as a run does: all that the evaluation knows of the pipeline's way from sound to what is read."""

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from pipeline.hearing.corrected import REPAIRED_LISTS, leaning_of, read_utterance, repairer_of
from pipeline.hearing.hear import hear, look_twice
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import GROUP, SAMPLES, Recogniser, find_voice
from pipeline.hearing.utterances import cut
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.values import Heard, HeardSegment, HeardWord, Reading, Utterance
from tests.hearing.scores import ReadWord, Repair

VOCAB = Path(__file__).parent.parent.parent / "vocab"


def vocabulary() -> Vocabulary:
    return load_vocabulary([VOCAB / "base", VOCAB / "crew-trainer"])


def trade_names(words: Vocabulary) -> list[str]:
    """List the names of parts and of things counted, which are what may be repaired."""
    return [name.text for name in words.names() if name.list in REPAIRED_LISTS]


@dataclass(frozen=True)
class Listened:
    """What came of one recording."""

    heard: Heard
    heard_text: str
    words: tuple[ReadWord, ...]
    repairs: tuple[Repair, ...]


class Listener:
    """A recogniser with the vocabulary; several threads may use one."""

    def __init__(self, model: str = "base", jobs: int = os.cpu_count() or 2) -> None:
        words = vocabulary()
        self.names = trade_names(words)
        self.leaning = leaning_of(words)
        self._recogniser = Recogniser(find_model(model), jobs)
        self._repairer = repairer_of(words)

    def hear(self, samples: SAMPLES) -> Heard:
        """Hear as a run does."""
        return hear(self._recogniser, samples, self.leaning)

    def one_look(self, samples: SAMPLES, hotwords: str) -> None:
        """Decode once, in batches, leaning towards the hotwords given: what a run is timed against."""
        voiced = find_voice(samples)
        with ThreadPoolExecutor(self._recogniser.jobs) as pool:
            groups = self._recogniser.groups(voiced)
            sizes = [len(voiced.chunks[start : start + GROUP]) for start in range(0, len(voiced.chunks), GROUP)]
            list(pool.map(lambda group, size: group.look([hotwords] * size), groups, sizes))

    def looks(self, samples: SAMPLES) -> tuple[list[HeardSegment], list[HeardSegment]]:
        """Give what each look heard before the two are merged: the one that leans nowhere, and the one that leans."""
        groups = self._recogniser.groups(find_voice(samples))
        both = [pair for group in groups for pair in look_twice(group, self.leaning)]
        return [first for first, _ in both if first], [second for _, second in both if second]

    def listen(self, samples: SAMPLES) -> Listened:
        """Hear, cut into utterances, repair and mark."""
        heard = self.hear(samples)
        words: list[ReadWord] = []
        repairs: list[Repair] = []
        texts: list[str] = []
        for utterance in cut(heard, "sha256:" + "0" * 64):
            reading = read_utterance(utterance, self._repairer)
            before = sum(len(text) + 1 for text in texts)
            repairs += [
                Repair(before + one.start, before + one.end, one.read) for one in reading.corrections if one.applied
            ]
            texts.append(utterance.heard)
            words += read_words(utterance, reading)
        return Listened(heard, " ".join(texts), tuple(words), tuple(repairs))


def read_words(utterance: Utterance, reading: Reading) -> list[ReadWord]:
    """Give each word as read the chance of the word it was heard as; a repaired one, what its score leaves over."""
    changes = _changes(reading)
    starts = _starts(utterance.words)
    out, at = [], 0
    for text in reading.read.split():
        start = reading.read.index(text, at)
        end = at = start + len(text)
        chances = [1 - score for first, last, _, score in changes if first < end and last > start]
        if not chances:
            moved = sum(longer_by for _, last, longer_by, _ in changes if last <= start)
            chances = [utterance.words[starts[start - moved]].chance_wrong]
        marked = any(one.start < end and one.end > start for one in reading.unsure)
        out.append(ReadWord(text, max(chances), marked))
    return out


def _changes(reading: Reading) -> list[tuple[int, int, int, float]]:
    """List applied corrections by their place in the read text: (start, end, characters longer, score)."""
    out, moved = [], 0
    for one in sorted((one for one in reading.corrections if one.applied), key=lambda one: one.start):
        longer_by = len(one.read) - len(one.heard)
        out.append((one.start + moved, one.start + moved + len(one.read), longer_by, one.score))
        moved += longer_by
    return out


def _starts(words: Sequence[HeardWord]) -> dict[int, int]:
    starts, at = {}, 0
    for number, word in enumerate(words):
        starts[at] = number
        at += len(word.text) + 1
    return starts
