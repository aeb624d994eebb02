"""What is told without its verb, or by a verb that mostly means something else: "and both propellers by lunch"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.reader import ReadByRule

_BY = word_set("by before after at")
_TIME_OF_DAY = word_set(
    "lunch lunchtime dinner dinnertime tea teatime noon midday then morning evening dark nightfall"
)
_LISTED = ("remove", "fit")
_FABRIC = "wing-fabric"


def too_by_then(one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note with those of "both spinners came off, and both propellers by lunch"."""
    found = list(facts)
    for at, item, side in _listed(one.pieces):
        piece = one.pieces[at]
        start, end = one.sentence(piece.start)
        own = [fact for fact in found if start <= fact.words[0] < end]
        before = [fact for fact in own if fact.words[1] <= piece.start and fact.act]
        if not before or before[-1].act not in _LISTED or any(fact.item == item for fact in own):
            continue
        last = before[-1]
        verbs = [p for p in one.pieces if p.kind in ("verb", "aux") and last.words[1] <= p.start < end]
        if last.status != "done" or verbs or any(first <= piece.start < past for first, past in one.not_done):
            continue
        told = Fact(
            status="done", act=last.act, item=item, side=side, words=(piece.start, piece.end),
            rule=f"listed: {last.act}", inferred=(("act", "carried on in a list"),), confidence=last.confidence,
        )  # fmt: skip
        found.append(by_rules_only(told))
    return found


def _listed(pieces: Sequence[Piece]) -> Iterator[tuple[int, str, str | None]]:
    """Yield each part of ", and both propellers by lunch": its piece, which part, on which side."""
    for at in range(2, len(pieces) - 2):
        item = pieces[at].sense("part")
        if pieces[at].kind != "thing" or not item or pieces[at + 1].low not in _BY:
            continue
        if pieces[at + 2].low not in _TIME_OF_DAY or (at + 3 < len(pieces) and pieces[at + 3].kind != "mark"):
            continue  # "by lunch tomorrow" is still to come
        step, side = at - 1, None
        while step > 0 and (pieces[step].kind == "side" or pieces[step].low in {*DETERMINERS, "both"}):
            side = "both" if pieces[step].low == "both" else pieces[step].sense("sides") or side
            step -= 1
        if step < at - 1 and pieces[step].low in ("and", "then"):
            yield at, item, side


def covered(lexicon: Lexicon, one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note; what was covered with fabric is not blanked off: new fabric is on it."""
    if lexicon.vocabulary.part(_FABRIC) is None:
        return list(facts)
    return [_with_fabric(fact) if fact.act == "blank" and _cloth_after(one, fact) else fact for fact in facts]


def _cloth_after(one: ReadByRule, fact: Fact) -> bool:
    """Tell whether "cover" tells a fact, and a cloth with which or in which follows it."""
    _start, end = one.sentence(fact.words[0])
    inside = [piece for piece in one.pieces if fact.words[0] <= piece.start < end]
    if not any(piece.verb == "cover" and piece.start < fact.words[1] for piece in inside):
        return False
    for at, piece in enumerate(inside):
        if piece.low in ("with", "in"):
            return any(p.sense("part") == _FABRIC for p in inside[at + 1 : at + 5] if p.kind != "mark")
    return False


def _with_fabric(fact: Fact) -> Fact:
    why = (*fact.inferred, ("item", f"what the {str(fact.item or 'part').replace('-', ' ')} was covered with"))
    return fact.model_copy(update={"act": "fit", "item": _FABRIC, "count": None, "of": None, "inferred": why})
