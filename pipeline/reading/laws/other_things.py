"""Work on what is no part of the aircraft: a bench that was cleaned, a rag taken out of a pipe, a plate just made."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import PARTICIPLE, PAST, word_set
from pipeline.reading.laws.case import PARTING, Case
from pipeline.reading.pieces import DETERMINERS, DOERS, Piece
from pipeline.reading.spans import holds

_OF_THE_HANGAR = word_set(
    "bench benches workbench workshop shed hangar kitchen office toolbox tools spanner spanners vice lathe mug mugs"
    " cup cups kettle urn van car lorry trailer tractor hoover broom overalls hands glasses whiteboard chair chairs"
)
_LEFT_INSIDE = word_set(
    "rag rags cloth nest nests mouse mice bird birds wasp wasps glove gloves spanner screwdriver torch pencil pen"
    " coin newspaper paper bottle tin cup stick stone stones feather feathers leaf leaves straw sock tool rubbish"
)
_CAME_TO_BE = word_set("make cut fold bend turn fashion shape fabricate form")
_PATCHES = word_set("patch scab")
_MADE = word_set("plate cover patch scab panel strip piece sheet blank blanking-plate template disc insert square")
_THERE = word_set("there had has")
_PRONOUNS = word_set("it them")
_BEFORE_NOUN = DETERMINERS | word_set("old all big little small new bit of")


def without_work_on_the_hangar(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "what I did was clean the bench" is no work on the part that was talked of."""
    return [fact for fact in facts if not (fact.act and _on_the_hangar(case, fact))]


def _on_the_hangar(case: Case, fact: Fact) -> bool:
    """Tell whether the object of the verb that tells a fact is a thing of the hangar, with no part beside it."""
    own = case.own_pieces(fact)
    for at, piece in enumerate(own):
        if not piece.verb or not holds(fact.words, piece.start):
            continue
        noun = at + 1
        while noun < len(own) - 1 and own[noun].low in _BEFORE_NOUN:
            noun += 1
        if noun in (at + 1, len(own)) or own[noun].kind != "word" or own[noun].low not in _OF_THE_HANGAR:
            continue
        ends = next((n for n in range(noun, len(own)) if own[n].kind in ("mark", "verb")), len(own))
        return not any(one.kind == "thing" for one in own[noun:ends])
    return False


def without_what_was_left_inside(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "there was a rag in the jet pipe and I took it out" takes out the rag, and no pipe."""
    return [fact for fact in facts if fact.act not in PARTING or not _was_left_inside(case, fact)]


def _was_left_inside(case: Case, fact: Fact) -> bool:
    """Tell whether "it" of a fact stands for what its sentence says was inside the part."""
    own = case.own_pieces(fact)
    told = [at for at, piece in enumerate(own) if holds(fact.words, piece.start)]
    if not told or not {piece.low for piece in own[told[0] : told[-1] + 3]} & _PRONOUNS:
        return False
    before = [piece.low for piece in own[: told[0]]]
    some = [at for at in range(len(before) - 1) if before[at] == "some" and before[at + 1] in ("in", "left")]
    inside = some or [at for at, low in enumerate(before) if low in _LEFT_INSIDE]
    return bool(inside) and bool(_THERE & set(before[: inside[0]]))


def without_people_who_sat_there(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "then I sat in it for a bit" and "I've not been in" tell of no work there."""
    return [fact for fact in facts if not (fact.act and _sat_there(case, fact))]


def _sat_there(case: Case, fact: Fact) -> bool:
    own = case.own_pieces(fact)
    at = next((n for n, piece in enumerate(own) if holds(fact.words, piece.start)), 0)
    sat = at > 0 and own[at].low == "sat" and own[at - 1].low in DOERS | {"and"}
    return sat or (
        fact.act == "fit" and any(_been_in(own, n) and holds(fact.words, own[n].start) for n in range(len(own)))
    )


def _been_in(own: Sequence[Piece], at: int) -> bool:
    """Tell whether the "in" at a piece is where somebody has or has not been: "I've not been in"."""
    lows = [piece.low for piece in own[max(0, at - 4) : at]]
    return own[at].low == "in" and lows[-1:] == ["been"] and bool(set(lows) & (DOERS | {"nobody", "somebody"}))


def undone_by_splitting(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a nut that had to be split takes nothing apart: it is undone."""
    found: list[Fact] = []
    for fact in facts:
        of = _split_fastener(case, fact) if fact.act == "separate" and fact.item not in case.lexicon.fasteners else ""
        if of:
            fact = fact.model_copy(update={"act": "undo", "count": fact.count or 1, "of": of})
        found.append(fact)
    return found


def _split_fastener(case: Case, fact: Fact) -> str:
    """Return the one fastener that is the object of the "split" that tells a fact, or ""."""
    own = case.own_pieces(fact)
    for at, piece in enumerate(own):
        if piece.low == "split" and holds(fact.words, piece.start):
            noun = next((p for p in own[at + 1 : at + 5] if p.kind == "thing" or p.kind == "mark"), piece)
            return (
                noun.sense("counted") if noun.sense("counted") in case.lexicon.fasteners and not noun.plural else ""
            )
    return ""


def of_what_was_just_made(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a plate made for a lamp's hole and riveted on refits no lamp, and a patch mends its tank.

    What is fitted keeps its fasteners, of nothing that the vocabulary knows.
    """
    found: list[Fact] = []
    for fact in facts:
        noun = _just_made(case, fact) if fact.act == "fit" else ""
        if noun in _PATCHES:
            fact = fact.model_copy(update={"act": "repair"})
        elif noun:
            if fact.count is None or fact.of not in case.lexicon.fasteners:
                continue
            fact = fact.model_copy(update={"item": None, "side": None})
        found.append(fact)
    return found


def _just_made(case: Case, fact: Fact) -> str:
    """Return the plate or the cover that "it" of a fact stands for, made in the same sentence; "" for none."""
    own = case.own_pieces(fact)
    told = [at for at, piece in enumerate(own) if holds(fact.words, piece.start)]
    if not told or not {piece.low for piece in own[told[0] : told[-1] + 2]} & _PRONOUNS:
        return ""
    for at, piece in enumerate(own[: told[0]]):
        if piece.verb not in _CAME_TO_BE or not piece.forms & {PAST, PARTICIPLE}:
            continue
        noun = next((n for n in range(at + 1, told[0]) if own[n].low not in _BEFORE_NOUN), at)
        if own[noun].low in _MADE and noun > at + 1 and own[noun].sense("part") != fact.item:
            return own[noun].low
    return ""
