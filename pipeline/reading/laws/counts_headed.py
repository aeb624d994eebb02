"""Numbers told of a heading or out of a whole: "hinge pins: two in, two to go", "twelve nuts of the sixteen"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import PARTICIPLE, word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.laws.counts import noun_of, number_of
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import Span, holds

_OFF = word_set("off out undone away removed")
_ON = word_set("in on back up fitted")
_REST = (("to", "go"), ("to", "come"), ("to", "do"), ("to", "find"), ("left",), ("outstanding",), ("more",))
_THEM = DETERMINERS | word_set("them those")
_PARTED = word_set("undo remove fit separate disconnect connect tighten")
_AGAIN = word_set("another more again further then")


class _Told(NamedTuple):
    """So many that are off or on, or still to come (``rest``), and where that stands."""

    number: int
    off: bool | None
    rest: bool
    words: Span


def by_their_heading(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what is told of a heading in numbers alone: "cowling bolts: nine out, three to go"."""
    found = list(facts)
    for head, told in _headed(case):
        words = (told[0].words[0], told[-1].words[1])
        found = [f for f in found if not (f.act in _PARTED and _begins_in(case, head, words, f))]
        off = told[0].off
        for one in told:
            found.append(_fact(case, head, one, bool(off if one.off is None else one.off)))
    return found


def _begins_in(case: Case, head: Phrase, words: Span, fact: Fact) -> bool:
    return holds((case.pieces[head.first].start, words[1]), fact.words[0])


def _fact(case: Case, head: Phrase, one: _Told, off: bool) -> Fact:
    item = case.part_of(head)
    act = ("undo" if head.fastener else "remove") if off else "fit"
    return by_law(
        f"headed: {act}",
        status="planned" if one.rest else "done",
        act=act,
        item=item,
        side=head.side or None,
        place=head.places or None,
        count=one.number,
        of=head.counted or item,
        words=one.words,
    )


def _headed(case: Case) -> Iterator[tuple[Phrase, list[_Told]]]:
    """Yield each heading of a plural noun with the numbers that are told of it, one after the other."""
    pieces, first = case.pieces, 0
    for at, piece in enumerate(pieces):
        if not (piece.ends_sentence or at + 1 == len(pieces)):
            continue
        last = at if piece.ends_sentence else at + 1
        head = _head(case, first, last)
        told = list(_numbers(pieces, head.last, last)) if head is not None else []
        if head is not None and told and not told[0].rest:
            yield head, told
        first = at + 1


def _head(case: Case, first: int, last: int) -> Phrase | None:
    """Return the plural noun with which a sentence opens, up to a mark; None where it opens otherwise."""
    phrases = find_phrases(case.lexicon, case.pieces, first, last)
    head = phrases[0] if phrases else None
    if head is None or not head.named or not head.plural or head.count is not None or head.last >= last:
        return None
    led = all(piece.low in DETERMINERS for piece in case.pieces[first : head.first])
    return head if led and case.pieces[head.last].kind == "mark" else None


def _numbers(pieces: Sequence[Piece], at: int, last: int) -> Iterator[_Told]:
    """Yield what is told in numbers from a mark on, up to where anything else is told."""
    while at < last:
        while at < last and (pieces[at].kind == "mark" or pieces[at].low in ("and", "but", "with", "now", "still")):
            at += 1
        if at >= last:
            break
        one, at = _number(pieces, at, last)
        if one is None:
            return
        yield one


