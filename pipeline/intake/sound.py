"""A recording's sound as samples, what was lost of it, and what browsers play. No engine."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

SOUND_RATE_HZ = 16_000
_PLAYED_BY_BROWSERS = frozenset(
    {"audio/mp4", "audio/aac", "audio/mpeg", "audio/wav", "audio/flac", "audio/ogg", "audio/webm"}
    | {"video/mp4", "video/webm", "video/quicktime"}
)


@dataclass(frozen=True)
class Sound:
    """A recording's sound: mono samples at ``SOUND_RATE_HZ``, from the recording's start.

    ``samples`` is float32 of shape (n,), between -1 and 1, empty for a film without sound. ``lost_s`` is how much of
    it could not be decoded, and is silence here so that all times hold, or is missing at the end. ``early_s`` of it
    could not be given its place, so that what comes after it may be that much too early.
    """

    samples: NDArray[np.float32]
    duration_s: float
    lost_s: float = 0.0
    early_s: float = 0.0

    @property
    def remarks(self) -> tuple[str, ...]:
        """Return a sentence for the user about lost sound, or nothing."""
        return lost_remarks(self.lost_s, self.early_s)


def lost_remarks(lost_s: float, early_s: float) -> tuple[str, ...]:
    """Return a sentence for the user about lost sound, or nothing; the two lengths are as in ``Sound``."""
    if lost_s < 0.05:
        return ()
    lost = f"{lost_s:.1f} s of its sound are missing or could not be decoded."
    return (lost, "What was said after that may be placed too early by as much.") if early_s else (lost,)


def plays_in_browsers(content_type: str) -> bool:
    """Say whether pages can play this as it is, or need a ``listening_copy``."""
    return content_type in _PLAYED_BY_BROWSERS
