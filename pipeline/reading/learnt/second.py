"""The learnt reading of notes: made ready, put in context, told, decided."""

import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import as_fact, half_believed, kept
from pipeline.reading.learnt.encoder import Encoder, Tokens
from pipeline.reading.learnt.heads import Heads
from pipeline.reading.learnt.opinion import Opinion, Read
from pipeline.reading.learnt.prepared import Prepared
from pipeline.reading.spans import overlap


class Learnt:
    """Reads notes as marked notes were read. Loading takes a fraction of a second."""

    def __init__(self, folder: Path) -> None:
        """Load the model from a folder with ``encoder.onnx``, ``tokens.json``, ``heads.npz`` and ``tells.json``."""
        tells = json.loads((folder / "tells.json").read_text(encoding="utf-8"))
        with np.load(folder / "heads.npz") as arrays:
            weights = {name: arrays[name].astype(np.float32) for name in arrays.files}
        self._encoder = Encoder(folder, weights["far"])
        self._heads = Heads(weights, tells["acts"], tells["findings"])

    def read(self, note: Prepared, by_rules: Sequence[Fact]) -> tuple[Fact, ...]:
        """Return the facts of a note or of a stretch of one.

        Args:
            note: the stretch made ready.
            by_rules: what the rules read in the whole note.
        """
        tokens = self._encoder.tokens(note.text, note.start, note.end)
        opinion = _opinion(by_rules, tokens)
        kinds, hints = self._heads.features(note, tokens, opinion)
        vectors = self._encoder.context(tokens, kinds, hints)
        readings = self._heads.tell(note, tokens, vectors, hints, opinion)
        taken = kept(readings)
        unseen = {"port", "starboard"} - {word.kind for word in note.words} if note.start else ()
        facts = [*(as_fact(told, opinion, unseen) for told in taken), *half_believed(readings, taken, opinion)]
        return tuple(sorted((f for f in facts if f.words[0] >= note.fresh), key=lambda fact: fact.words))


def _opinion(facts: Sequence[Fact], tokens: Tokens) -> Opinion:
    """Return the facts of the rules with the word pieces that they were read from."""
    found = []
    first, last = tokens.spans[0][0], max(end for _, end in tokens.spans)
    for fact in facts:
        if not overlap(fact.words, (first, last)):
            continue  # of a long note most facts are elsewhere
        if within := tokens.within(*fact.words):
            found.append(Read(within[0], within[1] - 1, fact.act or fact.finding or "", fact))
    return Opinion(tuple(found))
