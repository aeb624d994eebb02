"""One job after the other, told without the verb again: "rudder's off, three pins, bag 1. Fin, eight bolts"."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import Span, holds

_AGAIN = ("remove", "fit")
_ON_SEVERAL = ("inspect", "test", "measure", "photograph", "clean", "prime", "paint")
_PREPOSITIONS = word_set("on of for to in at")
_PLAIN_WORDS = word_set("and then too also as well the again with its in another")


def with_the_next_job(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a part with its fasteners and no verb was done to as the part of the sentence before was.

    The sentence before tells of fasteners too: the two are of one list.
    """
    found = list(facts)
    for sentence in list(case.sentences())[1:]:
        start, end = case.rules.sentence(case.pieces[sentence[0]].start)
        phrase = _part_alone(case, sentence)
        before = case.rules.sentence(max(0, start - 1))
        jobs = [f for f in found if f.act in _AGAIN and f.status == "done" and f.item and holds(before, f.words[0])]
        if phrase is None or len(jobs) != 1 or not _count(case, case.own_pieces(jobs[0])):
            continue
        own = [f for f in found if holds((start, end), f.words[0])]
        item, job = case.part_of(phrase), jobs[0]
        if item is None or (item, phrase.side) == (job.item, job.side) or any(f.act != "bag" for f in own):
            continue
        counted = _count(case, [case.pieces[at] for at in sentence])
        told = {"item": item, "side": phrase.side or None, "words": _words(case, phrase)} | counted
        why = (("act", "repeated from what was said before"),)
        found.append(by_law(f"repeated: {job.act}", why, status="done", act=job.act, **told))
    return found


def with_the_second_object(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with that of the trim in "we'll want an inspection on the elevator and on the trim"."""
    found = list(facts)
    for fact in facts:
        phrase = _joined_on(case, fact) if fact.act in _ON_SEVERAL and fact.item else None
        item = case.part_of(phrase) if phrase is not None else None
        if phrase is None or item is None or any(f.act == fact.act and f.item == item for f in found):
            continue
        told = {"item": item, "side": phrase.side or None, "words": _words(case, phrase)}
        found.append(by_law(fact.rule, fact.inferred, status=fact.status, act=fact.act, **told))
    return found


def _joined_on(case: Case, fact: Fact) -> Phrase | None:
    """Return the part in "and on the trim" right after the part of a fact, which the same preposition leads."""
    own = case.own(fact)
    named = [at for at in own if case.pieces[at].sense("part") == fact.item]
    if len(named) != 1 or named[0] + 3 > own[-1]:
        return None
    at = named[0]
    leads = {piece.low for piece in case.pieces[max(own[0], at - 3) : at]} & _PREPOSITIONS
    joined, preposition = case.pieces[at + 1], case.pieces[at + 2]
    if joined.low != "and" or preposition.low not in leads:
        return None
    after = find_phrases(case.lexicon, case.pieces, at + 3, own[-1])
    return after[0] if after and after[0].first <= at + 4 and (after[0].item or after[0].short) else None


def _words(case: Case, phrase: Phrase) -> Span:
    return case.pieces[phrase.first].start, case.pieces[phrase.last - 1].end


def _count(case: Case, own: Sequence[Piece]) -> dict[str, object]:
    """Return how many of which fasteners a sentence tells of first, as a fact has it; nothing where it tells none."""
    for at, piece in enumerate(own[:-1]):
        of = [p.sense("counted") for p in own[at + 1 : at + 3] if p.sense("counted") in case.lexicon.fasteners]
        if piece.whole is not None and of:
            return {"count": piece.whole, "of": of[0]}
    return {}


def _part_alone(case: Case, own: range) -> Phrase | None:
    """Return the part with which a sentence begins that names it, its fasteners and their bag, and says no verb."""
    if len(own) < 4:
        return None
    pieces = [case.pieces[at] for at in own]
    plain = ("thing", "side", "number", "mark", "stow", "tag")
    if any(piece.kind not in plain and piece.low not in _PLAIN_WORDS for piece in pieces) or pieces[-1].low == "?":
        return None
    named = find_phrases(case.lexicon, case.pieces, own[0], own[-1] + 1)
    first = named[0] if named else None
    if first is None or first.first > own[0] + 1 or not (first.item or first.short) or first.fastener:
        return None
    parts = [p for p in named if p.item or p.short]
    mark = case.pieces[first.last] if first.last < len(case.pieces) else None
    counted = bool(_count(case, pieces))
    return first if len(parts) == 1 and counted and mark is not None and mark.low in (",", ":") else None
