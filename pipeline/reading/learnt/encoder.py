"""Words in their context, by a small language model: the only module that knows onnxruntime and tokenizers."""

import math
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pipeline.reading.spans import overlap

Floats = NDArray[np.float32]

LONGEST = 300  # word pieces; a longer stretch is read as far as that
FIRST_POSITION = 2
_BUCKETS, _FARTHEST = 32, 128


class Tokens(NamedTuple):
    """A text in word pieces: their numbers, and the characters each stands for (none for the marks at the ends)."""

    ids: tuple[int, ...]
    spans: tuple[tuple[int, int], ...]

    def within(self, start: int, end: int) -> tuple[int, int] | None:
        """Return the word pieces (first, one after the last) of some characters, None where they are not here."""
        own = [at for at, span in enumerate(self.spans) if span[0] < span[1] and overlap(span, (start, end))]
        return (own[0], own[-1] + 1) if own else None


class Encoder:
    """A language model of the shape of MPNet (Song et al. 2020), fitted to work notes."""

    def __init__(self, folder: Path, far: Floats) -> None:
        """Load the model from ``folder``; ``far`` (buckets by heads) weighs how far apart two word pieces stand."""
        import onnxruntime
        import tokenizers

        settings = onnxruntime.SessionOptions()
        settings.intra_op_num_threads = 1
        self._session: Any = onnxruntime.InferenceSession(
            str(folder / "encoder.onnx"), settings, providers=["CPUExecutionProvider"]
        )
        self._pieces: Any = tokenizers.Tokenizer.from_file(str(folder / "tokens.json"))
        self._far = far

    def tokens(self, text: str, start: int, end: int) -> Tokens:
        """Return the word pieces of ``text[start:end]``."""
        encoding = self._pieces.encode(text[start:end])
        spans = [(first + start, last + start) for first, last in encoding.offsets[:LONGEST]]
        return Tokens(tuple(encoding.ids[:LONGEST]), tuple(spans))

    def context(self, tokens: Tokens, kinds: NDArray[np.int64], hints: Floats) -> Floats:
        """Return one vector a word piece (pieces by width).

        Notes go through one by one: the layers are rounded by the range of what goes through together, and a note
        shall be read alike whatever stands beside it.

        Args:
            tokens: the note in word pieces.
            kinds: the kind of word of each piece (pieces).
            hints: what each piece may tell (pieces by hints).
        """
        size = len(tokens.ids)
        fed = {
            "ids": np.array([tokens.ids], np.int64),
            "mask": np.ones((1, size), np.int64),
            "kind": kinds[None],
            "tells": hints[None],
            "pos": np.arange(size, dtype=np.int64)[None] + FIRST_POSITION,
            "bias": self._far[buckets(size)].transpose(2, 0, 1)[None],
        }
        out: Floats = self._session.run(None, fed)[0][0]
        return out


@lru_cache(maxsize=LONGEST)
def buckets(size: int) -> NDArray[np.int64]:
    """Return the bucket of each distance (size by size): near ones by one, far ones by powers, both directions.

    Source: Raffel et al. 2020, "Exploring the Limits of Transfer Learning", section 2.1 (relative positions).
    """
    steps = np.arange(size)
    back = steps[:, None] - steps[None]
    half, away = _BUCKETS // 2, np.abs(back)
    near = half // 2
    by_powers = near + (np.log(np.maximum(away, 1) / near) / math.log(_FARTHEST / near) * (half - near)).astype(
        np.int64
    )
    out: NDArray[np.int64] = np.where(back < 0, half, 0) + np.where(
        away < near, away, np.minimum(by_powers, half - 1)
    )
    return out
