"""One finished line of the register of findings: how it is now, how bad, and what should be asked."""

from collections.abc import Sequence

from pipeline.lists.followed_up import done_since
from pipeline.lists.logged import same_place, same_side
from pipeline.lists.severity import severity, size_mm
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FindingLine, LineQuestion, Observation


def finding_line(line: FindingLine, lines: Sequence[FindingLine], vocabulary: Vocabulary) -> FindingLine:
    """Return the finished line, with what its history leaves open.

    Args:
        line: as it was told, with all that was done.
        lines: all lines of its part.
        vocabulary: for the zone that the part is in.
    """
    last, both = line.seen[-1], _both_told(line)
    if both:
        last = both  # what may be there stays open
    asked = () if done_since(line) else line.questions
    present = [index for index, one in enumerate(line.seen) if not one.absent]
    worst = max(present, key=lambda index: _badness(line, line.seen[index]), default=None)
    # a grade or a size that was told before stands until another is told
    told = [one for one in line.seen if one.absent == last.absent]
    part = vocabulary.part(line.item or "")
    return line.model_copy(
        update={
            "absent": last.absent,
            "grade": next((one.grade for one in reversed(told) if one.grade), None),
            "measure": next((one.measure for one in reversed(told) if one.measure), None),
            "count": next((one.count for one in reversed(told) if one.count is not None), None),
            "of": next((one.of for one in reversed(told) if one.count is not None), None),
            "entry": last.entry,
            "zone": part.zone if part else "any",
            "severity": 0 if last.absent else max(severity(line.finding, line.seen[i].grade) for i in present),
            "worst": worst,
            "closed_on": last.on if last.absent and present else None,
            "questions": (*asked, *_good_word_since(line, lines), *_questions(line, last, both)),
        }
    )


def _badness(line: FindingLine, seen: Observation) -> tuple[int, float, int]:
    return severity(line.finding, seen.grade), size_mm(seen.measure) or 0.0, seen.count or 0


def _both_told(line: FindingLine) -> Observation | None:
    """Return the condition where it was last told to be there and not there in one breath, and no work between."""
    last = line.seen[-1]
    here = [one for one in line.seen if one.entry == last.entry and not one.earlier]
    if len({one.absent for one in here}) < 2 or any(move.entry == last.entry for move in line.done):
        return None
    return next(one for one in here if not one.absent)


def _questions(line: FindingLine, last: Observation, both: Observation | None) -> tuple[LineQuestion, ...]:
    if both:
        return (LineQuestion(kind="there-and-not-there", days=(last.on,)),)
    if line.done and not last.absent and not done_since(line):
        return (LineQuestion(kind="seen-again-since", days=(line.done[-1].on, last.on)),)
    present = [one for one in line.seen if not one.absent]
    mended = present and any(move.on >= present[-1].on for move in line.done)
    if last.absent and present and line.finding == "crack" and not mended:
        return (LineQuestion(kind="gone-not-mended", days=(present[-1].on, last.on)),)
    return ()


def _good_word_since(line: FindingLine, lines: Sequence[FindingLine]) -> tuple[LineQuestion, ...]:
    """Ask about a condition of a part that was said to be good later on: nobody said whether it is still there."""
    if line.finding == "sound" or line.seen[-1].absent:
        return ()
    good = [
        one.on
        for other in lines
        if (other.item, other.finding) == (line.item, "sound") and line.item
        if same_side(other.side, line.side) and same_place(other.place, line.place)
        if same_position((other.side, other.position), (line.side, line.position))
        for one in other.seen
        if not one.absent and one.on > line.seen[-1].on
    ]
    return (LineQuestion(kind="said-good-since", days=(max(good),)),) if good else ()
