"""Numbers that were told wrong before: "it was eleven bolts on the port wing joint, not twelve"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.laws.counts import ON_FASTENERS
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import BE, Piece
from pipeline.reading.spans import Span, holds

_IT = word_set("it that there they those")
_SAID = word_set("say put write count tell")
_US = word_set("i we you he she they 've had")
_ONLY = word_set("only actually just really in fact")


class _PutRight(NamedTuple):
    """The number that is right, the one that was wrong, and the sentence that says so."""

    right: int
    wrong: int
    sentence: Span


def with_numbers_put_right(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what a number is that was told wrong before: in that fact, else as a fact of its own.

    What was told wrong may be of another day: so many fasteners of the part were undone.
    """
    found = list(facts)
    for one in (*_put_right(case), *_said_wrong(case)):
        of, held = _of_what(case, one.sentence)
        told = [n for n, f in enumerate(found) if f.act in ON_FASTENERS and f.words[0] < one.sentence[1]]
        wrong = [n for n in told if found[n].count == one.wrong and held in (None, found[n].item)]
        if wrong:
            why = (*found[wrong[-1]].inferred, ("count", "put right by the speaker"))
            found[wrong[-1]] = found[wrong[-1]].model_copy(update={"count": one.right, "inferred": why})
        elif of and held and not any(holds(one.sentence, f.words[0]) and f.act for f in found):
            own = {"item": held, "side": _side(case, one.sentence), "count": one.right, "of": of}
            found.append(by_law("number put right: undo", (), status="done", act="undo", **own, words=one.sentence))
    return found


def _put_right(case: Case) -> Iterator[_PutRight]:
    """Yield each "it was eleven, not twelve"."""
    pieces = case.pieces
    for at in range(3, len(pieces) - 1):
        wrong = pieces[at + 1].whole
        if pieces[at].low != "not" or not wrong or not _ends(pieces, at + 2):
            continue
        sentence = case.rules.sentence(pieces[at].start)
        numbers = [n for n in range(at) if holds(sentence, pieces[n].start) and pieces[n].whole]
        right = pieces[numbers[-1]].whole if numbers and _is_told(pieces, numbers[-1]) else None
        if right and right != wrong:
            yield _PutRight(right, wrong, sentence)


def _said_wrong(case: Case) -> Iterator[_PutRight]:
    """Yield each "I said fourteen screws, it was fifteen"."""
    pieces = case.pieces
    for at, piece in enumerate(pieces[:-3]):
        wrong = next((n for n in range(at + 1, min(len(pieces), at + 3)) if pieces[n].whole), None)
        if piece.verb not in _SAID or pieces[at - 1].low not in _US or wrong is None:
            continue
        start = case.rules.sentence(piece.start)[0]
        end = case.rules.sentence(case.rules.sentence(piece.start)[1])[1]
        after = [n for n in range(wrong + 1, len(pieces)) if pieces[n].start < end and pieces[n].whole]
        if after and _is_told(pieces, after[0]) and pieces[after[0]].whole != pieces[wrong].whole:
            right = pieces[after[0]]
            yield _PutRight(right.whole or 0, pieces[wrong].whole or 0, (start, right.end))


def _ends(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether nothing more is said from a piece on but a noun that is counted."""
    if at < len(pieces) and pieces[at].sense("counted"):
        at += 1
    return at >= len(pieces) or pieces[at].kind == "mark" or pieces[at].low == "on"


def _is_told(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "it was" leads to a number: "it was only eleven", "there were eleven"."""
    step = at - 1
    while step > 0 and pieces[step].low in _ONLY:
        step -= 1
    return step > 0 and pieces[step].low in BE and pieces[step - 1].low in _IT


def _of_what(case: Case, sentence: Span) -> tuple[str, str | None]:
    """Return the fasteners that a sentence names, else the next one does, and the part that they hold."""
    phrases = _phrases(case, sentence)
    following = _phrases(case, case.rules.sentence(sentence[1]))
    counted = (p.counted for p in (*phrases, *following) if p.counted in case.lexicon.fasteners)
    held = (part for p in phrases if (part := p.holder or ("" if p.fastener else case.part_of(p))))
    return next(counted, ""), next(held, None)


def _phrases(case: Case, sentence: Span) -> list[Phrase]:
    own = [at for at, piece in enumerate(case.pieces) if holds(sentence, piece.start)]
    return find_phrases(case.lexicon, case.pieces, own[0], own[-1] + 1) if own else []


def _side(case: Case, sentence: Span) -> str | None:
    """Return the one side that a sentence says, None where it says none or both."""
    said = {p.sense("sides") for p in case.pieces if holds(sentence, p.start) and p.kind == "side"}
    return said.pop() if len(said) == 1 else None
