"""The learnt reading of notes: made ready, put in context, told, decided."""

import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import as_fact, kept
from pipeline.reading.learnt.encoder import Encoder, Tokens
from pipeline.reading.learnt.heads import Heads, Told
from pipeline.reading.learnt.opinion import Opinion, Read
from pipeline.reading.learnt.prepared import Prepared

_GROUP = 16  # notes that go through the model together


class Learnt:
    """Reads notes as marked notes were read. Loading takes a fraction of a second."""

    def __init__(self, folder: Path) -> None:
        """Load the model from a folder with ``encoder.onnx``, ``tokens.json``, ``heads.npz`` and ``tells.json``."""
        tells = json.loads((folder / "tells.json").read_text(encoding="utf-8"))
        with np.load(folder / "heads.npz") as arrays:
            weights = {name: arrays[name].astype(np.float32) for name in arrays.files}
        self._encoder = Encoder(folder, weights["far"])
        self._heads = Heads(weights, tells["acts"], tells["findings"])

    def read(self, notes: Sequence[Prepared], by_rules: Sequence[Sequence[Fact]]) -> list[tuple[Fact, ...]]:
        """Return the facts of each note or stretch of a note.

        Args:
            notes: the stretches made ready.
            by_rules: what the rules read in the note of each of them.
        """
        tokens = [self._encoder.tokens(note.text, note.start, note.end) for note in notes]
        opinions = [_opinion(facts, token) for facts, token in zip(by_rules, tokens, strict=True)]
        found: list[tuple[Fact, ...]] = [()] * len(notes)
        order = sorted(range(len(notes)), key=lambda number: len(tokens[number].ids))
        for start in range(0, len(order), _GROUP):
            group = order[start : start + _GROUP]
            for number, readings in zip(group, self._tell(group, notes, tokens, opinions), strict=True):
                fresh = [told for told in kept(readings) if told.words[0] >= notes[number].fresh]
                found[number] = tuple(as_fact(told, opinions[number]) for told in fresh)
        return found

    def _tell(
        self, group: Sequence[int], notes: Sequence[Prepared], tokens: Sequence[Tokens], opinions: Sequence[Opinion]
    ) -> list[list[Told]]:
        features = [self._heads.features(notes[n], tokens[n], opinions[n]) for n in group]
        vectors = self._encoder.contexts(
            [tokens[n] for n in group], [k for k, _ in features], [h for _, h in features]
        )
        return [
            self._heads.tell(notes[n], tokens[n], own, hints, opinions[n])
            for n, own, (_, hints) in zip(group, vectors, features, strict=True)
        ]


def _opinion(facts: Sequence[Fact], tokens: Tokens) -> Opinion:
    """Return the facts of the rules with the word pieces that they were read from."""
    found = []
    for fact in facts:
        start, end = fact.words
        within = [at for at, (a, b) in enumerate(tokens.spans) if a < b and a < end and b > start]
        if within:
            found.append(Read(within[0], within[-1], fact.act or fact.finding or "", fact))
    return Opinion(tuple(found))
