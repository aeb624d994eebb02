"""What is told by leaning on what was told before: "oil lines the same", "but the fin, yes", "the rest tomorrow"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import ING, word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import MODALS, Piece
from pipeline.reading.spans import Span, holds, overlap

_SAME = (["the", "same"], ["likewise"], ["ditto"], ["same"], ["same", "again"])
_AFTER_ALL = (["yes"], ["i", "did"], ["we", "did"], ["i", "have"], ["we", "have"], ["it", "is"], ["is"])
_KEPT = ("store", "bag", "held-by", "support")  # of one part alone
_AHEAD = MODALS - word_set("could") | word_set("if going to next later they")
_REST = word_set("rest others")
_DAYS = word_set("monday tuesday wednesday thursday friday saturday sunday tomorrow")
_WHEN = _DAYS | word_set("on next week weekend time for this after lunch morning afternoon then later another day")
_LATER = _DAYS | word_set("next later another")


class _Leaning(NamedTuple):
    """A part that leans on what was told before: its phrase, and the characters from it to what is said of it."""

    phrase: Phrase
    words: Span


def with_the_same(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with those of "fuel line disconnected and capped, both oil lines the same"."""
    found = list(facts)
    for one in _named_with(case, _SAME):
        start, _end = case.rules.sentence(one.words[0])
        before = [f for f in found if start <= f.words[0] and f.words[1] <= one.words[0]]
        worked = [f for f in before if f.status == "done" and f.item == before[-1].item and _may_be_again(f)]
        item = case.part_of(one.phrase)
        if worked and item:
            found = [f for f in found if not (f.act and f.item == item and overlap(f.words, one.words))]
            found += [_again(case, fact, one) for fact in worked]
    return found


def _may_be_again(fact: Fact) -> bool:
    """Tell whether work may be told of a second part too: no bag and no number on a tag is that of two parts."""
    return fact.act not in _KEPT and fact.tag is None and fact.act is not None


def with_what_was_after_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with those of "we haven't had the rudder off, but the elevator, yes"."""
    found = list(facts)
    for one in _named_with(case, _AFTER_ALL):
        lead = case.pieces[max(0, one.phrase.first - 3) : one.phrase.first]
        if not any(piece.low == "but" for piece in lead):
            continue
        start, _end = case.rules.sentence(one.words[0])
        denied = [f for f in found if f.status == "not-done" and start <= f.words[0] < one.words[0]]
        if not denied or _to_come(case, denied[-1], one.words[0]):
            continue
        last, done = denied[-1], _again(case, denied[-1], one)
        if last.count is not None and not _says(case, last, one.words[0]):
            done = done.model_copy(update={"count": last.count, "of": last.of})
            found[found.index(last)] = last.model_copy(update={"count": None, "of": None})
        same = [f for f in found if (f.act, f.item, f.side) == (done.act, done.item, done.side)]
        found = [f for f in found if f not in same or f.status != "not-done"]
        found += [] if any(f.status == "done" for f in same) else [done]
    return found


def _to_come(case: Case, fact: Fact, until: int) -> bool:
    """Tell whether what is denied was still to come, or only supposed: "we won't have it off on Saturday, but"."""
    before = [piece for piece in case.own_pieces(fact) if piece.start < until]
    return any(piece.low in _AHEAD or (ING in piece.forms and piece.verb) for piece in before)


def _says(case: Case, fact: Fact, until: int) -> bool:
    """Tell whether the number of a fact is said in its sentence before a character."""
    return any(piece.whole == fact.count and piece.start < until for piece in case.own_pieces(fact))


def with_the_rest(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with those of "I've checked three of the pulleys. The rest tomorrow."."""
    found = list(facts)
    for words, count in _rests(case.pieces):
        start, end = case.rules.sentence(words[0])
        before = [f for f in found if f.words[0] < words[0] and f.act]
        near = before[-1] if before else None
        if near is None or near.status != "done" or not _may_be_again(near) or not _counted(case, near):
            continue
        own = [f for f in found if f.status == "planned" and holds((start, end), f.words[0])]
        if own:
            put_right = [f for f in own if count and (f.act, f.item) == (near.act, near.item) and f.of == near.of]
            found = [f.model_copy(update={"count": count}) if f in put_right else f for f in found]
            continue
        if case.since_sentence_before(near)[1] < case.rules.sentence(max(0, start - 1))[0]:
            continue
        of = {"count": count, "of": near.of} if count else {}
        planned = {"status": "planned", "act": near.act, "item": near.item, "side": near.side, "words": words}
        found.append(by_law("repeated: will", (("act", "repeated from what was said before"),), **planned, **of))
    return found