def _number(pieces: Sequence[Piece], at: int, last: int) -> tuple[_Told | None, int]:
    """Return what is told by a number, with the piece after it: "nine out", "nine of twelve out", "three to go"."""
    number, start = _whole(pieces[at]), pieces[at].start
    step = at + 1
    if step < last and pieces[step].low == "of":
        step += 1
        while step < last and (pieces[step].low in _THEM or pieces[step].kind == "number"):
            step += 1
        if step + 1 < last and pieces[step].low == ",":  # "ten of them, in"
            step += 1
    while step < last and pieces[step].low in ("are", "still", "now", "is"):
        step += 1
    inches = next((n for n in (at, step) if n < last and pieces[n].low.endswith(" in")), None)
    if inches is not None:
        step = inches  # "two in" of pins, which looks like two inches
    if number is None or step >= last:
        return None, at
    rest = next((words for words in _REST if tuple(p.low for p in pieces[step : step + len(words)]) == words), ())
    after = step + (len(rest) or 1)
    ends = after >= last or pieces[after].kind == "mark" or pieces[after].low in ("and", "but")
    low = pieces[step].low.split()[-1]
    if not ends or not (rest or low in _OFF | _ON):
        return None, at
    words = (start, pieces[after - 1].end)
    return _Told(number, None if rest else low in _OFF, bool(rest), words), after


def _whole(piece: Piece) -> int | None:
    """Return the whole number of "nine", of "one" that stands alone, and of "two in"."""
    inches = next((one.value for one in piece.measures if piece.low.endswith(" in")), None)
    return int(inches) if inches is not None and inches == int(inches) else number_of(piece)


def so_many_of_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the part and not the whole where both are told: "twelve nuts of the sixteen are off"."""
    found = list(facts)
    for part, whole, of, start in _of_whole(case.pieces):
        sentence = case.rules.sentence(start)
        own = [n for n, f in enumerate(found) if f.act in _PARTED and case.sentence(f) == sentence]
        own = [n for n in own if found[n].status == "done" and found[n].words[1] > start]
        for n in own[:1]:
            if (found[n].count, found[n].of) in ((None, None), (whole, of), (whole, found[n].item)):
                found[n] = found[n].model_copy(update={"count": part, "of": of})
    return found


def _tells_off_or_on(piece: Piece) -> bool:
    return piece.low in _OFF | _ON or (piece.kind == "verb" and PARTICIPLE in piece.forms)


def _of_whole(pieces: Sequence[Piece]) -> Iterator[tuple[int, int, str, int]]:
    """Yield each "twelve nuts of the sixteen", "sixteen nuts, twelve undone".

    That is the part, the whole, of what they are, and where it begins.
    """
    for at in range(len(pieces) - 4):
        number, noun, of = pieces[at : at + 3]
        only = at + 3 if pieces[at + 3].low in ("only", "just") else at + 2  # "six bolts, only four torqued"
        some, told = pieces[only + 1 : only + 3] if only + 2 < len(pieces) else pieces[at + 3 : at + 5]
        if number.whole and noun_of(noun) and of.low == "," and some.whole and _tells_off_or_on(told):
            if some.whole < number.whole:
                yield some.whole, number.whole, noun_of(noun), number.start
            continue
        step = at + 4 if pieces[at + 3].low in DETERMINERS else at + 3
        whole = pieces[step].whole if step < len(pieces) else None
        ends = step + 1 >= len(pieces) or pieces[step + 1].kind != "thing"
        if number.whole and noun_of(noun) and of.low == "of" and whole and ends and number.whole <= whole:
            yield number.whole, whole, noun_of(noun), number.start


def counted_once(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, one where a sentence tells the very same twice: "fitted it, eight screws; eight are in"."""
    found: list[Fact] = []
    for fact in facts:
        own = case.own_pieces(fact)
        again = {piece.low for piece in own} & _AGAIN or [piece.whole for piece in own].count(fact.count) > 1
        same = [f for f in found if _told(f) == _told(fact) and case.together(f, fact)]
        if not (same and fact.act in _PARTED and fact.count is not None and not again):
            found.append(fact)
    return found


def _told(fact: Fact) -> tuple[object, ...]:
    return (fact.status, fact.act, fact.item, fact.side, fact.count, fact.of, fact.place, fact.measure, fact.tag)
