"""Words that come after a finding and belong to it: "I'd call that heavy", "none found", "12's corroded"."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import BE, Piece
from pipeline.reading.talk import Draft, Talk

_JUDGING = word_set("call say reckon make be look guess think mean put know see run lie extend go")
_NO_GRADE = word_set("missing seized sound broken")
_NONE = word_set("none nothing negative nowt clear nil")


def late_grade(talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> None:
    """Give a degree that is told in a clause of its own to the finding before it."""
    last = talk.drafts[-1] if talk.drafts else None
    inside = pieces[clause.first : clause.last]
    if last is None or last.status != "seen" or last.grade or last.absent or last.finding in _NO_GRADE:
        return
    if last.sentence < clause.sentence - 1:
        return
    grades = [piece for piece in inside if piece.sense("grades")]
    others = any(
        piece.kind in ("finding", "stow", "tag") or (piece.kind == "verb" and piece.verb not in _JUDGING)
        for piece in inside
    )
    if not grades or others or any(phrase.named and not phrase.located for phrase in phrases):
        return
    alone = all(piece.sense("grades") or piece.kind == "mark" or piece.tag in ("RB", "CC", "DT") for piece in inside)
    judged = any(piece.verb in _JUDGING or (piece.kind == "aux" and piece.low in BE) for piece in inside)
    if alone or judged:
        last.grade = grades[-1].sense("grades")


def looked_for(pieces: Sequence[Piece], clause: Clause) -> list[str]:
    """Return the findings that a clause only says were looked for ("checked for cracks and corrosion")."""
    lows = [piece.low for piece in pieces[clause.first : clause.last]]
    if "for" not in lows:
        return []
    after = clause.first + lows.index("for") + 1
    return [piece.sense("finding-noun") for piece in pieces[after : clause.last] if piece.sense("finding-noun")]


def none_found(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> bool:
    """Tell whether a clause says that nothing of what was looked for was there."""
    inside = pieces[clause.first : clause.last]
    lows = [piece.low for piece in inside if piece.kind != "mark"]
    if any(phrase.named for phrase in phrases) or any(piece.kind in ("finding", "stow", "tag") for piece in inside):
        return False
    if len(lows) > 7:
        return False
    return bool(_NONE & set(lows)) or ("n't" in lows and "any" in lows) or ("not" in lows and "any" in lows)


def absent_drafts(
    found: Sequence[str], base: Draft, clause: Clause, number: int, span: tuple[int, int]
) -> list[Draft]:
    """Return the facts that what was looked for is not on the part that was looked at."""
    return [
        Draft(
            "seen", finding=finding, item=base.item, side=base.side, absent=True, words=span,
            rule="seen: looked for, none found", places=list(base.places),
            inferred=[("item", "the part that was looked at")], clause=number, sentence=clause.sentence,
        )
        for finding in found
    ]  # fmt: skip
