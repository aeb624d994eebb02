"""What a bag holds: the fasteners beside a part, not the part; and what comes out of a bag is undone nowhere."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import PARTING, Case
from pipeline.reading.laws.counts import number_of
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.slots import emptied
from pipeline.reading.spans import holds

_FILLED = ("fit", "connect", "close")
_LOOSENED = ("undo", "drill-out", "remove", "bag", "store")
_BEFALLS = word_set("got now been all a bit badly")
_THEY = word_set("they those")
_IT = word_set("it that")
_INSIDE = word_set("in into through")
_NEAR = 3  # pieces from "they" to "back in"
_INTO = word_set("in into inside all now")
_OFF = word_set("out off undone removed away")
_OF_EACH = word_set("each apiece") | {"a side", "each side", "per side", "either side"}
_BEFORE_BAG = _INTO | DETERMINERS | _OFF | _OF_EACH | word_set("they are 're have 've gone went put and tin box jar")


class _Counted(NamedTuple):
    """So many fasteners, in characters of the text from ``start`` to ``end``."""

    number: int
    of: str
    start: int
    end: int


def without_what_an_empty_bag_keeps(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without what is kept in a store that is only said to be empty, or to be emptied."""
    return [fact for fact in facts if not _kept_in_none(case.pieces, fact)]


