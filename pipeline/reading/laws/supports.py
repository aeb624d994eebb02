"""What stands on trestles, jacks or a trolley: none of it is forgotten, nor when it is no longer held up."""

from collections.abc import Collection, Iterator, Sequence

from pipeline.reading.clauses import only_if
from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import RULE, by_rules_only
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece
from pipeline.reading.spans import Span, holds, overlap, within
from pipeline.reading.supports import is_gear

_STANDS = word_set("stand sit rest hang hold be")
_AWAY = word_set("away gone out")
_AFTER_AWAY = word_set("and again now from")
_BROUGHT = word_set("now been all put taken wheeled carried moved sent")
_ALL = word_set("both all")
_MAY_LEAD = ("mark", "number", "side", "thing")
_TO_ITS_PLACE = word_set("to in into on at")
_UNDER_IT = word_set("under beneath underneath")
_PUT_IN = word_set("is are 's 're in now back")
_UNDER_HER = ("keel-block", "trestle")
_ENDS = {"tail": "rear-fuselage", "nose": "front-fuselage"}
_STILL = word_set("still now back again only all up")


def without_place_of_another(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without a support at a place from another sentence, where the same is told more surely."""
    return [f for f in facts if not (_placed_elsewhere(case, f) and any(_told_surer(other, f) for other in facts))]


def _placed_elsewhere(case: Case, fact: Fact) -> bool:
    """Tell whether a support has its place from another sentence alone."""
    if fact.act != "support" or not fact.place:
        return False
    return not {place for piece in case.own_pieces(fact) for place in piece.places} & set(fact.place)


def _told_surer(other: Fact, fact: Fact) -> bool:
    """Tell whether the very same words tell the same more surely."""
    told = fact.rule != RULE and (fact.rule, fact.words) == (other.rule, other.words)
    same = (fact.status, fact.act, fact.item, fact.side) == (other.status, other.act, other.item, other.side)
    return told and same and other.confidence > fact.confidence


def without_ribs_of_a_fuselage(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a trestle "at rib eleven" stands under a wing: told once, and not of the fuselage."""
    return [f for f in facts if not (_under_a_rib(f) and any(_holds_same_rib(case, one, f) for one in facts))]


def _under_a_rib(fact: Fact) -> bool:
    at_rib = any(place.scheme == "rib" for place in fact.place or ())
    return fact.act == "support" and at_rib and (fact.item or "").endswith("fuselage")


def _holds_same_rib(case: Case, one: Fact, fact: Fact) -> bool:
    """Tell whether another support of the same sentence is at the ribs of a fact, and of no fuselage."""
    same = one is not fact and (one.act, one.status) == (fact.act, fact.status) and case.together(one, fact)
    return same and not _under_a_rib(one) and set(fact.place or ()) <= set(one.place or ())


def with_all_supports(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with each trestle under a part, what "she" stands on, and the gear that is gone.

    Where one is forgotten, nothing seems to hold the part up; gear that is gone holds nothing up.
    """
    aircraft = [fact for fact in _stands_on_gear(case.lexicon, case.pieces) if _may_be(case, fact)]
    found = [f for f in facts if f.act not in ("support", "lift") or not _beside_any(f, aircraft)]
    ends = [fact for fact in _ends_held_up(case.lexicon, case.pieces) if _may_be(case, fact)]
    found = [f for f in found if not (_is_put_under(f) and any(case.together(f, end) for end in ends))]
    found = [_put_under_her(fact) if _is_put_under(fact) else fact for fact in found]
    found += [fact for fact in ends if not any(f.act == "support" and case.together(f, fact) for f in found)]
    told = {case.sentence(fact) for fact in found if fact.act in ("support", "lift")}
    found += _put_under(case, told, [*found, *aircraft])
    held_up = {(fact.item, fact.side) for fact in found if fact.act == "support"}
    for fact in [fact for fact in found if fact.act == "support" and fact.status == "done"]:
        more = _also_under(case.lexicon, case.pieces, fact)
        found += [by_rules_only(other) for other in more if (other.item, other.side) not in held_up]
    gone = [fact for fact in _gear_away(case.lexicon, case.pieces) if _may_be(case, fact)]
    found = [fact for fact in found if fact.act not in ("support", "move") or not _beside_any(fact, gone)]
    gone = [fact for fact in gone if not _beside_any(fact, [other for other in found if other.item == fact.item])]
    return [*found, *aircraft, *gone]


def _is_put_under(fact: Fact) -> bool:
    """Tell whether gear is told as put in: "the keel blocks are in" puts nothing into the aircraft."""
    return (fact.status, fact.act) == ("done", "fit") and fact.item in _UNDER_HER


def _put_under_her(fact: Fact) -> Fact:
    """Return gear that was put in as what holds up the aircraft."""
    why = (*fact.inferred, ("item", "the aircraft itself"))
    return fact.model_copy(update={"act": "support", "item": "fuselage", "inferred": why})


def _may_be(case: Case, fact: Fact) -> bool:
    return not any(within(fact.words, stretch) for stretch in case.rules.not_done)


def _beside_any(fact: Fact, others: Sequence[Fact]) -> bool:
    """Tell whether the same words tell a fact and one of some others."""
    return any(overlap(fact.words, other.words) for other in others)


def _put_under(case: Case, told: Collection[Span], beside: Sequence[Fact]) -> list[Fact]:
    """Return the trestles that the rules alone read as put under a part.

    Args:
        case: of the note.
        told: the sentences of which another support is told.
        beside: what else is told: the same words do not tell two pieces of work.
    """
    found: list[Fact] = []
    for fact in case.by_rules:
        if fact.act != "support" or fact.status != "done" or case.sentence(fact) in told:
            continue
        under = any(piece.low in _UNDER_IT and holds(fact.words, piece.start) for piece in case.pieces)
        if under and not _beside_any(fact, [other for other in (*beside, *found) if other.act]):
            found.append(by_rules_only(_on_its_own_side(case, fact)))
    return found


def _on_its_own_side(case: Case, fact: Fact) -> Fact:
    """Return a support without a side that is said after it: "under the fuselage, and one under the port wing"."""
    sides = [piece.start for piece in case.own_pieces(fact) if piece.kind == "side"]
    later = bool(sides) and min(sides) >= fact.words[1]
    return fact.model_copy(update={"side": None}) if later else fact


def _also_under(lexicon: Lexicon, pieces: Sequence[Piece], fact: Fact) -> Iterator[Fact]:
    """Yield the further supports of a sentence: "two trestles under the fuselage, and one under the port wing"."""
    under = [at for at, piece in enumerate(pieces) if piece.low in _UNDER_IT and piece.start >= fact.words[0]]
    for number, at in enumerate(under):
        before = pieces[under[number - 1] if number else 0 : at]
        if not number:
            continue
        if any(piece.ends_sentence or piece.kind in ("verb", "aux") for piece in before):
            return
        if not any(piece.kind == "number" or is_gear(lexicon, piece.sense("part")) for piece in before):
            continue
        step = at + 1
        while step < len(pieces) and (pieces[step].low in DETERMINERS or pieces[step].kind == "side"):
            step += 1
        side = next((piece.sense("sides") for piece in pieces[at:step] if piece.kind == "side"), None)
        item = _named(lexicon, pieces[step]) if step < len(pieces) else ""
        if item and (item, side) != (fact.item, fact.side):
            told = {"item": item, "side": side, "place": None, "count": None, "of": None, "doubts": ()}
            yield fact.model_copy(update=told | {"words": (pieces[at].start, pieces[step].end)})


def _named(lexicon: Lexicon, piece: Piece) -> str:
    return piece.sense("part") or lexicon.likeliest(piece.sense("short"))


def _gear_away(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[Fact]:
    """Yield the lifting gear that is said to be gone: "the hoist is away", "the trestle under the wing is out"."""
    for at, gear in enumerate(pieces):
        led = not at or pieces[at - 1].low in DETERMINERS | _ALL or pieces[at - 1].kind in _MAY_LEAD
        item = gear.sense("part") or _named_shortly(lexicon, pieces, at)
        if not led or not is_gear(lexicon, item) or only_if(pieces, at):
            continue
        be = at + 1
        if be < len(pieces) and pieces[be].low in _UNDER_IT:
            be += 1
            while be < len(pieces) and (
                pieces[be].kind in ("side", "thing", "place") or pieces[be].low in DETERMINERS | _ENDS.keys()
            ):
                be += 1
        last = _gone(pieces, be)
        if not last:
            continue
        sides = [piece.sense("sides") for piece in pieces[at:be] if piece.kind == "side"]
        places = tuple(place for piece in pieces[at:be] for place in piece.places)
        rule = "state: remove"
        told = {"status": "done", "act": "remove", "item": item, "side": sides[0] if sides else None}
        where = {"place": places or None, "words": (gear.start, pieces[last - 1].end)}
        yield Fact.model_validate(told | where | {"rule": rule, "confidence": confidence_of(rule, ())})


def _named_shortly(lexicon: Lexicon, pieces: Sequence[Piece], at: int) -> str:
    """Return what "the jack" is that is "away from" something: lifting gear, which alone is taken away so."""
    after = [piece.low for piece in pieces[at + 1 : at + 4]]
    gone = after[1:] in (["away", "from"], ["out", "from"])
    return lexicon.likeliest(pieces[at].sense("short")) if gone else ""


def _gone(pieces: Sequence[Piece], be: int) -> int:
    """Return the piece after "is away", "has come away" or "has gone back to the store", 0 where nothing is gone."""
    if be < len(pieces) and pieces[be].low == "went":
        return _put_back(pieces, be + 1)
    if be >= len(pieces) or pieces[be].kind != "aux" or pieces[be].low not in BE | HAVE:
        return 0
    at = be + 1
    while at < len(pieces) - 1 and (pieces[at].verb in ("come", "go") or pieces[at].low in _BROUGHT):
        at += 1
    if pieces[at - 1].verb == "go" and [piece.low for piece in pieces[at : at + 1]] == ["from"]:
        return 0 if any(piece.kind == "stow" for piece in pieces[at + 1 : at + 3]) else at
    back = at + 1 if at < len(pieces) and pieces[at].low in _AWAY else at
    came = any(piece.verb == "come" for piece in pieces[be:at])
    if not came and (after := _put_back(pieces, back)):
        return after
    ends = at + 1 >= len(pieces) or pieces[at + 1].kind == "mark" or pieces[at + 1].low in _AFTER_AWAY
    return at + 1 if at < len(pieces) and pieces[at].low in _AWAY and ends else 0


def _put_back(pieces: Sequence[Piece], at: int) -> int:
    """Return the piece after "back to the store" or "back on its hook" at a piece, 0 where there is none."""
    if at + 2 >= len(pieces) or pieces[at].low != "back" or pieces[at + 1].low not in _TO_ITS_PLACE:
        return 0
    place = at + 2
    while place < len(pieces) - 1 and pieces[place].low in DETERMINERS:
        place += 1
    nowhere = pieces[place].kind in ("thing", "side", "mark", "place", "verb") or pieces[place].low in _UNDER_IT
    return 0 if nowhere else place + 1


def _stands_on_gear(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[Fact]:
    """Yield that the aircraft stands where "she" is said to: "she's standing on her beaching trolley".

    "She" is no part, but an engine that was spoken of right before.
    """
    for at, piece in enumerate(pieces[:-3]):
        if piece.low != "she" or _engine_before(lexicon, pieces, at) or only_if(pieces, at):
            continue
        step = at + 1
        while step < len(pieces) and (pieces[step].low in BE | _STILL or pieces[step].verb in _STANDS):
            step += 1
        if step == at + 1 or step >= len(pieces) or pieces[step].low not in ("on", "in", "from"):
            continue
        step += 1
        while step < len(pieces) and (pieces[step].low in DETERMINERS or pieces[step].kind == "number"):
            step += 1
        if step < len(pieces) and is_gear(lexicon, _named(lexicon, pieces[step])):
            rule, why = "she stands: support", (("item", "the aircraft itself"),)
            yield Fact(
                status="done", act="support", item="fuselage", words=(piece.start, pieces[step].end), rule=rule,
                inferred=why, confidence=confidence_of(rule, why),
            )  # fmt: skip


def _engine_before(lexicon: Lexicon, pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether the last part that was named is of an engine, of which people say "she" too."""
    named = (pieces[step].sense("part") for step in range(at - 1, -1, -1) if pieces[step].kind == "thing")
    kinds = (lexicon.part_kind.get(part) for part in named)
    return next((kind for kind in kinds if kind not in (None, "support-equipment")), None) == "powerplant"


def _ends_held_up(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[Fact]:
    """Yield the end of the fuselage that is held up: "a trestle under the tail", "the nose is on a jack"."""
    for at, end in enumerate(pieces):
        item = _ENDS.get(end.low, "") if end.kind == "word" else ""
        if not item or only_if(pieces, at):
            continue
        first = _led_to(pieces, at)
        gear_at = first - 1
        while gear_at > 0 and pieces[gear_at].low in _PUT_IN:
            gear_at -= 1
        under = first > 0 and pieces[first].low in _UNDER_IT and is_gear(lexicon, _named(lexicon, pieces[gear_at]))
        on = at + 1
        while on < len(pieces) and (pieces[on].low in BE | _STILL or pieces[on].verb in _STANDS):
            on += 1
        gear = on + 1
        while gear < len(pieces) and (pieces[gear].low in DETERMINERS or pieces[gear].kind == "number"):
            gear += 1
        stands = gear < len(pieces) and (pieces[on].low == "onto" or (on > at + 1 and pieces[on].low in ("on", "in")))
        if not under and not (stands and is_gear(lexicon, _named(lexicon, pieces[gear]))):
            continue
        words = (pieces[gear_at].start, end.end) if under else (end.start, pieces[gear].end)
        rule = "state: support"
        after = pieces[gear + 1 : gear + 3] if not under else pieces[at + 1 : at + 3]
        places = after[-1].places if len(after) > 1 and after[0].low == "at" else ()
        yield Fact(
            status="done", act="support", item=item, words=words, rule=rule, confidence=confidence_of(rule, ()),
            place=places or None,
        )  # fmt: skip


def _led_to(pieces: Sequence[Piece], at: int) -> int:
    """Return the piece before the "the" that leads to a noun."""
    first = at - 1
    while first > 0 and pieces[first].low in DETERMINERS:
        first -= 1
    return max(first, 0)


def with_what_was_let_down(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what the rules alone read as taken off what held it up: else the support never ends."""
    told = {(fact.act, fact.item) for fact in facts}
    found = list(facts)
    for fact in case.by_rules:
        off = any(overlap(fact.words, stretch) for stretch in case.rules.let_down)
        if fact.act == "lower" and off and (fact.act, fact.item) not in told:
            found.append(by_rules_only(fact))
    return found
