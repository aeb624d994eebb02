"""Damage that was mended: "the hole's been patched" repairs the part that bears it, and is no damage seen."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact
from pipeline.reading.forms import PARTICIPLE, word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.findings import NOT_NAMED, is_known
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import find_phrases
from pipeline.reading.pieces import BE, HAVE, Piece
from pipeline.reading.spans import holds

_DAMAGE = word_set("hole holes gash gashes puncture damage gouge gouges cut")
_MENDED = word_set("glued filled plugged closed bonded")
_BEFORE_VERB = BE | HAVE | word_set("been all now since already both just")
_PARTICLES = word_set("~ out up over back smooth straight flat")
_WHERE = word_set("in on of at to through along across near round around by")
_AS_FAR = 12  # pieces from the damage to what was done about it


class _Repaired(NamedTuple):
    """Damage at one piece that the verb at another repaired."""

    damage: int
    verb: int


def with_what_was_patched(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; damage that was mended is a repair of the part that bears it, told once."""
    found = list(facts)
    for one in _repaired(case.lexicon, case.pieces):
        words = (case.pieces[one.damage].start, case.pieces[one.verb].end)
        if any(holds(stretch, case.pieces[one.verb].start) for stretch in case.rules.not_done):
            continue
        own = [fact for fact in found if holds(case.rules.sentence(words[0]), fact.words[0])]
        seen = [f for f in own if f.finding and not (f.absent or f.measure) and holds(words, f.words[0])]
        if is_known(case.pieces, one.damage):
            found = [fact for fact in found if fact not in seen]
        repairs = [fact for fact in own if fact.act == "repair"]
        if not repairs:
            found.append(_repair(next(iter(seen), None) or _bearing(case, one, found), words))
        elif any(fact.item for fact in repairs):
            found = [fact for fact in found if fact not in repairs or fact.item]
    return found


def _repair(part: Fact, words: tuple[int, int]) -> Fact:
    """Return the repair of the part that a fact is of, and of nothing else of it."""
    rule = "past: repair"
    told = {"status": "done", "act": "repair", "finding": None, "grade": None, "rule": rule, "words": words}
    return part.model_copy(
        update=told
        | {"confidence": confidence_of(rule, part.inferred), "count": None, "of": None}
        | {"doubts": () if part.item else (NOT_NAMED,)}
    )


def _repaired(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[_Repaired]:
    """Yield each "the crack in the bracket has been welded"; not "is not patched yet", nor "is to be patched"."""
    for at, piece in enumerate(pieces):
        if not (piece.kind == "finding" and piece.sense("finding-noun")) and piece.low not in _DAMAGE:
            continue
        for step in range(at + 1, min(at + _AS_FAR, len(pieces))):
            if pieces[step].ends_sentence or pieces[step].low in ("and", "but", "n't", "not", "to", "never"):
                break
            beaten_out = piece.sense("finding-noun") == "dent" and pieces[step].low == "out"
            if pieces[step - 1].low in _BEFORE_VERB and (beaten_out or _mends(lexicon, pieces[step])):
                yield _Repaired(at, step)
                break


def _mends(lexicon: Lexicon, piece: Piece) -> bool:
    sayings = (one for one in lexicon.sayings.get(piece.verb, ()) if one.act == "repair")
    repairs = any(_PARTICLES.issuperset(saying.tail) for saying in sayings)
    return piece.low in _MENDED or (PARTICIPLE in piece.forms and repairs)


def _bearing(case: Case, one: _Repaired, facts: Sequence[Fact]) -> Fact:
    """Return a fact of the part that bears the damage: named with it, told of last before it, or not known."""
    pieces = case.pieces
    ends = next((n for n in range(one.verb, len(pieces)) if pieces[n].ends_sentence), len(pieces))
    near = find_phrases(case.lexicon, pieces, one.damage + 1, ends)
    named = [phrase for phrase in near if (phrase.item or phrase.short) and phrase.prep in _WHERE]
    if named:
        places = tuple(place for phrase in near for place in phrase.places)
        item, side = case.part_of(named[0]), named[0].side or None
        return Fact(status="done", act="repair", item=item, side=side, place=places or None)
    start = pieces[one.damage].start
    since = case.rules.sentence(max(0, case.rules.sentence(start)[0] - 1))[0]
    it, _side = case.rules.it(start)
    before = [fact for fact in facts if fact.item == it and since <= fact.words[0] < start]
    if not before:
        return Fact(status="done", act="repair", inferred=(("item", NOT_NAMED),))
    why = (("item", "the part told of last"),)
    empty = {"measure": None, "tag": None, "stowage": None, "absent": None, "about": None}
    return before[-1].model_copy(update=empty | {"inferred": why})
