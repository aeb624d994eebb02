"""How likely each photo of a day belongs to each utterance of it, all photos weighed together.

Every utterance brings forth photos at some rate just after its words point, less while it lasts, and still less
before and after it; at a low rate photos are taken of anything at any time. A photo's chance to belong to an
utterance is that utterance's share of all the rates at the photo's instant. Together means:

- photos of one camera share their clock's error, so what suits them all is found before each is placed: by words
  that point and labels that are read out, and by talk as a whole. Where one sentence ends and the next begins tells
  nothing of a clock: people photograph in the pauses too, and many photos together would make a habit of chance;
- a pointing word that one photo has answered is less likely to be answered by another;
- a photo just after another of the same camera is likely of the same thing;
- who walks with which camera shows in the day itself, and decides where two people talk at once;
- how often words that point are followed by a photo is learnt from the day.

Times are seconds, on any one scale.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Indices = NDArray[np.int64]

REACH_S = 90.0
"""Words further away than this, and what the clock may be out by, are not considered."""
_LAG_S, _LAG_SPREAD_S = 1.8, 1.3
_LATE_S, _BEFORE_S = 8.0, 3.0
_ON_TIME, _LATE, _BEFORE = 0.80, 0.10, 0.10  # photos of pointing words: soon after, later, before them
# Photos of speech: soon after it, just before it, each against one of the same second while it lasts.
_TAIL_S, _TAIL, _LEAD_S, _LEAD = 3.0, 0.7, 1.5, 0.1
_PAUSE_S = 6.0  # so long a pause is still within talk
_BURST, _BURST_S = 0.4, 2.0  # more photos that follow one at once, and how soon
_BREAKS_OFF_S = 3.0  # a photo so much later, words having ended since, is of these and not one more of the same
_ANSWERED = 0.7  # by how much a pointing word that a photo has answered calls for others less
_TAG_RATE = 0.05
_HOURS_S = 3600.0  # a label is photographed within hours of its number being read out, or else at another occasion
_ROUNDS = 6
_ZEAL, _SPOKEN_RATE, _STRAY_RATE = 0.5, 0.006, 1e-4
_DOUBT = 0.02  # that everything here is mistaken
_MOST_STEPS = 81
_MOST_OUT, _SHUTTER_S = 1.5, 0.4  # a clock is not out by more than half as much again as it may be


@dataclass(frozen=True)
class DayUtterances:
    """The utterances of a day in order of their start; each points at most at a few moments.

    ``points`` are (utterance, moment) in order of moment. ``recorder`` numbers the recorders.
    """

    start: Numbers
    end: Numbers
    recorder: Indices
    point_of: Indices
    point_at: Numbers


@dataclass(frozen=True)
class CameraPhotos:
    """The photos of one camera in order of time, and how far its clock may be out.

    ``tagged`` are pairs (photo, utterance) in which the photo shows a tag that the utterance reads out. ``apart_s``
    is how far off the photos' times may be where a label is all that places them, which may be years.
    """

    at: Numbers
    error_s: float
    tagged: tuple[tuple[int, int], ...] = ()
    apart_s: float = 0.0


@dataclass(frozen=True)
class Shares:
    """The chance of pairs of photo and utterance, those of one photo next to each other; the rest is for nothing."""

    photo: Indices
    words: Indices
    share: Numbers


def weigh(cameras: Sequence[CameraPhotos], words: DayUtterances) -> tuple[Shares, ...]:
    """Weigh the photos of a day's cameras against what was said that day; the cameras in the order given."""
    pairs = [_Pairs.of(photos, words) for photos in cameras]
    recorders = int(words.recorder.max()) + 1 if len(words.recorder) else 1
    rates = [_Rates.at_first(recorders) for _ in cameras]
    shares = [one.shares(rate, np.zeros(len(words.point_at))) for one, rate in zip(pairs, rates, strict=True)]
    for _ in range(_ROUNDS):
        rates = [one.learn(some) for one, some in zip(pairs, shares, strict=True)]
        taken = sum((some.answered for some in shares), np.zeros(len(words.point_at)))
        shares = [
            one.shares(rate, taken - some.answered) for one, rate, some in zip(pairs, rates, shares, strict=True)
        ]
    return tuple(one.result(some) for one, some in zip(pairs, shares, strict=True))


