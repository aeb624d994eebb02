"""Photos to pointing words, beside the assignment problem as a general-purpose library solves it.

Where each photo follows one pointing word and words stand apart, the likeliest words of all photos, each taken for
itself, must be the assignment of least cost.

Source: scipy.optimize.linear_sum_assignment (the Jonker-Volgenant algorithm).
"""

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from pipeline.matching.weighing import CameraPhotos, DayUtterances, weigh


@pytest.mark.parametrize("seed", range(20))
def test_likeliest_words_are_the_assignment_of_least_cost(seed):
    draw = np.random.default_rng(seed)
    moments = np.cumsum(draw.uniform(9, 40, 12))
    photographed = np.sort(draw.choice(12, 8, replace=False))
    at = moments[photographed] + draw.normal(2.0, 1.0, 8)
    said = DayUtterances(
        start=moments - 0.5,
        end=moments + 5,
        recorder=np.zeros(12, dtype=np.int64),
        point_of=np.arange(12),
        point_at=moments,
    )
    (shares,) = weigh([CameraPhotos(at, 0.5)], said)
    cost = np.full((8, 12), 50.0)
    cost[shares.photo, shares.words] = -np.log(np.maximum(shares.share, 1e-20))
    photos, best = linear_sum_assignment(cost)
    likeliest = [int(np.argmin(cost[photo])) for photo in range(8)]
    assert likeliest == best.tolist()
    assert photos.tolist() == list(range(8))
    # And in time alone: the least sum of squared distances from where a shutter is expected.
    _, nearest = linear_sum_assignment((at[:, None] - moments[None] - 1.8) ** 2)
    assert likeliest == nearest.tolist()
