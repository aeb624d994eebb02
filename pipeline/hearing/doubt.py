"""How likely each heard word is to be wrong, all evidence of both looks taken together.

The weights are those of a logistic regression over synthetic notes and recorded speech, clean and in noise, by voices
that are used for nothing else. ``python -m tests.hearing.fit_hearing`` fits them again.
"""

from collections.abc import Sequence

from pipeline.hearing.frequency import rarest_zipf
from pipeline.hearing.gaps import voice_under
from pipeline.hearing.merge import KeptWord
from pipeline.hearing.phones import sounds_like
from pipeline.hearing.recogniser import SAMPLES
from pipeline.hearing.utterances import said_in_s
from pipeline.hearing.weighing import chance, logit
from pipeline.hearing.weighty import is_number
from pipeline.values import HeardSegment, HeardWord

LEAST_P = 0.005
WEIGHTS: dict[str, float] = {
    "one": -3.404,
    "own probability": -0.373,
    "unsupported": 3.249,
    "least probability beside": -0.060,
    "looks differ": -0.059,
    "other may be better": 2.734,
    "looks differ in sound": 0.603,
    "only one look": 0.015,
    "looks differ beside": -0.210,
    "first look's mean": -1.493,
    "second look's mean": -1.376,
    "no speech": 0.465,
    "voice under it": 1.084,
    "rarity": -0.317,
    "number": -1.007,
    "short": -0.423,
    "drawn out": -0.314,
    "at an edge": -0.416,
}


def with_chances(
    kept: Sequence[KeptWord], looks: tuple[HeardSegment | None, HeardSegment | None], voice: SAMPLES
) -> tuple[HeardWord, ...]:
    """Give each word of a merged chunk its chance of being wrong.

    Args:
        kept: words of one chunk, merged, in order of time.
        looks: what each look made of that chunk.
        voice: the chance of voice in each step of 32 ms of the recording.
    """
    return tuple(
        one.word.model_copy(update={"chance_wrong": round(chance(evidence, WEIGHTS), 4)})
        for one, evidence in zip(kept, evidence_of(kept, looks, voice), strict=True)
    )


def evidence_of(
    kept: Sequence[KeptWord], looks: tuple[HeardSegment | None, HeardSegment | None], voice: SAMPLES
) -> list[dict[str, float]]:
    """Measure what speaks for and against each word, by the names that the weights have."""
    means = [look.mean_log_probability if look else -1.5 for look in looks]
    no_speech = max([look.no_speech for look in looks if look], default=1.0)
    found = []
    words = [one.word for one in kept]
    for at, word in enumerate(words):
        beside = [*words[max(0, at - 1) : at], *words[at + 1 : at + 2]]
        needed_s = said_in_s(word.text)
        found.append(
            {
                "one": 1.0,
                "own probability": logit(word.probability, LEAST_P),
                "unsupported": 1 - word.support,
                "least probability beside": min([logit(one.probability, LEAST_P) for one in beside], default=0.0),
                "looks differ": float(word.other is not None),
                "other may be better": kept[at].other_better,
                "looks differ in sound": 1 - sounds_like(word.text, word.other) if word.other else 0.0,
                "only one look": float(word.other == ""),
                "looks differ beside": float(any(one.other is not None for one in beside)),
                "first look's mean": means[0],
                "second look's mean": means[1],
                "no speech": no_speech,
                "voice under it": voice_under(word, voice),
                "rarity": max(0.0, 5 - rarest_zipf(word.text)),
                "number": float(is_number(word.text)),
                "short": float(len(word.text.strip(".,?!")) <= 3),
                "drawn out": max(0.0, word.end_s - word.start_s - needed_s),
                "at an edge": float(at == 0 or at == len(words) - 1),
            }
        )
    return found
