"""How a picture looks, as far as figures tell: sharp, well lit, and like another one or not."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

LOOKED_AT_PX = 512 * 384
_LEAST_SHARP = 25.0
_SHARP_ENOUGH = 120.0
_MOST_DARK = 0.55
_MOST_BURNT = 0.3
_DARK, _BURNT = 12, 248
_ALIKE_BITS = 10


@dataclass(frozen=True)
class Look:
    """What a picture's brightness tells.

    ``sharpness`` is the variance of the Laplacian of the grey picture; ``dark`` and ``burnt`` are the shares of
    pixels that are as good as black and as good as white; ``mark`` is a 64-bit difference hash.
    """

    sharpness: float
    dark: float
    burnt: float
    mark: int

    @property
    def good(self) -> bool:
        """Tell whether it is fit to be shown: not blurred, nor lost in the dark, nor burnt out."""
        return self.sharpness >= _LEAST_SHARP and self.dark <= _MOST_DARK and self.burnt <= _MOST_BURNT

    @property
    def worth(self) -> float:
        """Return how good it is beside others, 0 to 1: sharpness beyond what a page shows counts for nothing."""
        sharp = min(1.0, self.sharpness / _SHARP_ENOUGH)
        return round(sharp * (1 - min(1.0, self.dark)) * (1 - min(1.0, 2 * self.burnt)), 3)

    def alike(self, other: "Look") -> bool:
        """Tell whether two pictures show as good as the same."""
        return (self.mark ^ other.mark).bit_count() <= _ALIKE_BITS


def look_at(grey: NDArray[np.uint8]) -> Look:
    """Measure a grey picture, shape (h, w).

    The least sharpness and the shares of black and white are settled with made pictures: common practice, no source.
    Source: variance of the Laplacian, J. L. Pech-Pacheco and others, "Diatom autofocusing in brightfield microscopy",
    ICPR 2000; the difference hash compares the brightness of neighbours in a 9 by 8 picture: both from memory.
    """
    values = grey.astype(np.float64)
    return Look(
        sharpness=_laplacian_variance(values),
        dark=float(np.mean(grey <= _DARK)) if grey.size else 1.0,
        burnt=float(np.mean(grey >= _BURNT)) if grey.size else 1.0,
        mark=_difference_hash(values),
    )


def _laplacian_variance(values: NDArray[np.float64]) -> float:
    if min(values.shape) < 3:
        return 0.0
    middle = values[1:-1, 1:-1]
    around = values[:-2, 1:-1] + values[2:, 1:-1] + values[1:-1, :-2] + values[1:-1, 2:]
    return float(np.var(around - 4 * middle))


def _difference_hash(values: NDArray[np.float64]) -> int:
    """Return 64 bits: whether each of 8 by 8 patches is darker than the one to its right."""
    if min(values.shape) < 9:
        return 0
    rows = np.array_split(values, 8, axis=0)
    means = np.array([[part.mean() for part in np.array_split(row, 9, axis=1)] for row in rows])
    mark = 0
    for bit in (means[:, :-1] < means[:, 1:]).flatten():
        mark = mark << 1 | int(bit)
    return mark
