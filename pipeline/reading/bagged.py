"""What a bag holds: the fasteners beside a part, not the part; and what comes out of a bag is undone nowhere."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.reader import ReadByRule

_FILLED = ("fit", "connect", "close")
_LOOSENED = ("undo", "drill-out", "remove", "bag", "store")
_INTO = ("in", "into", "inside", "all", "now")


class Counted(NamedTuple):
    """So many fasteners, in characters of the text from ``start`` to ``end``."""

    number: int
    of: str
    start: int
    end: int


def with_bags(lexicon: Lexicon, one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note with what is in a bag told of the fasteners that are in it.

    "The cowling is off, four screws, in bag 3" bags screws. "Six screws out of bag 3" undoes none: they are fitted,
    where something is said to be fitted.
    """
    taken = list(_out_of_bags(lexicon, one.pieces))
    found = [fact for fact in facts if not any(_loosens(fact, counted) for counted in taken)]
    found = [fact for fact in found if not any(_fits_another(lexicon, one, fact, counted) for counted in taken)]
    for counted in taken:
        found += _put_in(lexicon, one, found, counted)
    return _of_fasteners(lexicon, one, found)


def taken_from(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether something comes from the store at a piece: "out of bag three", "from the bag three"."""
    step = at - 1
    while step > 0 and pieces[step].low in DETERMINERS:
        step -= 1
    return step >= 0 and (
        pieces[step].low == "from" or (step > 0 and [p.low for p in pieces[step - 1 : step + 1]] == ["out", "of"])
    )


def _out_of_bags(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[Counted]:
    """Yield what is said to come out of a bag with its number."""
    for at, piece in enumerate(pieces):
        if piece.kind != "stow" or not taken_from(pieces, at):
            continue
        noun = at - 1
        while noun > 0 and (pieces[noun].low in ("from", "out", "of") or pieces[noun].low in DETERMINERS):
            noun -= 1
        number = pieces[noun - 1].number if noun else None
        of = _fastener(lexicon, pieces[noun])
        if of and number is not None and number.denominator == 1:
            yield Counted(int(number), of, pieces[noun - 1].start, piece.end)


def _fastener(lexicon: Lexicon, piece: Piece) -> str:
    """Return the fasteners that a piece names, "" where it names none."""
    names = (piece.sense("counted"), piece.sense("part"))
    return next((name for name in names if piece.kind == "thing" and name in lexicon.fasteners), "")


def _loosens(fact: Fact, counted: Counted) -> bool:
    of = counted.of in (fact.of, fact.item)
    return of and fact.act in _LOOSENED and counted.start <= fact.words[0] < counted.end


def _fits_another(lexicon: Lexicon, one: ReadByRule, fact: Fact, counted: Counted) -> bool:
    """Tell whether a fact fits what its sentence does not name: "six screws out of bag three went back into it"."""
    same = one.sentence(fact.words[0]) == one.sentence(counted.start)
    return same and fact.act == "fit" and fact.words[0] >= counted.end and not is_named(lexicon, one, fact)


def is_named(lexicon: Lexicon, one: ReadByRule, fact: Fact) -> bool:
    """Tell whether the sentence of a fact names its part, by a name of its own or a short one."""
    start, end = one.sentence(fact.words[0])
    inside = [piece for piece in one.pieces if start <= piece.start < end]
    return any(p.sense("part") == fact.item or fact.item in lexicon.shorts.get(p.sense("short"), ()) for p in inside)


def _put_in(lexicon: Lexicon, one: ReadByRule, facts: Sequence[Fact], counted: Counted) -> Iterator[Fact]:
    """Yield that so many were fitted, beside the only part that the sentence says was fitted."""
    sentence = one.sentence(counted.start)
    fitted = [f for f in facts if f.act in _FILLED and f.status == "done" and one.sentence(f.words[0]) == sentence]
    fitted = [fact for fact in fitted if is_named(lexicon, one, fact)]
    if len({(fact.item, fact.side) for fact in fitted}) != 1 or any(fact.of == counted.of for fact in fitted):
        return
    told = {"act": "fit", "count": counted.number, "of": counted.of, "words": (counted.start, counted.end)}
    yield fitted[0].model_copy(update=told | {"measure": None, "tag": None, "about": None})


def _of_fasteners(lexicon: Lexicon, one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the fasteners in the bag in place of the part that was named before them."""
    found: list[Fact] = []
    for fact in facts:
        counted = _beside_bag(lexicon, one, fact) if fact.act == "bag" and fact.item else None
        if counted is None:
            found.append(fact)
        elif fact.item in lexicon.fasteners:
            lacking = fact.item == counted.of and fact.count is None
            told = {"count": counted.number, "of": counted.of} if lacking else {}
            found.append(fact.model_copy(update=told))
        elif not any(other.item in lexicon.fasteners and _same_bag(one, other, fact) for other in facts):
            told = {"item": counted.of, "count": counted.number, "of": counted.of}
            found.append(fact.model_copy(update=told | {"inferred": (("item", "the fasteners just named"),)}))
    return found


def _same_bag(one: ReadByRule, other: Fact, fact: Fact) -> bool:
    alike = (other.act, other.stowage) == (fact.act, fact.stowage)
    return alike and one.sentence(other.words[0]) == one.sentence(fact.words[0])


def _beside_bag(lexicon: Lexicon, one: ReadByRule, fact: Fact) -> Counted | None:
    """Return the fasteners that stand between commas right before the bag of a fact: "off, four screws, in bag 3"."""
    pieces = one.pieces
    start, end = one.sentence(fact.words[0])
    for at, piece in enumerate(pieces):
        if piece.kind != "stow" or not start <= piece.start < end or not fact.stowage:
            continue
        if getattr(fact.stowage, piece.stow[0], None) != piece.stow[1]:
            continue
        noun = at - 1
        while noun > 1 and (pieces[noun].kind == "mark" or pieces[noun].low in _INTO):
            noun -= 1
        of, number = _fastener(lexicon, pieces[noun]), pieces[noun - 1].number
        if of and number is not None and number.denominator == 1 and noun > 1 and pieces[noun - 2].low == ",":
            return Counted(int(number), of, pieces[noun - 1].start, pieces[noun].end)
    return None
