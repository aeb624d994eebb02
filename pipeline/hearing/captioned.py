"""A transcript that a person made or checked, taken as what was heard."""

from collections.abc import Sequence
from typing import Protocol

from pipeline.values import Heard, HeardSegment, HeardWord


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
