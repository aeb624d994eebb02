"""What was heard, cut into utterances: sentences, or what was said between two pauses."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import accumulate, groupby

from pipeline.values import Heard, HeardWord, Utterance

PAUSE_S = 0.7
# In front of a capital letter, where the recogniser left the full stop out, a shorter one is enough.
PAUSE_AT_CAPITAL_S = 0.3
LONGEST_S = 20.0
SENTENCE_ENDS = (".", "?", "!", "\u2026")
CLOSING = "\"'\u201d\u2019)"
# Words that end in a full stop in the middle of a sentence.
NOT_AN_END = frozenset({"mr.", "mrs.", "ms.", "dr.", "st.", "approx.", "e.g.", "i.e.", "vs."})
NOT_AN_END_BEFORE_A_NUMBER = frozenset({"no.", "nos.", "fig.", "para."})


def cut(heard: Heard, media_id: str) -> tuple[Utterance, ...]:
    """Cut what was heard in one recording into utterances.

    An utterance ends with a sentence and at a pause of more than 0.7 s; where the recogniser left a full stop out,
    also at a shorter pause before a capital letter. In captions no pause is looked for within a cue: the times of its
    words are only shared out. One that would be longer than 20 s is cut at
    the longest gap between its words; only a single word can then be longer, and a sentence in a caption that stands
    longer than it takes to say. It ends where a caption file says that another speaks.

    Args:
        heard: what was heard; every word of it is in exactly one utterance.
        media_id: the recording's id, "sha256:" and 64 hexadecimal digits.

    Returns:
        Utterances in order of time, their words' texts joined by single spaces. Each id is "u-", the first eight
        digits of the hash, "-" and the start in milliseconds; of several that start together, the later ones have
        "-2", "-3" … after it.
    """
    short = media_id.removeprefix("sha256:")[:8]
    taken: dict[str, int] = {}
    utterances = []
    for speaker, group in _groups(heard):
        at = f"u-{short}-{round(group[0].start_s * 1000)}"
        taken[at] = taken.get(at, 0) + 1
        utterances.append(
            Utterance(
                id=at if taken[at] == 1 else f"{at}-{taken[at]}",
                media=media_id,
                start_s=group[0].start_s,
                end_s=max(word.end_s for word in group),
                heard=" ".join(word.text for word in group),
                words=tuple(group),
                speaker=speaker,
            )
        )
    return tuple(utterances)


def _groups(heard: Heard) -> Iterator[tuple[str, Sequence[HeardWord]]]:
    """Yield the words of each utterance behind who a caption says speaks them: two voices are never one utterance."""
    for speaker, segments in groupby(heard.segments, lambda segment: segment.speaker):
        spoken = [segment.words for segment in segments]
        words = [word for one in spoken for word in one]
        captioned = heard.by == "captions"
        timed = set(accumulate(map(len, spoken))) if captioned else range(len(words))
        yield from ((speaker, group) for group in _shortened(_sentences(words, timed), captioned=captioned))


def _sentences(words: Sequence[HeardWord], timed: Collection[int]) -> Iterator[Sequence[HeardWord]]:
    """Yield the words of each sentence; before the words whose numbers are in ``timed`` a pause would be seen."""
    start = 0
    for at in range(1, len(words)):
        before, word = words[at - 1], words[at]
        paused = word.start_s - before.end_s > PAUSE_S and not (at - start == 1 and _is_drawn_out(before))
        heard = at in timed and (paused or _begins_sentence(before, word))
        if heard or _ends_sentence(before.text, word.text):
            yield words[start:at]
            start = at
    if words:
        yield words[start:]


def _begins_sentence(before: HeardWord, word: HeardWord) -> bool:
    """Tell a sentence's first word by its capital and a short pause, for want of a full stop before it."""
    if not word.text[:1].isupper() or not word.text[1:2].islower() or word.text.startswith("I'"):
        return False
    return word.start_s - before.end_s >= PAUSE_AT_CAPITAL_S or _is_drawn_out(word)


def _is_drawn_out(word: HeardWord) -> bool:
    """Tell a word that seems to take far longer than its letters need.

    It was said at the end of that time: the decoder begins it where the word before ended, before the pause.
    """
    return word.text[:1].isupper() and word.end_s - word.start_s > said_in_s(word.text)


def said_in_s(text: str) -> float:
    """Return how many seconds it takes to say a word, at most."""
    return 0.35 + 0.12 * len(text)


def _ends_sentence(text: str, next_text: str) -> bool:
    bare = text.rstrip(CLOSING)
    if bare.lower() in NOT_AN_END_BEFORE_A_NUMBER and next_text[:1].isdigit():
        return False
    return bare.endswith(SENTENCE_ENDS) and bare.lower() not in NOT_AN_END and not _is_initial(bare)


def _is_initial(text: str) -> bool:
    return len(text) == 2 and text[0].isupper() and text[0] != "I"


def _shortened(groups: Iterable[Sequence[HeardWord]], *, captioned: bool) -> Iterator[Sequence[HeardWord]]:
    waiting = list(groups)[::-1]
    while waiting:
        group = waiting.pop()
        lasts_s = group[-1].end_s - group[0].start_s
        if captioned:  # a passage of five minutes may hold four words
            lasts_s = min(lasts_s, sum(said_in_s(word.text) for word in group))
        if len(group) == 1 or lasts_s <= LONGEST_S:
            yield group
            continue
        at = max(
            range(1, len(group)), key=lambda at: (group[at].start_s - group[at - 1].end_s, -_from_middle(group, at))
        )
        waiting += [group[at:], group[:at]]


def _from_middle(group: Sequence[HeardWord], at: int) -> float:
    return abs(group[at].start_s - (group[0].start_s + group[-1].end_s) / 2)
