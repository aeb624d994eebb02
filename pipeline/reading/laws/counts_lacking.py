"""Fasteners that lack: "it's on, two bolts short", of which the number counts nothing that was done."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.laws.counts import noun_of, number_of
from pipeline.reading.pieces import DETERMINERS
from pipeline.reading.spans import Span, holds

_AFTER_SHORT = word_set("on at in of still so , . ; - and but though")
_OPEN = word_set("if might may could would should will 'll not n't never be once")
_WHERE = word_set("on at in")
_AS_FAR = 3  # pieces from "short" to the side that is said after it


class _Lacks(NamedTuple):
    """So many of what lack on a side, "" where none is said, and where that stands."""

    number: int
    of: str
    side: str
    words: Span


def with_what_it_is_short_of(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, none with the number of what lacks, and that as missing: "both are in, one bolt short"."""
    found = list(facts)
    for one in _lacks(case):
        sentence = case.rules.sentence(one.words[0])
        own = [n for n, f in enumerate(found) if holds(sentence, f.words[0])]
        for n in own:
            if found[n].act and (found[n].count, found[n].of) == (one.number, one.of):
                found[n] = found[n].model_copy(update={"count": None, "of": None, "about": None})
        lacks = [n for n in own if found[n].finding == "missing"]
        told = {piece.low for piece in case.pieces if holds((sentence[0], one.words[0]), piece.start)}
        barred = bool(told & _OPEN) or any(holds(span, one.words[0]) for span in case.rules.not_done)
        if lacks:
            found[lacks[0]] = found[lacks[0]].model_copy(update={"count": one.number, "of": one.of})
        elif not barred:
            found.append(_missing(one))
    return found


def _missing(one: _Lacks) -> Fact:
    seen = {"status": "seen", "finding": "missing", "item": one.of, "side": one.side or None}
    return by_law("short of: missing", (), **seen, count=one.number, of=one.of, words=one.words)


def _lacks(case: Case) -> Iterator[_Lacks]:
    """Yield each "one bolt short", "two screws short on the left"; not "two bolts short and two long"."""
    pieces = case.pieces
    for at in range(2, len(pieces)):
        number, of = number_of(pieces[at - 2]), noun_of(pieces[at - 1])
        after = pieces[at + 1 : at + 2]
        ends = not after or after[0].low in _AFTER_SHORT
        if pieces[at].low != "short" or not number or of not in case.lexicon.fasteners or not ends:
            continue
        if after and after[0].low == "and" and any(p.low == "long" for p in pieces[at + 1 : at + 6]):
            continue
        side, step = "", at + 1
        while step < min(len(pieces), at + 1 + _AS_FAR) and (
            pieces[step].low in _WHERE or pieces[step].low in DETERMINERS
        ):
            step += 1
        if step > at + 1 and step < len(pieces):
            side = pieces[step].sense("sides")
        yield _Lacks(number, of, side, (pieces[at - 2].start, pieces[at].end))
