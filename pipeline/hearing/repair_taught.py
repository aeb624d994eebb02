"""Words that people taught: read as they said, wherever just that was heard."""

from collections.abc import Iterator, Mapping, Sequence

from pipeline.hearing.heard_text import TextWord, starts_sentence
from pipeline.values import Correction


def taught_corrections(
    text: str, words: Sequence[TextWord], taught: Mapping[tuple[str, ...], str]
) -> Iterator[Correction]:
    """Find what was taught in a heard text, the longest first at each place.

    Args:
        text: what was heard.
        words: its words.
        taught: what is meant, by the plain words that are heard for it.

    Returns:
        Corrections at their places in ``text``, all to be applied.
    """
    longest = max(map(len, taught), default=0)
    for start in range(len(words)):
        for end in range(min(start + longest, len(words)), start, -1):
            meant = taught.get(tuple(word.plain for word in words[start:end]))
            if meant is None or not all(word.joined for word in words[start + 1 : end]):
                continue
            first, last = words[start], words[end - 1]
            heard = text[first.start : last.end]
            capital = heard[0].isupper() and starts_sentence(text, first.start)
            read = (meant[:1].upper() + meant[1:] if capital else meant) + ("'s" if last.possessive else "")
            if heard.lower() != read.lower():
                why = f'somebody of the team taught that "{heard}" is "{meant}"'
                yield Correction(start=first.start, end=last.end, heard=heard, read=read, score=1.0, why=why)
            break