@dataclass(frozen=True)
class _Rates:
    """What is learnt of one camera's day: photos for a pointing word, a second of speech, a second of anything.

    ``burst`` is how many more photos follow one at once. ``company`` is for each recorder how much likelier than
    usual the camera's photos go with what it recorded.
    """

    zeal: float
    spoken: float
    stray: float
    burst: float
    company: Numbers

    @staticmethod
    def at_first(recorders: int) -> "_Rates":
        return _Rates(_ZEAL, _SPOKEN_RATE, _STRAY_RATE, _BURST, np.ones(recorders))


@dataclass(frozen=True)
class _Weighed:
    """Shares of one camera's pairs (speech, points, tags, in this order), and of "nothing" for each photo.

    ``answered`` is how many photos each pointing word has, ``more`` how many photos follow another at once.
    """

    share: Numbers
    nothing: Numbers
    answered: Numbers
    more: float


@dataclass(frozen=True)
class _Pairs:
    """One camera's photos, each with the utterances and pointing words in reach."""

    photos: CameraPhotos
    words: DayUtterances
    steps: Numbers
    """Offsets (s) at which the camera's clock may stand."""
    photo: Indices
    utterance: Indices
    point: Indices
    """The pointing word of a pair, -1 where the pair is with speech as such or by a tag."""
    density: Numbers
    """Photos a second for each pair at each step, its kind's rate being one."""
    kind: Indices
    talk: Numbers
    """For each photo at each step, whether talk goes on then: 1, and less and less before and after it."""
    since: Numbers
    """For each photo at each step, 1 where nothing that was said ended between the one before and it, else 0."""

    @staticmethod
    def of(photos: CameraPhotos, words: DayUtterances) -> "_Pairs":
        most_s = max(_MOST_OUT * photos.error_s, _MOST_OUT)
        steps = np.linspace(-most_s, most_s, min(_MOST_STEPS, 2 * int(np.ceil(most_s)) + 1))
        reach_s = REACH_S + most_s
        spoken = _near(photos.at, words.start, words.end, reach_s)
        moments = _near(photos.at, words.point_at, words.point_at, reach_s)
        tagged = np.array(photos.tagged, dtype=np.int64).reshape(-1, 2)
        at = photos.at[:, None] - steps
        by_tag = _near_its_reading(photos, words, tagged)[:, None] * np.ones(len(steps))
        return _Pairs(
            photos=photos,
            words=words,
            steps=steps,
            photo=np.concatenate([spoken[0], moments[0], tagged[:, 0]]),
            utterance=np.concatenate([spoken[1], words.point_of[moments[1]], tagged[:, 1]]),
            point=np.concatenate([np.full(len(spoken[0]), -1), moments[1], np.full(len(tagged), -1)]).astype(
                np.int64
            ),
            density=np.concatenate(
                [
                    _beside_speech(at[spoken[0]], words.start[spoken[1]], words.end[spoken[1]]),
                    _after_pointing(at[moments[0]] - words.point_at[moments[1], None]),
                    by_tag,
                ]
            ),
            kind=np.repeat(np.arange(3), [len(spoken[0]), len(moments[0]), len(tagged)]),
            talk=_beside_talk(at, words),
            since=_nothing_ended_since(at, words),
        )

    def shares(self, rates: _Rates, taken: Numbers) -> _Weighed:
        """Share each photo out, pointing words that other cameras' photos have taken being less likely."""
        size = len(self.photos.at)
        by_kind = np.array([rates.spoken, rates.zeal, _TAG_RATE])[self.kind]
        called = self.point >= 0
        by_kind = by_kind * rates.company[self.words.recorder[self.utterance]]
        by_kind[called] *= np.exp(-_ANSWERED * taken[self.point[called]])
        rate = self.density * by_kind[:, None]
        total = _sum_by(self.photo, rate, size) + rates.stray
        called_for = self.kind != 0
        told = _sum_by(self.photo[called_for], rate[called_for], size) + rates.spoken * self.talk + rates.stray
        likely = np.log(told).sum(0) + _how_likely_out(self.steps, self.photos.error_s)
        at_step = np.exp(likely - np.logaddexp.reduce(likely))
        share = ((rate / total[self.photo]) * at_step).sum(1)
        nothing = (rates.stray / total * at_step).sum(1)
        share, nothing, more = self._in_bursts(
            share, nothing, (total * at_step).sum(1), self._follows(at_step, rates.burst)
        )
        answered = _totals(self.point[called], share[called], len(self.words.point_at))
        return _Weighed(share, nothing, answered, more)

    def _in_bursts(
        self, share: Numbers, nothing: Numbers, total: Numbers, follows: Numbers
    ) -> tuple[Numbers, Numbers, float]:
        """Let a photo that follows another at once share in what that one is of; the number of such comes last."""
        share, nothing = share.copy(), nothing.copy()
        first = np.searchsorted(self._by_photo[0], np.arange(len(nothing) + 1))
        order = self._by_photo[1]
        more = 0.0
        for at in np.flatnonzero(follows):
            part = follows[at] / (follows[at] + total[at])
            more += part
            before = {self._of(pair): float(share[pair]) for pair in order[first[at - 1] : first[at]]}
            for pair in order[first[at] : first[at + 1]]:
                share[pair] = (1 - part) * share[pair] + part * before.get(self._of(pair), 0.0)
            nothing[at] = (1 - part) * nothing[at] + part * nothing[at - 1]
        return share, nothing, more

    def _follows(self, at_step: Numbers, burst: float) -> Numbers:
        """Return for each photo how many a second may follow the one before it at once, being of the same thing."""
        gaps = np.diff(self.photos.at, prepend=-np.inf)
        follows = np.where(gaps <= 4 * _BURST_S, burst / _BURST_S * np.exp(-gaps / _BURST_S), 0.0)
        return np.where(gaps > _BREAKS_OFF_S, follows * (self.since * at_step).sum(1), follows)

    def _of(self, pair: int) -> tuple[int, int, int]:
        """Return what a pair's photo may be of: the kind of pair, the utterance, the pointing word."""
        return int(self.kind[pair]), int(self.utterance[pair]), int(self.point[pair])

    @property
    def _by_photo(self) -> tuple[Indices, Indices]:
        order = np.argsort(self.photo, kind="stable")
        return self.photo[order], order

    def learn(self, weighed: _Weighed) -> _Rates:
        """Return the rates that this camera's day shows, beside what is usual."""
        called = self.point >= 0
        calls = len(np.unique(self.point[called]))
        spoken_s = float((self.words.end - self.words.start)[np.unique(self.utterance[~called])].sum())
        of_points, of_speech = weighed.share[called].sum(), weighed.share[self.kind == 0].sum()
        whole_s = float(np.ptp(self.photos.at)) + 3600.0 if len(self.photos.at) else 3600.0
        recorders = int(self.words.recorder.max()) + 1 if len(self.words.recorder) else 1
        with_each = _totals(self.words.recorder[self.utterance[called]], weighed.share[called], recorders)
        points_of_each = np.bincount(self.words.recorder[self.words.point_of], minlength=recorders)
        usual = (with_each.sum() + 2.0) / (points_of_each.sum() + 2.0)
        return _Rates(
            zeal=float((of_points + 3 * _ZEAL) / (calls + 3)),
            spoken=float((of_speech + 300 * _SPOKEN_RATE) / (spoken_s + 300)),
            stray=float((weighed.nothing.sum() + 20_000 * _STRAY_RATE) / (whole_s + 20_000)),
            burst=float((weighed.more + 10 * _BURST) / (len(self.photos.at) - weighed.more + 10)),
            company=(with_each + 4 * usual) / (points_of_each + 4) / usual,
        )

    def result(self, weighed: _Weighed) -> Shares:
        """Return the shares of utterances, those of their pointing words and tags taken together."""
        key = self.photo * max(1, len(self.words.start)) + self.utterance
        kept, inverse = np.unique(key, return_inverse=True)
        share = _totals(inverse, weighed.share, len(kept)) * (1 - _DOUBT)
        many = max(1, len(self.words.start))
        return Shares(photo=kept // many, words=kept % many, share=share)


def _near(at: Numbers, start: Numbers, end: Numbers, reach_s: float) -> tuple[Indices, Indices]:
    """Return pairs (photo, other) that are within reach; ``start`` is in order."""
    if not len(start) or not len(at):
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    longest = float((end - start).max())
    first = np.searchsorted(start, at - reach_s - longest)
    counts = np.searchsorted(start, at + reach_s) - first
    photo = np.repeat(np.arange(len(at)), counts)
    other = np.arange(len(photo)) - np.repeat(np.cumsum(counts) - counts, counts) + np.repeat(first, counts)
    near = at[photo] - end[other] <= reach_s
    return photo[near], other[near]


def _how_likely_out(steps: Numbers, error_s: float) -> Numbers:
    """Return how likely a clock is to be out by so much (natural logarithm) that may be out by ``error_s``.

    Mostly it is right to a quarter of that, and now and then out by all of it: Student's t with three degrees of
    freedom. A shutter takes its time in any case.
    """
    density: Numbers = -2.0 * np.log1p((steps / max(error_s / 4, _SHUTTER_S)) ** 2 / 3)
    return density


def _beside_speech(at: Numbers, start: Numbers, end: Numbers) -> Numbers:
    """Return photos a second of speech as such, for one photo a second while it lasts."""
    before, after = start[:, None] - at, at - end[:, None]
    density: Numbers = np.where(before > 0, _lead(before), np.where(after > 0, _tail(after), 1.0))
    return density


def _beside_talk(at: Numbers, words: DayUtterances) -> Numbers:
    """Return the same of talk: utterances without long pauses between them, whoever says them, are one."""
    latest = np.maximum.accumulate(words.end)
    begins = np.append(True, words.start[1:] > latest[:-1] + _PAUSE_S)[: len(latest)]
    ends = np.append(begins[1:], True)[: len(latest)]
    turn = np.searchsorted(words.start[begins], at, side="right")
    before = np.append(words.start[begins], np.inf)[turn] - at
    after = at - np.append(-np.inf, latest[ends])[turn]
    density: Numbers = np.where(after > 0, np.maximum(_lead(before), _tail(after)), 1.0)
    return density


def _nothing_ended_since(at: Numbers, words: DayUtterances) -> Numbers:
    """Return, for each photo at each step, 1 where nothing ended between the photo before and it, else 0."""
    ended = np.searchsorted(np.sort(words.end), at, side="right")
    since: Numbers = np.append(np.zeros((1, at.shape[1])), np.diff(ended, axis=0) == 0, axis=0)[: len(at)]
    return since


def _lead(before: Numbers) -> Numbers:
    return _LEAD * np.exp(-np.maximum(before, 0) / _LEAD_S)


def _tail(after: Numbers) -> Numbers:
    return _TAIL * np.exp(-np.maximum(after, 0) / _TAIL_S)


def _after_pointing(lag: Numbers) -> Numbers:
    """Return photos a second so long after a word that points, for one photo in all."""
    on_time = np.exp(-0.5 * ((lag - _LAG_S) / _LAG_SPREAD_S) ** 2) / (_LAG_SPREAD_S * np.sqrt(2 * np.pi))
    late = np.where(lag > 0, np.exp(-np.maximum(lag, 0) / _LATE_S) / _LATE_S, 0.0)
    before = np.where(lag < 0, np.exp(np.minimum(lag, 0) / _BEFORE_S) / _BEFORE_S, 0.0)
    density: Numbers = _ON_TIME * on_time + _LATE * late + _BEFORE * before
    return density


def _near_its_reading(photos: CameraPhotos, words: DayUtterances, tagged: Indices) -> Numbers:
    """Return how much of a label's call each of its readings has, by how far from the photo each is.

    A part's number is read out as it comes off and again as it goes on: the nearer reading has it, equal ones share
    it, and one that is weeks away calls for a photo hardly more than no words do.
    """
    photo, words_of = tagged[:, 0], tagged[:, 1]
    at = photos.at[photo]
    away_s = np.maximum(0.0, np.maximum(words.start[words_of] - at, at - words.end[words_of]))
    near = 1 / (1 + away_s / (_HOURS_S + photos.apart_s))
    most, whole = np.zeros(len(photos.at)), np.bincount(photo, near, minlength=len(photos.at))
    np.maximum.at(most, photo, near)
    share: Numbers = near * (most / np.maximum(whole, 1e-12))[photo]
    return share


def _totals(group: Indices, values: Numbers, size: int) -> Numbers:
    """Return the sums of values by group."""
    total: Numbers = np.bincount(group, values, minlength=size).astype(np.float64)
    return total


def _sum_by(group: Indices, values: Numbers, size: int) -> Numbers:
    """Return the sums of rows by group."""
    total = np.zeros((size, values.shape[1]))
    np.add.at(total, group, values)
    return total
