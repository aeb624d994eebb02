"""A transcript that a person made or checked, taken as what was heard."""

from collections.abc import Collection, Iterator, Sequence
from typing import Protocol

from pipeline.values import Heard, HeardSegment, HeardWord

_ENDS = (".", "!", "?", "\u2026", '"', "\u201d")  # a sentence, after which another may speak


class TimedLine(Protocol):
    """A timed line of a caption file."""

    @property
    def start_s(self) -> float:
        """Seconds from the recording's start."""

    @property
    def end_s(self) -> float:
        """Seconds from the recording's start."""

    @property
    def text(self) -> str:
        """What is said, without markup."""

    @property
    def speaker(self) -> str:
        """Whose voice it is said to be, "" where it is not."""


def from_captions(cues: Sequence[TimedLine]) -> Heard:
    """Take a transcript that a person made or checked as what was heard.

    Args:
        cues: timed lines, in order of time.

    Returns:
        One segment per cue that has words; word times are shared out over the cue by the number of characters.
    """
    segments = tuple(_segment(cue) for cue in cues if cue.text.split())
    return Heard(by="captions", duration_s=max((cue.end_s for cue in cues), default=0.0), segments=segments)


def _segment(cue: TimedLine) -> HeardSegment:
    texts = cue.text.split()
    per_character_s = (cue.end_s - cue.start_s) / (sum(map(len, texts)) + len(texts) - 1)
    words, at = [], 0
    for text in texts:
        start_s = cue.start_s + at * per_character_s
        end_s = start_s + len(text) * per_character_s
        words.append(HeardWord(start_s=round(start_s, 3), end_s=round(end_s, 3), text=text, probability=1.0))
        at += len(text) + 1
    return HeardSegment(
        start_s=cue.start_s, end_s=cue.end_s, text=" ".join(texts), words=tuple(words), speaker=cue.speaker
    )


def speakers_apart(heard: Heard, team: Sequence[Sequence[str]]) -> Heard:
    """Take "Gorm: Rib 8 is off" for words of Gorm's: a name of the team before a colon says who speaks.

    Args:
        heard: a transcript.
        team: of each person, what they may be called.

    Returns:
        The same, cut where another begins to speak, names with their colons left out. What a name stood before begins
        when the name did.
    """
    names = {tuple(name.casefold().split()) for person in team for name in person}
    segments = (part for segment in heard.segments for part in _by_speaker(segment, names))
    return heard.model_copy(update={"segments": tuple(segments)})


def _by_speaker(segment: HeardSegment, names: Collection[tuple[str, ...]]) -> Iterator[HeardSegment]:
    named = list(_named(segment.words, names))
    if not named:
        yield segment
        return
    ends = [first for first, _ in named[1:]] + [len(segment.words)]
    if named[0][0]:
        yield _spoken(segment, segment.words[: named[0][0]], segment.speaker)
    for (first, after), end in zip(named, ends, strict=True):
        begun = segment.words[after].model_copy(update={"start_s": segment.words[first].start_s})
        speaker = " ".join(word.text for word in segment.words[first:after]).removesuffix(":")
        yield _spoken(segment, (begun, *segment.words[after + 1 : end]), speaker)


def _named(words: Sequence[HeardWord], names: Collection[tuple[str, ...]]) -> Iterator[tuple[int, int]]:
    """Yield where names before a colon begin and end: at a cue's beginning, and where a sentence has ended."""
    longest = max(map(len, names), default=0)
    for colon, word in enumerate(words[:-1]):
        if not word.text.endswith(":"):
            continue
        for first in range(max(0, colon + 1 - longest), colon + 1):
            said = " ".join(one.text for one in words[first : colon + 1]).removesuffix(":").casefold()
            if tuple(said.split()) in names and (first == 0 or words[first - 1].text.endswith(_ENDS)):
                yield first, colon + 1
                break


def _spoken(segment: HeardSegment, words: Sequence[HeardWord], speaker: str) -> HeardSegment:
    """Return the part of a segment that these words are; its first and last parts keep the segment's ends."""
    return segment.model_copy(
        update={
            "start_s": segment.start_s if words[0].start_s == segment.words[0].start_s else words[0].start_s,
            "end_s": segment.end_s if words[-1].end_s == segment.words[-1].end_s else words[-1].end_s,
            "text": " ".join(word.text for word in words),
            "words": tuple(words),
            "speaker": speaker,
        }
    )
