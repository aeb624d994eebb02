"""What a recording tells of time: when words point, which tags are read out, what time it is said to be."""

from collections.abc import Mapping, Sequence

from pipeline.dating.spoken_times import SpokenTime, spoken_times
from pipeline.matching.pointing import pointing_moments
from pipeline.reading.tags import as_label, tags_in
from pipeline.values import HeardWord, Reading, Utterance, Value

_ABOUT_S = 60.0


class TimedTalk(Value):
    """One recording, as far as time goes; seconds are from its start.

    ``spans`` are when somebody speaks, ``points`` when words point at something seen, ``tags`` which tag is read out
    when (``as_label``), ``times`` what time of day is told when.
    """

    media: str
    spans: tuple[tuple[float, float], ...] = ()
    points: tuple[float, ...] = ()
    tags: tuple[tuple[float, str], ...] = ()
    times: tuple[tuple[float, SpokenTime], ...] = ()


def talk_of(
    media: str,
    utterances: Sequence[Utterance],
    readings: Sequence[Reading],
    tagged: Mapping[str, Sequence[str]],
) -> TimedTalk:
    """Return what a recording tells of time.

    Args:
        media: its id.
        utterances: in order.
        readings: one for each utterance.
        tagged: the tags that facts were read with, by utterance. Where one is read out in other words about then, a
            label was photographed at those.
    """
    points: list[float] = []
    tags: list[tuple[float, str]] = []
    times: list[tuple[float, SpokenTime]] = []
    for utterance, reading in zip(utterances, readings, strict=True):
        points += [at_s for at_s, _ in pointing_moments(utterance.heard, utterance.words)]
        tags += [(_middle_s(utterance), tag) for tag in sorted(set(map(as_label, tags_in(reading.read))))]
        times += [(_said_at(utterance, reading.read, one.start), one) for one in spoken_times(reading.read)]
    read_out = tuple(tags)
    for utterance in (one for one in utterances if one.id in tagged):
        at_s = _middle_s(utterance)
        told = set(map(as_label, tagged[utterance.id]))
        tags += [(at_s, tag) for tag in sorted(told.difference(_about(at_s, read_out)))]
    return TimedTalk(
        media=media,
        spans=tuple((one.start_s, one.end_s) for one in utterances),
        points=tuple(points),
        tags=tuple(sorted(tags)),
        times=tuple(times),
    )


def _middle_s(utterance: Utterance) -> float:
    return round((utterance.start_s + utterance.end_s) / 2, 2)


def _about(at_s: float, read_out: Sequence[tuple[float, str]]) -> set[str]:
    """Return the tags that are read out about then."""
    return {tag for other_s, tag in read_out if abs(other_s - at_s) <= _ABOUT_S}


def _said_at(utterance: Utterance, read: str, at: int) -> float:
    """Return the second at which a character of what was read was said, as near as repaired words allow."""
    words: Sequence[HeardWord] = utterance.words
    index = min(len(words) - 1, len(read[:at].split()))
    return words[index].start_s if words else utterance.start_s
