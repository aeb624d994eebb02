"""What was tried and would not come: "had a go at the bolt, couldn't shift it" is not lost."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import holds

_REFUSES = word_set("budge shift")  # "wouldn't move" may be said of a control that was tried out
_UNMOVED = word_set("budge shift move free")
_WILL = word_set("would wo will did")
_CAN = word_set("could ca can")
_GOING = word_set("budging shifting moving coming")
_TAIL = word_set("it them that those at all though yet off out free loose an inch for us me and but so even now")
_WHICH = word_set("first second third fourth fifth sixth seventh eighth ninth tenth last other others rest")
_UNSURE = word_set("if till until unless might may when you supposed")


def with_what_would_not_come(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with that a part or its fasteners did not come, where nothing near tells so."""
    found = list(facts)
    for at in _refusals(case.pieces):
        start, end = case.rules.sentence(case.pieces[at].start)
        before = case.rules.sentence(max(0, start - 1))[0]
        near = [fact for fact in found if holds((before, end), fact.words[0])]
        if not any(fact.status == "not-done" or fact.finding == "seized" for fact in near):
            found += _not_come(case, before, at)
    return found


def _refusals(pieces: Sequence[Piece]) -> Iterator[int]:
    """Yield where each "couldn't shift it", "won't budge" or "it's not for moving" ends."""
    for at, piece in enumerate(pieces):
        lows = [one.low for one in pieces[max(0, at - 2) : at]]
        denied = lows[-1:] in (["n't"], ["not"])
        refused = piece.low.split()[-1] == "budge" and piece.kind == "finding"
        refused = refused or (denied and piece.low in _REFUSES and lows[0] in _WILL)
        refused = refused or (denied and piece.low in _UNMOVED and lows[0] in _CAN)
        refused = refused or (lows == ["not", "for"] and piece.low in _GOING)
        refused = refused or (lows[-1:] in (["would"], ["wo"], ["did"]) and _one_of_them(pieces, at))
        follows = pieces[at + 1] if at + 1 < len(pieces) else None
        if refused and (follows is None or follows.kind == "mark" or follows.low in _TAIL):
            yield at


def _one_of_them(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "the third wouldn't", "the last one didn't" or "the other two won't" ends at a piece."""
    ends = at + 1 >= len(pieces) or pieces[at + 1].kind == "mark"
    step = at - 2
    while step > 0 and (pieces[step].low in ("one", "ones") or pieces[step].kind == "number"):
        step -= 1
    return pieces[at].low in ("n't", "not") and ends and step >= 0 and pieces[step].low in _WHICH


def _not_come(case: Case, since: int, at: int) -> Iterator[Fact]:
    """Yield that what was named last before a piece did not come."""
    pieces = case.pieces
    first = next(step for step, piece in enumerate(pieces) if piece.start >= since)
    if {piece.low for piece in pieces[first : at + 1]} & _UNSURE:
        return
    named = [phrase for phrase in find_phrases(case.lexicon, pieces, first, at + 1) if phrase.named]
    if not named:
        return
    held = named[-1] if not named[-1].fastener else _held(named)
    fastener = next((phrase for phrase in named[-2:] if phrase.fastener), None)
    item = case.part_of(held) if held is not None else None
    if not (item or fastener):
        return
    counted = {"count": fastener.count, "of": fastener.counted} if fastener and fastener.count else {}
    side = next((phrase.side for phrase in (fastener, held) if phrase is not None and phrase.side), None)
    words = (pieces[named[-1].first].start, pieces[at].end)
    told = {"status": "not-done", "act": "undo" if fastener else "remove", "item": item, "side": side, "words": words}
    yield by_law("could not: remove", (("item", "what was named last before"),), **told, **counted)


def _held(named: Sequence[Phrase]) -> Phrase | None:
    """Return the phrase of what the fasteners named last hold: their own, which names it, or the one before."""
    last = named[-1]
    if last.holder or last.holder_short:
        return last
    return next((phrase for phrase in reversed(named[:-1]) if not phrase.fastener), None)
