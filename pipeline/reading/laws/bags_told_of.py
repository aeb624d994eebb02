"""Bags of what was told of just before: "three pins a side, six in bag 2", "two pins, same bag"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.forms import word_set
from pipeline.reading.laws.bags import taken_from
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.laws.counts import number_of
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece
from pipeline.reading.slots import emptied
from pipeline.reading.spans import Span, holds, overlap

_LEADS_TO_BAG = word_set("in into the a bag bags , made it went all of them put and both now safely")
_THEY = word_set("they those these them")
_OVER = word_set("left over spare , and so -")
_GONE = BE | HAVE | word_set("all both now in into gone went safely")
_AS_WELL = word_set("as well too again also , .")
_LOOSENED = ("undo", "drill-out", "remove")


class _Bag(NamedTuple):
    """A bag by its name, how many are said to be in it (None: not said), and where that stands."""

    name: str
    number: int | None
    words: Span


def of_those_told_before(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the fasteners that were just told of in the bag that is named after them."""
    found = list(facts)
    pieces = case.pieces
    for bag in (
        *_with_number(pieces),
        *_and_its_number(pieces),
        *_the_same(pieces),
        *_they(pieces),
        *_after_comma(pieces),
    ):
        if any(overlap(bag.words, span) for span in (*case.rules.not_done, *case.rules.supposed)):
            continue  # "are they in bag seven?"
        own = case.rules.sentence(bag.words[0])
        told = [n for n, f in enumerate(found) if holds(own, f.words[0]) and _is_in_bag(f, bag.name)]
        if not told and not any(pieces[at].stow[1] == bag.name and pieces[at].start < own[0] for at in _bags(pieces)):
            told = [n for n, f in enumerate(found) if _is_in_bag(f, bag.name)]
        parts = [n for n in told if bag.number and _is_carried_part(case, found[n])]
        bagged = list(_bagged(case, found, bag)) if not told or len(told) == len(parts) == 1 else []
        bagless = [n for n, f in enumerate(found) if holds(own, f.words[0]) and _is_bagless(f, bagged)]
        if bagless:  # "fourteen screws again, same bag"
            found[bagless[0]] = found[bagless[0]].model_copy(update={"stowage": bagged[0].stowage})
        elif bagged:  # "three clips each, nine in bag 2" bags clips, not what they held
            found = [fact for n, fact in enumerate(found) if n not in parts] + bagged
        elif bag.number and len(told) == 1 and _lacks_number(case, found[told[0]], bag):
            counted = {"count": bag.number, "of": found[told[0]].item}
            found[told[0]] = found[told[0]].model_copy(update=counted)
    return found


def _is_carried_part(case: Case, fact: Fact) -> bool:
    """Tell whether a fact is of a part, no fastener, which its sentence does not name."""
    return fact.item not in case.lexicon.fasteners and not case.names_part_of(fact)


def _is_bagless(fact: Fact, bagged: Sequence[Fact]) -> bool:
    """Tell whether a fact bags the same in no bag that is named."""
    same = any((one.item, one.side or fact.side) == (fact.item, fact.side) for one in bagged)
    return same and fact.act == "bag" and fact.stowage is None and fact.status == "done"


def _is_in_bag(fact: Fact, name: str) -> bool:
    return fact.stowage is not None and fact.stowage.bag == name


def _lacks_number(case: Case, fact: Fact, bag: _Bag) -> bool:
    """Tell whether a fact of fasteners in a bag has no number that was said of it, or has that of all of them."""
    inside = [piece.whole for piece in case.pieces if holds(bag.words, piece.start)]
    of_all = fact.count is not None and fact.count != bag.number and fact.count in inside  # "four of the eight"
    said = fact.count is not None and any(piece.whole == fact.count for piece in case.own_pieces(fact)) and not of_all
    return fact.act == "bag" and not said and fact.item in case.lexicon.fasteners


def _bagged(case: Case, facts: Sequence[Fact], bag: _Bag) -> Iterator[Fact]:
    """Yield the fasteners that were last told of before a bag as what is in it, where they were taken out."""
    start, _end = case.rules.sentence(bag.words[0])
    earlier = case.rules.sentence(max(0, start - 1))[0]
    loosened = [f for f in facts if holds((earlier, bag.words[0]), f.words[0]) and f.act in _LOOSENED]
    own = [f for f in loosened if f.words[0] >= start]
    named = {of: f for f in own or loosened if (of := _fasteners_of(case, f, (start, bag.words[0])))}
    if not loosened and bag.number and (of := _only_ones_named(case, (earlier, bag.words[0]))):
        told = {"status": "done", "act": "bag", "item": of, "count": bag.number, "of": of}
        yield by_law("kept there: bag", (), **told, stowage=Stowage(bag=bag.name), words=bag.words)
    if not named or (own and len(named) > 1):
        return
    of, last = list(named.items())[-1]
    counted = {"count": bag.number, "of": of} if bag.number else {}
    told = {"status": "done", "act": "bag", "item": of, "side": last.side, "stowage": Stowage(bag=bag.name)}
    if last.status == "done":
        yield by_law("kept there: bag", (("item", "the fasteners just named"),), **told, **counted, words=bag.words)


