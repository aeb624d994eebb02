"""Numbers of which the noun or the sum was left unsaid: "seven are undone", "three at rib 5", "twelve altogether"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.counts import ON_FASTENERS, SHARED_BY_SIDES, noun_of
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import holds
from pipeline.reading.targets import ON_HOLDER

_ON_PARTS = ("fit", "remove")
_PUT_AWAY = word_set("bag store tag clean photograph")
_AT = word_set("at on in round by along")
_ALTOGETHER = (("altogether",), ("in", "all"), ("all", "told"), ("in", "total"), ("total",), ("all", "in"))
_REACH = 40  # characters from a number to what is said of it


def of_fasteners(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with what is meant where the fasteners of a part are.

    "Of the twelve bolts seven are undone" counts no joints; "the bolts of the float are new" tells of no new float.
    """
    found: list[Fact] = []
    for fact in facts:
        named, counted = _named_with_its_part(case, fact), _counted(case, fact, found)
        if named:
            fact = fact.model_copy(update={"of": named})
        elif counted:
            fact = fact.model_copy(update={"of": counted, "inferred": (*fact.inferred, ("of", counted))})
        found.append(fact)
    return found


def _named_with_its_part(case: Case, fact: Fact) -> str:
    """Return the fasteners of "the bolts of the float" where a fact is told of the float, "" where there are none."""
    if fact.act not in ON_HOLDER or fact.item is None or fact.of not in (None, fact.item):
        return ""
    inside = [piece for piece in case.pieces if holds(fact.words, piece.start)]
    for at, piece in enumerate(inside[:-2]):
        fastener = noun_of(piece)
        if piece.kind != "thing" or fastener not in case.lexicon.fasteners or inside[at + 1].low != "of":
            continue
        if _named_from(inside, at + 2).sense("part") == fact.item:
            return fastener
    return ""


def _named_from(inside: Sequence[Piece], at: int) -> Piece:
    """Return the piece after the article and the side at a piece."""
    while at < len(inside) - 1 and (inside[at].low in DETERMINERS or inside[at].kind == "side"):
        at += 1
    return inside[at]


def _counted(case: Case, fact: Fact, earlier: Sequence[Fact]) -> str:
    """Return what a number is of that was read as one of the parts held, "" where it stands."""
    if fact.count is None or fact.of != fact.item or fact.item in case.lexicon.fasteners:
        return ""
    if fact.finding == "elongated-hole":
        return "hole"
    if fact.act in _ON_PARTS and fact.count > 1 and _of_one(case, fact):
        return "fastener"  # of a kind that was not said
    if fact.act not in ON_FASTENERS:  # "two of them are oval, and those want bushing"
        oval = (e for e in earlier if (e.item, e.count, e.finding) == (fact.item, fact.count, "elongated-hole"))
        return next((e.of for e in oval if e.of), "")
    near = (case.since_sentence_before(fact)[0], case.sentence(fact)[1])
    named = [p for p in case.pieces if holds(near, p.start) and p.sense("counted") in case.lexicon.fasteners]
    nearest = min(named, key=lambda piece: abs(piece.start - fact.words[0]), default=None)
    return nearest.sense("counted") if nearest else ""


def _of_one(case: Case, fact: Fact) -> bool:
    """Tell whether a sentence speaks of one such part only, before its number: "on the panel sixteen are in"."""
    own = case.own_pieces(fact)
    if all(piece.whole != fact.count for piece in own) or any(piece.sense("counted") for piece in own):
        return False
    named = [at for at in case.own(fact) if case.pieces[at].sense("part") == fact.item]
    led = all(at and case.pieces[at - 1].low in ("the", "this", "that") for at in named)
    return bool(named) and led and not any(case.pieces[at].plural for at in named)


def more_of_them(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with its share of what was counted: "twelve at rib 3, and another three at rib 5"."""
    found: list[Fact] = []
    for fact in facts:
        same = [
            e for e in found if (e.act, e.item) == (fact.act, fact.item) and e.count and e.of not in (None, e.item)
        ]
        if fact.act in ON_FASTENERS and same and same[-1].side in (fact.side, None):
            before = same[-1]
            elsewhere = fact.count == before.count and fact.place is not None and fact.place != before.place
            told = [number for number in _bare_numbers(case, fact) if number != before.count or not fact.place]
            if len(told) == 1 and (fact.count is None or elsewhere):
                why = (*fact.inferred, ("count", "of those told of before"))
                fact = fact.model_copy(update={"count": told[0], "of": before.of, "inferred": why})
        found.append(fact)
    return found


def _bare_numbers(case: Case, fact: Fact) -> Iterator[int]:
    """Yield the numbers without a noun that are told of a fact: by the place after it, or by what is said of them."""
    sentence = case.sentence(fact)
    for at, piece in enumerate(case.pieces[:-2]):
        number, following = piece.whole, case.pieces[at + 1]
        if not number:
            continue
        places = {place for p in case.pieces[at + 2 : at + 4] for place in p.places}
        placed = following.low in _AT and bool(places & set(fact.place or ()))
        said = next((p for p in case.pieces[at + 1 : at + 6] if p.kind in ("verb", "number", "mark")), following)
        subject = following.kind == "aux" and said.kind == "verb" and holds(sentence, piece.start)
        near = piece.start <= fact.words[1] and fact.words[0] <= min(said.end, piece.end + _REACH)
        if placed or (subject and near):
            yield number


def without_numbers_said_before(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of putting away without a number that only an earlier sentence told.

    "Four bolts undone. They're in bag 3": that is four times undone, and bagged.
    """
    found: list[Fact] = []
    for fact in facts:
        said = any(piece.whole == fact.count for piece in case.own_pieces(fact))
        if fact.act in _PUT_AWAY and any(e.count == fact.count for e in found) and not said:
            fact = fact.model_copy(update={"count": None, "of": None, "about": None})
        found.append(fact)
    return found


def altogether(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with the sum where it has the number of a part: "six a side, twelve altogether"."""
    sums = list(_told_altogether(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        own = [number for number, at in sums if holds(case.sentence(fact), at)]
        part = fact.count and fact.act in SHARED_BY_SIDES and fact.of not in (None, fact.item)
        if part and len(own) == 1 and own[0] > (fact.count or 0) and own[0] % (fact.count or 1) == 0:
            why = (*fact.inferred, ("count", f"{own[0]} altogether"))
            fact = fact.model_copy(update={"count": own[0], "inferred": why})
        found.append(fact)
    return found


def _told_altogether(pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield each sum ("twelve altogether", "eight all told"), and the character at which it stands."""
    for at, piece in enumerate(pieces):
        after = tuple(p.low for p in pieces[at + 1 : at + 3])
        if piece.whole and any(after[: len(words)] == words for words in _ALTOGETHER):
            yield piece.whole, piece.start
