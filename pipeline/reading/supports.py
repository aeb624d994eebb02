"""What stands on trestles, jacks or a trolley, and its end: what is taken off them is let down, and stays on."""

from collections.abc import Iterator, Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.confidence import confidence_of
from pipeline.reading.constructions import Said
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece

_ONLY_IF = word_set("if when once until till unless before after whether")
_STANDS = word_set("stand sit rest hang hold be")
_OF_A_NAME = ("side", "thing", "place")  # kinds of pieces
_AWAY = word_set("away gone out")
UNDER_IT = word_set("under beneath underneath")
_STILL = word_set("still now back again only all")


def off_support(lexicon: Lexicon, pieces: Sequence[Piece], off: int) -> int:
    """Return the piece after the lifting gear that "off" is said of ("off the trestles"), 0 where there is none."""
    if off >= len(pieces) or pieces[off].low.split()[-1] != "off":
        return 0
    at, led = off + 1, False
    while at < len(pieces) and (pieces[at].low in DETERMINERS | {"of", "all", "both"} or pieces[at].kind == "number"):
        led, at = led or pieces[at].low != "of", at + 1
    while at < len(pieces) and (pieces[at].kind == "side" or pieces[at].tag in ("JJ", "CD")) and led:
        at += 1
    if at >= len(pieces) or pieces[at].kind != "thing" or not (led or pieces[at].plural):
        return 0
    parts = [sense.notation for sense in pieces[at].senses if sense.kind in ("part", "counted")]
    may_be = lexicon.shorts.get(pieces[at].sense("short"), ()) if pieces[at].plural else ()  # "off the jacks"
    gear = all(_is_gear(lexicon, part) for part in parts) if parts else any(_is_gear(lexicon, one) for one in may_be)
    owned = at + 1 < len(pieces) and pieces[at + 1].kind == "thing"
    return at + 1 if gear and not owned else 0


def _is_gear(lexicon: Lexicon, part: str) -> bool:
    return lexicon.part_kind.get(part) == "support-equipment"


def off_its_support(
    lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]
) -> Said | None:
    """Return what "she's off the trestles" says, None where the clause says no such thing."""
    for off in range(clause.first + 1, clause.last):
        after = off_support(lexicon, pieces, off)
        led = pieces[off - 1].kind == "aux" and pieces[off - 1].low in BE
        if after and led and any(phrase.last == off - 1 for phrase in phrases):
            return Said("lower", off - 1, after, None, True, off)
    return None


