"""What a recording tells of time: when words point, which tags are read out, what time it is said to be."""

from collections.abc import Mapping, Sequence

from pipeline.dating.spoken_times import SpokenTime, spoken_times
from pipeline.matching.pointing import pointing_moments
from pipeline.reading.tags import as_label, tags_in
from pipeline.values import HeardWord, Reading, Utterance, Value


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
        tagged: the tags that facts were read with, by utterance.
    """
    points: list[float] = []
    tags: list[tuple[float, str]] = []
    times: list[tuple[float, SpokenTime]] = []
    for utterance, reading in zip(utterances, readings, strict=True):
        points += [at_s for at_s, _ in pointing_moments(utterance.heard, utterance.words)]
        middle_s = round((utterance.start_s + utterance.end_s) / 2, 2)
        found = {as_label(tag) for tag in (*tags_in(reading.read), *tagged.get(utterance.id, ()))}
        tags += [(middle_s, tag) for tag in sorted(found)]
        times += [(_said_at(utterance, reading.read, one.start), one) for one in spoken_times(reading.read)]
    return TimedTalk(
        media=media,
        spans=tuple((one.start_s, one.end_s) for one in utterances),
        points=tuple(points),
        tags=tuple(tags),
        times=tuple(times),
    )


def _said_at(utterance: Utterance, read: str, at: int) -> float:
    """Return the second at which a character of what was read was said, as near as repaired words allow."""
    words: Sequence[HeardWord] = utterance.words
    index = min(len(words) - 1, len(read[:at].split()))
    return words[index].start_s if words else utterance.start_s
