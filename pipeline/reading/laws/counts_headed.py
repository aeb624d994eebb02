"""Numbers told of a heading or out of a whole: "hinge pins: two in, two to go", "twelve nuts of the sixteen"."""

from collections.abc import Iterator, Mapping, Sequence
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
_COUNTED = word_set("undo remove fit separate disconnect connect")
_WORK = _COUNTED | {"tighten", "lock"}
_SO = word_set("so now and that 's is , then well right")
_AS_FAR = 4  # pieces from a number to the noun that it counts
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
        begins = case.pieces[head.first].start
        of_what = {"item": case.part_of(head), "side": head.side or None, "place": head.places or None}
        of = head.counted or of_what["item"]
        found = _with_all_told(found, begins, told, of_what, of, "undo" if head.fastener else "remove")
    return found


def of_those_before(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with a sentence that only counts what was told of before: "So two in, one to come."."""
    found = list(facts)
    for first, told in _counting_alone(case):
        begins = case.pieces[first].start
        before = case.rules.sentence(max(0, case.rules.sentence(begins)[0] - 1))[0]
        near = case.rules.sentence(max(0, before - 1))[0]
        earlier = [f for f in found if holds((near, begins), f.words[0]) and f.item and f.act]
        own = [piece.sense("counted") for piece in case.pieces if near <= piece.start < told[-1].words[1]]
        of = {one for one in own if one in case.lexicon.fasteners}
        if earlier and len(of) == 1:
            of_what = {"item": earlier[-1].item, "side": earlier[-1].side, "place": None}
            found = [_without_sum(fact, told) if fact in earlier else fact for fact in found]
            found = _with_all_told(found, begins, told, of_what, of.pop(), "undo")
    return found


def _without_sum(fact: Fact, told: Sequence[_Told]) -> Fact:
    """Return a fact without the number of all that are now told apart: "it's on, ten screws. Eight in, two to go"."""
    sums = fact.act == "fit" and not told[0].off and fact.count == sum(one.number for one in told)
    return fact.model_copy(update={"count": None, "of": None, "about": None}) if sums else fact


def _with_all_told(
    facts: Sequence[Fact], begins: int, told: Sequence[_Told], of_what: Mapping[str, object], of: object, parted: str
) -> list[Fact]:
    """Return the facts with all that is told in numbers, in place of what else is told there of parting."""
    found = [f for f in facts if not (f.act in _COUNTED and holds((begins, told[-1].words[1]), f.words[0]))]
    off = told[0].off
    for one in told:
        act = parted if (off if one.off is None else one.off) else "fit"
        status = "planned" if one.rest else "done"
        counted = {"count": one.number, "of": of, "words": one.words}
        found.append(by_law(f"headed: {act}", (), **of_what, **counted, status=status, act=act))
    return found


def _counting_alone(case: Case) -> Iterator[tuple[int, list[_Told]]]:
    """Yield where each sentence begins that tells two numbers or more and nothing else, with what it tells."""
    pieces = case.pieces
    for own in case.sentences():
        begins, last = own[0], _before_its_mark(pieces, own)
        while begins < last and pieces[begins].low in _SO:
            begins += 1
        told = list(_numbers(pieces, begins, last))
        asked = pieces[own[-1]].low == "?"
        if len(told) > 1 and not (told[0].rest or asked) and told[-1].words[1] == pieces[last - 1].end:
            yield own[0], told


def _headed(case: Case) -> Iterator[tuple[Phrase, list[_Told]]]:
    """Yield each heading of a plural noun with the numbers that are told of it, one after the other."""
    for own in case.sentences():
        last = _before_its_mark(case.pieces, own)
        head = _head(case, own[0], last)
        told = list(_numbers(case.pieces, head.last, last)) if head is not None else []
        if head is not None and told and not told[0].rest:
            yield head, told


def _before_its_mark(pieces: Sequence[Piece], sentence: range) -> int:
    """Return the piece that ends a sentence, or the one after it where no mark does."""
    return sentence[-1] + (not pieces[sentence[-1]].ends_sentence)


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
    if step < last and pieces[step].sense("counted"):
        step += 1  # "three bolts in, one to come"
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
    """Return the facts, with the part and not the whole where both are told: "twelve nuts of the sixteen are off".

    Where what comes before tells the whole of the same work, that is told once.
    """
    found = list(facts)
    for part, whole, of, start in parts_of_wholes(case.pieces):
        sentence = case.rules.sentence(start)
        own = [n for n, f in enumerate(found) if f.act in _WORK and case.sentence(f) == sentence]
        own = [n for n in own if found[n].status == "done" and found[n].words[1] > start]
        own = own or _counted_from(case, found, sentence, whole)
        for n in own[:1]:
            rest = whole - part  # "two of the six bolts are undone, the other four are still in"
            if found[n].count in (None, whole, rest, part) and found[n].of in (None, of, found[n].item):
                found[n] = found[n].model_copy(update={"count": part, "of": of})
                told = [f for f in found[:n] if _is_whole(case, f, found[n], whole)]
                found = [f for f in found if f not in told]
    return found


def _counted_from(case: Case, facts: Sequence[Fact], sentence: Span, whole: int) -> list[int]:
    """Return the fact of the sentence before of which one tells in numbers: "it's on. Six screws, five went in."."""
    since = case.rules.sentence(max(0, sentence[0] - 1))
    lows = {piece.low for piece in case.pieces if holds(sentence, piece.start)}
    acts = {"fit"} if lows & _ON else {"undo", "remove"} if lows & _OFF else set()
    told = [n for n, f in enumerate(facts) if f.status == "done" and f.act in acts and holds(since, f.words[0])]
    said = [piece.whole for piece in case.pieces if holds(since, piece.start)]
    return [n for n in told if facts[n].count in (None, whole) and whole not in said] if len(told) == 1 else []


def _is_whole(case: Case, fact: Fact, part: Fact, whole: int) -> bool:
    """Tell whether a fact is the same work as a part of it, with the whole, its number, unsaid there, or none."""
    same = all(getattr(fact, key) == getattr(part, key) for key in ("status", "act", "item", "side"))
    said = any(piece.whole == fact.count for piece in case.own_pieces(fact))
    of_it = fact.of in (part.of, part.item) and (fact.count == whole or (fact.count == part.count and not said))
    beside = fact.count is None and holds(case.since_sentence_before(part), fact.words[0])
    return same and (of_it or beside)


def _tells_off_or_on(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether what stands at a piece says that so many are off or on: "off", "undone", "went in"."""
    piece, after = pieces[at], pieces[at + 1].low if at + 1 < len(pieces) else ""
    goes = piece.verb in ("go", "come") and PARTICIPLE not in piece.forms and after in _OFF | _ON
    return goes or piece.low in _OFF | _ON or (piece.kind == "verb" and PARTICIPLE in piece.forms)


def parts_of_wholes(pieces: Sequence[Piece]) -> Iterator[tuple[int, int, str, int]]:
    """Yield each "twelve nuts of the sixteen", "five out of seven covers", "sixteen hinge nuts, twelve undone".

    That is the part, the whole, of what they are, and where it begins.
    """
    for at, piece in enumerate(pieces[:-3]):
        last = piece.low == "last" and pieces[at + 1].low == "of"  # "the last of the twelve screws is in"
        number = 1 if last else number_of(piece)
        if not number:
            continue
        noun = _noun_after(pieces, at + 1)
        if noun is None:
            yield from _out_of(pieces, at, number)
        elif pieces[noun + 1 :] and pieces[noun + 1].low == ",":
            yield from _some_of(pieces, noun, number, piece.start)
        elif pieces[noun + 1 :] and pieces[noun + 1].low == "of":
            step = noun + 3 if noun + 2 < len(pieces) and pieces[noun + 2].low in DETERMINERS else noun + 2
            whole = pieces[step].whole if step < len(pieces) else None
            ends = step + 1 >= len(pieces) or pieces[step + 1].kind != "thing"
            if whole and ends and number <= whole:
                yield number, whole, noun_of(pieces[noun]), piece.start


def _noun_after(pieces: Sequence[Piece], at: int) -> int | None:
    """Return which piece is the noun that a number before a piece counts: "eight bearer bolts", "ten new screws"."""
    last = None
    for step in range(at, min(len(pieces), at + _AS_FAR)):
        if pieces[step].kind == "thing" and noun_of(pieces[step]):
            last = step
        elif pieces[step].kind != "thing" and not pieces[step].tag.startswith("JJ"):
            break
    return last


def _some_of(pieces: Sequence[Piece], noun: int, whole: int, start: int) -> Iterator[tuple[int, int, str, int]]:
    """Yield "sixteen nuts, twelve undone", "six bolts, only four torqued", "eight bolts, six in"."""
    step = noun + 3 if noun + 2 < len(pieces) and pieces[noun + 2].low in ("only", "just") else noun + 2
    some = _whole(pieces[step]) if step < len(pieces) else None
    told = some is not None and (
        pieces[step].low.endswith(" in") or (step + 1 < len(pieces) and _tells_off_or_on(pieces, step + 1))
    )
    if some and told and some < whole:
        yield some, whole, noun_of(pieces[noun]), start


def _out_of(pieces: Sequence[Piece], at: int, part: int) -> Iterator[tuple[int, int, str, int]]:
    """Yield "five out of seven covers", "two of the six engine mount bolts" from the number at a piece."""
    step = at + 2 if pieces[at + 1].low == "out" else at + 1
    if pieces[step].low != "of":
        return
    step += 1
    while step < len(pieces) and pieces[step].low in DETERMINERS:
        step += 1
    whole = pieces[step].whole if step < len(pieces) else None
    noun = _noun_after(pieces, step + 1)
    if noun is None and (step + 1 >= len(pieces) or pieces[step + 1].ends_sentence):
        noun = _plural_before(pieces, at)  # "wire locked the turnbuckles, three of the four"
    if whole and noun is not None and part < whole:
        yield part, whole, noun_of(pieces[noun]), pieces[at if noun > at else _opening(pieces, at)].start


def _opening(pieces: Sequence[Piece], at: int) -> int:
    """Return the first piece of the sentence of a piece."""
    return next((step + 1 for step in range(at - 1, -1, -1) if pieces[step].ends_sentence), 0)


def _plural_before(pieces: Sequence[Piece], at: int) -> int | None:
    """Return which piece is the last plural noun before a number in its sentence; None where there is none."""
    for step in range(at - 1, -1, -1):
        if pieces[step].ends_sentence:
            return None
        if pieces[step].kind == "thing" and pieces[step].plural:
            return step if noun_of(pieces[step]) else None
    return None


def counted_once(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, one where a sentence tells the very same twice: "fitted it, eight screws; eight are in"."""
    found: list[Fact] = []
    for fact in facts:
        own = case.own_pieces(fact)
        again = {piece.low for piece in own} & _AGAIN or [piece.whole for piece in own].count(fact.count) > 1
        same = [f for f in found if _told(f) == _told(fact) and case.together(f, fact)]
        if not (same and fact.act in _WORK and fact.count is not None and not again):
            found.append(fact)
    return found


def _told(fact: Fact) -> tuple[object, ...]:
    return (fact.status, fact.act, fact.item, fact.side, fact.count, fact.of, fact.place, fact.measure, fact.tag)
