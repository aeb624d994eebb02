"""Photos to passages: each photo of a day with what it most likely belongs to, or with nothing, and why."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from pipeline.matching.weighing import REACH_S, CameraPhotos, DayUtterances, Shares, weigh
from pipeline.reading.tags import as_label
from pipeline.spans import span_text
from pipeline.values import Value

FAR_S = 900.0
"""A photo whose time may be out by more is placed nowhere, and words further away than this are not considered."""

_SURE_ENOUGH = 0.5
_SENTENCE_CLEAR = 0.6  # how likely the very words must be to be named: a photo may stand with the passage alone
_POINTING_FROM_S, _POINTING_TO_S = -5.0, 15.0
_NEARBY_S = 8.0


class Shot(Value):
    """A photo with its corrected instant, how far off that may be, and why it was moved ("" if it was not).

    ``camera`` is its device; ``tags`` are those whose labels it shows.
    """

    media: str
    at: datetime
    error_s: float
    moved_why: str = ""
    camera: str = ""
    tags: tuple[str, ...] = ()
    film: str | None = None
    film_at_s: float | None = None


class TimedUtterance(Value):
    """An utterance in real time: its passage, when it was said, how far off that may be, where it points.

    ``recorder`` is the device that recorded it; ``tags`` are those that it reads out (``as_label``); ``utterance`` is
    its id.
    """

    passage: str
    recording: str
    start: datetime
    end: datetime
    start_s: float
    end_s: float
    error_s: float
    points: tuple[tuple[datetime, str], ...] = ()
    recorder: str = ""
    tags: tuple[str, ...] = ()
    utterance: str = ""


class PlacedPhoto(Value):
    """A photo with a passage. ``p`` is the probability that they belong together.

    ``utterance`` are the words of the passage that it rests on most, "" where it is not clear which of them it is of;
    ``label`` is the number that these read out and whose label the photo shows.
    """

    photo: str
    passage: str
    p: float
    why: tuple[str, ...]
    utterance: str = ""
    label: str = ""


class LoosePhoto(Value):
    """A photo that was placed nowhere, and why."""

    photo: str
    why: str


class Matched(Value):
    """Every photo of a day once: linked, or loose."""

    links: tuple[PlacedPhoto, ...]
    loose: tuple[LoosePhoto, ...]


def match(shots: Sequence[Shot], spoken: Sequence[TimedUtterance]) -> Matched:
    """Place each photo with the passage that it most likely belongs to, or with none.

    The photos of a day are weighed together (``weighing``). A photo whose time may be out by more than 15 minutes is
    placed only by a tag that it shows. A still of a film belongs to what the film says at that second.
    """
    shots = sorted(shots, key=lambda shot: (shot.at, shot.media))
    spoken = sorted(spoken, key=lambda words: (words.start, words.end, words.recording))
    placed: dict[str, PlacedPhoto | LoosePhoto] = {}
    for shot in shots:
        if shot.film:
            placed[shot.media] = _of_film(shot, spoken)
        elif shot.error_s > FAR_S and not _reads_out(shot, spoken):
            placed[shot.media] = LoosePhoto(photo=shot.media, why="its time is too uncertain to place it")
    placed |= _of_day([shot for shot in shots if shot.media not in placed], spoken)
    done = [placed[shot.media] for shot in shots]
    return Matched(
        links=tuple(one for one in done if isinstance(one, PlacedPhoto)),
        loose=tuple(one for one in done if isinstance(one, LoosePhoto)),
    )


def _of_film(shot: Shot, spoken: Sequence[TimedUtterance]) -> PlacedPhoto | LoosePhoto:
    for words in spoken:
        if (
            words.recording == shot.film
            and shot.film_at_s is not None
            and words.start_s <= shot.film_at_s <= words.end_s
        ):
            why = ("a still of the film as these words are said",)
            return PlacedPhoto(photo=shot.media, passage=words.passage, p=0.99, why=why, utterance=words.utterance)
    return LoosePhoto(photo=shot.media, why="nothing is said in the film at this still")


def _reads_out(shot: Shot, spoken: Sequence[TimedUtterance]) -> list[int]:
    """List the utterances that read out a tag that the photo shows."""
    labels = set(map(as_label, shot.tags))
    return [index for index, words in enumerate(spoken) if not labels.isdisjoint(words.tags)]


def _of_day(shots: Sequence[Shot], spoken: Sequence[TimedUtterance]) -> dict[str, PlacedPhoto | LoosePhoto]:
    if not shots:
        return {}
    first = min([shot.at for shot in shots] + [words.start for words in spoken])
    cameras: dict[tuple[str, float], list[Shot]] = {}
    for shot in shots:
        # A clock that was not fitted is out by the same for all of its photos, so those of one error go together.
        cameras.setdefault((shot.camera, shot.error_s), []).append(shot)
    groups = [cameras[name] for name in sorted(cameras)]
    weighed = weigh([_photos(group, spoken, first) for group in groups], _words(spoken, first))
    placed: dict[str, PlacedPhoto | LoosePhoto] = {}
    for group, shares in zip(groups, weighed, strict=True):
        placed |= _placed(group, shares, spoken)
    return placed


def _photos(group: Sequence[Shot], spoken: Sequence[TimedUtterance], first: datetime) -> CameraPhotos:
    return CameraPhotos(
        at=np.array([(shot.at - first).total_seconds() for shot in group], dtype=np.float64),
        error_s=min(group[0].error_s, FAR_S),
        tagged=tuple(
            (row, index) for row, shot in enumerate(group) if shot.tags for index in _reads_out(shot, spoken)
        ),
        apart_s=group[0].error_s,
    )


def _words(spoken: Sequence[TimedUtterance], first: datetime) -> DayUtterances:
    recorders = {name: number for number, name in enumerate(sorted({_recorder(words) for words in spoken}))}
    points = sorted(
        ((moment - first).total_seconds(), index) for index, words in enumerate(spoken) for moment, _ in words.points
    )
    return DayUtterances(
        start=np.array([(words.start - first).total_seconds() for words in spoken], dtype=np.float64),
        end=np.array([(words.end - first).total_seconds() for words in spoken], dtype=np.float64),
        recorder=np.array([recorders[_recorder(words)] for words in spoken], dtype=np.int64),
        point_of=np.array([index for _, index in points], dtype=np.int64),
        point_at=np.array([at for at, _ in points], dtype=np.float64),
    )


def _recorder(words: TimedUtterance) -> str:
    return words.recorder or words.recording


def _placed(
    group: Sequence[Shot], shares: Shares, spoken: Sequence[TimedUtterance]
) -> dict[str, PlacedPhoto | LoosePhoto]:
    by_passage: list[dict[str, float]] = [{} for _ in group]
    best: list[dict[str, tuple[float, int]]] = [{} for _ in group]
    for row, index, share in zip(shares.photo.tolist(), shares.words.tolist(), shares.share.tolist(), strict=True):
        passage = spoken[index].passage
        by_passage[row][passage] = by_passage[row].get(passage, 0.0) + share
        best[row][passage] = max(best[row].get(passage, (0.0, index)), (share, index))
    placed: dict[str, PlacedPhoto | LoosePhoto] = {}
    for shot, chances, words in zip(group, by_passage, best, strict=True):
        passage = min(chances, key=lambda name, chances=chances: (-chances[name], name), default="")  # type: ignore[misc]
        if passage and chances[passage] >= _SURE_ENOUGH:
            chance, index = words[passage]
            clear = chance >= _SENTENCE_CLEAR or bool(_read_out(shot, spoken[index]))
            placed[shot.media] = PlacedPhoto(
                photo=shot.media,
                passage=passage,
                p=round(chances[passage], 3),
                why=_why(shot, spoken[index]) if clear else _why_unclear(shot, spoken, passage),
                utterance=spoken[index].utterance if clear else "",
                label=_read_out(shot, spoken[index]),
            )
        else:
            placed[shot.media] = LoosePhoto(photo=shot.media, why=_why_loose(shot, spoken, chances))
    return placed


def _gap_s(at: datetime, words: TimedUtterance) -> float:
    if at < words.start:
        return (words.start - at).total_seconds()
    return max(0.0, (at - words.end).total_seconds())


def _why(shot: Shot, words: TimedUtterance) -> tuple[str, ...]:
    gap_s = _gap_s(shot.at, words)
    tag = _read_out(shot, words)
    time = "taken as these words were said"
    if gap_s:
        time = f"taken {span_text(round(gap_s))} {'before' if shot.at < words.start else 'after'} these words"
    lags = [((shot.at - moment).total_seconds(), phrase) for moment, phrase in words.points]
    near = [(abs(lag_s), phrase) for lag_s, phrase in lags if _POINTING_FROM_S <= lag_s <= _POINTING_TO_S]
    points = f'the words point: "{min(near)[1]}"' if near else ""
    label = f"it shows the label {tag}, which the words read out" if tag else ""
    return tuple(reason for reason in (label, time if gap_s < FAR_S else "", points, shot.moved_why) if reason)


def _why_unclear(shot: Shot, spoken: Sequence[TimedUtterance], passage: str) -> tuple[str, ...]:
    """Say why a photo stands with a passage, where it is not clear which of its sentences the photo is of."""
    own = [words for words in spoken if words.passage == passage]
    nearest = min(own, key=lambda words: (_gap_s(shot.at, words), words.start))
    gap_s = round(_gap_s(shot.at, nearest))
    side = "before" if shot.at < nearest.start else "after"
    time = f"taken {span_text(gap_s)} {side} words of this talk" if gap_s else "taken during this talk"
    return tuple(reason for reason in (f"{time}; of which words is not clear", shot.moved_why) if reason)


def _read_out(shot: Shot, words: TimedUtterance) -> str:
    return next((tag for tag in shot.tags if as_label(tag) in words.tags), "")


def _why_loose(shot: Shot, spoken: Sequence[TimedUtterance], chances: dict[str, float]) -> str:
    read_out = [spoken[index] for index in _reads_out(shot, spoken)]
    if len({words.passage for words in read_out}) > 1 and sum(chances.values()) >= _SURE_ENOUGH:
        label = _read_out(shot, read_out[0])
        return f"the number of its label, {label}, is read out more than once, and it could belong to either"
    nearest = min(spoken, key=lambda words: (_gap_s(shot.at, words), words.start), default=None)
    if nearest is None or _gap_s(shot.at, nearest) > FAR_S:
        return f"nothing was said within {FAR_S / 60:.0f} minutes of it"
    gap_s = _gap_s(shot.at, nearest)
    if sum(chances.values()) >= _SURE_ENOUGH:
        return "several things were being said as it was taken, and it could belong to any of them"
    if gap_s < _NEARBY_S + shot.error_s:
        return "it may belong to what was being said just then, but not surely enough"
    side = "after" if shot.at < nearest.start else "before"
    apart_s = round(gap_s) if gap_s < REACH_S else 60 * round(gap_s / 60)
    return f"the nearest words were said {span_text(apart_s)} {side} it was taken"
