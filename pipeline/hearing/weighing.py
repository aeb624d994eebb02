"""Evidence weighed: from named numbers and their weights to a chance."""

from collections.abc import Mapping
from math import exp, log

_FURTHEST = 30.0  # beyond it a chance is 0 or 1 for all that it matters


def chance(evidence: Mapping[str, float], weights: Mapping[str, float]) -> float:
    """Give the chance, from 0 to 1, that a logistic regression sees in some evidence.

    Args:
        evidence: what speaks for and against, by name.
        weights: how much each piece of it counts; there is one for every name.
    """
    total = sum(weights[name] * value for name, value in evidence.items())
    return 1 / (1 + exp(-max(-_FURTHEST, min(_FURTHEST, total))))


def logit(probability: float, least: float) -> float:
    """Give the logarithm of the odds, of a probability held between ``least`` and 1 - ``least``."""
    kept = min(max(probability, least), 1 - least)
    return log(kept / (1 - kept))
