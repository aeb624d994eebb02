"""By how much a clock may be out: how likely that is before any evidence, and where most photos follow words.

Offsets are seconds that the device showed less the true time, in arrays.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pipeline.dating.pattern import DAY_S, END_LAG_S, LAG_S, Rows, Speech, Times

_AGREE_S = 4.0
_MOST_PAIRS = 2_000_000
_MOST_PAIRS_NEAR = 500_000
_FULLEST = 4000
_IMPOSSIBLE = -60.0  # natural logarithm of a density


@dataclass(frozen=True)
class Prior:
    """How likely a clock is to be out by so much before any evidence.

    ``scale_s`` is how far off a clock of its kind usually is. It may be right to about that much; or that much and
    whole hours (summer time, another zone), or whole days; or anything, the likelier the smaller.

    Source: common practice, no source.
    """

    scale_s: float
    right: float
    hour: float
    anything: float
    between: tuple[float, float] | None = None
    """Between which offsets (s) it must be, any of them being as likely."""

    @staticmethod
    def hand_set() -> "Prior":
        """Return the prior of a clock that somebody once set, and nobody may have put forward in spring."""
        return Prior(scale_s=60.0, right=0.6, hour=0.16, anything=0.08)

    @staticmethod
    def network_set() -> "Prior":
        """Return the prior of a clock that sets itself over a network and knows its zone."""
        return Prior(scale_s=3.0, right=0.98, hour=0.001, anything=0.004)

    @staticmethod
    def any_between(least_s: float, most_s: float) -> "Prior":
        """Return the prior of a clock of which it is only known between which offsets it must be."""
        return Prior(scale_s=60.0, right=0.0, hour=0.0, anything=1.0, between=(least_s, most_s))

    def log_density(self, offset_s: Times) -> Times:
        """Return the natural logarithm of the density, per second."""
        if self.between is not None:
            least_s, most_s = self.between
            inside = (offset_s >= least_s) & (offset_s <= most_s)
            return np.where(inside, -np.log(max(1.0, most_s - least_s)), _IMPOSSIBLE)
        total = self.anything / (2 * (np.abs(offset_s) + 60.0) * np.log(1e7))
        for centre_s, share in self.centres:
            away = (offset_s - centre_s) / self.scale_s
            total = total + share / (np.pi * self.scale_s * (1 + away**2))
        density: Times = np.log(total)
        return density

    @cached_property
    def centres(self) -> list[tuple[float, float]]:
        """List (offset, share) around which a clock of the kind may be."""
        if self.between is not None:
            return []
        hours = [(hours * 3600.0, self.hour / 2 if hours == 1 else self.hour / 26) for hours in range(1, 15)]
        hours += [(hours * 3600.0, self.hour / 100) for hours in (0.5, 3.5, 4.5, 5.5, 5.75, 9.5, 10.5)]
        days = [(days * DAY_S, self.hour / 5 / days) for days in (1, 2, 3, 7, 30, 31, 365)]
        return [(0.0, self.right), *((sign * at, share) for at, share in (*hours, *days) for sign in (-1, 1))]


def likely_offsets(photos: Times, said: Speech, most: int, prior: Prior) -> Times:
    """Return the clock offsets (shown less true, in seconds) at which most photos stand just after pointing words.

    Every photo is held against every pointing word; offsets at which many pairs agree within 4 s are candidates. Of
    photos beyond two million pairs an even part is taken.
    """
    marks = said.marks
    if not len(marks) or not len(photos):
        return np.empty(0)
    step = max(1, int(np.ceil(len(photos) * len(marks) / _MOST_PAIRS)))
    return _peaks(np.sort((photos[::step, None] - marks[None, :]).ravel()), most, prior)


def offsets_near(photos: Times, said: Speech, around: Times, within_s: float, most: int, prior: Prior) -> Times:
    """Return the same, but only offsets within so many seconds of some others; quick where there is much speech.

    Of photos beyond half a million pairs around one of them an even part is taken.
    """
    return _near_marks(photos, said.marks, around, within_s, most, prior)


def offsets_by_ends(photos: Times, said: Speech, around: Times, within_s: float, most: int, prior: Prior) -> Times:
    """Return the same of offsets at which most photos stand just after the end of a sentence."""
    return _near_marks(photos, said.ends + (END_LAG_S - LAG_S), around, within_s, most, prior)


def _near_marks(photos: Times, marks: Times, around: Times, within_s: float, most: int, prior: Prior) -> Times:
    away = []
    for offset_s in around:
        first = np.searchsorted(marks, photos - offset_s - within_s - LAG_S)
        counts = np.searchsorted(marks, photos - offset_s + within_s - LAG_S) - first
        step = max(1, int(np.ceil(counts.sum() / _MOST_PAIRS_NEAR)))
        first, counts = first[::step], counts[::step]
        mark = np.repeat(first - (np.cumsum(counts) - counts), counts)
        mark += np.arange(len(mark))
        away.append(np.repeat(photos[::step], counts))
        away[-1] -= marks[mark]
    return _peaks(np.unique(np.concatenate(away)), most, prior) if away else np.empty(0)


def _peaks(away: Times, most: int, prior: Prior) -> Times:
    """Return the offsets near which most of the differences (s, in order) lie, those likely beforehand first."""
    away = away - LAG_S
    counts = np.searchsorted(away, away + _AGREE_S, side="right") - np.arange(len(away))
    # The prior is dear to work out: only for the fullest places, and for those where a clock of the kind may well be.
    full = _largest(counts, _FULLEST)
    usual = [
        np.arange(*np.searchsorted(away, (at - 3 * prior.scale_s, at + 3 * prior.scale_s))) for at, _ in prior.centres
    ]
    worthy = np.unique(np.concatenate([full, *usual]))
    middles = away[worthy] + _AGREE_S / 2
    worth = 2.0 * counts[worthy] + prior.log_density(middles)
    found: list[float] = []
    for index in np.argsort(-worth, kind="stable")[: 40 * most]:
        if all(abs(middles[index] - other) > _AGREE_S for other in found):
            found.append(float(middles[index]))
            if len(found) == most:
                break
    return np.array(found)


def _largest(counts: Rows, most: int) -> Rows:
    """Return the places of the largest numbers, so many at most; of equal ones those that come first."""
    if len(counts) <= most:
        return np.arange(len(counts))
    least = np.partition(counts, -most)[-most]
    above = np.flatnonzero(counts > least)
    return np.concatenate([above, np.flatnonzero(counts == least)[: most - len(above)]])
