"""Numbers of which the noun or the sum was left unsaid: "seven are undone", "three at rib 5", "twelve altogether"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import SCHEMES, Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.counts import ON_FASTENERS, SHARED_BY_SIDES, has_no_noun, noun_of, number_of
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import holds
from pipeline.reading.targets import ON_HOLDER

_ON_PARTS = ("fit", "remove")
_UNDOES = ("undo", "drill-out")
_EVERY = word_set("all both each every")
_PUT_AWAY = word_set("bag store tag clean photograph")
_SIZED = word_set("bag measure move store tag test tighten")  # "torqued 60" and "tagged 203" count nothing
_BEFORE = word_set("all the another off out in on up back down")
_HAD = word_set("had got have")
_GOES_ON = word_set("of no or to")
_AT = word_set("at on in round by along")
_ALTOGETHER = (("altogether",), ("in", "all"), ("all", "told"), ("in", "total"), ("total",), ("all", "in"))
_SO = word_set("so makes is 's")
_REACH = 40  # characters from a number to what is said of it


def with_their_objects(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with the number right behind its verb: "nine pipes off, blanked seven, two are open"."""
    return [_with_its_object(case, fact) if fact.act and fact.item else fact for fact in facts]


def _with_its_object(case: Case, fact: Fact) -> Fact:
    pieces, own = case.pieces, case.own(fact)
    if fact.count and any(pieces[at].whole == fact.count and noun_of(pieces[at + 1]) for at in own[:-1]):
        return fact
    if fact.count is None and (fact.status != "done" or fact.act in _SIZED or fact.item in SCHEMES):
        return fact  # "we'll take 11 out" and "I've cleaned 11" may name it
    for at in own:
        verb = at - 1
        while verb > at - 3 and verb > 0 and pieces[verb].low in _BEFORE:
            verb -= 1
        is_verb = pieces[verb].kind == "verb" or pieces[verb].low in _HAD
        told = verb >= 0 and is_verb and holds(fact.words, pieces[verb].start)
        goes_on = at + 1 < len(pieces) and pieces[at + 1].low in _GOES_ON
        if pieces[at].kind == "number" and pieces[at].whole and told and has_no_noun(pieces, at) and not goes_on:
            return fact.model_copy(update={"count": pieces[at].whole, "of": fact.of or fact.item, "about": None})
    return fact


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
    if any(case.pieces[at].whole == fact.count and _is_of_it(case, fact, at + 1) for at in case.own(fact)[:-1]):
        return ""
    if fact.finding == "elongated-hole":
        return "hole"
    if fact.act == "fit" and (of := _as_told_before(case, fact, earlier) or _as_counted_beside(case, fact)):
        return of
    if fact.act in _ON_PARTS and fact.count > 1 and _of_one(case, fact):
        return "fastener"  # of a kind that was not said
    if fact.act not in ON_FASTENERS:  # "two of them are oval, and those want bushing"
        oval = (e for e in earlier if (e.item, e.count, e.finding) == (fact.item, fact.count, "elongated-hole"))
        return next((e.of for e in oval if e.of), "")
    near = (case.since_sentence_before(fact)[0], case.sentence(fact)[1])
    named = [p for p in case.pieces if holds(near, p.start) and p.sense("counted") in case.lexicon.fasteners]
    nearest = min(named, key=lambda piece: abs(piece.start - fact.words[0]), default=None)
    if nearest is not None:
        return nearest.sense("counted")
    told = (e.of for e in reversed(earlier) if e.item == fact.item and e.of in case.lexicon.fasteners)
    return next((of for of in told if of), "")


def _is_of_it(case: Case, fact: Fact, at: int) -> bool:
    """Tell whether a piece names several of a fact's part, with no fasteners beside: "four electric plugs"."""
    piece = case.pieces[at]
    return (
        piece.plural
        and piece.sense("part") == fact.item
        and not any(p.sense("counted") for p in case.own_pieces(fact))
    )


def _as_told_before(case: Case, fact: Fact, earlier: Sequence[Fact]) -> str:
    """Return the fasteners of which a part's last number was, where its own has no noun: "another three to go in"."""
    told = next((e.of for e in reversed(earlier) if e.item == fact.item and e.count), None)
    own = case.own(fact)
    alone = any(case.pieces[at].whole == fact.count and has_no_noun(case.pieces, at) for at in own)
    return told if told in case.lexicon.fasteners and alone else ""


def _as_counted_beside(case: Case, fact: Fact) -> str:
    """Return the fasteners that another number in the sentence counts, where a part's own number has no noun.

    "The panel's on with twelve, two screws missing", "four rivets out of the skin, three back in"; no parts that are
    told of as several: "fairleads, three in, two screws each".
    """
    own = case.own(fact)
    if all(case.pieces[at].whole != fact.count for at in own):
        following = case.rules.sentence(case.sentence(fact)[1])
        own = [at for at, piece in enumerate(case.pieces) if holds(following, piece.start)]
    named = [at for at in own if case.pieces[at].sense("part") == fact.item]
    alone = any(case.pieces[at].whole == fact.count and has_no_noun(case.pieces, at) for at in own)
    if not alone or any(case.pieces[at].plural for at in named):
        return ""
    pairs = [noun_of(case.pieces[at + 1]) for at in own[:-1] if case.pieces[at].whole]
    counted = {noun for noun in pairs if noun}
    return counted.pop() if len(counted) == 1 and counted <= case.lexicon.fasteners else ""


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


