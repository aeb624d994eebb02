"""Fasteners that are counted beside the work on a part, and told of nothing: "the pipe is off, three nuts"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.counts import ON_FASTENERS, has_no_noun, noun_of
from pipeline.reading.laws.counts_headed import parts_of_wholes
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import holds

_OFF_OR_ON = word_set("remove fit open separate undo drill-out tighten")
_STATES = word_set("out off in on still each apiece")
_OFF_OR_BACK = word_set("on back in up off")
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
    wholes = {(whole, of, start) for _part, whole, of, start in parts_of_wholes(case.pieces)}
    for one in _counted(case):
        if (one.number, one.of, one.start) in wholes:
            continue  # "sixty-four screws, sixty-two went in"
        if any((fact.count, fact.of) == (one.number, one.of) for fact in found):
            continue
        sentence = case.rules.sentence(max(0, case.rules.sentence(one.start)[0] - 1) if one.opens else one.start)
        before = [n for n, fact in enumerate(found) if sentence[0] <= fact.words[0] < one.start]
        if before and (_lacks_number(found[before[-1]]) or _bags(found[before[-1]], one)):
            told = {"count": one.number, "of": one.of}
            found[before[-1]] = found[before[-1]].model_copy(update=told)
    return found


def with_counted_work(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the work on so many fasteners of a named part that only the rules read.

    "Undid the bolts on the port fin root, six of them": where nothing else of its sentence tells of that work.
    """
    found = list(facts)
    for fact in case.by_rules:
        plain = fact.rule.startswith("past: ") and fact.status == "done" and case.names_part_of(fact)
        counted = fact.count is not None and fact.of in case.lexicon.fasteners and fact.item is not None
        if not (plain and counted and fact.act in ON_FASTENERS) or any(_tells_it(case, f, fact) for f in found):
            continue
        found.append(by_rules_only(fact))
    return found


def _tells_it(case: Case, told: Fact, fact: Fact) -> bool:
    """Tell whether a fact tells of the same work, or of the same part or number, in the sentence of another."""
    if not case.together(told, fact):
        return False
    return told.act == fact.act or told.item == fact.item or (told.count, told.of) == (fact.count, fact.of)


def with_so_many_of_them(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with a number told at the end: "the screws are out, ninety of them", "about six"."""
    found = list(facts)
    for at in range(1, len(case.pieces)):
        number = case.pieces[at]
        if number.kind != "number" or not number.whole or not _is_of_them(case.pieces, at):
            continue
        sentence = case.rules.sentence(number.start)
        before = [p for p in case.pieces if sentence[0] <= p.start < number.start]
        fasteners = {of for p in before if p.plural and (of := p.sense("counted")) in case.lexicon.fasteners}
        if len(fasteners) != 1 or any(p.whole for p in before if p.kind == "number"):
            continue
        of = fasteners.pop()
        for n, fact in enumerate(found):
            own = fact.item == of or (_lacks_number(fact) and fact.act != "open")
            if own and fact.count is None and sentence[0] <= fact.words[0] < number.start:
                found[n] = fact.model_copy(update={"count": number.whole, "of": of})
    return found


def _is_of_them(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a number at a piece counts what was named before: "ninety of them"; at the end "all eight"."""
    after = [piece.low for piece in pieces[at + 1 : at + 3]]
    ends = at + 1 >= len(pieces) or pieces[at + 1].ends_sentence
    led = [piece.low for piece in pieces[max(0, at - 2) : at]]
    return after == ["of", "them"] or (ends and led[:1] == [","] and led[1] in _ROUGHLY - {","})


def _lacks_number(fact: Fact) -> bool:
    return fact.act in _OFF_OR_ON and fact.count is None and fact.status in ("done", "explained")


def _bags(fact: Fact, one: _Counted) -> bool:
    """Tell whether a fact only says that such fasteners are in a bag: "bag 13, spare nuts, nine"."""
    return fact.act == "bag" and fact.item == one.of and fact.count is None and not one.opens


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
        if not of and (of := _counted_alike(case, at)):
            yield _Counted(piece.whole, of, piece.start, False)


def _counted_alike(case: Case, at: int) -> str:
    """Return the fasteners of "on with twelve, two screws missing" for the number at a piece, "" for none."""
    pieces, sentence = case.pieces, case.rules.sentence(case.pieces[at].start)
    led = at > 1 and pieces[at - 1].low == "with" and pieces[at - 2].low in _OFF_OR_BACK
    if not led or at + 1 >= len(pieces) or pieces[at + 1].kind != "mark":
        return ""
    own = [n for n in range(at + 1, len(pieces) - 1) if holds(sentence, pieces[n].start) and pieces[n].whole]
    named = {noun_of(pieces[n + 1]) for n in own}
    return named.pop() if len(named) == 1 and named <= case.lexicon.fasteners else ""


def _fastener(case: Case, at: int) -> str:
    """Return the fastener that a piece names, "" where it names none."""
    of = case.pieces[at].sense("counted") if 0 <= at < len(case.pieces) else ""
    return of if of in case.lexicon.fasteners else ""


def _tells(piece: Piece) -> bool:
    return piece.kind in ("aux", "verb", "finding", "thing") or piece.low in _STATES
