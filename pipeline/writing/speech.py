"""The speaker's words in pieces: what was read as heard, what was corrected, and what may be wrong."""

from dataclasses import dataclass
from itertools import pairwise

from pipeline.records import CorrectionRecord, UnsureRecord, UtteranceRecord

# From this chance of being wrong on, a word is marked so that nobody reads past it.
LIKELY = 0.3


@dataclass(frozen=True)
class Piece:
    """A run of the read text.

    ``heard`` is what stood there before a correction, None where nothing was changed. ``unsure`` says why it may be
    wrong; it is ``faint`` where that is a possibility only.
    """

    text: str
    heard: str | None = None
    why: str = ""
    unsure: tuple[str, ...] = ()
    faint: bool = False


def pieces(utterance: UtteranceRecord) -> tuple[Piece, ...] | None:
    """Cut an utterance's read text where a correction or an unsure stretch begins or ends.

    Returns:
        The pieces, whose texts joined are the read text; or None where the corrections do not lead from what was
        heard to what is read, so that a page must show the two whole.
    """
    placed = _placed(utterance)
    if placed is None:
        return None
    read = utterance.read
    cuts = {0, len(read)}
    for start, end, _ in placed:
        cuts |= {start, end}
    for doubt in utterance.unsure:
        cuts |= {min(doubt.start, len(read)), min(doubt.end, len(read))}
    edges = sorted(cuts)
    made = [_piece(read, start, end, placed, utterance.unsure) for start, end in pairwise(edges)]
    return tuple(made + _gaps(utterance.unsure, read))


def _gaps(unsure: tuple[UnsureRecord, ...], read: str) -> list[Piece]:
    """Return an empty piece for each doubt that marks no letter at all: words may have been dropped there."""
    return [Piece(text="", unsure=(one.why,)) for one in unsure if min(one.end, len(read)) <= one.start]


def _placed(utterance: UtteranceRecord) -> list[tuple[int, int, CorrectionRecord]] | None:
    """Return the corrections with their (start, end) in the read text, in order."""
    placed = []
    read, taken = "", 0
    for one in sorted(utterance.corrections, key=lambda one: one.start):
        if one.start < taken or one.end < one.start or utterance.heard[one.start : one.end] != one.heard:
            return None
        read += utterance.heard[taken : one.start]
        placed.append((len(read), len(read) + len(one.read), one))
        read += one.read
        taken = one.end
    return placed if read + utterance.heard[taken:] == utterance.read else None


def _piece(
    read: str,
    start: int,
    end: int,
    placed: list[tuple[int, int, CorrectionRecord]],
    unsure: tuple[UnsureRecord, ...],
) -> Piece:
    inside = [one for one in unsure if one.start < end and one.end > start]
    doubts = tuple(one.why for one in inside)
    faint = bool(inside) and max(one.chance for one in inside) < LIKELY
    for left, right, correction in placed:
        if left <= start and end <= right:
            # a correction cut in two by a doubt says what was heard once, at its end
            heard = correction.heard if end == right else ""
            return Piece(read[start:end], heard=heard, why=correction.why, unsure=doubts, faint=faint)
    return Piece(read[start:end], unsure=doubts, faint=faint)