def _fasteners_of(case: Case, fact: Fact, since: Span) -> str:
    """Return the fasteners that a fact undid, or the only ones named in a span where it begins; "" where none are."""
    if fact.of in case.lexicon.fasteners:
        return str(fact.of)
    return _only_ones_named(case, since) if holds(since, fact.words[0]) else ""


def _only_ones_named(case: Case, span: Span) -> str:
    """Return the only fasteners that are named in a span, "" where there are none or several."""
    named = {p.sense("counted") for p in case.pieces if holds(span, p.start)} & case.lexicon.fasteners
    return named.pop() if len(named) == 1 else ""


def with_all_that_are_listed(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with all fasteners of "six nuts, six washers, bag 21" in the bag, each with its number."""
    found = list(facts)
    for at in _bags(case.pieces):
        name, own = case.pieces[at].stow[1], case.rules.sentence(case.pieces[at].start)
        told = {f.item: n for n, f in enumerate(found) if holds(own, f.words[0]) and _is_in(f, name)}
        listed = list(_listed_before(case, at))
        bagged = [told[of] for of, _number, _words in listed if of in told]
        if not bagged or len(listed) < 2:
            continue
        for of, number, words in listed:
            counted = {"count": number, "of": of}
            if of not in told:
                found.append(found[bagged[0]].model_copy(update=counted | {"item": of, "words": words}))
            elif found[told[of]].count is None:
                found[told[of]] = found[told[of]].model_copy(update=counted)
    return found


def with_fasteners_that_are_kept(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with fasteners of which only the rules read where they are: "the hinge pins are in bag 3"."""
    found = list(facts)
    for fact in case.by_rules:
        kept = fact.act in ("bag", "store") and fact.status == "done" and fact.stowage is not None
        if not kept or fact.item not in case.lexicon.fasteners or not fact.rule.startswith("kept there"):
            continue
        if any(f.stowage == fact.stowage and case.together(f, fact) for f in found):
            continue
        if not any(case.pieces[at].kind == "stow" and taken_from(case.pieces, at) for at in case.own(fact)):
            found.append(by_rules_only(fact))
    return found


def as_it_was_before(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is in the bag of "same again, bag 41" are fasteners, as in the bag before.

    What is told of a pallet or a rack beside it is the part itself.
    """
    found: list[Fact] = []
    for fact in facts:
        before = next((f for f in reversed(found) if f.act == "bag" and f.item in case.lexicon.fasteners), None)
        same = any(piece.low == "same" and piece.start < fact.words[1] for piece in case.own_pieces(fact))
        bag = fact.stowage.bag if fact.stowage is not None and fact.act in ("bag", "store") else None
        if before is None or bag is None or not same or fact.item in case.lexicon.fasteners or fact.count:
            found.append(fact)
            continue
        why = (*fact.inferred, ("item", "as in the bag before"))
        bagged = {"act": "bag", "item": before.item, "stowage": Stowage(bag=bag), "inferred": why}
        found.append(fact.model_copy(update=bagged))
        elsewhere = fact.stowage.model_copy(update={"bag": None}) if fact.stowage is not None else Stowage()
        if elsewhere != Stowage():
            found.append(fact.model_copy(update={"act": "store", "stowage": elsewhere}))
    return found


def with_what_follows_its_bag(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what is named right after its bag: "bag 3 is the screws, bag 4 the two pins"."""
    found, pieces = list(facts), case.pieces
    for at in _bags(pieces):
        if at + 3 >= len(pieces) or pieces[at + 1].low not in ("the", "its"):
            continue
        number, of = pieces[at + 2].whole, pieces[at + 3].sense("counted")
        own, name = case.rules.sentence(pieces[at].start), pieces[at].stow[1]
        told = [n for n, f in enumerate(found) if holds(own, f.words[0]) and f.stowage and f.stowage.bag == name]
        if not number or of not in case.lexicon.fasteners:
            continue
        if not told:
            words = (pieces[at].start, pieces[at + 3].end)
            said = {"status": "done", "act": "bag", "item": of, "count": number, "of": of}
            found.append(by_law("kept there: bag", (), **said, stowage=Stowage(bag=name), words=words))
        elif len(told) == 1 and (found[told[0]].count, found[told[0]].of) == (number, of):  # no part that they hold
            found[told[0]] = found[told[0]].model_copy(update={"item": of})
    return found


def with_the_part_beside_its_bag(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the part of "leg off, same again, bag 41, pallet two" put where no fact tells of."""
    found, pieces = list(facts), case.pieces
    for at in range(2, len(pieces)):
        beside = [pieces[at - 2].kind, pieces[at - 1].low, pieces[at].kind] == ["stow", ",", "stow"]
        if not beside or pieces[at - 2].stow[0] != "bag" or pieces[at].stow[0] in ("bag", "box"):
            continue
        key, name = pieces[at].stow
        own = [f for f in found if holds(case.rules.sentence(pieces[at].start), f.words[0])]
        off = [f for f in own if f.act == "remove" and f.status == "done" and f.item]
        told = any(f.stowage is not None and getattr(f.stowage, key) == name for f in own)
        if len(off) == 1 and not told:
            what = {"status": "done", "act": "store", "item": off[0].item, "side": off[0].side}
            words, stowage = (pieces[at].start, pieces[at].end), Stowage.model_validate({key: name})
            found.append(
                by_law("kept there: store", (("item", "just taken off"),), **what, stowage=stowage, words=words)
            )
    return found


def _is_in(fact: Fact, name: str) -> bool:
    return fact.act == "bag" and fact.stowage is not None and fact.stowage.bag == name


def _listed_before(case: Case, at: int) -> Iterator[tuple[str, int, Span]]:
    """Yield the counted fasteners of a list that ends before the bag at a piece, the last first."""
    pieces, step = case.pieces, at - 1
    while step > 0:
        while (
            step > 0 and (pieces[step].low in _LEADS_TO_BAG or pieces[step].low in _GONE) and not pieces[step].number
        ):
            step -= 1
        of = pieces[step].sense("counted") or pieces[step].sense("part")
        number = number_of(pieces[step - 1]) if step else None
        if of not in case.lexicon.fasteners or number is None:
            return
        yield of, number, (pieces[step - 1].start, pieces[step].end)
        step -= 2
        if step < 0 or pieces[step].low not in (",", "and"):
            return


def _bags(pieces: Sequence[Piece]) -> Iterator[int]:
    """Yield which pieces name a bag."""
    return (at for at, piece in enumerate(pieces) if piece.stow[0] == "bag" and not emptied(pieces, at))


def _with_number(pieces: Sequence[Piece]) -> Iterator[_Bag]:
    """Yield each bag with a number that stands without its noun: "six in bag 2", "all eight, in bag 4"."""
    for at in _bags(pieces):
        step = at - 1
        while step > 0 and pieces[step].low in _LEADS_TO_BAG:
            step -= 1
        if step > 2 and pieces[step - 1].low in DETERMINERS and pieces[step - 2].low == "of":
            step -= 3  # "four of the eight in bag 26"
        number = pieces[step] if 0 <= step < at - 1 else None
        if number is not None and number.kind == "number" and number.whole:
            yield _Bag(pieces[at].stow[1], number.whole, (number.start, pieces[at].end))


def _and_its_number(pieces: Sequence[Piece]) -> Iterator[_Bag]:
    """Yield each bag with the number told right after it: "the others are in bag 18, seventeen of them"."""
    for at in _bags(pieces):
        number = pieces[at + 2] if at + 2 < len(pieces) and pieces[at + 1].low == "," else None
        several = pieces[at].low.split()[0].endswith("s")  # "bags 3, 4"
        if number is None or number.kind != "number" or not number.whole or several:
            continue
        after = [piece.low for piece in pieces[at + 3 : at + 5]]
        if not after or pieces[at + 3].ends_sentence or (after[0] == "of" and after[-1] in _THEY):
            yield _Bag(pieces[at].stow[1], number.whole, (pieces[at].start, number.end))


def _the_same(pieces: Sequence[Piece]) -> Iterator[_Bag]:
    """Yield the bag that was named before at each "same bag"."""
    for at in range(1, len(pieces)):
        if [pieces[at - 1].low, pieces[at].low] != ["same", "bag"]:
            continue
        named = [one for one in _bags(pieces) if one < at]
        if named:
            yield _Bag(pieces[named[-1]].stow[1], None, (pieces[at - 1].start, pieces[at].end))


def _they(pieces: Sequence[Piece]) -> Iterator[_Bag]:
    """Yield each bag of which only "they" are said to be in it."""
    for at in _bags(pieces):
        step = at - 1
        while step > 0 and pieces[step].low in _GONE:
            step -= 1
        if 0 <= step < at - 1 and pieces[step].low in _THEY:
            yield _Bag(pieces[at].stow[1], _left_over(pieces, step), (pieces[step].start, pieces[at].end))


def _left_over(pieces: Sequence[Piece], at: int) -> int | None:
    """Return the number of "two left over, those are in bag 9", where "those" stands at a piece; None for none."""
    step = at - 1
    while step > 0 and pieces[step].low in _OVER:
        step -= 1
    return pieces[step].whole if 0 <= step < at - 1 and pieces[step + 1].low != "," else None


def _after_comma(pieces: Sequence[Piece]) -> Iterator[_Bag]:
    """Yield each bag that stands between commas with nothing but "as well": "both pins out, bag nine as well"."""
    for at in _bags(pieces):
        after = at + 1
        while after < len(pieces) and pieces[after].low in _AS_WELL and not pieces[after - 1].ends_sentence:
            after += 1
        ends = after == len(pieces) or pieces[after - 1].kind == "mark"
        if at and pieces[at - 1].low == "," and ends:
            yield _Bag(pieces[at].stow[1], None, (pieces[at].start, pieces[at].end))
