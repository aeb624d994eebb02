"""What the rules read and the learnt reading forgot, and what was told too shortly for both: it is not lost."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.clauses import only_if
from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.lexicon import HEAVY
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.spans import holds, overlap

_PARTED = ("past: connect", "past: disconnect", "past: undo")
_CONNECTED = ("connect", "disconnect")
_OFF_OR_ON = ("state: remove", "state: fit")
_KEPT_THERE = "kept there"
_KEEPS = ("store", "bag", "move")
_WAY = word_set("out over up down back across round")
_LEG_STRUT = "drag-strut"
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

    It is told so where its sentence tells of nothing else that was seen, or the same of a part that it does not name,
    or that the words about the fastener do not: "the tailplane wouldn't come off, the pin's stuck".
    """
    found = list(facts)
    for fact in case.by_rules:
        plain = fact.rule == "seen: adjective" and not fact.absent and fact.finding not in case.lexicon.good
        if not (plain and fact.item in case.lexicon.fasteners and _is_named(fact)):
            continue
        own = [other for other in found if other.finding and case.together(other, fact)]
        if not own:
            found.append(by_rules_only(fact))
        elif len(own) == 1 and own[0].finding == fact.finding and not _says_it_of_its_part(case, own[0], fact):
            found[found.index(own[0])] = by_rules_only(fact)
    return found


def _says_it_of_its_part(case: Case, one: Fact, fastener: Fact) -> bool:
    """Tell whether a finding is told of a part of its sentence, and not by the words about a fastener alone."""
    by_rules = any((f.finding, f.item) == (one.finding, one.item) for f in case.by_rules)
    said = [piece for piece in case.pieces if holds(fastener.words, piece.start)]
    its_words = by_rules or not overlap(one.words, fastener.words)
    return case.names_part_of(one) and (its_words or any(case.part_named(piece) == one.item for piece in said))


