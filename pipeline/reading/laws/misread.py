"""Words that are easily read as what they do not tell: glue that broke, a rudder covered, holes drilled, feet."""

from collections.abc import Sequence
from itertools import pairwise

from pipeline.reading.fact import Fact
from pipeline.reading.forms import singular, word_set
from pipeline.reading.laws.case import PARTING, RUNS, Case
from pipeline.reading.learnt.deciding import RULE
from pipeline.reading.nouns import only_where
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.spans import holds, overlap, within
from pipeline.reading.standing import CONSUMED
from pipeline.reading.supports import is_gear

_FABRIC = "wing-fabric"
_ON_CLOTH = ("dope", "fabric-tape", "lacing-cord")
_STORES = word_set("container crate store loft box shed case packing storage")
_COVERS = word_set("cover cap plug bung blank")
_AS_FAR = 9  # pieces from "drilled" to "for"
_PIPES = ("-line", "-loom", "-hose", "-pipe")
_LIES = word_set("floor bench grass ground table mattress")
_LEADS = word_set("lead leads plug plugs pipe pipes wire wires hose hoses cable cables")
_TIED = word_set("tied taped bundled wired zip-tied cable-tied")
_TIED_TO = {"blank": word_set("together"), "support": word_set("together back aside")}
_SAFE = word_set("safe safety safed")
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
    """Tell whether "cover" tells a fact, and a cloth with which or in which follows it, or the dope for one."""
    inside = [piece for piece in case.own_pieces(fact) if fact.words[0] <= piece.start]
    if not any(piece.verb == "cover" and holds(fact.words, piece.start) for piece in inside):
        return False
    if any(piece.sense("part") in _ON_CLOTH or piece.low in ("doped", "doping") for piece in inside):
        return True
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
    return not named or only_where(case.pieces, named[0], past_tags=("JJ",))


