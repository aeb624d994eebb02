"""What was drained: fuel from its tank, coolant from its radiator, and neither from what holds none."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.fluids import fluid_of, is_dry, may_hold
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.spans import holds


def where_it_is_held(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of fuel and coolant told of what holds them: "the battery's out, the fuel's drained".

    What is told of a fluid alone is known to the rules; the learnt reading knows parts.
    """
    found = [fact for fact in facts if fact.act != "drain" or not _holds_none(case, fact)]
    told = {case.sentence(fact) for fact in found if fact.act == "drain"}
    for fact in case.by_rules:
        held = any(key == "item" and why.startswith("what holds") for key, why in fact.inferred)
        if fact.act == "drain" and held and case.sentence(fact) not in told:
            found.append(by_rules_only(fact))
    return found


def _holds_none(case: Case, fact: Fact) -> bool:
    """Tell whether a fact has a part drained that holds nothing of it: a battery of fuel, a seat made safe."""
    lexicon, item = case.lexicon, fact.item or ""
    drains = [at for at in case.own(fact) if case.pieces[at].verb == "drain"]
    told = [at for at in drains if holds(fact.words, case.pieces[at].start)]
    if not drains:
        return is_dry(lexicon, item) and any(piece.low == "safe" for piece in case.own_pieces(fact))
    fluid = fluid_of(case.pieces, (told or drains)[0])
    if not fluid or may_hold(lexicon, item, fluid):
        return False
    after = [case.pieces[at] for at in case.own(fact) if at > (told or drains)[0]]
    return not any(item in (p.sense("part"), *lexicon.shorts.get(p.sense("short"), ())) for p in after)