def counted_where_it_is_held(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what holds a part is counted there, and not once more where it is to be undone.

    "The hatch is held by eight screws. You undo those, and it lifts away."
    """
    found: list[Fact] = []
    for fact in facts:
        if fact.act in _UNDOES and fact.status != "done" and (fact.count or 0) > 1:
            held = [f for f in found if f.act == "held-by" and _counted_alike(f, fact)]
            if held and not _said_again(case, held[-1], fact):
                fact = fact.model_copy(update={"count": None, "of": None, "about": None})
        found.append(fact)
    return found


def _counted_alike(one: Fact, other: Fact) -> bool:
    return (one.item, one.count, one.of) == (other.item, other.count, other.of)


def _said_again(case: Case, held: Fact, fact: Fact) -> bool:
    """Tell whether the number is said once more on the way from what holds a part to its undoing, or "all" of it."""
    end = case.sentence(fact)[1]
    told = [piece for piece in case.pieces if held.words[0] <= piece.start < end]
    again = sum(piece.whole == fact.count for piece in told) > 1
    return again or any(piece.low in _EVERY and piece.start > held.words[1] for piece in told)


def altogether(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with the sum where it has the number of a part: "six a side, twelve altogether"."""
    sums = list(_told_altogether(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        own = [one for one in sums if holds(case.sentence(fact), one.start) or _told_after(case, fact, one)]
        of = _of_sum(case, fact) if fact.act in SHARED_BY_SIDES and len(own) == 1 else None
        if of and own[0].is_of(fact.count) and not _shares_sum(case, fact, facts):
            why = (*fact.inferred, ("count", f"{own[0].number} altogether"))
            fact = fact.model_copy(update={"count": own[0].number, "of": of, "inferred": why})
        found.append(fact)
    return found


def _told_after(case: Case, fact: Fact, one: "_Sum") -> bool:
    """Tell whether a fact's number and the sum stand in the next sentence: "Eight screws a panel, so that's 88"."""
    following = case.rules.sentence(case.sentence(fact)[1])
    return holds(following, one.start) and any(
        holds(following, piece.start) and piece.whole == fact.count
        for piece in case.pieces
        if piece.start < one.start
    )


def _of_sum(case: Case, fact: Fact) -> str | None:
    """Return the fasteners that a sum would be of: those of the fact, or the only ones of its sentence."""
    if fact.count is not None:
        return fact.of if fact.of != fact.item else None
    named = {p.sense("counted") for p in case.own_pieces(fact)} & case.lexicon.fasteners
    return named.pop() if len(named) == 1 and fact.act in ON_FASTENERS else None


def _shares_sum(case: Case, fact: Fact, facts: Sequence[Fact]) -> bool:
    """Tell whether another number of the same work is told in its sentence: each is then told apart."""
    others = [f for f in facts if (f.act, f.status) == (fact.act, fact.status) and case.together(f, fact)]
    return len({f.count for f in others if f.count}) > 1


def as_worked_out(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the fasteners that were worked out: "two brackets drilled off, so twelve rivets".

    They take the place of a number that counts something else in its sentence.
    """
    found: list[Fact] = []
    for fact in facts:
        own = case.own(fact)
        pairs = [
            (at, case.pieces[at].whole, noun_of(case.pieces[at + 1])) for at in own[:-1] if case.pieces[at].whole
        ]
        so = [number for at, number, noun in pairs if noun == fact.of and at and case.pieces[at - 1].low == "so"]
        counted = any((number, noun) == (fact.count, fact.of) for _at, number, noun in pairs)
        if len(so) == 1 and fact.count and fact.of in case.lexicon.fasteners and not counted:
            fact = fact.model_copy(update={"count": so[0]})
        found.append(fact)
    return found


class _Sum(NamedTuple):
    """A sum, where it stands, and the numbers before it that come to it, none where they are not known."""

    number: int
    start: int
    parts: tuple[int, ...]

    def is_of(self, part: int | None) -> bool:
        """Tell whether a number is one of its parts; where none was read, whether any are known."""
        if part is None:
            return bool(self.parts)
        return part in self.parts or (part < self.number and self.number % part == 0)


def _told_altogether(pieces: Sequence[Piece]) -> Iterator[_Sum]:
    """Yield each sum: "twelve altogether", "eight all told"; of numbers said before it, "so eighteen" too."""
    for at, piece in enumerate(pieces):
        after = tuple(p.low for p in pieces[at + 1 : at + 3])
        parts = _parts(pieces, at)
        so = (bool(parts) and pieces[at - 1].low in _SO) or _so_that_is(pieces, at)
        if piece.whole and (so or any(after[: len(words)] == words for words in _ALTOGETHER)):
            yield _Sum(piece.whole, piece.start, parts)


def _so_that_is(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a number is told as what others come to: "so that's eighty-eight", "that makes twenty-four"."""
    led = [piece.low for piece in pieces[max(0, at - 3) : at]]
    return led[-3:] in (["so", "that", "'s"], ["so", "that", "is"]) or led[-2:] in (
        ["that", "makes"],
        ["so", "makes"],
    )


def _parts(pieces: Sequence[Piece], at: int) -> tuple[int, ...]:
    """Return the last few numbers of a sentence that come to the number at a piece, none where none do."""
    told: list[int] = []
    for step in range(at - 1, -1, -1):
        if pieces[step].ends_sentence or not pieces[at].whole:
            break
        number = number_of(pieces[step])
        told += [number] if number else []
        if len(told) > 1 and sum(told) == pieces[at].whole:
            return tuple(told)
    return ()
