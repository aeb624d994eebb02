"""Fasteners that are counted beside the work on a part, and told of nothing: "the pipe is off, three nuts"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.counts import has_no_noun
from pipeline.reading.pieces import Piece

_OFF_OR_ON = word_set("remove fit open separate undo drill-out tighten")
_STATES = word_set("out off in on still each apiece")
_ROUGHLY = word_set(", about around roughly all some nearly")


class _Counted(NamedTuple):
    """So many of what, from a character on; ``opens`` says that its sentence begins with it."""

    number: int
    of: str
    start: int
    opens: bool


def with_fasteners_beside(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with the fasteners that are counted right behind it and that no fact tells of."""
    found = list(facts)
    for one in _counted(case):
        if any((fact.count, fact.of) == (one.number, one.of) for fact in found):
            continue
        sentence = case.rules.sentence(max(0, case.rules.sentence(one.start)[0] - 1) if one.opens else one.start)
        before = [n for n, fact in enumerate(found) if sentence[0] <= fact.words[0] < one.start]
        if before and _lacks_number(found[before[-1]]):
            told = {"count": one.number, "of": one.of}
            found[before[-1]] = found[before[-1]].model_copy(update=told)
    return found


def _lacks_number(fact: Fact) -> bool:
    return fact.act in _OFF_OR_ON and fact.count is None and fact.status in ("done", "explained")


def _counted(case: Case) -> Iterator[_Counted]:
    """Yield each number of fasteners with nothing told of them: "three nuts", "the rivets, about fifty"."""
    pieces = case.pieces
    for at, piece in enumerate(pieces):
        if not piece.whole or piece.kind != "number" or (at > 0 and pieces[at - 1].kind == "verb"):
            continue
        noun = at + 1
        while noun < len(pieces) and pieces[noun].tag == "JJ":
            noun += 1
        of = _fastener(case, noun)
        if of and (noun + 1 == len(pieces) or not _tells(pieces[noun + 1])):
            yield _Counted(piece.whole, of, piece.start, at == 0 or pieces[at - 1].ends_sentence)
        before = at - 1
        while before > 0 and pieces[before].low in _ROUGHLY:
            before -= 1
        if not of and has_no_noun(pieces, at) and pieces[before].plural and (of := _fastener(case, before)):
            yield _Counted(piece.whole, of, piece.start, False)


def _fastener(case: Case, at: int) -> str:
    """Return the fastener that a piece names, "" where it names none."""
    of = case.pieces[at].sense("counted") if 0 <= at < len(case.pieces) else ""
    return of if of in case.lexicon.fasteners else ""


def _tells(piece: Piece) -> bool:
    return piece.kind in ("aux", "verb", "finding", "thing") or piece.low in _STATES
