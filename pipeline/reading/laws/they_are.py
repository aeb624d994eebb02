"""What "it" or "they" are, where a sentence before tells it: pipes that were still on are off, a cable was left."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import PARTING, Case, by_law
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.spans import Span, holds, overlap

_IT = word_set("it they them both that those")
_SOON = 6  # sentences
_ENDS_LEFT = word_set("till until for")
_WORK = ("remove", "undo", "disconnect", "connect", "fit", "tighten", "lock")


class _Left(NamedTuple):
    """A part that was left as it was: its phrase, what it is, the words, and where the sentences after it end."""

    phrase: Phrase
    item: str
    words: Span
    until: int


def off_that_were_still_on(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the two pipes of the pump are still on. Now I do it. They are off": the pipes, no pump.

    Where the rules alone read it of the pipes, it is not lost.
    """
    found: list[Fact] = []
    for fact in facts:
        still = _still_on(case, found, fact)
        found.append(fact if still is None or still.item == fact.item else _now_off(fact, still))
    for fact in case.by_rules:
        still = _still_on(case, found, fact) if case.breaks_after(fact) else None
        if still is None or still.item != fact.item or any(overlap(one.words, fact.words) for one in found):
            continue
        found.append(by_rules_only(_now_off(fact, still)))
    return found


def _now_off(fact: Fact, still: Fact) -> Fact:
    told = {"item": still.item, "side": still.side, "count": still.count, "of": still.of}
    return fact.model_copy(update=told | {"inferred": (("item", "what was still on before"),), "doubts": ()})


def _still_on(case: Case, before: Sequence[Fact], fact: Fact) -> Fact | None:
    """Return what was said to be still on a few sentences before, where "they" are told to be off, and no part."""
    own = case.own_pieces(fact) if fact.status == "done" and fact.act in PARTING else ()
    if not own or own[0].low not in _IT or any(p.sense("part") or p.sense("short") for p in own):
        return None
    near = [
        f for f in before if f.status == "not-done" and f.act == fact.act and _sentences_on(case, f, fact) < _SOON
    ]
    still = near[-1] if near else None
    return still if still and _says_still(case, still) else None


def _says_still(case: Case, fact: Fact) -> bool:
    return any(piece.low == "still" for piece in case.own_pieces(fact))


def _sentences_on(case: Case, one: Fact, other: Fact) -> int:
    """Return how many sentences one fact is after another."""
    return sum(one.words[0] < end <= other.words[0] for end in case.rules.ends)


def with_what_was_left(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "throttle rod's connected. Prop control cable I've left" leaves the cable unconnected.

    No "they're on" of the next sentences is told of the cable.
    """
    found = list(facts)
    for left in _left(case):
        worked = [f for f in found if f.status == "done" and f.act in _WORK and f.words[1] <= left.words[0]]
        own = [f for f in found if f.item == left.item and f.status == "not-done" and holds(left.words, f.words[0])]
        found = [f for f in found if not _told_of_it(case, f, left)]
        if worked and not own:
            told = {"item": left.item, "side": left.phrase.side or None, "words": left.words}
            why = (("act", "repeated from what was said before"),)
            found.append(by_law(f"not: {worked[-1].act}", why, status="not-done", act=worked[-1].act, **told))
    return found


def _told_of_it(case: Case, fact: Fact, left: _Left) -> bool:
    """Tell whether a fact is done to what was just left, and its sentence does not name it."""
    near = left.words[1] <= fact.words[0] < left.until
    return near and fact.status == "done" and fact.item == left.item and not case.names_part_of(fact)


def _left(case: Case) -> Iterator[_Left]:
    """Yield each part that "I've left", or "we've left till Sunday", with nothing more said of it."""
    pieces = case.pieces
    for at in range(2, len(pieces)):
        if (
            pieces[at].low != "left"
            or pieces[at - 1].low not in ("'ve", "have")
            or pieces[at - 2].low not in ("i", "we")
        ):
            continue
        after = pieces[at + 1] if at + 1 < len(pieces) else None
        first = max(n + 1 for n in range(-1, at) if n < 0 or pieces[n].kind == "mark")
        named = [p for p in find_phrases(case.lexicon, pieces, first, at - 2) if (p.item or p.short) and not p.prep]
        item = case.part_of(named[0]) if len(named) == 1 and named[0].last == at - 2 else None
        if item and (after is None or after.kind == "mark" or after.low in _ENDS_LEFT):
            ends = [end for end in case.rules.ends if end > pieces[at].end]
            yield _Left(named[0], item, (pieces[named[0].first].start, pieces[at].end), ends[:3][-1] if ends else 0)
