"""What answers a bare question of a part: "Hopper? Scrap. Pump? Straightened." is told of the pump alone."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.spans import holds

_BARE = 5  # pieces of "and the port flap?"


def of_what_was_asked(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is told right after a question that is a part's bare name is told of that part."""
    found: list[Fact] = []
    for fact in facts:
        asked = None if case.names_part_of(fact) else _asked_before(case, fact)
        if asked is not None and fact.item not in _parts_of(case, asked):
            item = case.part_of(asked)
            if item is None or item in case.lexicon.fasteners or fact.of == fact.item:
                continue
            why = (*fact.inferred, ("item", "the part that was asked about"))
            fact = fact.model_copy(update={"item": item, "side": asked.side or None, "inferred": why})
            if any((f.act, f.item) == (fact.act, item) and case.together(f, fact) for f in (*facts, *found)):
                continue
        found.append(fact)
    return found


def _parts_of(case: Case, asked: Phrase) -> tuple[str | None, ...]:
    """Return the parts that a phrase may name."""
    return (case.part_of(asked), *case.lexicon.shorts.get(asked.short or "", ()))


def _asked_before(case: Case, fact: Fact) -> Phrase | None:
    """Return the part of which the sentence before that of a fact is nothing but the name, and a question mark."""
    start, end = case.since_sentence_before(fact)
    own = [at for at, piece in enumerate(case.pieces) if holds((start, end), piece.start)]
    if len(own) < 2 or case.pieces[own[-1]].low != "?":
        return None
    named = [p for p in find_phrases(case.lexicon, case.pieces, own[0], own[-1]) if p.item or p.short]
    bare = all(case.pieces[at].kind in ("thing", "side", "word", "number") for at in own[:-1])
    return named[0] if bare and len(named) == 1 and named[0].last == own[-1] and len(own) <= _BARE else None