def without_holes_for_fasteners(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is drilled for fasteners has none drilled out: "the patch is drilled for 36 rivets"."""
    return [fact for fact in facts if fact.act != "drill-out" or not _drilled_for(case, fact)]


def _drilled_for(case: Case, fact: Fact) -> bool:
    """Tell whether the verb that tells a fact goes on with "for" and the fasteners that are to come."""
    own = case.own_pieces(fact)
    for at, piece in enumerate(own):
        if piece.verb != "drill" or not holds(fact.words, piece.start):
            continue
        for step, after in enumerate(own[at + 1 : at + _AS_FAR], at + 1):
            if after.low in ("out", "off", "away") or after.kind in ("mark", "verb"):
                break
            if after.low == "for":
                return any(p.sense("counted") in case.lexicon.fasteners for p in own[step + 1 : step + 4])
    return False


def told_once(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, one where an "off" tells the same part off in two ways: "slackened off", "two lines off"."""
    return [fact for fact in facts if not any(_tells_the_same(case, fact, other) for other in facts)]


def _tells_the_same(case: Case, fact: Fact, other: Fact) -> bool:
    """Tell whether the "off" that tells a fact tells another one of the same part more surely, or ends its verb."""
    if fact is other or fact.act not in PARTING or other.act not in PARTING or fact.act == other.act:
        return False
    if (fact.status, fact.item) != (other.status, other.item) or fact.rule != RULE:
        return False
    if fact.words == other.words:
        return fact.confidence < other.confidence
    inside = [at for at, piece in enumerate(case.pieces) if holds(fact.words, piece.start)]
    if len(inside) != 1 or case.pieces[inside[0]].low not in ("off", "out", "away") or not inside[0]:
        return False
    return bool(case.pieces[inside[0] - 1].verb) and holds(other.words, case.pieces[inside[0] - 1].start)


def of_one_part_by_a_short_name(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; the one short name of a sentence takes off one part: "both doors are off, two pins each"."""
    return [fact for fact in facts if not any(_is_by_the_same_name(case, fact, other) for other in facts)]


def _is_by_the_same_name(case: Case, fact: Fact, other: Fact) -> bool:
    """Tell whether the learnt reading took the name of another part that is told off for a second part's too."""
    if fact.act not in PARTING or other.act not in PARTING or fact.rule != RULE or fact.item == other.item:
        return False
    same = (fact.status, fact.side) == (other.status, other.side) and case.together(fact, other)
    if not same or fact.confidence >= other.confidence:
        return False
    named = [p for p in case.own_pieces(fact) if fact.item in case.lexicon.shorts.get(p.sense("short"), ())]
    own = any(piece.sense("part") == fact.item for piece in case.own_pieces(fact))
    by_one = len(named) == 1 and other.item in case.lexicon.shorts.get(named[0].sense("short"), ())
    return by_one and not own


def of_a_part_and_not_its_whole(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the front strut of the port float is off" takes off a strut, and no float."""
    return [f for f in facts if not any(_is_its_whole(case, other, f) for other in facts if other is not f)]


def _is_its_whole(case: Case, part: Fact, whole: Fact) -> bool:
    """Tell whether the learnt reading took what stands after "of" for a part that the same was done to."""
    same = (part.status, part.act) == (whole.status, whole.act) and part.item != whole.item
    if not (same and whole.act and whole.rule == RULE and within(whole.words, part.words)):
        return False
    inside = [piece for piece in case.pieces if holds(part.words, piece.start)]
    named = [at for at, piece in enumerate(inside) if piece.kind == "thing" and piece.sense("part") == whole.item]
    until = named[0] if named else 0
    before = [piece.low for piece in inside[:until] if piece.kind != "side" and piece.low not in DETERMINERS]
    return len(named) == 1 and before[-1:] == ["of"]


def moved_out_of_its_store(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is got "out of the container" is moved, and comes off no aircraft."""
    return [f.model_copy(update={"act": "move"}) if _out_of_store(case, f) else f for f in facts]


def _out_of_store(case: Case, fact: Fact) -> bool:
    """Tell whether the words of a fact go on with "out of the crate", or "out of it" where a crate was named."""
    if fact.act != "remove":
        return False
    own = case.own_pieces(fact)
    first = next((at for at, piece in enumerate(own) if piece.start >= fact.words[0]), len(own))
    for at in range(first, min(len(own) - 2, first + _AS_FAR)):
        if own[at].kind == "mark":
            return False
        if [piece.low for piece in own[at : at + 2]] == ["out", "of"]:
            where = next((piece for piece in own[at + 2 :] if piece.low not in DETERMINERS), own[at])
            before = own[:first] if own[at + 2].low == "it" else []
            return _is_store(where) or any(_is_store(piece) for piece in before)
    return False


def _is_store(piece: Piece) -> bool:
    return piece.kind == "stow" or piece.low.split()[-1] in _STORES


def without_covers_that_are_off(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "she had the cover off the battery" blanks nothing."""
    return [fact for fact in facts if fact.act != "blank" or not _cover_off(case, fact)]


def _cover_off(case: Case, fact: Fact) -> bool:
    """Tell whether a cover is named, and off, by the words that tell a fact."""
    own = case.own_pieces(fact)
    return any(
        one.low in DETERMINERS
        and cover.low in _COVERS
        and off.low in ("off", "out")
        and holds(fact.words, cover.start)
        for one, cover, off in zip(own, own[1:], own[2:], strict=False)
    )


def without_what_is_tied_together(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; pipes that are "taped together", or cables "tied back", are neither blanked nor held up."""
    return [fact for fact in facts if not (fact.act in _TIED_TO and _tied(case, fact))]


def _tied(case: Case, fact: Fact) -> bool:
    """Tell whether the word that tells a fact is followed by "together", or for a support by "back"."""
    told = [at for at, piece in enumerate(case.pieces) if holds(fact.words, piece.start) and piece.low in _TIED]
    after = {piece.low for at in told for piece in case.pieces[at + 1 : at + 3]}
    return bool(after & _TIED_TO[str(fact.act)])


def of_tags_that_came_off(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where "the rudder's tag came off, it's P-0318 now", the rudder did not: it has a new tag."""
    found: list[Fact] = []
    for fact in facts:
        if fact.act in PARTING and _of_its_tag(case, fact):
            if fact.tag is None:
                continue
            fact = fact.model_copy(update={"act": "tag", "rule": "tagged: tag"})
        found.append(fact)
    return found


def _of_its_tag(case: Case, fact: Fact) -> bool:
    """Tell whether a tag is what comes off in the words of a fact."""
    own = case.own_pieces(fact)
    off = [at for at, piece in enumerate(own) if holds(fact.words, piece.start) and piece.verb]
    return any(at and own[at - 1].low.split()[-1] in ("tag", "label") for at in off)


def on_top_of_no_rack(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is "on top of the locker" lies on no top shelf."""
    found: list[Fact] = []
    for fact in facts:
        kept = fact.stowage
        if kept is not None and kept.shelf == "top" and not kept.rack and not _names_shelf(case, fact):
            others = kept.model_copy(update={"shelf": None})
            fact = fact.model_copy(update={"stowage": others if others.model_dump(exclude_none=True) else None})
        found.append(fact)
    return found


def _names_shelf(case: Case, fact: Fact) -> bool:
    return any("shelf" in piece.low or piece.stow[0] == "shelf" for piece in case.own_pieces(fact))


def locked_by_its_pins(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is made safe by the pins that are in it is locked, and was not put into the aircraft."""
    found: list[Fact] = []
    for fact in facts:
        if fact.act == "fit" and _told_by_pins(case, fact):
            same = [f for f in facts if f.act == "lock" and f.item == fact.item and case.together(f, fact)]
            if same and fact.count is None:
                continue  # "the canopy's locked, pins in"
            if _made_safe(case, fact):
                counts = {} if fact.of != fact.item else {"count": None, "of": None}  # of seats, not of pins
                fact = fact.model_copy(update={"act": "lock"} | counts)
        found.append(fact)
    return found


def _told_by_pins(case: Case, fact: Fact) -> bool:
    told = [piece for piece in case.pieces if holds(fact.words, piece.start)]
    return any(piece.low.split()[-1] in ("pin", "pins") for piece in told)


def _made_safe(case: Case, fact: Fact) -> bool:
    """Tell whether the pins that are in a part make it safe, by what it is or by what is said of them."""
    part = case.lexicon.vocabulary.part(fact.item or "")
    words = {word for piece in case.own_pieces(fact) for word in piece.low.split()}
    return (part is not None and part.safe_by_pins) or bool(words & _SAFE)


def parted_where_off_at(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a cable "off at the rudder", or a pipe "parted at the root", is disconnected there."""
    found: list[Fact] = []
    for fact in facts:
        parts = _off_at(case, fact) or _pipe_parted(case, fact)
        parted = fact.model_copy(update={"act": "disconnect"}) if parts else fact
        same = (one for one in found if overlap(one.words, parted.words) and one.act == "disconnect")
        if parted.act != "disconnect" or all((one.item, one.side) != (parted.item, parted.side) for one in same):
            found.append(parted)
    return found


def _off_at(case: Case, fact: Fact) -> bool:
    if fact.act != "remove" or not (fact.item or "").endswith(RUNS):
        return False
    own = case.own_pieces(fact)
    steps = zip(own, own[1:], own[2:], own[3:], strict=False)
    return any(
        (one.low, two.low) == ("off", "at") and three.low in DETERMINERS and four.kind == "thing"
        for one, two, three, four in steps
    )


def _pipe_parted(case: Case, fact: Fact) -> bool:
    """Tell whether the word "parted" tells that a pipe or a loom was taken apart; a cable that parted is broken."""
    if fact.act != "separate" or not (fact.item or "").endswith(_PIPES):
        return False
    return any(
        piece.verb == "part" or piece.low == "parted" for piece in case.pieces if holds(fact.words, piece.start)
    )


def of_the_part_that_is_named(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where "the tank came out", the tank did, and not what was talked of before.

    What is told of "it" in the next sentence is told of the tank as well; what is told already is told once.
    """
    found: list[Fact] = []
    taken: tuple[str | None, Fact] | None = None
    for fact in facts:
        named = _named_by_rules(case, fact) if fact.rule == RULE and fact.act and fact.item else None
        if named is not None:
            taken = fact.item, named
        elif taken is not None and taken[0] == fact.item and _goes_on(case, taken[1], fact):
            named = taken[1]
        if named is not None:
            told = {"item": named.item, "side": named.side, "inferred": named.inferred, "doubts": named.doubts}
            fact = fact.model_copy(update=told)
            if any(_is_known(other, fact) for other in facts):
                continue
        found.append(fact)
    return found


def _is_known(other: Fact, fact: Fact) -> bool:
    """Tell whether the same work on the same part is told by the same words already."""
    same = (other.status, other.act, other.item, other.side) == (fact.status, fact.act, fact.item, fact.side)
    return same and overlap(other.words, fact.words)


def _goes_on(case: Case, before: Fact, fact: Fact) -> bool:
    """Tell whether a fact is told of the same in the sentence after another, which names no part."""
    near = case.since_sentence_before(fact)
    plain = not any(p.sense("part") or p.sense("short") for p in case.own_pieces(fact))
    return plain and fact.rule == RULE and holds(near, before.words[0])


def _named_by_rules(case: Case, fact: Fact) -> Fact | None:
    """Return the same work as the rules read it of a part that its words name, where those of a fact name none."""
    if case.names_part_of(fact) or fact.item in case.lexicon.fasteners:
        return None
    same = [f for f in case.by_rules if (f.status, f.act) == (fact.status, fact.act) and overlap(f.words, fact.words)]
    own = same[0] if len(same) == 1 and same[0].item not in (fact.item, *case.lexicon.fasteners) else None
    name = _first_name(case, own) if own is not None else ""
    return own if name and not str(fact.item).endswith(name) else None


def _first_name(case: Case, fact: Fact) -> str:
    """Return the last word of the name of its part with which the words of a fact begin; "" without one."""
    said = [piece for piece in case.pieces if holds(fact.words, piece.start)]
    thing = next((p for p in said if p.kind != "side" and p.low not in DETERMINERS), None)
    if thing is None or fact.item not in (thing.sense("part"), *case.lexicon.shorts.get(thing.sense("short"), ())):
        return ""
    return singular(thing.low.split()[-1])


def of_its_leads(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a starter whose leads are off is disconnected, and did not come off."""
    return [f.model_copy(update={"act": "disconnect"}) if _leads_off(case, f) else f for f in facts]


def _leads_off(case: Case, fact: Fact) -> bool:
    """Tell whether the leads or the pipes of a part are what its sentence tells of."""
    own = pairwise(case.own_pieces(fact))
    return fact.act == "remove" and any(one.sense("part") == fact.item and leads.low in _LEADS for one, leads in own)


def lying_somewhere(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the radiator's on the floor" says where it lies, and not when it came off."""
    return [f.model_copy(update={"act": "store"}) if _lies_on(case, f) else f for f in facts]


def _lies_on(case: Case, fact: Fact) -> bool:
    """Tell whether the one word that tells a removal is the "on" of "on the floor"."""
    told = [at for at, piece in enumerate(case.pieces) if holds(fact.words, piece.start)]
    if fact.act != "remove" or len(told) != 1 or case.pieces[told[0]].low != "on":
        return False
    after = [piece.low for piece in case.pieces[told[0] + 1 : told[0] + 3]]
    return len(after) == 2 and after[0] in DETERMINERS and after[1] in _LIES


def not_undone_out_of_a_bag(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; bolts "out of bag five" come from there, and nothing is undone."""
    return [fact for fact in facts if fact.act != "undo" or not _out_of_a_bag(case, fact)]


def _out_of_a_bag(case: Case, fact: Fact) -> bool:
    own = case.own_pieces(fact)
    steps = zip(own, own[1:], own[2:], strict=False)
    out = [o for o, of, bag in steps if (o.low, of.low) == ("out", "of") and bag.kind == "stow"]
    return any(holds(fact.words, one.start) for one in out)


def opened_by_nobody(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a crack that "has opened up" opens no part, and a tyre that "is cut" is not made."""
    found: list[Fact] = []
    for fact in facts:
        told = [at for at, piece in enumerate(case.pieces) if holds(fact.words, piece.start)]
        cracked = any(f.finding == "crack" and f.item == fact.item and case.together(f, fact) for f in facts)
        if fact.act == "open" and cracked and any(case.pieces[at].verb.startswith("open") for at in told):
            continue
        if fact.act == "make" and any(_is_cut(case.pieces, at) for at in told):
            fact = fact.model_copy(update={"status": "seen", "act": None, "finding": "broken"})
        found.append(fact)
    return found


def _is_cut(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "is cut" ends a statement at one of two pieces: "the tyre is cut", not "is cut from sheet"."""
    step = at + 1 if pieces[at].low in BE else at
    if not step or step >= len(pieces) or pieces[step].low != "cut" or pieces[step - 1].low not in BE:
        return False
    return step + 1 >= len(pieces) or pieces[step + 1].kind == "mark"


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
