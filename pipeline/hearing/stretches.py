"""A long recording heard piece by piece, so that four hours of it need no more memory than ten minutes."""

from collections.abc import Iterable, Iterator, Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from pipeline.values import Heard, HeardSegment, HeardWord, NotUnderstood

LONGEST_S = 600
"""What is longer than this is heard in pieces of about this length, of 38 MB of samples each."""
_RATE_HZ = 16_000
_LOOKED_FOR_SILENCE_S = 90
_SILENCE_S = 0.5

Samples = NDArray[np.float32]


def stretches(blocks: Iterable[Samples], longest_s: float = LONGEST_S) -> Iterator[tuple[float, Samples]]:
    """Join blocks into stretches that are cut where it is most quiet, so that no word is cut in two.

    Args:
        blocks: sound, mono, 16,000 samples per second, in order.
        longest_s: no stretch is longer than this.

    Yields:
        Where each stretch starts, in seconds, and its samples; at least one, which is empty where there is no sound.
    """
    most, start = round(longest_s * _RATE_HZ), 0
    held: list[Samples] = []
    count = 0
    for block in blocks:
        held.append(block)
        count += len(block)
        while count > most:
            whole = np.concatenate(held)
            cut = _most_quiet(whole, most)
            yield start / _RATE_HZ, whole[:cut]
            start, held, count = start + cut, [whole[cut:].copy()], count - cut
            del whole  # only what is left of it goes on
    if held or not start:
        yield start / _RATE_HZ, np.concatenate([np.zeros(0, np.float32), *held])


def _most_quiet(samples: Samples, most: int) -> int:
    """Return where the quietest half second ends its first half, in the last stretch before ``most`` samples."""
    step = round(_SILENCE_S * _RATE_HZ)
    first = max(0, most - _LOOKED_FOR_SILENCE_S * _RATE_HZ)
    steps = (most - first) // step
    if steps < 2:
        return most
    loud = np.square(samples[most - steps * step : most].reshape(steps, step)).mean(axis=1)
    return most - (steps - int(np.argmin(loud))) * step + step // 2


def joined(parts: Sequence[tuple[float, Heard]]) -> Heard:
    """Return what was heard in the stretches of one recording as one.

    Args:
        parts: where each stretch starts, in seconds, and what was heard in it, with times from there; in order.
    """
    if len(parts) == 1:
        return parts[0][1]
    start_s, last = parts[-1]
    return last.model_copy(
        update={
            "duration_s": start_s + last.duration_s,
            "segments": tuple(_later(one, start_s) for start_s, heard in parts for one in heard.segments),
            "not_understood": tuple(_later(one, start_s) for start_s, heard in parts for one in heard.not_understood),
        }
    )


_Timed = TypeVar("_Timed", HeardSegment, HeardWord, NotUnderstood)


def _later(one: _Timed, by_s: float) -> _Timed:
    update: dict[str, object] = {"start_s": round(one.start_s + by_s, 3), "end_s": round(one.end_s + by_s, 3)}
    if isinstance(one, HeardSegment):
        update["words"] = tuple(_later(word, by_s) for word in one.words)
    return one.model_copy(update=update)
