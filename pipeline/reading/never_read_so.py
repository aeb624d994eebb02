"""What is easily read as what it is not: coming back, a crack that is mended, feet of torque, a float's new bolts."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import RULE, by_rules_only
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.nouns import only_where
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece
from pipeline.reading.reader import ReadByRule
from pipeline.reading.supports import only_if
from pipeline.reading.targets import ON_HOLDER

_TAKES_OFF = ("remove", "separate", "undo", "disconnect")
_MENDS = ("repair", "clean", "treat", "weld", "paint", "prime")
_NO_TORQUE = ("ft", "in", "m", "l", "gal", "h", "min")  # of what is tightened: "foot pounds" that was heard by half
NOT_NAMED = "the part was not named"  # a doubt
_NO_MORE = ("more", "longer", "anymore")
_CURED = ("cured", "stopped", "gone", "fixed", "cleared", "sorted")
_BY_NOW = ("been", "now", "all", "completely", "finally")
_AS_FAR = 10  # pieces from a finding to what was done to it


class _Mended(NamedTuple):
    finding: str
    start: int
    end: int
    cured: bool


def comes_back(pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield the characters (from, to) that tell that something comes back from elsewhere, off nothing."""
    for at, piece in enumerate(pieces):
        after = [one.low for one in pieces[at + 1 : at + 4]]
        if piece.verb == "come" and "back" in after[:2] and not {"off", "out", "apart"} & set(after):
            yield piece.start, pieces[at + 1 + after.index("back")].end