def let_down(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield the stretches of characters (from, to) that tell that something was taken off what held it up."""
    for off in range(1, len(pieces)):
        after = off_support(lexicon, pieces, off)
        if not after:
            continue
        first = off - 1
        while first > 0 and not pieces[first - 1].ends_sentence and pieces[first - 1].low not in (",", "and"):
            if pieces[first].verb or (pieces[first].kind == "aux" and pieces[first - 1].kind != "aux"):
                break
            first -= 1
        yield pieces[first].start, pieces[after - 1].end


def only_if(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a condition stands before a piece, in its part of the sentence: "once the hoist is away"."""
    while at > 0 and pieces[at - 1].kind != "mark":
        at -= 1
        if pieces[at].low in _ONLY_IF:
            return True
    return False


def gear_away(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[Fact]:
    """Yield the lifting gear that is said to be gone: "the hoist is away", "the trestle under the wing is out"."""
    for at, gear in enumerate(pieces):
        led = not at or pieces[at - 1].low in DETERMINERS or pieces[at - 1].kind in ("mark", "number")
        if not led or not _is_gear(lexicon, gear.sense("part")) or only_if(pieces, at):
            continue
        be = at + 1
        if be < len(pieces) and pieces[be].low in UNDER_IT:
            be += 1
            while be < len(pieces) and (
                pieces[be].kind in ("side", "thing", "place") or pieces[be].low in DETERMINERS
            ):
                be += 1
        last = _gone(pieces, be)
        if not last:
            continue
        sides = [piece.sense("sides") for piece in pieces[at:be] if piece.kind == "side"]
        places = tuple(place for piece in pieces[at:be] for place in piece.places)
        rule = "state: remove"
        told = {"status": "done", "act": "remove", "item": gear.sense("part"), "side": sides[0] if sides else None}
        where = {"place": places or None, "words": (gear.start, pieces[last - 1].end)}
        yield Fact.model_validate(told | where | {"rule": rule, "confidence": confidence_of(rule, ())})


def _gone(pieces: Sequence[Piece], be: int) -> int:
    """Return the piece after "is away", "are out" or "has come away" at a piece, 0 where nothing is gone."""
    if be >= len(pieces) or pieces[be].kind != "aux" or pieces[be].low not in BE | HAVE:
        return 0
    at = be + 1
    if at < len(pieces) and (pieces[at].verb in ("come", "go") or pieces[at].low == "now"):
        at += 1
    ends = at + 1 >= len(pieces) or pieces[at + 1].kind == "mark" or pieces[at + 1].low in ("and", "again", "now")
    return at + 1 if at < len(pieces) and pieces[at].low in _AWAY and ends else 0


def also_under(lexicon: Lexicon, pieces: Sequence[Piece], fact: Fact) -> Iterator[Fact]:
    """Yield the further supports of a sentence: "two trestles under the fuselage, and one under the port wing"."""
    under = [at for at, piece in enumerate(pieces) if piece.low in UNDER_IT and piece.start >= fact.words[0]]
    for number, at in enumerate(under):
        before = pieces[under[number - 1] if number else 0 : at]
        if not number:
            continue
        if any(piece.ends_sentence or piece.kind in ("verb", "aux") for piece in before):
            return
        if not any(piece.kind == "number" or _is_gear(lexicon, piece.sense("part")) for piece in before):
            continue
        step = at + 1
        while step < len(pieces) and (pieces[step].low in DETERMINERS or pieces[step].kind == "side"):
            step += 1
        side = next((piece.sense("sides") for piece in pieces[at:step] if piece.kind == "side"), None)
        item = _named(lexicon, pieces[step]) if step < len(pieces) else ""
        if item and (item, side) != (fact.item, fact.side):
            told = {"item": item, "side": side, "place": None, "count": None, "of": None, "doubts": ()}
            yield fact.model_copy(update=told | {"words": (pieces[at].start, pieces[step].end)})


def _named(lexicon: Lexicon, piece: Piece) -> str:
    shorts = lexicon.shorts.get(piece.sense("short"), ())
    return piece.sense("part") or next((one for one in shorts if one != "-"), "")


def stands_on_gear(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[Fact]:
    """Yield that the aircraft stands where "she" is said to: "she's standing on her beaching trolley".

    "She" is no part, but an engine that was spoken of right before.
    """
    for at, piece in enumerate(pieces[:-3]):
        if piece.low != "she" or _engine_before(lexicon, pieces, at) or only_if(pieces, at):
            continue
        step = at + 1
        while step < len(pieces) and (pieces[step].low in BE | _STILL or pieces[step].verb in _STANDS):
            step += 1
        if step == at + 1 or step >= len(pieces) or pieces[step].low not in ("on", "in", "from"):
            continue
        step += 1
        while step < len(pieces) and (pieces[step].low in DETERMINERS or pieces[step].kind == "number"):
            step += 1
        if step < len(pieces) and _is_gear(lexicon, pieces[step].sense("part")):
            rule, why = "she stands: support", (("item", "the aircraft itself"),)
            yield Fact(
                status="done", act="support", item="fuselage", words=(piece.start, pieces[step].end), rule=rule,
                inferred=why, confidence=confidence_of(rule, why),
            )  # fmt: skip


def _engine_before(lexicon: Lexicon, pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether the last part that was named is of an engine, of which people say "she" too."""
    named = (pieces[step].sense("part") for step in range(at - 1, -1, -1) if pieces[step].kind == "thing")
    kinds = (lexicon.part_kind.get(part) for part in named)
    return next((kind for kind in kinds if kind not in (None, "support-equipment")), None) == "powerplant"
