"""Words that come after a finding and belong to it: "I'd call that heavy", "none found", "12's corroded"."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import BE, Piece
from pipeline.reading.talk import Draft, Talk

_JUDGING = word_set("call say reckon make be look guess think mean put know see run lie extend go")
_NO_GRADE = word_set("missing seized sound broken")
_CRACK_TESTS = ("crack test", "crack-test", "dye", "eddy", "magnetic", "ultrasonic", "x-ray")
_TIGHT = (
    "dry as a bone", "bone dry", "dry as toast", "held pressure", "held its pressure",
    "holding pressure", "holds pressure", "pressure held", "no pressure drop", "no drop in pressure", "stayed dry",
    "leak-tight", "leak free",
)  # fmt: skip
_BEFORE_GOOD = word_set("all both and also still looks look it they 's are is came up everything quite very really")
_LOOKED = word_set("inspect measure test")
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
    if (
        not grades
        or others
        or any(
            phrase.named
            and not phrase.located
            and not all(p.sense("grades") for p in pieces[phrase.first : phrase.last])
            for phrase in phrases
        )
    ):
        return
    alone = all(piece.sense("grades") or piece.kind == "mark" or piece.tag in ("RB", "CC", "DT") for piece in inside)
    judged = any(piece.verb in _JUDGING or (piece.kind == "aux" and piece.low in BE) for piece in inside)
    if alone or judged:
        last.grade = grades[-1].sense("grades")


def verdict(
    lexicon: Lexicon,
    pieces: Sequence[Piece],
    clause: Clause,
    phrases: Sequence[Phrase],
    last: Draft,
    drafts: Sequence[Draft],
) -> tuple[str, bool, int] | None:
    """Return finding, whether it is absent and the piece that says so, for the outcome of a look or a test."""
    inside = pieces[clause.first : clause.last]
    said = " ".join(piece.low for piece in inside)
    leaked = any(draft.finding == "leak" or draft.act == "test" for draft in drafts)
    if leaked and any(words in said for words in _TIGHT):
        return "leak", True, clause.first
    if last.status != "done" or last.act not in _LOOKED or last.sentence < clause.sentence - 1:
        return None
    for at in range(clause.first, clause.last):
        good = pieces[at].sense("finding-adjective") in lexicon.good
        good = good or (pieces[at].low == "clean" and last.act == "inspect")
        before = pieces[clause.first : at]
        first = all(piece.kind in ("mark", "grade") or piece.low in _BEFORE_GOOD for piece in before)
        ends = at + 1 == clause.last or pieces[at + 1].kind in ("mark", "grade")
        if good and ends and (first or pieces[at - 1].kind == "mark"):
            return "sound", False, at
    return None


def looked_for(pieces: Sequence[Piece], clause: Clause) -> list[str]:
    """Return the findings that a clause only says were looked for ("checked for cracks and corrosion")."""
    lows = [piece.low for piece in pieces[clause.first : clause.last]]
    if any(
        piece.kind == "verb" and piece.low.startswith(_CRACK_TESTS) for piece in pieces[clause.first : clause.last]
    ):
        return ["crack"]
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
