"""One recording heard: two looks at its voice, merged, each word with the chance that it is wrong."""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import groupby

from pipeline.hearing.doubt import with_chances
from pipeline.hearing.gaps import voice_under, wordless
from pipeline.hearing.leaning import MOST_NAMES, Leaning
from pipeline.hearing.merge import KeptWord, merge, text_of
from pipeline.hearing.recogniser import RATE_HZ, SAMPLES, Group, Recogniser, find_voice
from pipeline.values import Heard, HeardSegment, HeardWord, NotUnderstood

# Words with less voice than this under and beside them were not said.
LEAST_VOICE = 0.3
ONLY_ONCE = "heard only once, and in no time: nobody seems to have said this"
VOICELESS = "hardly any voice was found here: nobody seems to have said this"
Looks = tuple[HeardSegment | None, HeardSegment | None]


def hear(recogniser: Recogniser, samples: SAMPLES, leaning: Leaning) -> Heard:
    """Hear one recording; may be called from several threads.

    Args:
        recogniser: the speech model.
        samples: sound, mono, 16,000 samples per second, from -1 to 1; shape (number of samples,).
        leaning: the trade's names.

    Returns:
        What was heard; no segments where there is no voice. ``not_understood`` lists voice under which there is no
        word, and words that were left out because nobody seems to have said them.
    """
    voiced = find_voice(samples)
    with ThreadPoolExecutor(recogniser.jobs) as pool:
        groups = pool.map(lambda group: look_twice(group, leaning), recogniser.groups(voiced))
        looks = [one for group in groups for one in group]
    segments: list[HeardSegment] = []
    left_out: list[NotUnderstood] = []
    for one in looks:
        kept, invented = kept_of(one, leaning, voiced.chances)
        left_out += invented
        if kept:
            segments.append(_segment(with_chances(kept, one, voiced.chances), one))
    words = [word for segment in segments for word in segment.words]
    return Heard(
        by="recogniser",
        duration_s=len(samples) / RATE_HZ,
        segments=tuple(segments),
        settings={
            **recogniser.settings(),
            "looks": "one without leaning, one leaning towards names that sound like it",
            "names_at_most": str(MOST_NAMES),
            "names_leaned_towards": leaning.fingerprint,
        },
        not_understood=tuple(
            sorted([*wordless(words, voiced.stretches), *left_out], key=lambda one: (one.start_s, one.end_s))
        ),
    )


def look_twice(group: Group, leaning: Leaning) -> list[Looks]:
    """Look at each chunk of a group without leaning, then leaning towards what sounds like what was heard."""
    first = group.look()
    texts = [one.text if one else "" for one in first]
    # What was not understood at all is looked at with the names of what was said around it.
    names = [leaning.hotwords(text or " ".join(texts)) for text in texts]
    second = group.look(names) if all(names) else first
    return list(zip(first, second, strict=True))


def kept_of(looks: Looks, leaning: Leaning, voice: SAMPLES) -> tuple[tuple[KeptWord, ...], tuple[NotUnderstood, ...]]:
    """Merge two looks at a chunk.

    Args:
        looks: what each look made of the chunk; None where it heard no word.
        leaning: the trade's names.
        voice: the chance of voice in each step of 32 ms of the recording.

    Returns:
        The words that are kept, in order of time, and the runs of words that nobody seems to have said.
    """
    first, second = (look.words if look else () for look in looks)
    merged = merge(first, second, leaning.trade_in)
    kept: list[KeptWord] = []
    left_out = [_left_out(run, ONLY_ONCE) for run in merged.invented]
    for voiced, run in groupby(merged.kept, lambda one: voice_under(one.word, voice) >= LEAST_VOICE):
        if voiced:
            kept += run
        else:
            left_out.append(_left_out([one.word for one in run], VOICELESS))
    return tuple(kept), tuple(left_out)


def _left_out(words: Sequence[HeardWord], why: str) -> NotUnderstood:
    return NotUnderstood(start_s=words[0].start_s, end_s=words[-1].end_s, why=why, guess=text_of(words))


def _segment(words: tuple[HeardWord, ...], looks: Looks) -> HeardSegment:
    both = [look for look in looks if look]
    return HeardSegment(
        start_s=words[0].start_s,
        end_s=max(word.end_s for word in words),
        text=text_of(words),
        words=words,
        no_speech=max(look.no_speech for look in both),
        mean_log_probability=min(look.mean_log_probability for look in both),
    )
