"""Torques told without a verb: "the rudder's on, three bolts, sixty foot pounds" tightens them."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact, Measure
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import Span, holds

UNITS = frozenset(("lbf·ft", "lbf·in", "N·m"))
_LED_BY = word_set("torque torques 's at to of is are and all the a both each")
_NOT_DONE = word_set("come do go will 'll should wants needs book later tomorrow spec limit maximum max minimum min")
_HELD = ("fit", "lock")


def of_what_is_tightened(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what is tightened to a torque that stands between commas after what was fitted.

    No fitting keeps the torque of its tightening.
    """
    found = list(facts)
    for at, piece in enumerate(case.pieces):
        torque = next((one for one in piece.measures if one.unit in UNITS), None)
        if torque is None or not _stands_alone(case.pieces, at) or _is_barred(case, at):
            continue
        sentence = case.rules.sentence(piece.start)
        own = [f for f in found if holds(sentence, f.words[0])]
        if any(torque in (f.measure or ()) and f.act not in _HELD for f in own):
            continue
        if any(f.act in ("tighten", "undo", "inspect", "measure", "test") for f in own):
            continue
        held = _held_before(case, found, sentence, piece.start) or _locked_after(case, own, at)
        if held is not None:
            found.append(_tightened(held, torque, (piece.start, piece.end)))
    return [_without_torque(fact, found) for fact in found]


def _stands_alone(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a torque stands between marks: ", sixty foot pounds,", "torque twenty-five inch pounds."."""
    before, after = at - 1, pieces[at + 1] if at + 1 < len(pieces) else None
    while before >= 0 and pieces[before].low in _LED_BY:
        before -= 1
    opens = before < 0 or pieces[before].kind == "mark"
    return opens and (after is None or after.kind == "mark" or after.low == "and")


def _is_barred(case: Case, at: int) -> bool:
    """Tell whether the sentence of a torque tells what is still to come, or what it ought to be."""
    start = case.pieces[at].start
    sentence = case.rules.sentence(start)
    words = {piece.low for piece in case.pieces if holds(sentence, piece.start)}
    return bool(words & _NOT_DONE) or any(holds(span, start) for span in case.rules.not_done)


def _held_before(case: Case, facts: Sequence[Fact], sentence: Span, at: int) -> Fact | None:
    """Return what was fitted last before a torque, in its sentence or the one before; None where nothing was."""
    since = case.rules.sentence(max(0, sentence[0] - 1))[0]
    near = [f for f in facts if f.act == "fit" and f.status == "done" and f.item and holds((since, at), f.words[0])]
    own = [f for f in near if f.words[0] >= sentence[0]]
    counted = [f for f in own or near if f.of in case.lexicon.fasteners]
    named = {f.item for f in own or near}
    return counted[-1] if counted and len(named) == 1 else None


def _locked_after(case: Case, own: Sequence[Fact], at: int) -> Fact | None:
    """Return what a sentence locks, with its fasteners: "eight bolts, ninety foot pounds, locked"; None for none."""
    locked = [
        f for f in own if f.act == "lock" and f.status == "done" and f.item and f.words[1] > case.pieces[at].end
    ]
    number, noun, mark = case.pieces[at - 3 : at] if at > 2 else (None, None, None)
    if len(locked) != 1 or number is None or noun is None or mark is None or mark.low != ",":
        return None
    of = noun.sense("counted")
    counted = number.whole and of in case.lexicon.fasteners
    return locked[0].model_copy(update={"count": number.whole, "of": of}) if counted else None


def _tightened(held: Fact, torque: Measure, words: Span) -> Fact:
    why = (("item", "what was fitted or locked there"),)
    told = {"item": held.item, "side": held.side, "place": held.place, "count": held.count, "of": held.of}
    return by_law("torque told: tighten", why, status="done", act="tighten", **told, measure=(torque,), words=words)


def _without_torque(fact: Fact, facts: Sequence[Fact]) -> Fact:
    """Return a fact of fitting without a torque that the same part is tightened to in its sentence."""
    torques = {one for one in fact.measure or () if one.unit in UNITS} if fact.act == "fit" else set()
    tightened = [f for f in facts if f.act == "tighten" and f.item == fact.item and torques & set(f.measure or ())]
    if not tightened:
        return fact
    left = tuple(one for one in fact.measure or () if one not in torques)
    return fact.model_copy(update={"measure": left or None})
