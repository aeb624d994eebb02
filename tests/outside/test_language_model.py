"""The small sums of the learnt reading against the standard library and published definitions."""

import math

import numpy as np
import pytest

from pipeline.reading.learnt.encoder import buckets
from pipeline.reading.learnt.heads import gelu


def test_bend_between_layers_is_the_gaussian_error_linear_unit() -> None:
    """Source: Hendrycks and Gimpel 2016, x times the normal distribution function; erf of Python's math module."""
    values = np.linspace(-6, 6, 241, dtype=np.float32)
    exact = [x * 0.5 * (1 + math.erf(x / math.sqrt(2))) for x in values]
    assert np.allclose(gelu(values), exact, atol=1e-6)


@pytest.mark.parametrize(
    ("back", "bucket"), [(0, 0), (1, 1), (7, 7), (8, 8), (127, 15), (300, 15), (-1, 17), (-7, 23), (-200, 31)]
)
def test_near_words_have_a_bucket_each_and_far_ones_share_them(back: int, bucket: int) -> None:
    """Source: Raffel et al. 2020, section 2.1: 32 buckets, half of them each way, logarithmic as far as 128."""
    size = 320
    table = buckets(size)
    word = size - 1 if back >= 0 else 0
    assert table[word, word - back] == bucket


def test_buckets_widen_with_distance() -> None:
    away = buckets(128)[127, ::-1]
    assert np.all(np.diff(away) >= 0)