def without_what_befell_a_bag(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without a finding that is told of a bag or a box: "bag 35 has split", "box 4's broken".

    Nothing is put away in it by these words either.
    """
    spoilt = [_spoilt_store(case.pieces, at) for at, piece in enumerate(case.pieces) if piece.kind == "finding"]
    opening = [piece for piece in spoilt if piece is not None and _opens(case, piece)]
    return [
        fact
        for fact in facts
        if not (fact.finding and _is_of_a_store(case, fact))
        and not (fact.act in ("bag", "store") and any(holds((one.start, one.end), fact.words[0]) for one in opening))
    ]


def _is_of_a_store(case: Case, fact: Fact) -> bool:
    pieces = case.pieces
    at = next((n for n, p in enumerate(pieces) if p.kind == "finding" and holds(fact.words, p.start)), 0)
    return bool(pieces) and _spoilt_store(pieces, at) is not None


def _spoilt_store(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the bag or box of which the finding at a piece is told, None where it is told of something else."""
    while at > 0 and (pieces[at].kind in ("finding", "aux") or pieces[at].low in _BEFALLS):
        at -= 1
    return pieces[at] if pieces[at].kind == "stow" and pieces[at].stow[0] in ("bag", "box") else None


def _opens(case: Case, piece: Piece) -> bool:
    """Tell whether a sentence begins with a piece: of that it speaks."""
    return case.rules.sentence(piece.start)[0] == piece.start


def _kept_in_none(pieces: Sequence[Piece], fact: Fact) -> bool:
    if fact.act not in ("store", "bag") or fact.stowage is None:
        return False
    kept = {(key, str(name).lower()) for key, name in fact.stowage.model_dump(exclude_none=True).items()}
    stores = [at for at, piece in enumerate(pieces) if piece.kind == "stow"]
    there = [at for at in stores if (pieces[at].stow[0], pieces[at].stow[1].lower()) in kept]
    return bool(there) and all(emptied(pieces, at) or taken_from(pieces, at) for at in there)


def bags_of_fasteners(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what is in a bag told of the fasteners that are in it.

    "The cowling is off, four screws, in bag 3" bags screws. "Six screws out of bag 3" undoes none: they are fitted,
    where something is said to be fitted.
    """
    taken = list(_out_of_bags(case.lexicon, case.pieces))
    found = [fact for fact in facts if not any(_loosens(fact, counted) for counted in taken)]
    found = [fact for fact in found if not any(_fits_another(case, fact, counted) for counted in taken)]
    for counted in taken:
        found = _with_what_was_put_in(case, found, counted)
    return _of_fasteners(case, found)


def taken_from(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether something comes from the store at a piece: "out of bag three", "from the bag three"."""
    step = at - 1
    while step > 0 and pieces[step].low in DETERMINERS:
        step -= 1
    return step >= 0 and (
        pieces[step].low == "from" or (step > 0 and [p.low for p in pieces[step - 1 : step + 1]] == ["out", "of"])
    )


def _out_of_bags(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[_Counted]:
    """Yield what is said to come out of a bag with its number."""
    for at, piece in enumerate(pieces):
        if piece.kind != "stow" or not taken_from(pieces, at):
            continue
        noun = at - 1
        while noun > 0 and (pieces[noun].low in ("from", "out", "of") or pieces[noun].low in DETERMINERS):
            noun -= 1
        number = pieces[noun - 1].whole if noun else None
        of = _fastener(lexicon, pieces[noun])
        if of and number is not None:
            yield _Counted(number, of, pieces[noun - 1].start, piece.end)


def _fastener(lexicon: Lexicon, piece: Piece) -> str:
    """Return the fasteners that a piece names, "" where it names none."""
    names = (piece.sense("counted"), piece.sense("part"))
    return next((name for name in names if piece.kind == "thing" and name in lexicon.fasteners), "")


def without_what_stays_in_its_hole(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the door's off, three pins, and they're back in the hinges" fits no door again."""
    return [fact for fact in facts if not (fact.act == "fit" and _stays_in_its_hole(case, facts, fact))]


def _stays_in_its_hole(case: Case, facts: Sequence[Fact], fact: Fact) -> bool:
    """Tell whether only the fasteners of what its sentence took off are put back, each where it was."""
    parted = [f for f in facts if f.act in PARTING and case.together(f, fact) and f.words[0] < fact.words[0]]
    if not any((f.item, f.side) == (fact.item, fact.side) for f in parted):
        return False
    pieces = [piece for piece in case.own_pieces(fact) if piece.start < fact.words[1]]
    back = max((n for n, p in enumerate(pieces) if p.low.split()[0] == "back"), default=0)
    after = case.own_pieces(fact)[back : back + 2]
    things = [piece for piece in pieces[:back] if piece.kind == "thing"]
    if not things or not _fastener(case.lexicon, things[-1]) or not _INSIDE.intersection(after[-1].low.split()):
        return False
    led = pieces[max(0, back - _NEAR) : back]
    they = _THEY if things[-1].plural else _IT
    return things[-1] in led or any(piece.low in they for piece in led)


def _loosens(fact: Fact, counted: _Counted) -> bool:
    of = counted.of in (fact.of, fact.item)
    return of and fact.act in _LOOSENED and holds((counted.start, counted.end), fact.words[0])


def _fits_another(case: Case, fact: Fact, counted: _Counted) -> bool:
    """Tell whether a fact fits what its sentence does not name: "six screws out of bag three went back into it"."""
    same = case.sentence(fact) == case.rules.sentence(counted.start)
    return same and fact.act == "fit" and fact.words[0] >= counted.end and not case.names_part_of(fact)


def _with_what_was_put_in(case: Case, facts: Sequence[Fact], counted: _Counted) -> list[Fact]:
    """Return the facts, with that so many were fitted, beside the only part that the sentence says was fitted.

    Of "both jacks are on, two bolts each out of bag 3" the jacks are both, and what is counted are bolts.
    """
    sentence = case.rules.sentence(counted.start)
    fitted = [f for f in facts if f.act in _FILLED and f.status == "done" and case.sentence(f) == sentence]
    fitted = [fact for fact in fitted if case.names_part_of(fact)]
    if len({(fact.item, fact.side) for fact in fitted}) != 1 or any(fact.of == counted.of for fact in fitted):
        return list(facts)
    told = {"act": "fit", "count": counted.number, "of": counted.of, "words": (counted.start, counted.end)}
    added = fitted[0].model_copy(update=told | {"measure": None, "tag": None, "about": None})
    both = [fact for fact in fitted if fact.side == "both" and fact.of == fact.item]
    return [f.model_copy(update={"count": None, "of": None}) if f in both else f for f in facts] + [added]


def _of_fasteners(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the fasteners in the bag in place of the part that was named before them."""
    fasteners = case.lexicon.fasteners
    found: list[Fact] = []
    for fact in facts:
        counted = _beside_bag(case, fact) if fact.act in ("bag", "store") and fact.item else None
        if counted is None:
            bagged = fact.act == "bag" and fact.item not in fasteners and not case.names_part_of(fact)
            if not (bagged and any(other.item in fasteners and _same_bag(case, other, fact) for other in facts)):
                found.append(fact)
        elif fact.item in fasteners:
            lacking = fact.item == counted.of and fact.count is None
            told = {"count": counted.number, "of": counted.of} if lacking else {}
            found.append(fact.model_copy(update=told))
        elif not any(other.item in fasteners and _same_bag(case, other, fact) for other in facts):
            told = {"item": counted.of, "count": counted.number, "of": counted.of}
            settled = tuple(one for one in fact.doubts if counted.of not in one)  # "it may be bolt instead"
            why = (("item", "the fasteners just named"),)
            found.append(fact.model_copy(update=told | {"inferred": why, "doubts": settled}))
    return found


def _same_bag(case: Case, other: Fact, fact: Fact) -> bool:
    return (other.act, other.stowage) == (fact.act, fact.stowage) and case.together(other, fact)


def _beside_bag(case: Case, fact: Fact) -> _Counted | None:
    """Return the fasteners that stand between commas right before the bag of a fact: "off, four screws, in bag 3".

    In a box they are meant where "they" are in it: "the seat's out, ten screws, they're in box 4".
    """
    for at in case.own(fact):
        if case.pieces[at].kind != "stow" or not fact.stowage:
            continue
        key, name = case.pieces[at].stow
        if getattr(fact.stowage, key, None) != name:
            continue
        counted, they = _counted_before(case, at)
        if counted is not None and (fact.act != "store" or they):
            return counted
    return None


def _counted_before(case: Case, at: int) -> tuple[_Counted | None, bool]:
    """Return the fasteners that stand after a mark right before a store, and whether "they" are in it."""
    pieces, noun, they = case.pieces, at - 1, False
    while noun > 1 and (pieces[noun].kind == "mark" or pieces[noun].low in _BEFORE_BAG):
        they = they or pieces[noun].low == "they"
        noun -= 1
    of, number = _fastener(case.lexicon, pieces[noun]), number_of(pieces[noun - 1])
    first = noun < 2 or pieces[noun - 2].ends_sentence
    apart = (pieces[at - 1].low == "," or pieces[at - 1].ends_sentence) if first else pieces[noun - 2].low == ","
    if not of or number is None or not (noun and apart):
        return None, they
    return _Counted(number, of, pieces[noun - 1].start, pieces[noun].end), they


def with_bags_told_shortly(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the fasteners of "rudder's off, three pins, bag 3" in the bag of which no fact tells."""
    found = list(facts)
    for at, piece in enumerate(case.pieces):
        key, name = piece.stow if piece.kind == "stow" else ("", "")
        if key != "bag" or emptied(case.pieces, at) or taken_from(case.pieces, at):
            continue
        same = [f for f in found if case.sentence(f) == case.rules.sentence(piece.start)]
        own = [fact for fact in same if fact.words[0] < piece.start]
        told = any(f.stowage is not None and f.stowage.bag == name for f in same)
        counted = _counted_before(case, at)[0] or _told_before(case, own, at)
        done = [f for f in own if f.act in ("remove", "undo") and f.status == "done" and f.count == _number(counted)]
        if counted is not None and done and not told:
            rule, words = "kept there: bag", (counted.start, piece.end)
            said = {"status": "done", "act": "bag", "item": counted.of, "count": counted.number, "of": counted.of}
            kept = {"stowage": Stowage(bag=name), "words": words, "rule": rule}
            found.append(Fact.model_validate(said | kept | {"confidence": confidence_of(rule, ())}))
    return found


def told_of_a_bag_once(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each bag with so many of the same once, unless their number is said again."""
    found: list[Fact] = []
    for fact in facts:
        if not any(_is_same_bag(one, fact) and not _said_twice(case, one, fact) for one in found):
            found.append(fact)
    return found


def _is_same_bag(one: Fact, other: Fact) -> bool:
    """Tell whether two facts put so many of the same fasteners into one bag."""
    if not (one.act == other.act == "bag" and one.count and one.stowage and other.stowage and one.stowage.bag):
        return False
    same = (one.item, one.side, one.count) == (other.item, other.side, other.count)
    return same and one.stowage.bag == other.stowage.bag


def _said_twice(case: Case, one: Fact, other: Fact) -> bool:
    """Tell whether the number of two facts is said more than once where they are told."""
    start, end = case.sentence(one)[0], case.sentence(other)[1]
    return [number_of(piece) for piece in case.pieces if start <= piece.start < end].count(one.count) > 1


def _told_before(case: Case, own: Sequence[Fact], at: int) -> _Counted | None:
    """Return the only fasteners that a sentence undoes, where the bag stands alone after a comma: "…, bag seven"."""
    pieces = case.pieces
    alone = at > 0 and pieces[at - 1].low == "," and (at + 1 == len(pieces) or pieces[at + 1].kind == "mark")
    undone = [f for f in own if f.act == "undo" and f.of in case.lexicon.fasteners and f.count]
    if not alone or len(undone) != 1 or undone[0].count is None or undone[0].of is None:
        return None
    return _Counted(undone[0].count, undone[0].of, pieces[at].start, pieces[at].end)


def _number(counted: _Counted | None) -> int | None:
    return counted.number if counted is not None else None
