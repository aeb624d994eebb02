"""Words that are easily read as what they do not tell: glue that broke, a rudder covered, a cradle stood on, feet."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.nouns import only_where
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import holds
from pipeline.reading.standing import CONSUMED
from pipeline.reading.supports import is_gear
from pipeline.reading.targets import ON_HOLDER

_FABRIC = "wing-fabric"
_NO_TORQUE = ("ft", "in", "m", "l", "gal", "h", "min")  # of what is tightened: "foot pounds" that was heard by half


def without_what_is_used_up(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without those told of glue or paint that was not itself looked at."""
    return [fact for fact in facts if not _of_what_is_used_up(case, fact)]


def _of_what_is_used_up(case: Case, fact: Fact) -> bool:
    if fact.item not in CONSUMED or not (fact.finding or fact.act in ("repair", "inspect")):
        return False
    named = [at for at in case.own(fact) if case.pieces[at].sense("part") == fact.item]
    return bool(fact.act) or all(only_where(case.pieces, at) for at in named)


def covered_with_fabric(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what was covered with fabric is not blanked off: new fabric is on it."""
    if case.lexicon.vocabulary.part(_FABRIC) is None:
        return list(facts)
    return [_with_fabric(fact) if fact.act == "blank" and _cloth_after(case, fact) else fact for fact in facts]


def _cloth_after(case: Case, fact: Fact) -> bool:
    """Tell whether "cover" tells a fact, and a cloth with which or in which follows it."""
    inside = [piece for piece in case.own_pieces(fact) if fact.words[0] <= piece.start]
    if not any(piece.verb == "cover" and holds(fact.words, piece.start) for piece in inside):
        return False
    for at, piece in enumerate(inside):
        if piece.low in ("with", "in"):
            return any(p.sense("part") == _FABRIC for p in inside[at + 1 : at + 5] if p.kind != "mark")
    return False


def _with_fabric(fact: Fact) -> Fact:
    why = (*fact.inferred, ("item", f"what the {str(fact.item or 'part').replace('-', ' ')} was covered with"))
    return fact.model_copy(update={"act": "fit", "item": _FABRIC, "count": None, "of": None, "inferred": why})


def without_gear_stood_on(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; lifting gear on which something stands is not put away: "it stands on the cradle"."""
    return [fact for fact in facts if fact.act != "store" or not _only_where(case, fact)]


def _only_where(case: Case, fact: Fact) -> bool:
    """Tell whether the sentence of a fact names its lifting gear only to say where something stands."""
    if not is_gear(case.lexicon, fact.item or ""):
        return False
    own = [at for at in case.own(fact) if case.pieces[at].kind == "thing"]
    named = [at for at in own if case.pieces[at].sense("part") == fact.item]
    return all(only_where(case.pieces, at, past_tags=("JJ",)) for at in named)


def of_its_fasteners(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the bolts of the float" are told of the bolts: they are new, and the float is not."""
    return [_of_its_fasteners(case, fact) for fact in facts]


def _of_its_fasteners(case: Case, fact: Fact) -> Fact:
    if fact.act not in ON_HOLDER or fact.item is None or fact.of not in (None, fact.item):
        return fact
    inside = [piece for piece in case.pieces if holds(fact.words, piece.start)]
    for at, piece in enumerate(inside[:-2]):
        fastener = piece.sense("counted") or piece.sense("part")
        if piece.kind != "thing" or fastener not in case.lexicon.fasteners or inside[at + 1].low != "of":
            continue
        if _named_from(inside, at + 2).sense("part") == fact.item:
            return fact.model_copy(update={"of": fastener})
    return fact


def _named_from(inside: Sequence[Piece], at: int) -> Piece:
    """Return the piece after the article and the side at a piece."""
    while at < len(inside) - 1 and (inside[at].low in DETERMINERS or inside[at].kind == "side"):
        at += 1
    return inside[at]


def torque_in_its_units(_case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without a measure that nothing can be tightened to; a doubt tells the figure."""
    return [_torqued(fact) for fact in facts]


def _torqued(fact: Fact) -> Fact:
    if fact.act != "tighten" or not fact.measure:
        return fact
    wrong = [measure for measure in fact.measure if measure.unit in _NO_TORQUE]
    if not wrong:
        return fact
    kept = tuple(measure for measure in fact.measure if measure not in wrong)
    why = tuple(f"{measure.value:g} {measure.unit} is no torque: {measure.value:g} what?" for measure in wrong)
    return fact.model_copy(update={"measure": kept or None, "doubts": (*fact.doubts, *why)})
