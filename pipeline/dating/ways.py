"""The likeliest way of a clock through the offsets that it may have had, from its first event to the last.

All times are seconds, offsets are seconds that the device showed less the true time.

Source: dynamic programming over hidden states (Viterbi 1967, from memory).
"""

import numpy as np

from pipeline.dating.events import Indices
from pipeline.dating.pattern import DAY_S, Times

_SET_ANEW, _AT_A_BREAK, _BREAK_S = -8.0, 3.0, 600.0
STEP_S_PER_DAY = 30.0
USUAL_DRIFT_S_PER_DAY = 6.0
_STEP_S, _STEP = 2.0, -1.0
_MOST_STEP_S = 1500.0  # in however long a pause: by half an hour no clock drifts, but people set it


def likeliest(speaks: Times, states: Times, shown: Times, begins: Times, untouched: Times) -> Indices:
    """Return the likeliest state at each event: small steps cost little, leaps as much as a clock set anew.

    What a clock left alone seems to leap by when the zone's clocks change (``untouched``, s) costs no more than a
    step. No leap is as cheap as a step, so that only the likeliest state of all is ever leapt from.
    """
    apart, every = np.abs(states[:, None] - states[None, :]), np.arange(len(states))
    steps, breaks = steps_s(shown), np.minimum(_AT_A_BREAK, np.log1p(np.abs(np.diff(shown)) / _BREAK_S))
    leap = _SET_ANEW + begins
    beside = _Beside(apart)
    score = begins + speaks[:, 0]
    came = np.empty(speaks.shape[::-1], dtype=np.int16)
    numbers = beside.numbers(steps).tolist()
    turns = zip(steps.tolist(), numbers, breaks.tolist(), untouched.tolist(), strict=True)
    for at, (step_s, number, a_break, left_s) in enumerate(turns, 1):
        best, through = every, score
        neighbours = beside.nearest(number)
        if neighbours.shape[1]:
            each = score[neighbours]
            nearest = each.argmax(1)
            best, through = _better(best, through, neighbours[every, nearest], each[every, nearest] + _STEP)
        if left_s:
            reach = np.abs(states[None, :] + left_s - states[:, None]) <= step_s
            ran_on = np.where(reach, score[None, :], -np.inf)
            nearest = ran_on.argmax(1)
            best, through = _better(best, through, nearest, ran_on[every, nearest] + _STEP)
        top = score.argmax()
        leapt = np.where(apart[top] > step_s, score[top] + (leap + a_break), -np.inf)
        came[at], score = _better(best, through, top, leapt)
        score = score + speaks[:, at]
    path = np.empty(speaks.shape[1], dtype=np.int64)
    path[-1] = score.argmax()
    for at in range(speaks.shape[1] - 1, 0, -1):
        path[at - 1] = came[at, path[at]]
    return path


def _better(best: Indices, through: Times, other: Indices | np.int64, way: Times) -> tuple[Indices, Times]:
    """Return for each state the better of two ways to it, and its worth; of equal ones that from the first state."""
    so = (way > through) | ((way == through) & (other < best))
    return np.where(so, other, best), np.where(so, way, through)


class _Beside:
    """The states that lie within a step of each, in order."""

    def __init__(self, apart: Times) -> None:
        self._apart, self._known = apart, dict[int, Indices]()
        self._reaches = np.sort(apart, axis=None)

    def numbers(self, steps_s: Times) -> Indices:
        """Return how many distances of two states each of some steps reaches."""
        return np.searchsorted(self._reaches, steps_s, side="right")

    def nearest(self, number: int) -> Indices:
        """Return for each state those that are so near: a row a state, filled up with the state itself.

        ``number`` is how many distances of two states there are of that length or less.
        """
        if number not in self._known:
            near = self._apart <= self._reaches[number - 1]
            np.fill_diagonal(near, val=False)
            found = np.tile(np.arange(len(near))[:, None], (1, int(near.sum(1).max())))
            for row, one in zip(found, near, strict=True):
                places = np.flatnonzero(one)
                row[: len(places)] = places
            self._known[number] = found
        return self._known[number]


def steps_s(shown: Times) -> Times:
    """Return how far a clock may drift from each event to the next."""
    steps: Times = np.minimum(_STEP_S + STEP_S_PER_DAY * np.abs(np.diff(shown)) / DAY_S, _MOST_STEP_S)
    return steps