def _counted(case: Case, fact: Fact) -> bool:
    """Tell whether the sentence of a fact tells of how many it was done."""
    return fact.count is not None or any(piece.kind == "number" for piece in case.own_pieces(fact))


def _again(case: Case, fact: Fact, one: _Leaning) -> Fact:
    """Return a fact once more as done, of the part that leans on it."""
    item, phrase = case.part_of(one.phrase) or fact.item, one.phrase
    side = phrase.side or (fact.side if case.lexicon.zone_and_side(item or "")[1] else None)
    counted = {"count": phrase.count, "of": item} if (phrase.count or 0) > 1 else {}
    told = {"status": "done", "act": fact.act, "item": item, "side": side or None, "words": one.words}
    return by_law(f"repeated: {fact.act}", (("act", "repeated from what was said before"),), **told, **counted)


def _named_with(case: Case, said: Sequence[list[str]]) -> Iterator[_Leaning]:
    """Yield each part after a mark or "and" of which nothing more is said than one of some words."""
    pieces, known = case.pieces, set[int]()
    for first in range(1, len(pieces)):
        before = pieces[first - 1]
        if before.kind != "mark" and before.low not in ("and", "but"):
            continue
        ends = next((at for at in range(first, len(pieces)) if pieces[at].ends_sentence), len(pieces))
        named = [p for p in find_phrases(case.lexicon, pieces, first, ends)[:1] if p.item or p.short or _is_one(p)]
        verbs = any(piece.kind == "verb" for piece in pieces[first : named[0].last]) if named else True
        if verbs or named[0].prep or named[0].fastener:
            continue
        last, words = named[0].last, list[str]()
        for at in range(named[0].last, ends):
            if pieces[at].kind == "mark" and (words or pieces[at].low != ","):
                break
            last = at + 1
            words += [pieces[at].low] if pieces[at].low not in (",", "'s", "are", "too", "again") or words else []
        if words in said and named[0].first - first < 2 and named[0].first not in known:
            known.add(named[0].first)
            yield _Leaning(named[0], (pieces[first].start, pieces[last - 1].end))


def _is_one(phrase: Phrase) -> bool:
    return phrase.stands_for in ("one", "side") and bool(phrase.side)


def _rests(pieces: Sequence[Piece]) -> Iterator[tuple[Span, int | None]]:
    """Yield the characters of each sentence that is only "the rest tomorrow" or "the other two on Saturday"."""
    starts = [0, *(at + 1 for at, piece in enumerate(pieces) if piece.ends_sentence)]
    for first in starts:
        ends = next((at for at in range(first, len(pieces)) if pieces[at].kind == "mark"), len(pieces))
        own = [piece for piece in pieces[first:ends] if piece.low != "and"]
        lows = [piece.low for piece in own]
        if len(own) < 3 or lows[0] != "the":
            continue
        number = own[2].whole if lows[1] in ("other", "remaining", "last") else None
        after = lows[2:] if lows[1] in _REST else lows[3:] if number else []
        if after and set(after) <= _WHEN and set(after) & _LATER:
            yield (own[0].start, own[-1].end), number
