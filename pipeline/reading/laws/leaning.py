"""What is told by leaning on what was told before: "oil lines the same", "but the fin, yes", "the rest tomorrow"."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import ING, word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import MODALS, WEEKDAYS, Piece
from pipeline.reading.spans import Span, holds, overlap

_SAME = (["the", "same"], ["likewise"], ["ditto"], ["same"], ["same", "again"])
_AFTER_ALL = (["yes"], ["i", "did"], ["we", "did"], ["i", "have"], ["we", "have"], ["it", "is"], ["is"])
_KEPT = ("store", "bag", "held-by", "support")  # of one part alone
_AHEAD = MODALS - word_set("could") | word_set("if going to next later they")
_ENDS_OF_PIPES = word_set("feed return supply delivery")
_IT_IS_OF = word_set("it that they we i so and , which")  # before "wants a new one": no other part's name
_UNSURE = word_set("if unless whether n't not never might may could would 'd said says")
_TOOK = word_set("wanted needed took")
_REST = word_set("rest others")
_DAYS = WEEKDAYS | {"tomorrow"}
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
        denied = _denied(found, (start, one.words[0]))
        if not denied:  # what the rules alone have of it is enough to lean on
            denied = [by_rules_only(fact) for fact in _denied(case.by_rules, (start, one.words[0]))][-1:]
            found += denied if denied and not _to_come(case, denied[-1], one.words[0]) else []
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


def _denied(facts: Sequence[Fact], words: Span) -> list[Fact]:
    return [fact for fact in facts if fact.status == "not-done" and holds(words, fact.words[0])]


def _to_come(case: Case, fact: Fact, until: int) -> bool:
    """Tell whether what is denied was still to come, or only supposed: "we won't have it off on Saturday, but"."""
    before = [piece for piece in case.own_pieces(fact) if piece.start < until]
    return any(piece.low in _AHEAD or (ING in piece.forms and piece.verb) for piece in before)


def _says(case: Case, fact: Fact, until: int) -> bool:
    """Tell whether the number of a fact is said in its sentence before a character."""
    return any(piece.whole == fact.count and piece.start < until for piece in case.own_pieces(fact))


def of_the_pipe_before(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where the oil pipes were named last, "no blank for the return" speaks of an oil pipe."""
    found: list[Fact] = []
    for fact in facts:
        lines = [p for p in case.pieces if p.sense("part").endswith("-line") and p.start < fact.words[1]]
        own = case.own_pieces(fact)
        ends = any(piece.kind == "word" and piece.low in _ENDS_OF_PIPES for piece in own)
        if ends and lines and (fact.item or "").endswith("-line") and not case.names_part_of(fact):
            item = lines[-1].sense("part")
            why = (*fact.inferred, ("item", "the pipes that were named before"))
            fact = fact if item == fact.item else fact.model_copy(update={"item": item, "inferred": why})
        found.append(fact)
    return found


def of_a_new_one(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; in "the hinge pin's worn on the rudder, we'll make a new one" it is a pin that is made."""
    found: list[Fact] = []
    for fact in facts:
        worn = [f for f in facts if f.finding and f.item in case.lexicon.fasteners and case.together(f, fact)]
        said = [piece.low for piece in case.own_pieces(fact) if piece.start >= fact.words[0]]
        if fact.act == "make" and worn and worn[-1].words[0] < fact.words[0] and said[1:4] == ["a", "new", "one"]:
            why = (*fact.inferred, ("item", "another of what was found faulty"))
            fact = fact.model_copy(update={"item": worn[-1].item, "side": None, "inferred": why})
        found.append(fact)
    return found


def with_a_new_one_owed(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the new part that "the tail wheel tyre's perished. It wants a new one" tells is owed."""
    found = list(facts)
    for words in _new_ones_wanted(case.pieces):
        own = case.rules.sentence(words[0])
        first = case.rules.sentence(max(0, own[0] - 1))[0]
        near = [fact for fact in found if first <= fact.words[0] < words[0]]
        faulty = near[-1] if near else None
        if faulty is None or not faulty.finding or faulty.absent or faulty.finding in case.lexicon.good:
            continue
        owed = (f for f in found if f.status == "planned" and f.words[1] > faulty.words[0])
        if faulty.item and not any(f.item == faulty.item or holds(own, f.words[0]) for f in owed):
            told = {"status": "planned", "act": "fit", "item": faulty.item, "side": faulty.side, "words": words}
            found.append(by_rules_only(by_law("needs: fit", (("item", "what was found faulty"),), **told)))
    return found


def _new_ones_wanted(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "it wants a new one" of which nothing makes a question or a condition."""
    for at, piece in enumerate(pieces[:-3]):
        if piece.verb not in ("need", "want") or [p.low for p in pieces[at + 1 : at + 4]] != ["a", "new", "one"]:
            continue
        first = max((n + 1 for n in range(at) if pieces[n].ends_sentence), default=0)
        ends = next((p.low for p in pieces[at:] if p.ends_sentence), ".")
        before = [p.low for p in pieces[first:at]]
        bare = [low for low in before if low not in ("'ll", "will", "really", "just", "still")][-1:]
        if ends != "?" and not _UNSURE.intersection(before) and (not bare or bare[0] in _IT_IS_OF):
            yield piece.start, pieces[at + 3].end


class _Fewer(NamedTuple):
    """So many of a part that came out, by these words, and how many went back; ``took``: "it only wanted two"."""

    item: str
    out: int
    back: int
    took: bool
    words: Span


def with_fewer_put_back(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with those of "three shims came out but it only wanted two going back"."""
    found = list(facts)
    for one in _fewer_back(case):
        sentence = case.rules.sentence(one.words[0])
        beside = [f for f in found if f.item == one.item and holds(sentence, f.words[0])]
        found = [_as_many_back(f, one) if f in beside and f.act == "fit" else f for f in found]
        undone = [f for f in beside if f.act == "undo" and f.count == one.out]  # of a part that has nothing to undo
        found = [f.model_copy(update={"act": "remove"}) if f in undone else f for f in found]
        if not undone and all(fact.act != "remove" for fact in beside):
            told = {"item": one.item, "side": beside[0].side if beside else None, "count": one.out, "of": one.item}
            came = by_law("state: remove", (), status="done", act="remove", words=one.words, **told)
            found.append(by_rules_only(came))
    return found


def _as_many_back(fact: Fact, one: _Fewer) -> Fact:
    done = {"status": "done", "doubts": ()} if one.took and fact.status == "planned" else {}
    return fact.model_copy(update={"count": one.back, "of": one.item} | done)


def _fewer_back(case: Case) -> Iterator[_Fewer]:
    """Yield each "three shims out ... only two going back" of one sentence; of fasteners other laws know."""
    pieces = case.pieces
    for number, part in pairwise(pieces):
        item = part.sense("part")
        if number.whole is None or not item or item in case.lexicon.fasteners:
            continue
        sentence = case.rules.sentence(number.start)
        own = [piece for piece in pieces if part.end <= piece.start and holds(sentence, piece.start)]
        lows = [piece.low for piece in own]
        if "out" not in lows[:3] or "only" not in lows or "back" not in lows[lows.index("only") :]:
            continue
        said = own[lows.index("only") : lows.index("back", lows.index("only"))]
        counts = [piece.whole for piece in said if piece.whole is not None]
        if len(counts) == 1 and counts[0] < number.whole and said[-1].verb == "go":
            took = any(piece.low in _TOOK for piece in said)
            yield _Fewer(item, number.whole, counts[0], took, (number.start, own[lows.index("out")].end))


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
