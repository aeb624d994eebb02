"""What the rules read and the learnt reading forgot, and what was told too shortly for both: it is not lost."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import holds

_HEAVY = ("powerplant", "structure", "control-surface", "undercarriage")  # kinds of parts that no line is taken for
_PARTED = ("past: connect", "past: disconnect")
_LISTED = ("remove", "fit")
_BY = word_set("by before after at")
_TIME_OF_DAY = word_set(
    "lunch lunchtime dinner dinnertime tea teatime noon midday then morning evening dark nightfall"
)


def with_cracks(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the cracks that the rules read: none is dropped for want of its part."""
    told = {case.sentence(fact) for fact in facts if fact.finding == "crack"}
    found = list(facts)
    for fact in case.by_rules:
        if fact.finding == "crack" and not fact.absent and case.sentence(fact) not in told:
            found.append(by_rules_only(fact))
    return found


def with_wear(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what is wrong with what holds a part told of that: "the hinge pin is worn".

    It is told so where nothing else was read of the sentence, or the same of a part that the sentence does not name.
    """
    found = list(facts)
    for fact in case.by_rules:
        plain = fact.rule == "seen: adjective" and not fact.absent and fact.finding not in case.lexicon.good
        if not (plain and fact.item in case.lexicon.fasteners and _is_named(fact)):
            continue
        own = [other for other in found if case.together(other, fact)]
        if not own:
            found.append(by_rules_only(fact))
        elif len(own) == 1 and own[0].finding == fact.finding and not case.names_part_of(own[0]):
            found[found.index(own[0])] = by_rules_only(fact)
    return found


def with_parts_off(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what by plain words is off, connected or disconnected."""
    return [*facts, *_parted(case, facts), *_taken_off(case, facts)]


def _parted(case: Case, facts: Sequence[Fact]) -> Iterator[Fact]:
    """Yield what by plain words is connected or not, of a sentence of which nothing else was read."""
    told = {case.sentence(fact) for fact in facts}
    for fact in case.by_rules:
        plain = fact.rule in _PARTED and fact.status == "done" and fact.item is not None
        if plain and _is_named(fact) and case.sentence(fact) not in told:
            yield by_rules_only(fact)


def _taken_off(case: Case, facts: Sequence[Fact]) -> Iterator[Fact]:
    """Yield the large parts that by plain words are off: "the starboard outer engine is off"."""
    off = [(fact.item, fact.side) for fact in facts if fact.act == "remove"]
    for fact in case.by_rules:
        plain = fact.rule == "state: remove" and fact.status == "done"
        known = any(item == fact.item and {side, fact.side} != {"port", "starboard"} for item, side in off)
        heavy = case.lexicon.part_kind.get(fact.item or "") in _HEAVY
        if not (plain and _is_named(fact) and heavy) or known:
            continue
        if not any(f.act and f.act != "bag" and holds(fact.words, f.words[0]) for f in facts):
            yield by_rules_only(fact)


def _is_named(fact: Fact) -> bool:
    """Tell whether the part of a fact was named, and not carried on from earlier words."""
    return all(key != "item" for key, _ in fact.inferred)


def with_tags(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the tags that were read out and are on none of them: no tag is lost."""
    found = list(facts)
    for fact in case.by_rules:
        if fact.tag is None or any(other.tag == fact.tag for other in found):
            continue
        free = [n for n, other in enumerate(found) if other.item == fact.item and not other.tag]
        same = [n for n in free if (found[n].act, found[n].finding) == (fact.act, fact.finding)]
        if same or (free and fact.act != "tag"):
            first = (same or free)[0]
            found[first] = found[first].model_copy(update={"tag": fact.tag})
        else:
            found.append(by_rules_only(fact))
    return found


class _Listed(NamedTuple):
    """A part in a list, with the piece that names it and its side."""

    piece: Piece
    item: str
    side: str | None


def with_what_is_listed(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with those of "both spinners came off, and both propellers by lunch"."""
    found = list(facts)
    for piece, item, side in _listed(case.pieces):
        start, end = case.rules.sentence(piece.start)
        own = [fact for fact in found if holds((start, end), fact.words[0])]
        before = [fact for fact in own if fact.words[1] <= piece.start and fact.act]
        if not before or before[-1].act not in _LISTED or any(fact.item == item for fact in own):
            continue
        last = before[-1]
        verbs = [p for p in case.pieces if p.kind in ("verb", "aux") and last.words[1] <= p.start < end]
        barred = any(holds(stretch, piece.start) for stretch in case.rules.not_done)
        if last.status != "done" or verbs or barred:
            continue
        told = Fact(
            status="done", act=last.act, item=item, side=side, words=(piece.start, piece.end),
            rule=f"listed: {last.act}", inferred=(("act", "carried on in a list"),), confidence=last.confidence,
        )  # fmt: skip
        found.append(by_rules_only(told))
    return found


def _listed(pieces: Sequence[Piece]) -> Iterator[_Listed]:
    """Yield each part of ", and both propellers by lunch"."""
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
            yield _Listed(pieces[at], item, side)