def put_right(lexicon: Lexicon, one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note without those that a way of speaking only seems to tell."""
    back = list(comes_back(one.pieces))
    mended = list(_mended(one.pieces))
    found: list[Fact] = []
    for fact in facts:
        start, end = fact.words
        returns = fact.act in _TAKES_OFF and any(first < end and start < last for first, last in back)
        gone = any(m.finding == fact.finding and m.start <= start < m.end for m in mended)
        if returns or (gone and not fact.measure and not fact.absent and _was_mended(one, facts, fact)):
            continue
        if fact.act == "store" and _only_where(lexicon, one, fact):
            continue
        if _placed_elsewhere(one, fact) and any(_told_surer(other, fact) for other in facts):
            continue
        if fact.finding and not fact.absent and any(m.cured and m.start <= start < m.end for m in mended):
            fact = fact.model_copy(update={"absent": True})
        fact = _gone_from(one, found, fact) if fact.absent and fact.item else _between(one, fact)
        found.append(_torqued(_in_one_range(_of_its_fasteners(lexicon, one.pieces, fact))))
    return [*found, *_cured(one, found, mended)]


def _cured(one: ReadByRule, found: Sequence[Fact], mended: Sequence[_Mended]) -> Iterator[Fact]:
    """Yield what the rules read as there and was forgotten, though its words say that it is gone."""
    told = {(fact.finding, one.sentence(fact.words[0])) for fact in found}
    for fact in one.note.facts:
        gone = any(m.cured and m.finding == fact.finding and m.start < fact.words[1] <= m.end for m in mended)
        if gone and fact.item and (fact.finding, one.sentence(fact.words[0])) not in told:
            yield by_rules_only(fact.model_copy(update={"absent": True}))


def _without_part(fact: Fact) -> Fact:
    told = {"item": None, "side": None, "inferred": (), "doubts": (*fact.doubts, NOT_NAMED)}
    return fact.model_copy(update=told)


def _between(one: ReadByRule, fact: Fact) -> Fact:
    """Return a finding between two ribs without a part: it is on neither of them."""
    range_of = any(place.scheme == fact.item and "-" in place.at for place in fact.place or ())
    if not fact.finding or not range_of:
        return fact
    sentence = one.sentence(fact.words[0])
    own = (f for f in one.note.facts if f.finding == fact.finding and one.sentence(f.words[0]) == sentence)
    return _without_part(fact) if any(other.item is None for other in own) else fact


def _in_one_range(fact: Fact) -> Fact:
    """Return a fact without the ends of a range beside it: "between frame eight and frame eleven" is one place."""
    ends = {(place.scheme, end) for place in fact.place or () if "-" in place.at for end in place.at.split("-")}
    places = tuple(place for place in fact.place or () if (place.scheme, place.at) not in ends)
    return fact if places == (fact.place or ()) else fact.model_copy(update={"place": places})


def _placed_elsewhere(one: ReadByRule, fact: Fact) -> bool:
    """Tell whether a support has its place from another sentence alone."""
    start, end = one.sentence(fact.words[0])
    said = {place for piece in one.pieces if start <= piece.start < end for place in piece.places}
    return fact.act == "support" and bool(fact.place) and not said & set(fact.place or ())


def _told_surer(other: Fact, fact: Fact) -> bool:
    """Tell whether the very same words tell the same more surely."""
    told = fact.rule != RULE and (fact.rule, fact.words) == (other.rule, other.words)
    same = (fact.status, fact.act, fact.item, fact.side) == (other.status, other.act, other.item, other.side)
    return told and same and other.confidence > fact.confidence


def _only_where(lexicon: Lexicon, one: ReadByRule, fact: Fact) -> bool:
    """Tell whether a fact stores lifting gear that is only where something stands: "it stands on the cradle"."""
    if lexicon.part_kind.get(fact.item or "") != "support-equipment":
        return False
    start, end = one.sentence(fact.words[0])
    things = [at for at, p in enumerate(one.pieces) if start <= p.start < end and p.kind == "thing"]
    own = [at for at in things if one.pieces[at].sense("part") == fact.item]
    return all(only_where(one.pieces, at, past_tags=("JJ",)) for at in own)


def _gone_from(one: ReadByRule, before: Sequence[Fact], fact: Fact) -> Fact:
    """Return what is no more there, of the part on which it was seen: "there's no oil leak any more"."""
    start, end = one.sentence(fact.words[0])
    since, _start = one.sentence(max(0, start - 1))
    own = [p for p in one.pieces if start <= p.start < end and p.kind == "thing"]
    seen = [f for f in before if f.finding == fact.finding and f.item and not f.absent and f.words[0] < start]
    if any(piece.sense("part") or piece.sense("short") for piece in own):
        return fact
    if not seen:
        near = any(since <= p.start < start and p.sense("part") == fact.item for p in one.pieces)
        known = any(start <= p.start < end and p.low in _NO_MORE for p in one.pieces)
        return fact if near or not known else _without_part(fact).model_copy(update={"place": None})
    if any(other.item == fact.item for other in seen):
        return fact
    why = tuple(pair for pair in fact.inferred if pair[0] not in ("item", "side"))
    told = {"item": seen[-1].item, "side": seen[-1].side, "place": None}
    return fact.model_copy(update=told | {"inferred": (*why, ("item", "where it was seen"))})


def _of_its_fasteners(lexicon: Lexicon, pieces: Sequence[Piece], fact: Fact) -> Fact:
    """Return a fact of "the bolts of the float", told of the bolts: they are new, and the float is not."""
    if fact.act not in ON_HOLDER or fact.item is None or fact.of not in (None, fact.item):
        return fact
    inside = [piece for piece in pieces if fact.words[0] <= piece.start < fact.words[1]]
    for at, piece in enumerate(inside[:-2]):
        fastener = piece.sense("counted") or piece.sense("part")
        if piece.kind != "thing" or fastener not in lexicon.fasteners or inside[at + 1].low != "of":
            continue
        step = at + 2
        while step < len(inside) - 1 and (inside[step].low in DETERMINERS or inside[step].kind == "side"):
            step += 1
        if inside[step].sense("part") == fact.item:
            return fact.model_copy(update={"of": fastener})
    return fact


def _mended(pieces: Sequence[Piece]) -> Iterator[_Mended]:
    """Yield each finding that is the subject of a passive: "the crack in the top cowling is stop drilled"."""
    for at, piece in enumerate(pieces):
        finding = piece.sense("finding-noun")
        if piece.kind != "finding" or not finding or not _is_known(pieces, at):
            continue
        for step in range(at + 1, min(at + _AS_FAR, len(pieces))):
            if pieces[step].kind in ("mark", "finding") or pieces[step].low in ("and", "but", "that", "which"):
                break
            if pieces[step].kind == "aux":
                if pieces[step].low in BE | HAVE:
                    cured = _is_cured(pieces, step + 1) and not only_if(pieces, at)
                    yield _Mended(finding, piece.start, pieces[step].end, cured)
                break


def _is_cured(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "cured" or "gone" comes next: not "not cured", "nearly gone", "to be fixed" or "being fixed"."""
    while at < len(pieces) and pieces[at].low in _BY_NOW:
        at += 1
    return at < len(pieces) and pieces[at].low in _CURED


def _is_known(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a finding is spoken of as one that is known: "the crack", "that small dent"."""
    step = at - 1
    while step >= 0 and pieces[step].tag in ("JJ", "NN") and pieces[step].kind in ("word", "grade"):
        step -= 1
    return step >= 0 and pieces[step].low in ("the", "that", "this", "those", "these", "both")


def _was_mended(one: ReadByRule, facts: Sequence[Fact], fact: Fact) -> bool:
    sentence = one.sentence(fact.words[0])
    return any(
        other.act in _MENDS
        and other.status == "done"
        and other.item == fact.item
        and other.words[1] > fact.words[0]
        and one.sentence(other.words[0]) == sentence
        for other in facts
    )


def _torqued(fact: Fact) -> Fact:
    """Return a fact, without a measure that nothing can be tightened to, and with a doubt that tells the figure."""
    if fact.act != "tighten" or not fact.measure:
        return fact
    wrong = [measure for measure in fact.measure if measure.unit in _NO_TORQUE]
    if not wrong:
        return fact
    kept = tuple(measure for measure in fact.measure if measure not in wrong)
    why = tuple(f"{measure.value:g} {measure.unit} is no torque: {measure.value:g} what?" for measure in wrong)
    return fact.model_copy(update={"measure": kept or None, "doubts": (*fact.doubts, *why)})
