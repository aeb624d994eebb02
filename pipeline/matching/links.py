"""Photos to passages, by corrected time and by the words that point, each link with its probability and reasons."""

import math
from collections.abc import Sequence
from datetime import datetime

from pipeline.spans import span_text
from pipeline.values import Value

FAR_S = 900.0
"""Words further away than this are not considered."""

# People speak and then press the shutter, or press it and then say what it shows; the first is more usual. A photo
# taken as the words were said weighs 1; taken after or before them, so much, and half of that after so long.
_AFTER, _AFTER_HALF_S = 0.6, 6.0
_BEFORE, _BEFORE_HALF_S = 0.35, 4.0
_NOTHING = 0.01
_POINTING_BONUS = 3.0
_POINTING_FROM_S, _POINTING_TO_S = -4.0, 15.0
_SURE_ENOUGH = 0.5
_NEARBY_S = 8.0


class Shot(Value):
    """A photo with its corrected instant, how far off that may be, and why it was moved ("" if it was not)."""

    media: str
    at: datetime
    error_s: float
    moved_why: str = ""
    film: str | None = None
    film_at_s: float | None = None


class Spoken(Value):
    """An utterance in real time: its passage, when it was said, how far off that may be, and where it points."""

    passage: str
    recording: str
    start: datetime
    end: datetime
    start_s: float
    end_s: float
    error_s: float
    points: tuple[tuple[datetime, str], ...] = ()


class Link(Value):
    """A photo with a passage. ``p`` is the probability that they belong together."""

    photo: str
    passage: str
    p: float
    why: tuple[str, ...]


class Loose(Value):
    """A photo that was placed nowhere, and why."""

    photo: str
    why: str


class Matched(Value):
    """Every photo of a day once: linked, or loose."""

    links: tuple[Link, ...]
    loose: tuple[Loose, ...]


def match(shots: Sequence[Shot], spoken: Sequence[Spoken]) -> Matched:
    """Place each photo with the passage that it most likely belongs to, or with none.

    A photo is weighed against each utterance near it: the weight falls off with the time between them, less
    steeply the less certain the clocks are, and rises where the words point at something just then. "Nothing" is
    weighed as well, so that a photo with no words near it stays loose.
    """
    links: list[Link] = []
    loose: list[Loose] = []
    for shot in sorted(shots, key=lambda shot: (shot.at, shot.media)):
        placed = _of_film(shot, spoken) if shot.film else _of_time(shot, spoken)
        if isinstance(placed, Link):
            links.append(placed)
        else:
            loose.append(placed)
    return Matched(links=tuple(links), loose=tuple(loose))


def _of_film(shot: Shot, spoken: Sequence[Spoken]) -> Link | Loose:
    for words in spoken:
        if (
            words.recording == shot.film
            and shot.film_at_s is not None
            and words.start_s <= shot.film_at_s <= words.end_s
        ):
            return Link(
                photo=shot.media, passage=words.passage, p=0.99, why=("a still of the film as these words are said",)
            )
    return Loose(photo=shot.media, why="nothing is said in the film at this still")


def _of_time(shot: Shot, spoken: Sequence[Spoken]) -> Link | Loose:
    weights: dict[str, float] = {}
    best: dict[str, tuple[float, Spoken]] = {}
    for words in spoken:
        weight = _weight(shot, words)
        if weight > 0 and weight > weights.get(words.passage, 0):
            weights[words.passage] = weight
            best[words.passage] = (weight, words)
    if not weights:
        return Loose(photo=shot.media, why=f"nothing was said within {FAR_S / 60:.0f} minutes of it")
    passage = min(weights, key=lambda name: (-weights[name], name))
    p = weights[passage] / (sum(weights.values()) + _NOTHING)
    words = best[passage][1]
    if p < _SURE_ENOUGH:
        return Loose(photo=shot.media, why=_why_loose(shot, words, weights))
    return Link(photo=shot.media, passage=passage, p=round(p, 3), why=_why(shot, words))


def _gap_s(at: datetime, words: Spoken) -> float:
    if at < words.start:
        return (words.start - at).total_seconds()
    return max(0.0, (at - words.end).total_seconds())


def _weight(shot: Shot, words: Spoken) -> float:
    gap_s = _gap_s(shot.at, words)
    if gap_s > FAR_S:
        return 0.0
    error_s = math.hypot(shot.error_s, words.error_s)
    if gap_s == 0:
        share, half_s = 1.0, _AFTER_HALF_S
    elif shot.at > words.end:
        share, half_s = _AFTER, _AFTER_HALF_S
    else:
        share, half_s = _BEFORE, _BEFORE_HALF_S
    reach_s = half_s + error_s
    weight = share * half_s / reach_s / (1 + (gap_s / reach_s) ** 2)
    return weight * (_POINTING_BONUS if _pointed(shot, words) else 1.0)


def _pointed(shot: Shot, words: Spoken) -> str:
    lags = [((shot.at - moment).total_seconds(), phrase) for moment, phrase in words.points]
    near = [(abs(lag_s), phrase) for lag_s, phrase in lags if _POINTING_FROM_S <= lag_s <= _POINTING_TO_S]
    return min(near)[1] if near else ""


def _why(shot: Shot, words: Spoken) -> tuple[str, ...]:
    gap_s = _gap_s(shot.at, words)
    if gap_s == 0:
        time = "taken as these words were said"
    else:
        time = f"taken {gap_s:.0f} s {'before' if shot.at < words.start else 'after'} these words"
    phrase = _pointed(shot, words)
    return tuple(
        reason for reason in (time, f'the words point: "{phrase}"' if phrase else "", shot.moved_why) if reason
    )


def _why_loose(shot: Shot, words: Spoken, weights: dict[str, float]) -> str:
    gap_s = _gap_s(shot.at, words)
    if shot.error_s > FAR_S:
        return "its time is too uncertain to place it"
    if len(weights) > 1 and gap_s < _NEARBY_S:
        return "several things were being said as it was taken, and it could belong to any of them"
    side = "after" if shot.at < words.start else "before"
    apart_s = gap_s if gap_s < 90 else 60 * round(gap_s / 60)
    return f"the nearest words were said {span_text(apart_s)} {side} it was taken"
