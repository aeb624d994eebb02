"""Numbers that stand apart from what they count: said after it, put right, or carried on to "them"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.mending import PUTS_RIGHT
from pipeline.reading.nouns import PREPOSITIONS
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.talk import Draft, Talk

_BEFORE_ALONE = word_set(
    "off out away up myself herself himself yourself ourselves themselves altogether total so 's makes totals"
)
_EACH_SIDE = ("a side", "each side", "either side", "per side", "aside")
_ONLY = word_set(
    "give or take of them all in told that 's is was makes total altogether the lot so about i think it count"
)
_ACTS = word_set("undo drill-out remove fit tighten lock separate clean make inspect disconnect blank open measure")
_OF_FASTENERS = word_set("tighten lock undo drill-out")
_ON_THEM = word_set("blank prime paint treat clean repair bag store measure")
_THEM = word_set("them 'em those these they")


def lone_numbers(
    pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]
) -> Iterator[tuple[int, int, bool]]:
    """Yield whole numbers with nothing beside them that they count ("the screws out, fourteen").

    Each is (its piece, its value, whether it is only about that).
    """
    for at in range(clause.first, clause.last):
        piece = pieces[at]
        if not piece.whole:
            continue
        if any(phrase.first <= at < phrase.last and phrase.named for phrase in phrases):
            continue
        before = pieces[at - 1] if at > clause.first else None
        after = [step.low for step in pieces[at + 1 : min(at + 3, clause.last)]]
        each = bool(after) and pieces[at + 1].kind == "side" and after[0] in _EACH_SIDE and after[1:] != ["on"]
        roughly = after[:1] == ["give"] or after in (["or", "so"], ["or", "thereabouts"])
        said_of_all = (
            before is not None
            and before.low == "all"
            and not (at - 1 > clause.first and pieces[at - 2].tag[:2] in ("VB", "IN"))
        )
        ends = (
            each
            or roughly
            or not after
            or pieces[at + 1].kind == "mark"
            or after in (["of", "them"], ["of", "'em"], ["in", "all"], ["all", "told"], ["of", "those"])
        )
        if before is not None and before.low == "no" and after[:1] == ["of"]:
            continue  # "no two of them the same"
        opens = said_of_all or before is None or before.kind == "mark" or before.low in _BEFORE_ALONE | PUTS_RIGHT
        if ends and opens and not (before is not None and before.low in PREPOSITIONS):
            yield at, piece.whole * (2 if each else 1), roughly


def fill_lone(talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> None:
    """Give numbers that stand alone to the fact before them, or put its number right."""
    for at, value, roughly in lone_numbers(pieces, clause, phrases):
        told = [d for d in talk.drafts if d.words[1] <= pieces[at].start and d.sentence >= clause.sentence - 1]
        if not told:
            continue
        start = max(0, at - 6)
        right = any(step.low in PUTS_RIGHT for step in pieces[start:at] if step.start >= told[-1].words[0])
        if right and told[-1].sentence == clause.sentence:
            counted = [d for d in told if d.count is not None and d.of != "person"]
            if counted:
                counted[-1].count, counted[-1].about = value, roughly
            continue
        last = told[-1]
        if [step.low for step in pieces[at + 1 : at + 3]] in (["in", "all"], ["all", "told"]) and last.count:
            last.count = max(last.count, value)  # "four at the front and three at the rear, seven in all"
            continue
        inside = pieces[clause.first : clause.last]
        only = all(p.kind in ("number", "mark") or p.low in _ONLY for p in inside)
        if last.count is not None or last.act not in _ACTS or not (only or last.clause == _number(talk, clause)):
            continue
        of = _counted(talk, phrases, last, at)
        if of:
            last.count, last.of, last.about = value, of, roughly


def _number(talk: Talk, clause: Clause) -> int:
    """Return the number of the clause that is being read, as its facts carry it."""
    latest = talk.drafts[-1]
    return latest.clause if latest.sentence == clause.sentence else -1


def _counted(talk: Talk, phrases: Sequence[Phrase], last: Draft, at: int) -> str:
    before = [phrase for phrase in phrases if phrase.last <= at and phrase.named and phrase.plural]
    fasteners = [phrase for phrase in before if phrase.fastener and phrase.counted not in ("hole", "hinge")]
    if fasteners:
        return fasteners[-1].counted
    if last.act in _OF_FASTENERS:
        return talk.fasteners or ("rivet" if last.act == "drill-out" else "")
    return last.item if any(phrase.item == last.item for phrase in before) or last.item in talk.plurals else ""


def carry_counts(
    talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], acts: Sequence[Draft]
) -> None:
    """Carry the number of fasteners on to what is done to "them" next ("torqued both nuts and locked them")."""
    if not any(phrase.stands_for == "them" and phrase.count is None for phrase in phrases):
        return
    if not any(piece.low in _THEM for piece in pieces[clause.first : clause.last]):
        return
    earlier = [draft for draft in talk.drafts if draft.clause < acts[0].clause or draft not in acts]
    counted = [d for d in earlier if d.count is not None and d.of in talk.lexicon.fasteners]
    for draft in acts:
        same = [d for d in earlier if d.count is not None and d.of == d.item == draft.item and d.count > 1]
        lately = bool(same) and same[-1].sentence >= clause.sentence - 1 and draft.act in _ON_THEM
        if lately and draft.count is None and same[-1].status != "seen":
            draft.count, draft.of, draft.about = same[-1].count, same[-1].of, same[-1].about
        if not counted or draft.count is not None or draft.act not in _OF_FASTENERS:
            continue
        last = counted[-1]
        if last.sentence >= clause.sentence - 1 and last.item in (draft.item, last.of) and last.of != "locking-wire":
            draft.count, draft.of, draft.about = last.count, last.of, last.about
