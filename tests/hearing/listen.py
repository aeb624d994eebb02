"""Hears as a run does: all that the evaluation knows of the pipeline's way from sound to what is read."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pipeline.hearing.bias import hotwords
from pipeline.hearing.corrected import REPAIRED_LISTS, read_utterance, repairer_of
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import SAMPLES, Recogniser
from pipeline.hearing.utterances import cut
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.values import Heard, HeardWord, Reading, Utterance
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

    def __init__(self, model: str = "base", jobs: int = 2) -> None:
        words = vocabulary()
        self.names = trade_names(words)
        self.fixed_hotwords = hotwords(self.names)
        self._recogniser = Recogniser(find_model(model), jobs)
        self._repairer = repairer_of(words)

    def one_look(self, samples: SAMPLES, hotwords: str = "") -> Heard:
        """Decode once, in batches, leaning towards the hotwords given."""
        return self._recogniser.hear(samples, hotwords)

    def hear(self, samples: SAMPLES) -> Heard:
        """Hear as a run does."""
        return self._recogniser.hear(samples, self.fixed_hotwords)

    def listen(self, samples: SAMPLES) -> Listened:
        """Hear, cut into utterances, repair and mark."""
        heard = self.hear(samples)
        words: list[ReadWord] = []
        repairs: list[Repair] = []
        texts: list[str] = []
        for utterance in cut(heard, "sha256:" + "0" * 64):
            reading = read_utterance(utterance, self._repairer, heard.not_understood)
            before = sum(len(text) + 1 for text in texts)
            repairs += [
                Repair(before + one.start, before + one.end, one.read) for one in reading.corrections if one.applied
            ]
            texts.append(utterance.heard)
            words += read_words(utterance, reading)
        return Listened(heard, " ".join(texts), tuple(words), tuple(repairs))


def chance_wrong(word: HeardWord) -> float:
    return float(getattr(word, "chance_wrong", 1 - word.probability))


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
            chances = [chance_wrong(utterance.words[starts[start - moved]])]
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
