"""Every line that a clock may have followed where photos as sentences end are what tells of it.

Sentences end every few seconds. A line that puts each photo one sentence too late, or the first day's one too late
and the last day's one too early, fits nearly as well as the true one: so all of them are weighed, not only those
beside the likeliest. That is quick, because what the photos of one occasion speak for at each offset is worked out
once.

All times are seconds since 1970 UTC, offsets are seconds that the device showed less the true time.
"""

from dataclasses import dataclass

import numpy as np

from pipeline.dating.events import Evidence
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import DAY_S, Habit, Times
from pipeline.dating.ways import USUAL_DRIFT_S_PER_DAY

_OCCASION_S = 1800.0  # photos so near each other are out by the same, whatever the drift
_STEP_S = 0.5
_WITHIN_S, _MOST_DRIFT = 60.0, 20.0
_MOST_DRIFTS_UP, _COARSEST_S = 600, 1.0


@dataclass(frozen=True)
class Lines:
    """Lines by their offset at the middle (s) and their drift (s a day), each with its worth.

    ``worth`` (drifts by offsets) is how much speaks for a line, less what its drift and offset are unlikely by.
    ``days`` are when the photos of each occasion were taken, in days from the middle, ``photos`` how many there are.
    """

    offsets: Times
    drifts: Times
    worth: Times
    days: Times
    photos: Times

    @staticmethod
    def of(own: Evidence, middle_s: float, offset_s: float, habit: Habit, prior: Prior) -> "Lines":
        """Weigh all lines within a minute of an offset at the middle.

        Source: voting for lines by all points (Hough 1962, from memory).
        """
        rows = np.union1d(own.photos, [index for index, _ in own.telling]).astype(np.int64)
        rows = rows if len(rows) else np.arange(len(own.shown))
        cuts = np.flatnonzero(np.abs(np.diff(own.shown[rows])) > _OCCASION_S) + 1
        runs = np.split(rows, cuts)
        days = np.array([(own.shown[run].mean() - middle_s) / DAY_S for run in runs])
        half_days = float(np.abs(days).max())
        drifts = _drifts(half_days) if len(runs) > 1 else np.zeros(1)
        reach_s = _WITHIN_S + float(np.abs(drifts).max()) * half_days
        every = np.arange(-reach_s, reach_s + 2 * _STEP_S, _STEP_S)
        offsets = np.arange(-_WITHIN_S, _WITHIN_S + _STEP_S, _STEP_S)
        worth = np.zeros((len(drifts), len(offsets)))
        for run, day in zip(runs, days.tolist(), strict=True):
            told = own.these(run).speaks_for(offset_s + every, (habit,))[0]
            at = offsets[None] + (drifts * day)[:, None]
            worth += told[np.round((at + reach_s) / _STEP_S).astype(np.int64)]
        worth += prior.log_density(offset_s + offsets) - 0.5 * (drifts[:, None] / USUAL_DRIFT_S_PER_DAY) ** 2
        photos = np.array([len(run) for run in runs], dtype=np.float64)
        return Lines(offset_s + offsets, drifts, worth, days, photos)

    @property
    def best(self) -> tuple[float, float]:
        """The offset and the drift of the likeliest line."""
        drift, offset = np.unravel_index(int(self.worth.argmax()), self.worth.shape)
        return float(self.offsets[offset]), float(self.drifts[drift])

    def out_s(self, offset_s: float, drift: float) -> float:
        """Return how far a line may be out at a photo (s, one sigma), every other line being as likely as it is."""
        chances = np.exp(self.worth - self.worth.max())
        chances /= chances.sum()
        share, days = self.photos / self.photos.sum(), self.days
        mean_day, square_day = float((share * days).sum()), float((share * days**2).sum())
        by, lean = (self.offsets - offset_s)[None], (self.drifts - drift)[:, None]
        away = by**2 + 2 * by * lean * mean_day + lean**2 * square_day
        return float(np.sqrt((chances * away).sum()))


def _drifts(half_days: float) -> Times:
    """Return drifts so near each other that no two leave out what lies between them at either end of so many days.

    Over a year only what clocks drift as a rule: more would be too many.
    """
    steps = min(_MOST_DRIFTS_UP, int(np.ceil(_MOST_DRIFT * half_days / _STEP_S)))
    most = min(_MOST_DRIFT, steps * _COARSEST_S / max(half_days, 1e-9))
    return np.linspace(-most, most, 2 * steps + 1)
