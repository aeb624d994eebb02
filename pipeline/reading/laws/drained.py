"""What was drained: fuel from its tank, coolant from its radiator, and neither from what holds none; its lines."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact
from pipeline.reading.fluids import fluid_of, is_dry, line_of, may_hold
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.owned_lines import LINES
from pipeline.reading.pieces import BE
from pipeline.reading.spans import holds

_OFF = BE | word_set("all both now")
_PARTED = ("remove", "disconnect", "undo")


def where_it_is_held(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of fuel and coolant told of what holds them: "the battery's out, the fuel's drained".

    What is told of a fluid alone is known to the rules; the learnt reading knows parts.
    """
    found = [fact for fact in facts if fact.act != "drain" or not _holds_none(case, fact)]
    found = [fact for fact in found if fact.act != "remove" or not _ran_out(case, fact)]
    told = {case.sentence(fact) for fact in found if fact.act == "drain"}
    for fact in case.by_rules:
        held = any(key == "item" and why.startswith("what holds") for key, why in fact.inferred)
        plain = held or (fact.rule == "state: drain" and not _holds_none(case, fact))
        if fact.act == "drain" and plain and case.sentence(fact) not in told:
            found.append(by_rules_only(fact))
    return found


def _ran_out(case: Case, fact: Fact) -> bool:
    """Tell whether so much of a fluid, and no part, is told to be out: "half a litre out"."""
    told = [at for at, piece in enumerate(case.pieces) if holds(fact.words, piece.start)]
    if len(told) != 1 or case.pieces[told[0]].low != "out" or not told[0]:
        return False
    return any(measure.unit in ("l", "gal") for measure in case.pieces[told[0] - 1].measures)


def _holds_none(case: Case, fact: Fact) -> bool:
    """Tell whether a fact has a part drained that holds nothing of it: a battery of fuel, a seat made safe."""
    lexicon, item = case.lexicon, fact.item or ""
    if item in lexicon.fasteners:  # "four bolts, bag 3 is empty now"
        return True
    drains = [at for at in case.own(fact) if case.pieces[at].verb == "drain"]
    told = [at for at in drains if holds(fact.words, case.pieces[at].start)]
    if not drains:
        return is_dry(lexicon, item) and any(piece.low == "safe" for piece in case.own_pieces(fact))
    fluid = fluid_of(case.pieces, (told or drains)[0])
    if not fluid or may_hold(lexicon, item, fluid):
        return False
    after = [case.pieces[at] for at in case.own(fact) if at > (told or drains)[0]]
    return not any(item in (p.sense("part"), *lexicon.shorts.get(p.sense("short"), ())) for p in after)


class _LinesOff(NamedTuple):
    """The lines of a fluid that was drained are off: how many, where that was said, and where it stands."""

    line: str
    number: int | None
    start: int
    end: int


def lines_of_what_was_drained(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "lines off" after "fuel drained" are fuel lines, and are not lost."""
    found = list(facts)
    for one in _lines_off(case):
        sentence = case.rules.sentence(one.start)
        own = [n for n, f in enumerate(found) if f.act in _PARTED and holds(sentence, f.words[0])]
        own = [n for n in own if (found[n].item or "").endswith("-line") and found[n].words[1] > one.start]
        why = (("item", "a line of what was drained"),)
        for n in own:
            found[n] = found[n].model_copy(update={"item": one.line, "inferred": (*found[n].inferred, *why)})
        if not own:
            counted = {"count": one.number, "of": one.line} if one.number else {}
            told = {"status": "done", "act": "disconnect", "item": one.line, "words": (one.start, one.end)}
            rule = "state: disconnect"
            sure = {"rule": rule, "inferred": why, "confidence": confidence_of(rule, why)}
            found.append(Fact.model_validate(told | counted | sure))
    return found


def _lines_off(case: Case) -> Iterator[_LinesOff]:
    """Yield each "lines off", "the two pipes are off" of no other name, after a fluid of its sentence was drained."""
    pieces = case.pieces
    for at, piece in enumerate(pieces):
        off = at + 1
        while off < len(pieces) and pieces[off].low in _OFF:
            off += 1
        plain = piece.sense("short") in LINES and not piece.sense("part") and off < len(pieces)
        if not plain or pieces[off].low != "off" or (at and pieces[at - 1].kind == "thing"):
            continue
        follows = pieces[off + 1] if off + 1 < len(pieces) else None
        start, _end = case.rules.sentence(piece.start)
        before = [p for p in pieces[:at] if p.start >= start]
        words = (word for p in reversed(before) for word in p.low.split())
        line = next((line for word in words if (line := line_of(word))), "")
        drained = any(p.verb == "drain" or p.low == "out" for p in before)
        done = not any(holds(stretch, piece.start) for stretch in case.rules.not_done)
        if line and drained and done and (follows is None or follows.kind == "mark" or follows.low == "and"):
            yield _LinesOff(line, pieces[at - 1].whole if at else None, piece.start, pieces[off].end)
