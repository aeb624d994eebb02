"""Utterances and lines of text after repair, with marks where the reading may still be wrong."""

import json
from collections.abc import Iterable, Iterator, Sequence

from pipeline.hearing.frequency import zipf
from pipeline.hearing.repair import Repairer
from pipeline.json_lines import Line, read_json_lines
from pipeline.reading.vocabulary import Vocabulary
from pipeline.values import Correction, Reading, Unsure, Utterance

# Of words below this probability more are wrong than right; see tests/hearing/evaluate.py.
UNSURE_BELOW = 0.5
REPAIRED_LISTS = ("parts", "counted")
Mark = tuple[int, int, str]


class _Line(Line):
    heard: str


def repairer_of(vocabulary: Vocabulary) -> Repairer:
    """Make the repairer of a vocabulary.

    Names of parts and of things counted may be read where something else was heard. The vocabulary's other words
    (acts, findings, grades, units, sides, places, storage) are everyday ones that are heard well: they are only kept
    from change.
    """
    names = vocabulary.names()
    others = (vocabulary.grades, vocabulary.storage, vocabulary.units, vocabulary.places, vocabulary.sides)
    return Repairer(
        [(name.text, name.notation) for name in names if name.list in REPAIRED_LISTS],
        zipf,
        known=[
            *(name.text for name in names if name.list not in REPAIRED_LISTS),
            *(text for entries in others for entry in entries for text in entry.words),
        ],
    )


def read_utterance(
    utterance: Utterance, repairer: Repairer, not_understood: Sequence[tuple[float, float]] = ()
) -> Reading:
    """Repair one utterance, and mark what may be wrong in it.

    Args:
        utterance: as it was heard.
        repairer: the vocabulary's names.
        not_understood: of the same recording, from ``Heard``: (start, end) in seconds. Words within one of these
            have hardly any voice under them.

    Returns:
        What is read. Marked unsure are words of low probability that no correction covers, words without voice, and
        words for which another reading is suggested but not applied.
    """
    repaired = repairer.repair(utterance.heard, [word.probability for word in utterance.words])
    marks: list[Mark] = []
    at = 0
    for word in utterance.words:
        start, end = at, at + len(word.text)
        at = end + 1
        if any(from_s <= word.start_s and word.end_s <= to_s for from_s, to_s in not_understood):
            marks.append((start, end, "hardly any voice was found here: this may not have been said"))
        elif word.probability < UNSURE_BELOW and not _touched(start, end, repaired.corrections):
            marks.append((start, end, "the recogniser was not sure what it heard"))
    marks += [
        (one.start, one.end, f'this may have been "{one.read}"') for one in repaired.corrections if not one.applied
    ]
    unsure = tuple(_in_read(mark, repaired.corrections) for mark in _runs(sorted(marks)))
    return Reading(utterance=utterance.id, read=repaired.read, corrections=repaired.corrections, unsure=unsure)


def correct_lines(lines: Iterable[str], repairer: Repairer, source: str = "the file") -> Iterator[str]:
    """Repair lines of JSON: the work of ``saidseen correct``.

    Args:
        lines: each {"id": text, "heard": text}; empty lines are passed over.
        repairer: the vocabulary's names.
        source: what the lines are from, for messages.

    Returns:
        For each line {"id", "read", "corrections": [{"from", "to", "heard", "read", "score", "why"}]}: ``from`` and
        ``to`` are positions in ``heard``, and only corrections that were applied are listed.

    Raises:
        WrongCommand: a line is not of that form; the message names it.
    """
    for given in read_json_lines(lines, _Line, source):
        repaired = repairer.repair(given.heard)
        corrections = [
            {
                "from": one.start,
                "to": one.end,
                "heard": one.heard,
                "read": one.read,
                "score": one.score,
                "why": one.why,
            }
            for one in repaired.corrections
            if one.applied
        ]
        yield json.dumps({"id": given.id, "read": repaired.read, "corrections": corrections}, ensure_ascii=False)


def _touched(start: int, end: int, corrections: Iterable[Correction]) -> bool:
    return any(one.start < end and one.end > start for one in corrections)


def _in_read(mark: Mark, corrections: Iterable[Correction]) -> Unsure:
    """Move a mark from its place in the heard text to its place in the read text."""
    start, end, why = mark
    start_moved, end_moved = start, end
    for one in corrections:
        if not one.applied:
            continue
        longer_by = len(one.read) - len(one.heard)
        if one.end <= start:
            start_moved += longer_by
        elif one.start < start:  # the mark begins inside the correction, which is then marked as a whole
            start_moved += one.start - start
        if one.end <= end:
            end_moved += longer_by
        elif one.start < end:
            end_moved += one.end + longer_by - end
    return Unsure(start=start_moved, end=end_moved, why=why)


def _runs(marks: Iterable[Mark]) -> Iterator[Mark]:
    """Join marks with the same reason that stand side by side."""
    last: Mark | None = None
    for mark in marks:
        if last and mark[2] == last[2] and mark[0] - last[1] <= 1:
            last = (last[0], mark[1], last[2])
            continue
        if last:
            yield last
        last = mark
    if last:
        yield last