def plainly_put_on(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of "rudder on" as sure as the rules are; "nuts on" of no part tells nothing."""
    plain = [fact for fact in facts if not (fact.item is None and _is_plain(case, fact))]
    return [_as_plain(case, fact) if _is_plain(case, fact) else fact for fact in plain]


def put_back_with_fasteners(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what is back with so many bolts: "starboard engine, back, four bolts from bag 18"."""
    found = list(facts)
    for fact in _put_back(case):
        same = [f for f in facts if f.act in ("fit", "undo") and f.item == fact.item and case.together(f, fact)]
        if not same and not any(holds(stretch, fact.words[0]) for stretch in case.rules.not_done):
            found.append(fact)
    return found


def _put_back(case: Case) -> Iterator[Fact]:
    """Yield the parts that are named, "back", and so many fasteners, with nothing but marks between them."""
    pieces = case.pieces
    for at, part in enumerate(pieces):
        item = part.sense("part")
        if not item or case.lexicon.part_kind.get(item) not in HEAVY or only_if(pieces, at):
            continue
        rest = [piece for piece in pieces[at + 1 : at + 6] if piece.low != "," and piece.low not in BE]
        if [piece.low for piece in rest[:1]] != ["back"] or len(rest) < 3 or rest[1].kind != "number":
            continue
        of = rest[2].sense("counted")
        if of not in case.lexicon.fasteners:
            continue
        before = pieces[at - 1] if at else None
        side = before.sense("sides") if before and before.kind == "side" else None
        told = {
            "status": "done",
            "act": "fit",
            "item": item,
            "side": side,
            "count": int(rest[1].number or 0),
            "of": of,
        }
        rule = "state: fit"
        words = {"words": (part.start, rest[0].end), "rule": rule, "confidence": confidence_of(rule, ())}
        yield by_rules_only(Fact.model_validate(told | words))


def _is_plain(case: Case, fact: Fact) -> bool:
    """Tell whether a fact is told by its part and "on" alone."""
    said = [piece for piece in case.pieces if holds(fact.words, piece.start)]
    plain = fact.rule == "state: fit" and bool(said) and said[-1].low in ("on", "in", "up")
    return plain and not any(piece.kind in ("verb", "aux") for piece in said)


def _as_plain(case: Case, fact: Fact) -> Fact:
    read = next((one for one in case.by_rules if (one.rule, one.words) == (fact.rule, fact.words)), None)
    if read is None or (read.status, read.item, read.side) != (fact.status, fact.item, fact.side):
        return fact
    sure = max(fact.confidence, read.confidence)
    return fact.model_copy(update={"confidence": sure, "doubts": read.doubts})


def rigged_again(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "struts up, wires on" puts up the struts and the wires between the wings."""
    found = list(facts)
    for at, piece in enumerate(case.pieces[:-1]):
        on = case.pieces[at + 1].low in ("on", "up") and piece.sense("short") == "wire" and piece.plural
        wings = [n for n, fact in enumerate(found) if on and _puts_up_wings(case, fact, piece)]
        if not wings:
            continue
        for n in wings:
            strut = found[n].item == _LEG_STRUT and any(key == "item" for key, _ in found[n].inferred)
            told = {"item": "interplane-strut", "inferred": (("item", "a strut beside wires"),), "doubts": ()}
            found[n] = found[n].model_copy(update=told) if strut else found[n]
        words = (piece.start, case.pieces[at + 1].end)
        if not any(overlap(fact.words, words) for fact in found):
            rule, why = "state: fit", (("item", "wires told of with wings"),)
            fit = {"status": "done", "act": "fit", "item": "flying-wire", "words": words, "rule": rule}
            found.append(Fact.model_validate(fit | {"inferred": why, "confidence": confidence_of(rule, why)}))
    return found


def _puts_up_wings(case: Case, fact: Fact, wire: Piece) -> bool:
    """Tell whether a fact puts on wings or their struts in the sentence of some wires."""
    same = case.sentence(fact) == case.rules.sentence(wire.start) and fact.status == "done"
    item = fact.item or ""
    return same and fact.act == "fit" and (item.endswith("-strut") or case.lexicon.vocabulary.is_a(item, "mainplane"))


def with_parts_off(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what by plain words is off or on, connected, disconnected or undone."""
    return [*facts, *_parted(case, facts), *_off_or_on(case, facts)]


def _parted(case: Case, facts: Sequence[Fact]) -> Iterator[Fact]:
    """Yield what by plain words is connected, disconnected or undone, and of which nothing else is told."""
    told = {case.sentence(fact) for fact in facts if fact.act not in _CONNECTED}
    for fact in case.by_rules:
        plain = fact.rule in _PARTED and fact.status == "done" and fact.item is not None
        known = any(overlap(f.words, fact.words) or _is_same_line(case, f, fact) for f in facts)
        if plain and _is_named(fact) and case.sentence(fact) not in told and not known:
            yield by_rules_only(fact)


def _is_same_line(case: Case, one: Fact, other: Fact) -> bool:
    """Tell whether two facts of a sentence are of one part by one name: a throttle rod is no mixture rod."""
    same = (one.act, one.item, case.sentence(one)) == (other.act, other.item, case.sentence(other))
    names = {p.low for p in case.own_pieces(one) if p.kind == "thing" and other.item == p.sense("part")}
    return same and len(names) < 2


def _off_or_on(case: Case, facts: Sequence[Fact]) -> Iterator[Fact]:
    """Yield the large parts that by plain words are off or on: "the starboard outer engine is off", "struts on"."""
    for fact in case.by_rules:
        plain = fact.rule in _OFF_OR_ON and fact.status == "done"
        same = [f for f in facts if f.act == fact.act and (f.item == fact.item or _by_one_name(case, f, fact))]
        known = any({other.side, fact.side} != {"port", "starboard"} for other in same)
        heavy = case.lexicon.part_kind.get(fact.item or "") in HEAVY
        if not (plain and case.names_part_of(fact) and heavy) or known:
            continue
        if not any(f.act and f.act != "bag" and holds(fact.words, f.words[0]) for f in facts):
            yield by_rules_only(fact)


def with_what_went_there(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with "the port wing's gone out to the container", where its sentence keeps nothing else."""
    told = {case.sentence(fact) for fact in facts if fact.act in _KEEPS}
    found = list(facts)
    for fact in case.by_rules:
        plain = fact.rule == _KEPT_THERE and fact.status == "done" and case.names_part_of(fact)
        if plain and case.sentence(fact) not in told and _went_there(case.own_pieces(fact)):
            found.append(by_rules_only(fact))
    return found


def _went_there(pieces: Sequence[Piece]) -> bool:
    """Tell whether "gone out to" stands among some pieces."""
    steps = zip(pieces, pieces[1:], pieces[2:], strict=False)
    return any(one.verb == "go" and two.low in _WAY and to.low in ("to", "into") for one, two, to in steps)


def _by_one_name(case: Case, one: Fact, other: Fact) -> bool:
    """Tell whether two parts of one sentence may be one: "the wing" is taken for the outer wing, or the whole one."""
    named = case.together(one, other) and any({one.item, other.item} <= set(o) for o in case.lexicon.shorts.values())
    return named and any(key == "item" for key, _ in other.inferred)


def _is_named(fact: Fact) -> bool:
    """Tell whether the part of a fact was named, and not carried on from earlier words."""
    return all(key != "item" for key, _ in fact.inferred)


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


def with_the_whole_list(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with each part of "disconnect the fuel line, then the oil lines, then the throttle cable"."""
    found = list(facts)
    told = {(fact.act, fact.item) for fact in facts}
    kept = {(fact.status, fact.act, fact.item) for fact in facts}
    for fact in case.by_rules:
        beside = [f for f in case.by_rules if f.words[0] == fact.words[0] and f.act and f is not fact]
        listed = any((f.status, fact.act, f.item) in kept and f.act == fact.act for f in beside)
        last = next((p for p in case.own_pieces(fact) if p.end == fact.words[1]), None)
        ends = last is not None and (last.sense("part") or case.lexicon.likeliest(last.sense("short"))) == fact.item
        if listed and ends and _is_named(fact) and (fact.act, fact.item) not in told:
            found.append(by_rules_only(fact))
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
